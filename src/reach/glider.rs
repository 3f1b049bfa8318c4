//! The aeroplane as a glider in the air of one draw: speed, sink, turn radius and mean wind by height.

use crate::air::drag::Polar;
use crate::air::wind::{KNOT_SPACING_M, WindProfile};
use crate::units::G0_MPS2;

/// True over calibrated airspeed grows by a factor e over this height, m (standard atmosphere: 1.4790 %
/// over the first 1,000 ft).
const SPEED_RATIO_SCALE_M: f64 = 20_760.0;

/// Glide of one draw: a speed, a ratio at that speed, and the air it happens in.
#[derive(Debug, Clone, PartialEq)]
pub struct Glider {
    /// Speed held, m/s calibrated.
    pub cas_mps: f64,
    /// Glide ratio through the air at that speed, wings level, still air.
    pub ratio: f64,
    /// Best glide, m/s calibrated: with [`Glider::ratio`] it makes the polar for other load factors.
    pub best_glide_cas_mps: f64,
    /// True over calibrated airspeed at the aim.
    pub tas_per_cas: f64,
    wind: WindProfile,
    /// Integral of the wind from height 0 to each knot, m²/s.
    drift: Vec<[f64; 2]>,
}

impl Glider {
    /// A glider at `cas_mps` with `ratio`; `tas_per_cas` at `height_m`.
    pub fn new(
        (cas_mps, ratio): (f64, f64),
        best_glide_cas_mps: f64,
        (tas_per_cas, height_m): (f64, f64),
        wind: &WindProfile,
    ) -> Self {
        let mut drift = Vec::with_capacity(wind.knots_mps.len());
        let mut sum = [0.0, 0.0];
        for i in 0..wind.knots_mps.len() {
            if i > 0 {
                let layer = wind.integral_in_layer(i - 1, KNOT_SPACING_M);
                sum = [sum[0] + layer[0], sum[1] + layer[1]];
            }
            drift.push(sum);
        }
        Glider {
            cas_mps: cas_mps.clamp(10.0, 150.0),
            ratio: ratio.clamp(1.5, 60.0),
            best_glide_cas_mps: best_glide_cas_mps.clamp(10.0, 150.0),
            tas_per_cas: (tas_per_cas * (-height_m / SPEED_RATIO_SCALE_M).exp()).clamp(0.7, 2.0),
            wind: wind.clone(),
            drift,
        }
    }

    /// The same air, another speed and ratio.
    #[must_use]
    pub fn flown_at(&self, cas_mps: f64, ratio: f64) -> Self {
        Glider {
            cas_mps: cas_mps.clamp(10.0, 150.0),
            ratio: ratio.clamp(1.5, 60.0),
            ..self.clone()
        }
    }

    /// The same glider with heights counted from `by_m` above the aim.
    #[must_use]
    pub fn raised_by(&self, by_m: f64) -> Self {
        let knots = self.wind.knots_mps.len() + (-by_m / KNOT_SPACING_M).max(0.0).ceil() as usize;
        let wind = WindProfile {
            knots_mps: (0..knots.min(64))
                .map(|i| self.wind.at(KNOT_SPACING_M * i as f64 + by_m))
                .collect(),
        };
        Glider::new(
            (self.cas_mps, self.ratio),
            self.best_glide_cas_mps,
            (self.tas_per_cas, -by_m),
            &wind,
        )
    }

    /// True airspeed held at `height_m`, m/s.
    pub fn tas_mps(&self, height_m: f64) -> f64 {
        // first terms of the exponential: exact to 1e-4 below 3 km, and this is called often
        let s = height_m.clamp(-500.0, 6000.0) / SPEED_RATIO_SCALE_M;
        self.cas_mps * self.tas_per_cas * (1.0 + s + 0.5 * s * s)
    }

    /// Sink with wings level at `height_m`, m/s.
    pub fn sink_mps(&self, height_m: f64) -> f64 {
        self.tas_mps(height_m) / self.ratio
    }

    /// Height a metre of turn costs against a metre of straight, at load factor 1/cos `bank_rad`.
    pub fn turn_cost(&self, bank_rad: f64) -> f64 {
        let polar = Polar {
            best_glide_cas_mps: self.best_glide_cas_mps,
            glide_ratio: self.ratio,
        };
        let n = 1.0 / bank_rad.cos();
        let level = polar.sink_mps(self.cas_mps, self.best_glide_cas_mps, 1.0);
        polar.sink_mps(self.cas_mps, self.best_glide_cas_mps, n) / level
    }

    /// Radius of a coordinated turn at `height_m`, m.
    pub fn radius_m(&self, bank_rad: f64, height_m: f64) -> f64 {
        self.tas_mps(height_m).powi(2) / (G0_MPS2 * bank_rad.tan())
    }

    /// Wind at a height, east and north, m/s.
    pub fn wind_at(&self, height_m: f64) -> [f64; 2] {
        self.wind.at(height_m)
    }

    /// Mean motion of the air between two heights, each passed at one rate, east and north, m/s.
    pub fn mean_wind(&self, from_m: f64, to_m: f64) -> [f64; 2] {
        if (to_m - from_m).abs() < 1.0 {
            return self.wind.at(0.5 * (from_m + to_m));
        }
        let (a, b) = (self.drift_to(from_m), self.drift_to(to_m));
        [
            (b[0] - a[0]) / (to_m - from_m),
            (b[1] - a[1]) / (to_m - from_m),
        ]
    }

