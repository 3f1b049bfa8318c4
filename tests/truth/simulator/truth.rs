//! True figures of a flight, straight from its samples.

use super::flight::{Events, Flight, G0, STEP_S, Sample};

const FT: f64 = 0.3048;
const KT: f64 = 1852.0 / 3600.0;
const FPM: f64 = FT / 60.0;

/// Angle between −180 and 180 degrees.
pub fn turn_deg(a: f64) -> f64 {
    (a + 180.0).rem_euclid(360.0) - 180.0
}

/// True averages over a stretch of time.
#[derive(Debug, Clone, Copy)]
pub struct Window {
    /// Calibrated airspeed, kt: mean, standard deviation, least and most of two-second means.
    pub cas_kt: [f64; 4],
    /// Descent over the ground, ft/min.
    pub descent_fpm: f64,
    /// Sink through the air at constant energy, ft/min.
    pub air_sink_fpm: f64,
    /// Glide ratio through the air and over the ground.
    pub ratio: [f64; 2],
    /// Mean vertical air, m/s up.
    pub vertical_air_mps: f64,
}

impl Flight {
    /// The flight at `t_s`.
    pub fn at(&self, t_s: f64) -> Sample {
        let x = (t_s / STEP_S - 1.0).clamp(0.0, (self.samples.len() - 1) as f64);
        let (i, share) = (x.floor() as usize, x.fract());
        let a = self.samples[i];
        let b = self.samples[(i + 1).min(self.samples.len() - 1)];
        let mix = |p: f64, q: f64| p + share * (q - p);
        Sample {
            t_s,
            east_m: mix(a.east_m, b.east_m),
            north_m: mix(a.north_m, b.north_m),
            height_m: mix(a.height_m, b.height_m),
            tas_mps: mix(a.tas_mps, b.tas_mps),
            cas_mps: mix(a.cas_mps, b.cas_mps),
            ..a
        }
    }

    /// Samples between two times.
    pub fn between(&self, from_s: f64, to_s: f64) -> &[Sample] {
        let n = self.samples.len();
        let from = ((from_s / STEP_S).ceil() as usize).saturating_sub(1).min(n);
        let to = ((to_s / STEP_S).floor().max(0.0) as usize).min(n);
        &self.samples[from..to.max(from)]
    }

    /// Along the landing direction and right of it, m.
    pub fn along_right_m(&self, s: &Sample) -> (f64, f64) {
        let (sin, cos) = self.plan.landing_deg.to_radians().sin_cos();
        (
            s.east_m * sin + s.north_m * cos,
            s.east_m * cos - s.north_m * sin,
        )
    }

    fn track_from_landing_deg(&self, s: &Sample) -> f64 {
        turn_deg(s.velocity_mps[0].atan2(s.velocity_mps[1]).to_degrees() - self.plan.landing_deg)
    }

    /// Averages between two times.
    pub fn window(&self, from_s: f64, to_s: f64) -> Option<Window> {
        let within = self.between(from_s, to_s);
        let seconds = to_s - from_s;
        if seconds < 10.0 || within.len() < 20 {
            return None;
        }
        let mean =
            |f: &dyn Fn(&Sample) -> f64| within.iter().map(f).sum::<f64>() / within.len() as f64;
        let cas = mean(&|s| s.cas_mps);
        let sd = mean(&|s| (s.cas_mps - cas).powi(2)).sqrt();
        let span = (2.0 / STEP_S) as usize;
        let smooth: Vec<f64> = within
            .windows(span)
            .map(|w| w.iter().map(|s| s.cas_mps).sum::<f64>() / span as f64)
            .collect();
        let (a, b) = (self.at(from_s), self.at(to_s));
        let descent = (a.height_m - b.height_m) / seconds;
        let sink = -mean(&|s| s.velocity_mps[2] - s.wind_mps[2])
            - (b.tas_mps.powi(2) - a.tas_mps.powi(2)) / (2.0 * G0 * seconds);
        let level_air =
            mean(&|s| (s.velocity_mps[0] - s.wind_mps[0]).hypot(s.velocity_mps[1] - s.wind_mps[1]));
        let level_ground = mean(&|s| s.velocity_mps[0].hypot(s.velocity_mps[1]));
        Some(Window {
            cas_kt: [
                cas / KT,
                sd / KT,
                smooth.iter().copied().fold(f64::INFINITY, f64::min) / KT,
                smooth.iter().copied().fold(f64::NEG_INFINITY, f64::max) / KT,
            ],
            descent_fpm: descent / FPM,
            air_sink_fpm: sink / FPM,
            ratio: [level_air / sink, level_ground / descent],
            vertical_air_mps: mean(&|s| s.wind_mps[2]),
        })
    }

