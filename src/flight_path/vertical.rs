//! The vertical model: every source of height in one filter, so that they weigh themselves.
//!
//! State: height above the aim, climb, vertical acceleration (Singer), slow GNSS error, constant
//! GNSS datum error, slow pressure error, constant pressure error (QNH, instrument).

use super::nelder_mead::minimise;
use super::singer::{Singer, ornstein_uhlenbeck};
use super::smoother::{Epoch, Kind, Model, log_likelihood};
use crate::linear_algebra::{Mat, Vector};

/// GNSS height above the aim.
pub const GNSS_HEIGHT: Kind = 0;
/// Pressure height above the aim.
pub const PRESSURE_HEIGHT: Kind = 1;
/// Recorded vertical speed.
pub const CLIMB: Kind = 2;
/// Standing or rolling on the field.
pub const ON_GROUND: Kind = 3;

/// Height of the recorder above the ground when parked, m (common practice: seat height of a light single).
pub const PARKED_HEIGHT_M: f64 = 1.2;
/// Doubt of the ground under a rolling aeroplane against the aim's elevation, m: slope of the field, seat height.
const GROUND_SD_M: f64 = 1.0;
/// Slow GNSS height error, m and s: about twice the horizontal one (GPS SPS PS, 5th edition: 13 m against 8 m, 95 %).
pub(super) const GNSS_ERROR: (f64, f64) = (5.0, 180.0);
/// Slow pressure error, m and s: static source with speed and attitude, drifting pressure.
const PRESSURE_ERROR: (f64, f64) = (4.0, 400.0);

/// Recorded vertical speeds are filtered inside the recorder, unknown how: their errors last this long, s.
const CLIMB_NOISE_CORRELATION_S: f64 = 3.0;

/// Noise and motion of one recording, and what is doubted about its datums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertical {
    /// Motion.
    pub motion: Singer,
    /// White GNSS height noise, m.
    pub gnss_noise_m: f64,
    /// GNSS altitude step, m.
    pub gnss_quantum_m: f64,
    /// White pressure height noise, m.
    pub pressure_noise_m: f64,
    /// Pressure altitude step, m.
    pub pressure_quantum_m: f64,
    /// Lag of the pressure height, s.
    pub pressure_lag_s: f64,
    /// Noise of the recorded vertical speed, m/s.
    pub climb_noise_mps: f64,
    /// Standard deviation of the constant GNSS datum error, m.
    pub gnss_datum_sd_m: f64,
    /// Standard deviation of the constant pressure error, m.
    pub pressure_datum_sd_m: f64,
    /// Median time between fixes, s.
    pub step_s: f64,
}

impl Vertical {
    /// What to assume before the recording has been looked at.
    pub fn assumed(gnss_quantum_m: f64, pressure_quantum_m: f64, step_s: f64) -> Self {
        Vertical {
            motion: Singer {
                jerk_density_m2ps5: 0.5,
                correlation_s: 3.0,
            },
            gnss_noise_m: 0.7,
            gnss_quantum_m,
            pressure_noise_m: 0.5,
            pressure_quantum_m,
            pressure_lag_s: 0.8,
            climb_noise_mps: 0.4,
            gnss_datum_sd_m: 2.0,
            pressure_datum_sd_m: 8.4,
            step_s,
        }
    }

