//! Whitening of residuals whose noise remembers.
//!
//! The noise along a chain of instants is the sum of Ornstein–Uhlenbeck processes, a slow drift
//! of the wind seen along the flight direction, and white noise. Running its Kalman filter over
//! any column (residuals, or a column of the Jacobian) and dividing the innovations by their
//! standard deviation whitens the column, at a cost linear in time.

use crate::flight_path::singer::ornstein_uhlenbeck;

/// The noise of one chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChainNoise {
    /// Standard deviation and correlation time of a smooth process (Matérn 3/2: it has a rate), m/s and s: airspeed in a
    /// pilot's hands, which inertia keeps from jumping.
    pub smooth: (f64, f64),
    /// Standard deviation and correlation time of the slow process, m/s and s.
    pub slow: (f64, f64),
    /// The same of the fast process (gusts).
    pub fast: (f64, f64),
    /// White standard deviation, m/s.
    pub white_mps: f64,
    /// Variance per second of the wind's drift in time, m²/s³.
    pub drift_m2ps3: f64,
    /// Variance of that drift at the chain's start, m²/s²: zero where the chain touches the glide.
    pub drift_start_m2ps2: f64,
}

/// Columns that are whitened together: as many as fit into the registers of any machine.
pub const LANES: usize = 4;
/// Values of one row, [`LANES`] columns at a time; what is left over is zero.
pub type Block = [f64; LANES];

/// How many blocks hold so many columns.
pub fn blocks(columns: usize) -> usize {
    columns.div_ceil(LANES)
}

/// Whitens rows of `blocks` blocks each and gives them to `each`, one after the other; `t_s` strictly monotonic (either
/// way), `heading` the unit vector through the air at each row. Returns the sum of log innovation variances.
pub fn whiten(
    noise: &ChainNoise,
    t_s: &[f64],
    heading: &[[f64; 2]],
    (rows, blocks): (&[Block], usize),
    each: impl FnMut(&[Block]),
) -> f64 {
    let all = (t_s, heading, rows, blocks.max(1));
    // states whose noise is zero stay zero: they are not carried along
    let single = noise.single();
    let smooth = noise.smooth.0 > 0.0;
    match (single.len(), smooth) {
        (0, false) => run::<0, false>(noise, &single, all, each),
        (1, false) => run::<1, false>(noise, &single, all, each),
        (2, false) => run::<2, false>(noise, &single, all, each),
        (3, false) => run::<3, false>(noise, &single, all, each),
        (_, false) => run::<4, false>(noise, &single, all, each),
        (0, true) => run::<2, true>(noise, &single, all, each),
        (1, true) => run::<3, true>(noise, &single, all, each),
        (2, true) => run::<4, true>(noise, &single, all, each),
        (3, true) => run::<5, true>(noise, &single, all, each),
        (_, true) => run::<6, true>(noise, &single, all, each),
    }
}

/// Whitens `columns[column][row]` in place; the rest as in [`whiten`].
pub fn whiten_columns(
    noise: &ChainNoise,
    t_s: &[f64],
    heading: &[[f64; 2]],
    columns: &mut [Vec<f64>],
) -> f64 {
    let blocks = blocks(columns.len());
    let mut rows = vec![[0.0; LANES]; blocks * t_s.len()];
    for (c, column) in columns.iter().enumerate() {
        for (row, value) in rows.chunks_exact_mut(blocks).zip(column) {
            row[c / LANES][c % LANES] = *value;
        }
    }
    let mut k = 0;
    whiten(noise, t_s, heading, (&rows, blocks), |row| {
        for (c, column) in columns.iter_mut().enumerate() {
            column[k] = row[c / LANES][c % LANES];
        }
        k += 1;
    })
}

