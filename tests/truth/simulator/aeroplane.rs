//! A light aeroplane: drag, stall, engine.

use super::random::Random;

/// What it is, and what its handbook says.
#[derive(Debug, Clone, Copy)]
pub struct Aeroplane {
    /// Weight flown, N.
    pub weight_n: f64,
    /// Drag over weight at best glide is `1/ratio`; best glide at this dynamic pressure, Pa.
    pub best_pressure_pa: f64,
    /// Parameter of the clean drag at idle.
    pub ratio: f64,
    /// Drag over weight rising towards the stall.
    pub near_stall: f64,
    /// Clean stall, m/s calibrated, at the weight flown.
    pub stall_mps: f64,
    /// Stall with full flap, m/s calibrated.
    pub stall_flap_mps: f64,
    /// Drag of full flap over that of best glide's own profile drag.
    pub flap_drag: f64,
    /// Wing span, m.
    pub span_m: f64,
    /// Most thrust times speed over weight, m/s.
    pub power_mps: f64,
    /// Lag of thrust behind an opening and a closing throttle, s.
    pub engine_lag_s: (f64, f64),
    /// Handbook: best glide at the reference weight, m/s calibrated.
    pub handbook_best_mps: f64,
    /// Handbook: glide ratio.
    pub handbook_ratio: f64,
    /// Reference weight over weight flown.
    pub reference_share: f64,
    /// Rolling friction.
    pub rolling: f64,
    /// Height of the recorder above the wheels, m.
    pub recorder_m: f64,
}

impl Aeroplane {
    /// A trainer or tourer.
    pub fn draw(rng: &mut Random) -> Self {
        let best_mps = rng.between(60.0, 76.0) * 0.5144;
        let ratio = rng.between(7.8, 11.5);
        let reference_share = 1.0 / rng.between(0.8, 1.0);
        let stall_mps = best_mps * rng.between(0.70, 0.78);
        Aeroplane {
            weight_n: rng.between(6_500.0, 11_500.0),
            best_pressure_pa: 0.5 * 1.225 * best_mps * best_mps,
            ratio,
            near_stall: rng.between(0.1, 0.5),
            stall_mps,
            stall_flap_mps: stall_mps * rng.between(0.84, 0.92),
            flap_drag: rng.between(0.8, 1.5),
            span_m: rng.between(9.5, 11.5),
            power_mps: rng.between(8.5, 11.0),
            engine_lag_s: (rng.between(0.4, 1.5), rng.between(0.3, 0.9)),
            handbook_best_mps: best_mps * reference_share.sqrt() * (1.0 + 0.03 * rng.normal()),
            handbook_ratio: ratio * (1.0 + rng.about(0.02, 0.05)),
            reference_share,
            rolling: rng.between(0.025, 0.07),
            recorder_m: rng.between(0.9, 1.6),
        }
    }

    /// Stall with `flap` out (0..1), m/s calibrated.
    pub fn stall_at_mps(&self, flap: f64) -> f64 {
        self.stall_mps + flap * (self.stall_flap_mps - self.stall_mps)
    }

    /// Drag over weight at a dynamic pressure, load factor and flap; `height_m` of the wheels for ground effect.
    pub fn drag_over_weight(&self, pressure_pa: f64, load: f64, flap: f64, height_m: f64) -> f64 {
        let half = 0.5 / self.ratio;
        let q = pressure_pa.max(20.0) / self.best_pressure_pa;
        let near = (16.0 * (height_m.max(0.0) + 1.5) / self.span_m).powi(2);
        let ground_effect = near / (1.0 + near);
        let stall_pa = 0.5 * 1.225 * self.stall_at_mps(flap).powi(2);
        let lift_share = load * stall_pa / pressure_pa.max(20.0);
        let stalling = self.near_stall * (lift_share - 0.8).max(0.0).powi(2);
        half * (q * (1.0 + self.flap_drag * flap) + ground_effect * load * load / q) + stalling
    }
}