    /// The parameters that make these observations most likely, under weak priors.
    #[must_use]
    pub fn fitted(self, epochs: &[Epoch<1>], has_pressure: bool, most_evaluations: usize) -> Self {
        if epochs.len() < 30 {
            return self;
        }
        let start = [[0.0; 7]];
        let build = |x: &[f64]| Vertical {
            motion: Singer {
                jerk_density_m2ps5: x[0].clamp(-7.0, 5.0).exp(),
                ..self.motion
            },
            gnss_noise_m: x[1].clamp(-3.0, 2.5).exp(),
            pressure_noise_m: x
                .get(2)
                .map_or(self.pressure_noise_m, |v| v.clamp(-4.0, 2.0).exp()),
            pressure_lag_s: x.get(3).map_or(self.pressure_lag_s, |v| v.clamp(-0.5, 3.5)),
            ..self
        };
        let prior = |x: &[f64]| {
            let mut cost =
                ((x[0] - 0.5f64.ln()) / 2.0).powi(2) + ((x[1] - 0.7f64.ln()) / 0.7).powi(2);
            if has_pressure {
                cost += ((x[2] - 0.4f64.ln()) / 0.8).powi(2) + ((x[3] - 1.0) / 0.6).powi(2);
            }
            0.5 * cost
        };
        let mut x0 = vec![self.motion.jerk_density_m2ps5.ln(), self.gnss_noise_m.ln()];
        let mut step = vec![1.0, 0.4];
        if has_pressure {
            x0.extend([self.pressure_noise_m.ln(), self.pressure_lag_s]);
            step.extend([-0.4, 0.5]);
        }
        let (x, _) = minimise(&x0, &step, most_evaluations, 0.05, |x| {
            prior(x) - log_likelihood(&build(x), epochs, start)
        });
        build(&x)
    }
}

impl Model<7> for Vertical {
    fn transition(&self, dt_s: f64) -> Mat<7> {
        let f = self.motion.transition(dt_s);
        let mut out = [[0.0; 7]; 7];
        for i in 0..3 {
            out[i][..3].copy_from_slice(&f[i]);
        }
        out[3][3] = ornstein_uhlenbeck(GNSS_ERROR.0, GNSS_ERROR.1, dt_s).0;
        out[4][4] = 1.0;
        out[5][5] = ornstein_uhlenbeck(PRESSURE_ERROR.0, PRESSURE_ERROR.1, dt_s).0;
        out[6][6] = 1.0;
        out
    }

    fn process_noise(&self, dt_s: f64, agitation: f64) -> Mat<7> {
        let q = self.motion.noise(dt_s);
        let mut out = [[0.0; 7]; 7];
        for i in 0..3 {
            for j in 0..3 {
                out[i][j] = agitation * q[i][j];
            }
        }
        out[3][3] = ornstein_uhlenbeck(GNSS_ERROR.0, GNSS_ERROR.1, dt_s).1;
        out[5][5] = ornstein_uhlenbeck(PRESSURE_ERROR.0, PRESSURE_ERROR.1, dt_s).1;
        out
    }

    fn observation(&self, kind: Kind) -> (Vector<7>, f64) {
        // noise of receivers and sensors is smoothed inside them: fixes closer than half a second share it
        let alike = (0.5 / self.step_s).max(1.0);
        match kind {
            GNSS_HEIGHT => (
                [1.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0],
                alike * (self.gnss_noise_m.powi(2) + self.gnss_quantum_m.powi(2) / 12.0),
            ),
            PRESSURE_HEIGHT => (
                [1.0, -self.pressure_lag_s, 0.0, 0.0, 0.0, 1.0, 1.0],
                alike * (self.pressure_noise_m.powi(2) + self.pressure_quantum_m.powi(2) / 12.0),
            ),
            CLIMB => {
                let alike = (CLIMB_NOISE_CORRELATION_S / self.step_s).max(1.0);
                (
                    [0.0, 1.0, -0.5, 0.0, 0.0, 0.0, 0.0],
                    alike * self.climb_noise_mps.powi(2),
                )
            }
            _ => ([1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0], GROUND_SD_M.powi(2)),
        }
    }

    fn prior_covariance(&self) -> Mat<7> {
        let sd = [
            1500.0,
            15.0,
            1.5,
            GNSS_ERROR.0,
            self.gnss_datum_sd_m,
            PRESSURE_ERROR.0,
            self.pressure_datum_sd_m,
        ];
        let mut p = [[0.0; 7]; 7];
        for i in 0..7 {
            p[i][i] = sd[i] * sd[i];
        }
        p
    }
}
