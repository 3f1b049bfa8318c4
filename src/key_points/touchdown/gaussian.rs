//! Gaussian evidence of one side of the contact, own nuisances integrated out.

use super::rows::{Kind, Sample};

/// Shared quantities: position, speed, drag, bias GNSS, bias baro, speed lag, baro lag, contact sink.
pub(super) const SHARED: usize = 8;
/// Index of the contact sink, the last of them.
pub(super) const SINK: usize = 7;
/// Nuisances of one side at most.
const OWN: usize = 6;

/// Slow receiver errors as random walks, m per √s (3 m and 5 m standard deviation over 150 s), and baro.
const BIAS_WALK: (f64, f64, f64) = (0.35, 0.58, 0.12);
/// Correlated part of the speed noise: m/s and s.
const SPEED_WANDER: (f64, f64) = (0.04, 1.5);

/// Quadratic form `constant + ηᵀθ − θᵀΛθ/2` of the log evidence.
#[derive(Clone, Copy)]
pub(super) struct Form {
    pub(super) lambda: [[f64; SHARED]; SHARED],
    pub(super) eta: [f64; SHARED],
    pub(super) constant: f64,
}

/// Noise covariance of one side.
#[derive(Clone)]
pub(super) struct Noise {
    n: usize,
    covariance: Vec<f64>,
}

/// Its Cholesky factor.
pub(super) struct Factor {
    n: usize,
    lower: Vec<f64>,
    pub(super) log_determinant: f64,
}

impl Noise {
    pub(super) fn new(rows: &[&Sample], tau_s: f64) -> Self {
        let n = rows.len();
        let mut covariance = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                let (a, b) = (rows[i], rows[j]);
                if a.kind != b.kind {
                    continue;
                }
                let shared_s = (a.t_s - tau_s).abs().min((b.t_s - tau_s).abs());
                covariance[i * n + j] = match a.kind {
                    Kind::Position => BIAS_WALK.0 * BIAS_WALK.0 * shared_s,
                    Kind::Gnss => BIAS_WALK.1 * BIAS_WALK.1 * shared_s,
                    Kind::Baro => BIAS_WALK.2 * BIAS_WALK.2 * shared_s,
                    Kind::Speed | Kind::Climb => {
                        SPEED_WANDER.0
                            * SPEED_WANDER.0
                            * (-(a.t_s - b.t_s).abs() / SPEED_WANDER.1).exp()
                    }
                };
            }
            covariance[i * n + i] += rows[i].variance;
        }
        Noise { n, covariance }
    }

    /// Adds one independent standard normal source with the given effect on each row.
    pub(super) fn add(
        &mut self,
        rows: &[&Sample],
        since: &[f64],
        effect: impl Fn(&Sample, f64) -> f64,
    ) {
        let e: Vec<f64> = rows.iter().zip(since).map(|(s, t)| effect(s, *t)).collect();
        for i in 0..self.n {
            if e[i] != 0.0 {
                let row = &mut self.covariance[i * self.n..=i * self.n + i];
                for (c, ej) in row.iter_mut().zip(&e) {
                    *c += e[i] * ej;
                }
            }
        }
    }

    pub(super) fn factor(self) -> Option<Factor> {
        let (n, mut a) = (self.n, self.covariance);
        let mut log_determinant = 0.0;
        for i in 0..n {
            for j in 0..=i {
                let dot = dot(&a[i * n..i * n + j], &a[j * n..j * n + j]);
                let value = a[i * n + j] - dot;
                if i == j {
                    if value.is_nan() || value <= 0.0 {
                        return None;
                    }
                    a[i * n + i] = value.sqrt();
                    log_determinant += value.ln();
                } else {
                    a[i * n + j] = value / a[j * n + j];
                }
            }
        }
        Some(Factor {
            n,
            lower: a,
            log_determinant,
        })
    }
}

impl Factor {
    /// `L⁻¹ column`.
    pub(super) fn whitened(&self, column: &mut dyn Iterator<Item = f64>) -> Vec<f64> {
        let n = self.n;
        let mut z: Vec<f64> = column.take(n).collect();
        for i in 0..n {
            let dot = dot(&self.lower[i * n..i * n + i], &z[..i]);
            z[i] = (z[i] - dot) / self.lower[i * n + i];
        }
        z
    }
}

/// Dot product in four lanes: a plain sum may not be reordered, and so not be vectorised.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4
        .remainder()
        .iter()
        .zip(b4.remainder())
        .map(|(x, y)| x * y)
        .sum();
    for (x, y) in a4.zip(b4) {
        for i in 0..4 {
            lanes[i] += x[i] * y[i];
        }
    }
    rest + (lanes[0] + lanes[1]) + (lanes[2] + lanes[3])
}

/// Log evidence of whitened data as a form in the shared quantities, own nuisances integrated out.
pub(super) fn form(
    data: &[f64],
    shared: &[Vec<f64>],
    own: &[Vec<f64>],
    priors: &[(f64, f64)],
    log_determinant: f64,
) -> Form {
    let mut residual = data.to_vec();
    for (column, prior) in own.iter().zip(priors) {
        for (r, c) in residual.iter_mut().zip(column) {
            *r -= prior.0 * c;
        }
    }
    let mut lambda = [[0.0; SHARED]; SHARED];
    let mut eta = [0.0; SHARED];
    for i in 0..SHARED {
        for j in 0..=i {
            lambda[i][j] = dot(&shared[i], &shared[j]);
        }
        eta[i] = dot(&shared[i], &residual);
    }
    let mut constant = -0.5 * (dot(&residual, &residual) + log_determinant);
    // Own nuisances scaled to unit prior, then the Schur complement by their Cholesky factor.
    let mut precision = [[0.0; OWN]; OWN];
    let mut cross = [[0.0; SHARED]; OWN];
    let mut pull = [0.0; OWN];
    for a in 0..own.len() {
        for b in 0..=a {
            precision[a][b] = priors[a].1 * priors[b].1 * dot(&own[a], &own[b]);
        }
        precision[a][a] += 1.0;
        for j in 0..SHARED {
            cross[a][j] = priors[a].1 * dot(&own[a], &shared[j]);
        }
        pull[a] = priors[a].1 * dot(&own[a], &residual);
    }
    let mut lower = precision;
    for a in 0..own.len() {
        for b in 0..=a {
            let mut value = lower[a][b];
            for c in 0..b {
                value -= lower[a][c] * lower[b][c];
            }
            lower[a][b] = if a == b {
                value.max(1e-12).sqrt()
            } else {
                value / lower[b][b]
            };
        }
        constant -= lower[a][a].ln();
        for b in 0..a {
            let l = lower[a][b];
            for j in 0..SHARED {
                cross[a][j] -= l * cross[b][j];
            }
            pull[a] -= l * pull[b];
        }
        for j in 0..SHARED {
            cross[a][j] /= lower[a][a];
        }
        pull[a] /= lower[a][a];
    }
    for a in 0..own.len() {
        constant += 0.5 * pull[a] * pull[a];
        for i in 0..SHARED {
            eta[i] -= cross[a][i] * pull[a];
            for j in 0..=i {
                lambda[i][j] -= cross[a][i] * cross[a][j];
            }
        }
    }
    Form {
        lambda,
        eta,
        constant,
    }
}
