//! The horizontal model: east and north, alike.
//!
//! State per axis: position, velocity, acceleration (Singer), and the receiver's slow error, which
//! is in the recorded position but not in the path.

use super::nelder_mead::minimise;
use super::singer::{Singer, ornstein_uhlenbeck};
use super::smoother::{Epoch, Kind, Model, log_likelihood};
use crate::linear_algebra::{Mat, Vector};

/// A recorded position.
pub const POSITION: Kind = 0;
/// A recorded ground velocity.
pub const VELOCITY: Kind = 1;

/// Standard deviation of the slow receiver error, m per axis.
///
/// GPS SPS Performance Standard, 5th edition (2020): global average position error within 8 m,
/// 95 %: 3.3 m per axis. Good receivers reach half of it, cockpits hide half the sky.
pub const RECEIVER_ERROR_SD_M: f64 = 3.3;
/// Correlation time of the slow receiver error, s (common practice: minutes).
pub const RECEIVER_ERROR_CORRELATION_S: f64 = 180.0;
/// Time over which the errors of recorded velocities stay alike, s.
const VELOCITY_NOISE_CORRELATION_S: f64 = 0.5;

/// Least noise of recorded velocities, m/s: a receiver's filter is not quite a pure lag, so that what it
/// smooths away in a turn is an error however smooth it looks (common practice: some cm/s).
const LEAST_VELOCITY_NOISE_MPS: f64 = 0.06;

/// Noise and motion of one recording.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizontal {
    /// Motion.
    pub motion: Singer,
    /// White position noise, m.
    pub position_noise_m: f64,
    /// Position step of the recorder, m.
    pub position_quantum_m: f64,
    /// Velocity noise, m/s.
    pub velocity_noise_mps: f64,
    /// Lag of the recorded velocity, s.
    pub velocity_lag_s: f64,
    /// Median time between fixes, s.
    pub step_s: f64,
}

impl Horizontal {
    /// What to assume before the recording has been looked at.
    pub fn assumed(position_quantum_m: f64, step_s: f64) -> Self {
        Horizontal {
            motion: Singer {
                jerk_density_m2ps5: 0.7,
                correlation_s: 4.5,
            },
            position_noise_m: 0.35,
            position_quantum_m,
            velocity_noise_mps: 0.15,
            velocity_lag_s: 0.5,
            step_s,
        }
    }

    /// The parameters that make these observations most likely, under weak priors.
    #[must_use]
    pub fn fitted(self, epochs: &[Epoch<2>], has_velocity: bool, most_evaluations: usize) -> Self {
        if epochs.len() < 30 {
            return self;
        }
        let start = start_of(epochs);
        let build = |x: &[f64]| Horizontal {
            motion: Singer {
                jerk_density_m2ps5: x[0].clamp(-7.0, 6.0).exp(),
                correlation_s: x[1].clamp(-1.0, 4.5).exp(),
            },
            position_noise_m: x[2].clamp(-4.0, 3.0).exp(),
            velocity_noise_mps: x.get(3).map_or(self.velocity_noise_mps, |v| {
                v.min(1.5).exp().max(LEAST_VELOCITY_NOISE_MPS)
            }),
            velocity_lag_s: x.get(4).map_or(self.velocity_lag_s, |v| v.clamp(-1.0, 2.5)),
            ..self
        };
        // log-normal priors (factor e^sd), and a normal one on the lag
        let prior = |x: &[f64]| {
            let mut cost = ((x[0] - 0.7f64.ln()) / 2.0).powi(2)
                + ((x[1] - 4.5f64.ln()) / 0.6).powi(2)
                + ((x[2] - 0.35f64.ln()) / 0.6).powi(2);
            if has_velocity {
                cost += ((x[3] - 0.1f64.ln()) / 0.7).powi(2) + ((x[4] - 0.5) / 0.5).powi(2);
            }
            0.5 * cost
        };
        let m = self.motion;
        let mut x0 = vec![
            m.jerk_density_m2ps5.ln(),
            m.correlation_s.ln(),
            self.position_noise_m.ln(),
        ];
        let mut step = vec![1.0, -0.4, 0.4];
        if has_velocity {
            x0.extend([self.velocity_noise_mps.ln(), self.velocity_lag_s]);
            step.extend([0.5, 0.25]);
        }
        let (x, _) = minimise(&x0, &step, most_evaluations, 0.05, |x| {
            prior(x) - log_likelihood(&build(x), epochs, start)
        });
        build(&x)
    }
}

/// Mean before anything was observed: at the first position, at rest.
pub fn start_of(epochs: &[Epoch<2>]) -> [Vector<4>; 2] {
    let mut start = [[0.0; 4]; 2];
    let first = epochs
        .iter()
        .flat_map(|e| e.observations().iter())
        .find(|o| o.kind == POSITION);
    if let Some(o) = first {
        start[0][0] = o.value[0];
        start[1][0] = o.value[1];
    }
    start
}

impl Model<4> for Horizontal {
    fn transition(&self, dt_s: f64) -> Mat<4> {
        let f = self.motion.transition(dt_s);
        let (decay, _) =
            ornstein_uhlenbeck(RECEIVER_ERROR_SD_M, RECEIVER_ERROR_CORRELATION_S, dt_s);
        let mut out = [[0.0; 4]; 4];
        for i in 0..3 {
            out[i][..3].copy_from_slice(&f[i]);
        }
        out[3][3] = decay;
        out
    }

    fn process_noise(&self, dt_s: f64, agitation: f64) -> Mat<4> {
        let q = self.motion.noise(dt_s);
        let mut out = [[0.0; 4]; 4];
        for i in 0..3 {
            for j in 0..3 {
                out[i][j] = agitation * q[i][j];
            }
        }
        out[3][3] = ornstein_uhlenbeck(RECEIVER_ERROR_SD_M, RECEIVER_ERROR_CORRELATION_S, dt_s).1;
        out
    }

    fn observation(&self, kind: Kind) -> (Vector<4>, f64) {
        if kind == POSITION {
            let variance = self.position_noise_m.powi(2) + self.position_quantum_m.powi(2) / 12.0;
            ([1.0, 0.0, 0.0, 1.0], variance)
        } else {
            let alike = (VELOCITY_NOISE_CORRELATION_S / self.step_s).max(1.0);
            (
                [0.0, 1.0, -self.velocity_lag_s, 0.0],
                self.velocity_noise_mps.powi(2) * alike,
            )
        }
    }

    fn prior_covariance(&self) -> Mat<4> {
        let mut p = [[0.0; 4]; 4];
        p[0][0] = 50.0f64.powi(2);
        p[1][1] = 60.0f64.powi(2);
        p[2][2] = 2.0f64.powi(2);
        p[3][3] = RECEIVER_ERROR_SD_M.powi(2);
        p
    }
}
