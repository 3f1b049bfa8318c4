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

const N: usize = 4;

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
    let mut p = [[0.0; N]; N];
    p[0][0] = noise.slow.0.powi(2);
    p[1][1] = noise.fast.0.powi(2);
    p[2][2] = noise.drift_start_m2ps2;
    p[3][3] = noise.drift_start_m2ps2;
    // without drift the last two states stay zero
    let states = if noise.drift_m2ps3 > 0.0 || noise.drift_start_m2ps2 > 0.0 {
        N
    } else {
        2
    };
    let mut state = vec![0.0; N * width];
    let mut innovation = vec![0.0; width];
    let white = noise.white_mps.powi(2);
    let mut log_sum = 0.0;
    for (k, row) in data.chunks_exact_mut(width).enumerate() {
        if k > 0 {
            let dt = (t_s[k] - t_s[k - 1]).abs();
            let (d0, q0) = ornstein_uhlenbeck(noise.slow.0, noise.slow.1, dt);
            let (d1, q1) = ornstein_uhlenbeck(noise.fast.0, noise.fast.1, dt);
            let decay = [d0, d1, 1.0, 1.0];
            for i in 0..states {
                for j in 0..states {
                    p[i][j] *= decay[i] * decay[j];
                }
            }
            p[0][0] += q0;
            p[1][1] += q1;
            p[2][2] += noise.drift_m2ps3 * dt;
            p[3][3] += noise.drift_m2ps3 * dt;
            for i in 0..2 {
                for s in &mut state[i * width..(i + 1) * width] {
                    *s *= decay[i];
                }
            }
        }
        let seen = [1.0, 1.0, -heading[k][0], -heading[k][1]];
        let mut gain = [0.0; N];
        for i in 0..states {
            gain[i] = (0..states).map(|j| p[i][j] * seen[j]).sum();
        }
        let variance = (0..states).map(|i| seen[i] * gain[i]).sum::<f64>() + white;
        let inverse = 1.0 / variance;
        let scale = inverse.sqrt();
        log_sum += variance.ln();
        innovation.copy_from_slice(row);
        for i in 0..states {
            for (v, s) in innovation.iter_mut().zip(&state[i * width..]) {
                *v -= seen[i] * s;
            }
        }
        for i in 0..states {
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
        for i in 0..states {
            for j in i..states {
                let value = p[i][j] - gain[i] * gain[j] * inverse;
                p[i][j] = value;
                p[j][i] = value;
            }
        }
    }
    log_sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::linear_algebra::Dense;

    #[test]
    fn agrees_with_the_dense_covariance() {
        let noise = ChainNoise {
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
