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

/// Whitens `columns[column][row]` in place; `t_s` strictly monotonic (either way), `heading` the unit vector through
/// the air at each row. Returns the sum of log innovation variances.
pub fn whiten(
    noise: &ChainNoise,
    t_s: &[f64],
    heading: &[[f64; 2]],
    columns: &mut [Vec<f64>],
) -> f64 {
    let width = columns.len();
    let mut data: Vec<f64> = (0..t_s.len())
        .flat_map(|row| columns.iter().map(move |c| c[row]))
        .collect();
    let log_sum = whiten_rows(noise, t_s, heading, &mut data, width);
    for (row, values) in data.chunks_exact(width).enumerate() {
        for (column, value) in columns.iter_mut().zip(values) {
            column[row] = *value;
        }
    }
    log_sum
}

/// [`whiten`] for rows of `data`, each `width` long.
pub fn whiten_rows(
    noise: &ChainNoise,
    t_s: &[f64],
    heading: &[[f64; 2]],
    data: &mut [f64],
    width: usize,
) -> f64 {
    // only the states whose noise is not zero: the order is slow, fast, drift east and north, smooth and its rate
    let mut kept: Vec<usize> = vec![0, 1];
    if noise.drift_m2ps3 > 0.0 || noise.drift_start_m2ps2 > 0.0 {
        kept.extend([2, 3]);
    }
    if noise.smooth.0 > 0.0 {
        kept.extend([4, 5]);
    }
    let mut p = noise.start();
    let mut state = vec![0.0; N * width];
    let mut innovation = vec![0.0; width];
    let white = noise.white_mps.powi(2);
    let mut log_sum = 0.0;
    let mut last_step = None;
    for (k, row) in data.chunks_exact_mut(width).enumerate() {
        if k > 0 {
            let dt = (t_s[k] - t_s[k - 1]).abs();
            let step = match last_step {
                Some(step @ Step { dt_s, .. }) if (dt_s - dt).abs() < 1e-9 => step,
                _ => noise.step(dt),
            };
            last_step = Some(step);
            step.advance(&mut p, &mut state, width, &kept);
        }
        let seen = [1.0, 1.0, -heading[k][0], -heading[k][1], 1.0, 0.0];
        let mut gain = [0.0; N];
        for &i in &kept {
            gain[i] = kept.iter().map(|&j| p[i][j] * seen[j]).sum();
        }
        let variance = kept.iter().map(|&i| seen[i] * gain[i]).sum::<f64>() + white;
        let inverse = 1.0 / variance;
        let scale = inverse.sqrt();
        log_sum += variance.ln();
        innovation.copy_from_slice(row);
        for &i in &kept {
            for (v, s) in innovation.iter_mut().zip(&state[i * width..]) {
                *v -= seen[i] * s;
            }
        }
        for &i in &kept {
            let g = gain[i] * inverse;
            for (s, v) in state[i * width..(i + 1) * width]
                .iter_mut()
                .zip(&innovation)
            {
                *s += g * v;
            }
        }
        for (r, v) in row.iter_mut().zip(&innovation) {
            *r = v * scale;
        }
        for &i in &kept {
            for &j in &kept {
                p[i][j] -= gain[i] * gain[j] * inverse;
            }
        }
    }
    log_sum
}

const N: usize = 6;

/// What happens to the states from one row to the next.
#[derive(Debug, Clone, Copy)]
struct Step {
    dt_s: f64,
    decay: [f64; 4],
    added: [f64; 4],
    /// Transition of the smooth process and its rate, and the variance added.
    smooth: [[f64; 2]; 2],
    smooth_added: [[f64; 2]; 2],
}

impl ChainNoise {
    fn start(&self) -> [[f64; N]; N] {
        let mut p = [[0.0; N]; N];
        p[0][0] = self.slow.0.powi(2);
        p[1][1] = self.fast.0.powi(2);
        p[2][2] = self.drift_start_m2ps2;
        p[3][3] = self.drift_start_m2ps2;
        p[4][4] = self.smooth.0.powi(2);
        p[5][5] = self.smooth.0.powi(2) * 3.0 / self.smooth.1.powi(2);
        p
    }

