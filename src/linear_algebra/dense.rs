//! A symmetric system of a size known when the program runs.

use std::ops::{Index, IndexMut};

/// A square matrix whose size is known when the program runs; meant for up to some sixty rows.
///
/// # Example
/// ```
/// use stillprop::linear_algebra::Dense;
/// let mut a = Dense::identity(2);
/// a[(0, 0)] = 4.0;
/// assert_eq!(a.solve(&[8.0, 3.0]), Some(vec![2.0, 3.0]));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Dense {
    /// Number of rows and of columns.
    pub n: usize,
    /// Elements by rows, `n`·`n` of them.
    pub data: Vec<f64>,
}

impl Index<(usize, usize)> for Dense {
    type Output = f64;
    fn index(&self, (row, column): (usize, usize)) -> &f64 {
        &self.data[row * self.n + column]
    }
}

impl IndexMut<(usize, usize)> for Dense {
    fn index_mut(&mut self, (row, column): (usize, usize)) -> &mut f64 {
        &mut self.data[row * self.n + column]
    }
}

impl Dense {
    /// All zeros.
    pub fn zero(n: usize) -> Self {
        Dense {
            n,
            data: vec![0.0; n * n],
        }
    }

    /// Ones on the diagonal.
    pub fn identity(n: usize) -> Self {
        let mut out = Dense::zero(n);
        for i in 0..n {
            out[(i, i)] = 1.0;
        }
        out
    }

    /// Adds weight·v·vᵀ: one observation of a least-squares fit. Zeros in `v` cost nothing.
    pub fn add_outer(&mut self, weight: f64, v: &[f64]) {
        for i in 0..self.n {
            let factor = weight * v[i];
            if factor != 0.0 {
                for j in 0..self.n {
                    self[(i, j)] += factor * v[j];
                }
            }
        }
    }

    /// A·x.
    pub fn multiply_vector(&self, x: &[f64]) -> Vec<f64> {
        self.data
            .chunks_exact(self.n.max(1))
            .map(|row| dot_slices(row, x))
            .collect()
    }

    /// Lower L with L·Lᵀ = A, or nothing where A is not positive definite. Only the lower half of A is read.
    pub fn cholesky(&self) -> Option<Dense> {
        let n = self.n;
        let mut lower = Dense::zero(n);
        for i in 0..n {
            for j in 0..=i {
                let (row_i, row_j) = (&lower.data[i * n..i * n + j], &lower.data[j * n..j * n + j]);
                let sum = self[(i, j)] - dot_slices(row_i, row_j);
                if i == j {
                    if !(sum > 0.0 && sum.is_finite()) {
                        return None;
                    }
                    lower[(i, i)] = sum.sqrt();
                } else {
                    lower[(i, j)] = sum / lower[(j, j)];
                }
            }
        }
        Some(lower)
    }

    /// As a lower L: x with L·x = b.
    pub fn solve_lower(&self, b: &[f64]) -> Vec<f64> {
        let mut x = b.to_vec();
        for i in 0..self.n {
            let row = &self.data[i * self.n..i * self.n + i];
            x[i] = (x[i] - dot_slices(row, &x[..i])) / self[(i, i)];
        }
        x
    }

    /// As a lower L: x with Lᵀ·x = b. Turns independent unit draws into draws of the inverse of L·Lᵀ.
    pub fn solve_lower_transposed(&self, b: &[f64]) -> Vec<f64> {
        let mut x = b.to_vec();
        for i in (0..self.n).rev() {
            x[i] /= self[(i, i)];
            for k in 0..i {
                x[k] -= self[(i, k)] * x[i];
            }
        }
        x
    }

    /// As a lower L: x with L·Lᵀ·x = b.
    pub fn solve_cholesky(&self, b: &[f64]) -> Vec<f64> {
        self.solve_lower_transposed(&self.solve_lower(b))
    }

    /// As a lower L: L·x. Turns independent unit draws into draws of L·Lᵀ.
    pub fn multiply_lower(&self, x: &[f64]) -> Vec<f64> {
        (0..self.n)
            .map(|i| dot_slices(&self.data[i * self.n..=i * self.n + i], &x[..=i]))
            .collect()
    }

    /// As a lower L: logarithm of the determinant of L·Lᵀ.
    pub fn log_determinant_of_cholesky(&self) -> f64 {
        (0..self.n).map(|i| 2.0 * self[(i, i)].ln()).sum()
    }

    /// x with A·x = b of a symmetric positive definite A, or nothing.
    pub fn solve(&self, b: &[f64]) -> Option<Vec<f64>> {
        Some(self.cholesky()?.solve_cholesky(b))
    }

    /// A⁻¹ of a symmetric positive definite A, exactly symmetric, or nothing.
    pub fn inverse(&self) -> Option<Dense> {
        let n = self.n;
        let lower = self.cholesky()?;
        let mut out = Dense::zero(n);
        let mut unit = vec![0.0; n];
        for j in 0..n {
            unit[j] = 1.0;
            let column = lower.solve_cholesky(&unit);
            unit[j] = 0.0;
            for i in j..n {
                out[(i, j)] = column[i];
                out[(j, i)] = column[i];
            }
        }
        Some(out)
    }
}

/// xᵀ·y of two slices of one length, in four lanes: a plain sum may not be reordered, and so not be vectorised.
pub fn dot_slices(x: &[f64], y: &[f64]) -> f64 {
    let (x4, x_rest) = x.as_chunks::<4>();
    let (y4, y_rest) = y.as_chunks::<4>();
    let mut lanes = [0.0; 4];
    for (a, b) in x4.iter().zip(y4) {
        for i in 0..4 {
            lanes[i] += a[i] * b[i];
        }
    }
    let rest: f64 = x_rest.iter().zip(y_rest).map(|(a, b)| a * b).sum();
    rest + (lanes[0] + lanes[1]) + (lanes[2] + lanes[3])
}