/// [`whiten`] for `N` states: single ones, and, where there is a smooth process, its value and rate as the last two.
fn run<const N: usize, const SMOOTH: bool>(
    noise: &ChainNoise,
    single: &[Single],
    (t_s, heading, rows, blocks): (&[f64], &[[f64; 2]], &[Block], usize),
    mut each: impl FnMut(&[Block]),
) -> f64 {
    let mut p = [[0.0; N]; N];
    for (i, one) in single.iter().enumerate() {
        p[i][i] = one.start_variance;
    }
    if SMOOTH {
        p[N - 2][N - 2] = noise.smooth.0.powi(2);
        p[N - 1][N - 1] = noise.smooth.0.powi(2) * 3.0 / noise.smooth.1.powi(2);
    }
    let mut states = vec![[[0.0; LANES]; N]; blocks];
    let mut whitened = vec![[0.0; LANES]; blocks];
    let white = noise.white_mps.powi(2);
    let mut log_sum = 0.0;
    let mut step: Step<N> = Step::still();
    for (k, row) in rows.chunks_exact(blocks).enumerate() {
        if k > 0 {
            let dt_s = (t_s[k] - t_s[k - 1]).abs();
            if step.dt_s.is_nan() || (step.dt_s - dt_s).abs() >= 1e-9 {
                step = Step::over::<SMOOTH>(noise, single, dt_s);
            }
            step.spread::<SMOOTH>(&mut p);
        }
        let mut seen = [0.0; N];
        for (i, one) in single.iter().enumerate() {
            seen[i] = match one.of {
                Process::Memory => 1.0,
                Process::Drift(axis) => -heading[k][axis],
            };
        }
        if SMOOTH {
            seen[N - 2] = 1.0;
        }
        let mut gain = [0.0; N];
        for i in 0..N {
            for j in 0..N {
                gain[i] += p[i][j] * seen[j];
            }
        }
        let mut variance = white;
        for i in 0..N {
            variance += seen[i] * gain[i];
        }
        let inverse = 1.0 / variance;
        let scale = inverse.sqrt();
        log_sum += variance.ln();
        for i in 0..N {
            for j in 0..N {
                p[i][j] -= gain[i] * gain[j] * inverse;
            }
        }
        for g in &mut gain {
            *g *= inverse;
        }
        for ((out, state), value) in whitened.iter_mut().zip(&mut states).zip(row) {
            if k > 0 {
                step.advance::<SMOOTH>(state);
            }
            let mut innovation = *value;
            for i in 0..N {
                for lane in 0..LANES {
                    innovation[lane] -= seen[i] * state[i][lane];
                }
            }
            for i in 0..N {
                for lane in 0..LANES {
                    state[i][lane] += gain[i] * innovation[lane];
                }
            }
            for lane in 0..LANES {
                out[lane] = innovation[lane] * scale;
            }
        }
        each(&whitened);
    }
    log_sum
}

/// A process of one state.
#[derive(Debug, Clone, Copy)]
struct Single {
    of: Process,
    start_variance: f64,
}

/// What the state of a process is.
#[derive(Debug, Clone, Copy)]
enum Process {
    /// An airspeed or a power that forgets itself.
    Memory,
    /// Drift of the wind along this axis.
    Drift(usize),
}

/// What happens to the states from one row to the next.
#[derive(Debug, Clone, Copy)]
struct Step<const N: usize> {
    dt_s: f64,
    decay: [f64; N],
    added: [f64; N],
    /// Transition of the smooth process and its rate, and the variance added.
    smooth: [[f64; 2]; 2],
    smooth_added: [[f64; 2]; 2],
}

impl ChainNoise {
    /// The processes of one state whose noise is not zero, slow before fast before drift.
    fn single(&self) -> Vec<Single> {
        let mut out = Vec::with_capacity(4);
        for (sd_mps, _) in [self.slow, self.fast] {
            if sd_mps > 0.0 {
                out.push(Single {
                    of: Process::Memory,
                    start_variance: sd_mps.powi(2),
                });
            }
        }
        if self.drift_m2ps3 > 0.0 || self.drift_start_m2ps2 > 0.0 {
            out.extend([0, 1].map(|axis| Single {
                of: Process::Drift(axis),
                start_variance: self.drift_start_m2ps2,
            }));
        }
        out
    }
}

