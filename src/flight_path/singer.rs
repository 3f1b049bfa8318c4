//! Motion with an acceleration that wanders and forgets: the Singer model.
//!
//! Source: R. A. Singer, Estimating optimal tracking filter performance for manned maneuvering
//! targets, IEEE Trans. Aerosp. Electron. Syst. AES-6 (1970) 473–483. State: position, velocity,
//! acceleration; the acceleration is an Ornstein–Uhlenbeck process.

/// Parameters of the motion of one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Singer {
    /// Power spectral density of the driving jerk, m²/s⁵.
    pub jerk_density_m2ps5: f64,
    /// Correlation time of the acceleration, s.
    pub correlation_s: f64,
}

/// Below this step over correlation time the closed forms cancel; the series is used.
const SERIES_BELOW: f64 = 0.02;

impl Singer {
    /// Transition of (position, velocity, acceleration) over `dt_s`.
    pub fn transition(&self, dt_s: f64) -> [[f64; 3]; 3] {
        let alpha = 1.0 / self.correlation_s;
        let x = alpha * dt_s;
        let e = (-x).exp();
        let (pa, va) = if x < SERIES_BELOW {
            (dt_s * dt_s / 2.0 * (1.0 - x / 3.0), dt_s * (1.0 - x / 2.0))
        } else {
            ((x - 1.0 + e) / (alpha * alpha), (1.0 - e) / alpha)
        };
        [[1.0, dt_s, pa], [0.0, 1.0, va], [0.0, 0.0, e]]
    }

    /// Process noise over `dt_s`.
    pub fn noise(&self, dt_s: f64) -> [[f64; 3]; 3] {
        let q = self.jerk_density_m2ps5;
        let alpha = 1.0 / self.correlation_s;
        let x = alpha * dt_s;
        let (pp, pv, pa, vv, va, aa) = if x < SERIES_BELOW {
            let t = dt_s;
            (
                t.powi(5) / 20.0,
                t.powi(4) / 8.0,
                t.powi(3) / 6.0,
                t.powi(3) / 3.0,
                t * t / 2.0,
                t,
            )
        } else {
            let e = (-x).exp();
            let e2 = (-2.0 * x).exp();
            (
                (1.0 - e2 + 2.0 * x + 2.0 * x.powi(3) / 3.0 - 2.0 * x * x - 4.0 * x * e)
                    / (2.0 * alpha.powi(5)),
                (e2 + 1.0 - 2.0 * e + 2.0 * x * e - 2.0 * x + x * x) / (2.0 * alpha.powi(4)),
                (1.0 - e2 - 2.0 * x * e) / (2.0 * alpha.powi(3)),
                (4.0 * e - 3.0 - e2 + 2.0 * x) / (2.0 * alpha.powi(3)),
                (e2 + 1.0 - 2.0 * e) / (2.0 * alpha.powi(2)),
                (1.0 - e2) / (2.0 * alpha),
            )
        };
        [
            [q * pp, q * pv, q * pa],
            [q * pv, q * vv, q * va],
            [q * pa, q * va, q * aa],
        ]
    }
}

/// Decay over `dt_s` and noise variance of an Ornstein–Uhlenbeck process of standard deviation
/// `sd` and correlation time `correlation_s`.
pub fn ornstein_uhlenbeck(sd: f64, correlation_s: f64, dt_s: f64) -> (f64, f64) {
    let decay = (-dt_s / correlation_s).exp();
    (decay, sd * sd * (1.0 - decay * decay))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_and_closed_form_meet() {
        let s = Singer {
            jerk_density_m2ps5: 1.0,
            correlation_s: 10.0,
        };
        let (below, above) = (s.noise(0.1999), s.noise(0.2001));
        for i in 0..3 {
            for j in 0..3 {
                let (b, a) = (below[i][j], above[i][j]);
                assert!((a - b).abs() < 0.03 * b.abs(), "{i}{j}: {b} {a}");
            }
        }
    }

    #[test]
    fn two_half_steps_make_one() {
        let s = Singer {
            jerk_density_m2ps5: 0.7,
            correlation_s: 3.0,
        };
        let (f, q) = (s.transition(0.5), s.noise(0.5));
        let (f1, q1) = (s.transition(1.0), s.noise(1.0));
        for i in 0..3 {
            for j in 0..3 {
                let ff: f64 = (0..3).map(|k| f[i][k] * f[k][j]).sum();
                assert!((ff - f1[i][j]).abs() < 1e-12);
                let mut fqf = q[i][j];
                for a in 0..3 {
                    for b in 0..3 {
                        fqf += f[i][a] * q[a][b] * f[j][b];
                    }
                }
                assert!((fqf - q1[i][j]).abs() < 1e-9, "{i}{j}");
            }
        }
    }
}