    /// Greatest three-second mean of the bank, either way, degrees.
    pub fn bank_max_deg(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let within = self.between(from_s, to_s);
        let span = (3.0 / STEP_S) as usize;
        (within.len() > 2 * span).then(|| {
            within
                .windows(span)
                .map(|w| w.iter().map(|s| s.bank_deg.abs()).sum::<f64>() / span as f64)
                .fold(0.0, f64::max)
        })
    }

    /// Since when airspeed is within 5 kt of `best_kt` for 5 s, gusts and all, as the measure is defined.
    pub fn best_glide_held_s(&self, from_s: f64, to_s: f64, best_kt: f64) -> Option<f64> {
        let mut since: Option<f64> = None;
        let mut t = from_s;
        while t < to_s {
            if (self.at(t).cas_mps / KT - best_kt).abs() <= 5.0 {
                let start = *since.get_or_insert(t);
                if t - start >= 5.0 {
                    return Some(start);
                }
            } else {
                since = None;
            }
            t += 0.1;
        }
        None
    }

    /// Last crossing abeam the aim against the landing direction, s.
    pub fn abeam_s(&self, e: &Events, end_s: f64) -> Option<f64> {
        let within = self.between(e.reduction_s() - 30.0, end_s);
        let mut found = None;
        for w in within.windows(2) {
            let (a, b) = (self.along_right_m(&w[0]), self.along_right_m(&w[1]));
            let against = turn_deg(self.track_from_landing_deg(&w[0]) - 180.0).abs();
            if a.0 > 0.0 && b.0 <= 0.0 && a.1.abs() >= 120.0 && against < 80.0 {
                found = Some(w[0].t_s + STEP_S * a.0 / (a.0 - b.0));
            }
        }
        found
    }

    /// First time after `abeam_s` with the track 30° off the downwind.
    pub fn base_turn_s(&self, abeam_s: f64, end_s: f64) -> Option<f64> {
        self.between(abeam_s, end_s)
            .iter()
            .find(|s| turn_deg(self.track_from_landing_deg(s) - 180.0).abs() > 30.0)
            .map(|s| s.t_s)
    }

    /// Since when the track is within 15° of the landing direction to the end.
    pub fn on_final_s(&self, e: &Events, end_s: f64) -> Option<f64> {
        let mut since = None;
        for s in self.between(e.reduction_s(), end_s).iter().rev() {
            if self.track_from_landing_deg(s).abs() > 15.0 {
                break;
            }
            since = Some(s.t_s);
        }
        since.filter(|t| end_s - t > 3.0)
    }

    /// Last pass within 400 m of the aim more than 1,200 ft up before `to_s`.
    pub fn overhead_s(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let distance = |s: &Sample| s.east_m.hypot(s.north_m);
        let mut found = None;
        for w in self.between(from_s, to_s).windows(3) {
            let nearest = distance(&w[1]) <= distance(&w[0]) && distance(&w[1]) < distance(&w[2]);
            if nearest && distance(&w[1]) < 400.0 && w[1].height_m > 1200.0 * FT {
                found = Some(w[1].t_s);
            }
        }
        found
    }

    /// Least height soon after a go-around, ft.
    pub fn go_around_height_ft(&self, at_s: f64) -> f64 {
        self.between(at_s - 2.0, at_s + 15.0)
            .iter()
            .map(|s| s.height_m)
            .fold(f64::INFINITY, f64::min)
            / FT
    }

    /// Mean wind within 150 ft of a height, north and east, kt, where the glide turned enough near it to show it.
    pub fn wind_kt(&self, from_s: f64, to_s: f64, height_ft: f64) -> Option<[f64; 2]> {
        let within = self.between(from_s, to_s);
        let near = |s: &&Sample, reach_ft: f64| (s.height_m / FT - height_ft).abs() <= reach_ft;
        let mut turned = (0.0, 0.0, 0.0);
        let mut before: Option<f64> = None;
        for s in within.iter().filter(|s| near(s, 500.0)) {
            if let Some(b) = before {
                turned.0 += turn_deg(s.heading_deg - b);
                turned.1 = f64::min(turned.1, turned.0);
                turned.2 = f64::max(turned.2, turned.0);
            }
            before = Some(s.heading_deg);
        }
        let slice: Vec<&Sample> = within.iter().filter(|s| near(s, 150.0)).collect();
        if turned.2 - turned.1 < 120.0 || slice.len() < 40 {
            return None;
        }
        let mean = |axis: usize| {
            slice.iter().map(|s| s.wind_mps[axis]).sum::<f64>() / slice.len() as f64 / KT
        };
        Some([mean(1), mean(0)])
    }

    /// Height of the recorder above the aim, ft.
    pub fn height_ft(&self, t_s: f64) -> f64 {
        self.at(t_s).height_m / FT
    }
}
