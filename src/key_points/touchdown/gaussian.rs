//! Gaussian evidence of one side of the contact, own nuisances integrated out.

use super::rows::{Kind, Sample};
use crate::linear_algebra::dot_slices;

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

impl Form {
    /// That of a side without rows.
    pub(super) fn flat() -> Self {
        Form {
            lambda: [[0.0; SHARED]; SHARED],
            eta: [0.0; SHARED],
            constant: 0.0,
        }
    }
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

    /// Adds one independent source of this variance with the given effect on each row.
    pub(super) fn add(&mut self, variance: f64, effect: &[f64]) {
        for i in 0..self.n {
            let by = variance * effect[i];
            if by != 0.0 {
                let row = &mut self.covariance[i * self.n..=i * self.n + i];
                for (c, ej) in row.iter_mut().zip(effect) {
                    *c += by * ej;
                }
            }
        }
    }

    pub(super) fn factor(&self) -> Option<Factor> {
        let (n, mut a) = (self.n, self.covariance.clone());
        let mut log_determinant = 0.0;
        for i in 0..n {
            for j in 0..=i {
                let dot = dot_slices(&a[i * n..i * n + j], &a[j * n..j * n + j]);
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

/// What each row shows of a source: one value a row.
pub(super) fn effects(
    rows: &[&Sample],
    since: &[f64],
    effect: impl Fn(&Sample, f64) -> f64,
) -> Vec<f64> {
    rows.iter().zip(since).map(|(s, t)| effect(s, *t)).collect()
}

impl Factor {
    /// `L⁻¹` times some columns, which lie side by side.
    pub(super) fn whiten<const C: usize>(&self, columns: &mut [[f64; C]]) {
        for i in 0..self.n {
            let (done, rest) = columns.split_at_mut(i);
            let value = &mut rest[0];
            for (l, z) in self.lower[i * self.n..].iter().zip(done) {
                for c in 0..C {
                    value[c] -= l * z[c];
                }
            }
            for v in value {
                *v /= self.lower[i * self.n + i];
            }
        }
    }
}

/// Products of columns that lie side by side with others.
pub(super) fn products<const A: usize, const B: usize>(
    a: &[[f64; A]],
    b: &[[f64; B]],
) -> [[f64; B]; A] {
    let mut out = [[0.0; B]; A];
    for (x, y) in a.iter().zip(b) {
        for i in 0..A {
            for j in 0..B {
                out[i][j] += x[i] * y[j];
            }
        }
    }
    out
}

/// Columns of which products are kept: the data, the shared quantities, the own nuisances.
const COLUMNS: usize = 1 + SHARED + OWN;

/// Products of the whitened columns of one side with one another: the data first, then the shared quantities, then the
/// own nuisances. Those of columns that many shapes have in common are worked out once.
#[derive(Clone)]
pub(super) struct Gram([[f64; COLUMNS]; COLUMNS]);

impl Gram {
    /// Nothing yet.
    pub(super) fn new() -> Self {
        Gram([[0.0; COLUMNS]; COLUMNS])
    }

    /// Puts in the products of columns from `row` on with columns from `column` on.
    pub(super) fn put<const A: usize, const B: usize>(
        &mut self,
        (row, column): (usize, usize),
        products: &[[f64; B]; A],
    ) {
        for (i, products) in products.iter().enumerate() {
            for (j, product) in products.iter().enumerate() {
                self.0[row + i][column + j] = *product;
                self.0[column + j][row + i] = *product;
            }
        }
    }

    /// Log evidence of the data as a form in the shared quantities, own nuisances with these priors integrated out.
    pub(super) fn form(&self, priors: &[(f64, f64)], log_determinant: f64) -> Form {
        let count = priors.len();
        let own = |a: usize| &self.0[1 + SHARED + a];
        let data = &self.0[0];
        // the residual is the data less the own nuisances at their expected values
        let with_residual = |products: &[f64; COLUMNS]| {
            let expected = priors.iter().zip(&products[1 + SHARED..]);
            products[0] - expected.map(|(prior, own)| prior.0 * own).sum::<f64>()
        };
        let mut square = with_residual(data);
        for a in 0..count {
            square -= priors[a].0 * with_residual(own(a));
        }
        let mut lambda = [[0.0; SHARED]; SHARED];
        let mut eta = [0.0; SHARED];
        for i in 0..SHARED {
            lambda[i][..=i].copy_from_slice(&self.0[1 + i][1..=1 + i]);
            eta[i] = with_residual(&self.0[1 + i]);
        }
        let mut constant = -0.5 * (square + log_determinant);
        // Own nuisances scaled to unit prior, then the Schur complement by their Cholesky factor.
        let mut lower = [[0.0; OWN]; OWN];
        let mut cross = [[0.0; SHARED]; OWN];
        let mut pull = [0.0; OWN];
        let mut determinant = 1.0;
        for a in 0..count {
            for b in 0..=a {
                let unit = if a == b { 1.0 } else { 0.0 };
                let mut value = unit + priors[a].1 * priors[b].1 * own(a)[1 + SHARED + b];
                for c in 0..b {
                    value -= lower[a][c] * lower[b][c];
                }
                lower[a][b] = if a == b {
                    value.max(1e-12).sqrt()
                } else {
                    value / lower[b][b]
                };
            }
            determinant *= lower[a][a];
            for j in 0..SHARED {
                cross[a][j] = priors[a].1 * own(a)[1 + j];
            }
            pull[a] = priors[a].1 * with_residual(own(a));
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
            constant: constant - determinant.ln(),
        }
    }
}