    fn step(&self, dt_s: f64) -> Step {
        let (slow, slow_added) = ornstein_uhlenbeck(self.slow.0, self.slow.1, dt_s);
        let (fast, fast_added) = ornstein_uhlenbeck(self.fast.0, self.fast.1, dt_s);
        let drift = self.drift_m2ps3 * dt_s;
        // Matérn 3/2 as a state-space model: rate λ = √3/ℓ, twice (Rasmussen and Williams 2006, appendix B)
        let rate = 3f64.sqrt() / self.smooth.1;
        let (variance, a) = (self.smooth.0.powi(2), (-rate * dt_s).exp());
        let f = [
            [a * (1.0 + rate * dt_s), a * dt_s],
            [-a * rate * rate * dt_s, a * (1.0 - rate * dt_s)],
        ];
        let stationary = [variance, variance * rate * rate];
        let mut smooth_added = [[0.0; 2]; 2];
        for i in 0..2 {
            for j in 0..2 {
                let carried: f64 = (0..2).map(|k| f[i][k] * stationary[k] * f[j][k]).sum();
                let all = if i == j { stationary[i] } else { 0.0 };
                smooth_added[i][j] = all - carried;
            }
        }
        Step {
            dt_s,
            decay: [slow, fast, 1.0, 1.0],
            added: [slow_added, fast_added, drift, drift],
            smooth: f,
            smooth_added,
        }
    }
}

impl Step {
    fn advance(&self, p: &mut [[f64; N]; N], state: &mut [f64], width: usize, kept: &[usize]) {
        for i in 0..2 {
            for s in &mut state[i * width..(i + 1) * width] {
                *s *= self.decay[i];
            }
        }
        let (_, smooth) = state.split_at_mut(4 * width);
        let (value, rate) = smooth.split_at_mut(width);
        let f = &self.smooth;
        if kept.contains(&4) {
            for (v, r) in value.iter_mut().zip(rate) {
                (*v, *r) = (f[0][0] * *v + f[0][1] * *r, f[1][0] * *v + f[1][1] * *r);
            }
        }
        // rows, then columns
        for _ in 0..2 {
            for &j in kept {
                for i in 0..4 {
                    p[i][j] *= self.decay[i];
                }
                let (v, r) = (p[4][j], p[5][j]);
                p[4][j] = f[0][0] * v + f[0][1] * r;
                p[5][j] = f[1][0] * v + f[1][1] * r;
            }
            *p = transposed(p);
        }
        for i in 0..4 {
            p[i][i] += self.added[i];
        }
        for i in 0..2 {
            for j in 0..2 {
                p[4 + i][4 + j] += self.smooth_added[i][j];
            }
        }
    }
}

fn transposed(p: &[[f64; N]; N]) -> [[f64; N]; N] {
    let mut out = [[0.0; N]; N];
    for (i, row) in p.iter().enumerate() {
        for (j, value) in row.iter().enumerate() {
            out[j][i] = *value;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::linear_algebra::Dense;

    #[test]
    fn agrees_with_the_dense_covariance() {
        let noise = ChainNoise {
            smooth: (1.5, 8.0),
            slow: (2.0, 12.0),
            fast: (0.4, 3.0),
            white_mps: 0.15,
            drift_m2ps3: 0.0,
            drift_start_m2ps2: 0.0,
        };
        let t = [0.0, 1.0, 2.5, 4.0, 9.0];
        let y = [0.3, -1.0, 0.8, 2.0, -0.2];
        let mut columns = vec![y.to_vec()];
        let log_sum = whiten(&noise, &t, &[[1.0, 0.0]; 5], &mut columns);
        let quadratic: f64 = columns[0].iter().map(|x| x * x).sum();
        let mut c = Dense::zero(5);
        for i in 0..5 {
            for j in 0..5 {
                let dt = f64::abs(t[i] - t[j]);
                let value = 4.0 * (-dt / 12.0).exp()
                    + 0.16 * (-dt / 3.0).exp()
                    + 2.25 * (1.0 + 3f64.sqrt() * dt / 8.0) * (-3f64.sqrt() * dt / 8.0).exp()
                    + if i == j { 0.0225 } else { 0.0 };
                c.data[i * 5 + j] = value;
            }
        }
        let l = c.cholesky().unwrap();
        let z = l.solve_lower(&y);
        assert!((quadratic - z.iter().map(|x| x * x).sum::<f64>()).abs() < 1e-9);
        assert!((log_sum - l.log_determinant_of_cholesky()).abs() < 1e-9);
    }
}