    /// Integral of the wind from height 0 to `height_m`.
    fn drift_to(&self, height_m: f64) -> [f64; 2] {
        let n = self.drift.len();
        let (Some(first), Some(last)) = (self.wind.knots_mps.first(), self.wind.knots_mps.last())
        else {
            return [0.0, 0.0];
        };
        let top = KNOT_SPACING_M * (n - 1) as f64;
        if height_m <= 0.0 {
            return [first[0] * height_m, first[1] * height_m];
        }
        if height_m >= top {
            let sum = self.drift[n - 1];
            return [
                sum[0] + last[0] * (height_m - top),
                sum[1] + last[1] * (height_m - top),
            ];
        }
        let layer = ((height_m / KNOT_SPACING_M) as usize).min(n - 2);
        let part = self
            .wind
            .integral_in_layer(layer, height_m - KNOT_SPACING_M * layer as f64);
        let sum = self.drift[layer];
        [sum[0] + part[0], sum[1] + part[1]]
    }

    /// Height that speed is worth, m: what an aeroplane at `tas_mps` can still convert while it slows
    /// to the speed held (negative while slower than it).
    ///
    /// The way flown level while slowing from V to V_bg, brought to height at the best ratio: with
    /// D/W = (x² + 1/x²)/(2E), ∫V dV/(g·D/W)/E = V_bg²/(2g)·ln((x⁴ + 1)/2) between.
    pub fn speed_worth_m(&self, tas_mps: f64, height_m: f64) -> f64 {
        let best = self.best_glide_cas_mps * self.tas_mps(height_m) / self.cas_mps;
        let part = |tas: f64| ((tas / best).clamp(0.3, 4.0).powi(4) + 1.0).ln();
        best * best / (2.0 * G0_MPS2) * (part(tas_mps) - part(self.tas_mps(height_m)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{M_PER_FT, MPS_PER_KT};

    fn reference(wind: &WindProfile) -> Glider {
        let v = 68.0 * MPS_PER_KT;
        Glider::new((v, 9.0), v, (1.0, 0.0), wind)
    }

    #[test]
    fn mean_wind_is_the_integral() {
        let wind = WindProfile {
            knots_mps: vec![[1.0, -2.0], [4.0, 0.0], [3.0, 6.0]],
        };
        let glider = reference(&wind);
        for (from, to) in [
            (0.0, 300.0),
            (-40.0, 90.0),
            (100.0, 700.0),
            (20.0, 140.0),
            (400.0, 900.0),
        ] {
            let n = 20_000;
            let mut sum = [0.0, 0.0];
            for i in 0..n {
                let w = wind.at(from + (to - from) * (f64::from(i) + 0.5) / f64::from(n));
                sum[0] += w[0];
                sum[1] += w[1];
            }
            let mean = glider.mean_wind(from, to);
            assert!(
                (mean[0] - sum[0] / f64::from(n)).abs() < 1e-3
                    && (mean[1] - sum[1] / f64::from(n)).abs() < 1e-3
            );
        }
    }

    #[test]
    fn raised_ground_keeps_the_air_where_it_is() {
        let wind = WindProfile {
            knots_mps: vec![[1.0, -2.0], [4.0, 0.0], [3.0, 6.0], [5.0, 6.0]],
        };
        let glider = reference(&wind);
        for by in [250.0, -180.0] {
            let raised = glider.raised_by(by);
            assert!((raised.tas_mps(300.0) / glider.tas_mps(300.0 + by) - 1.0).abs() < 2e-3);
            let same = KNOT_SPACING_M;
            let (a, b) = (raised.wind_at(same), glider.wind_at(same + by));
            assert!((a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9);
        }
    }

    #[test]
    fn radius_and_cost_of_the_reference_aeroplane() {
        let glider = reference(&WindProfile::default());
        assert!((glider.radius_m(30f64.to_radians(), 0.0) - 216.1).abs() < 0.05);
        // height lost in a full circle at 15, 30, 45 degrees: 1105, 578, 429 ft (worked by hand)
        for (bank, lost_ft) in [(15f64, 1105.0), (30.0, 578.0), (45.0, 429.0)] {
            let b = bank.to_radians();
            let lost = std::f64::consts::TAU * glider.radius_m(b, 0.0) * glider.turn_cost(b) / 9.0;
            assert!(
                (lost / M_PER_FT - lost_ft).abs() < 1.0,
                "{bank}: {}",
                lost / M_PER_FT
            );
        }
    }

    #[test]
    fn true_airspeed_grows_with_height_as_in_the_standard_atmosphere() {
        let glider = reference(&WindProfile::default());
        for (height_ft, ratio) in [(1000.0, 1.014790), (3000.0, 1.045350), (5000.0, 1.077282)] {
            let found = glider.tas_mps(height_ft * M_PER_FT) / glider.cas_mps;
            assert!((found - ratio).abs() < 1.5e-3, "{found}");
        }
    }

    #[test]
    fn speed_is_worth_a_little_less_than_its_energy() {
        let glider = reference(&WindProfile::default());
        let fast = 100.0 * MPS_PER_KT;
        let energy = (fast * fast - glider.cas_mps.powi(2)) / (2.0 * G0_MPS2);
        let worth = glider.speed_worth_m(fast, 0.0);
        assert!(worth < energy && worth > 0.85 * energy);
        assert!(glider.speed_worth_m(glider.cas_mps, 0.0).abs() < 1e-9);
        assert!(glider.speed_worth_m(0.9 * glider.cas_mps, 0.0) < 0.0);
    }
}