impl<const N: usize> Step<N> {
    /// No step at all.
    fn still() -> Self {
        Step {
            dt_s: f64::NAN,
            decay: [1.0; N],
            added: [0.0; N],
            smooth: [[1.0, 0.0], [0.0, 1.0]],
            smooth_added: [[0.0; 2]; 2],
        }
    }

    fn over<const SMOOTH: bool>(noise: &ChainNoise, single: &[Single], dt_s: f64) -> Self {
        let mut out = Step {
            dt_s,
            ..Step::still()
        };
        let mut memories = [noise.slow, noise.fast]
            .into_iter()
            .filter(|(sd_mps, _)| *sd_mps > 0.0);
        for (i, one) in single.iter().enumerate() {
            (out.decay[i], out.added[i]) = match one.of {
                Process::Memory => memories.next().map_or((1.0, 0.0), |(sd, correlation_s)| {
                    ornstein_uhlenbeck(sd, correlation_s, dt_s)
                }),
                Process::Drift(_) => (1.0, noise.drift_m2ps3 * dt_s),
            };
        }
        if SMOOTH {
            // Matérn 3/2 as a state-space model: rate λ = √3/ℓ, twice (Rasmussen and Williams 2006, appendix B)
            let rate = 3f64.sqrt() / noise.smooth.1;
            let (variance, a) = (noise.smooth.0.powi(2), (-rate * dt_s).exp());
            let f = [
                [a * (1.0 + rate * dt_s), a * dt_s],
                [-a * rate * rate * dt_s, a * (1.0 - rate * dt_s)],
            ];
            let stationary = [variance, variance * rate * rate];
            for i in 0..2 {
                for j in 0..2 {
                    let carried: f64 = (0..2).map(|k| f[i][k] * stationary[k] * f[j][k]).sum();
                    let all = if i == j { stationary[i] } else { 0.0 };
                    out.smooth_added[i][j] = all - carried;
                }
            }
            out.smooth = f;
        }
        out
    }

    /// What the step makes of the states of one block of columns.
    fn advance<const SMOOTH: bool>(&self, state: &mut [Block; N]) {
        let singles = if SMOOTH { N - 2 } else { N };
        for i in 0..singles {
            for lane in 0..LANES {
                state[i][lane] *= self.decay[i];
            }
        }
        if SMOOTH {
            let f = &self.smooth;
            for lane in 0..LANES {
                let (v, r) = (state[N - 2][lane], state[N - 1][lane]);
                state[N - 2][lane] = f[0][0] * v + f[0][1] * r;
                state[N - 1][lane] = f[1][0] * v + f[1][1] * r;
            }
        }
    }

    /// What it makes of their covariance.
    fn spread<const SMOOTH: bool>(&self, p: &mut [[f64; N]; N]) {
        let singles = if SMOOTH { N - 2 } else { N };
        let f = &self.smooth;
        // rows, then columns
        for j in 0..N {
            for i in 0..singles {
                p[i][j] *= self.decay[i];
            }
            if SMOOTH {
                let (v, r) = (p[N - 2][j], p[N - 1][j]);
                p[N - 2][j] = f[0][0] * v + f[0][1] * r;
                p[N - 1][j] = f[1][0] * v + f[1][1] * r;
            }
        }
        for row in p.iter_mut() {
            for j in 0..singles {
                row[j] *= self.decay[j];
            }
            if SMOOTH {
                let (v, r) = (row[N - 2], row[N - 1]);
                row[N - 2] = f[0][0] * v + f[0][1] * r;
                row[N - 1] = f[1][0] * v + f[1][1] * r;
            }
        }
        for i in 0..singles {
            p[i][i] += self.added[i];
        }
        if SMOOTH {
            for i in 0..2 {
                for j in 0..2 {
                    p[N - 2 + i][N - 2 + j] += self.smooth_added[i][j];
                }
            }
        }
    }
}

#[cfg(test)]
#[path = "noise_chain_tests.rs"]
mod tests;
