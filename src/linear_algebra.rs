//! Small matrices: plain arrays for the filters, one flat buffer for the fits.
//!
//! The filters use matrices of 3 to 12 rows known at compile time, some
//! hundred thousand times a recording: plain arrays, on the stack, unrolled by
//! the compiler. The fits (wind and airspeed) solve one symmetric system of up
//! to some sixty unknowns at a time: [`Dense`].

use std::ops::{Index, IndexMut};

/// A square matrix, by rows.
pub type Mat<const N: usize> = [[f64; N]; N];
/// A column of numbers.
pub type Vector<const N: usize> = [f64; N];

/// Least share of a diagonal element that [`cholesky_semidefinite`] keeps as pivot.
pub const LEAST_PIVOT_SHARE: f64 = 1e-13;

/// All zeros.
#[inline]
pub fn zero<const N: usize>() -> Mat<N> {
    [[0.0; N]; N]
}

/// Ones on the diagonal.
#[inline]
pub fn identity<const N: usize>() -> Mat<N> {
    diagonal(&[1.0; N])
}

/// These numbers on the diagonal, zeros elsewhere.
#[inline]
pub fn diagonal<const N: usize>(values: &Vector<N>) -> Mat<N> {
    let mut out: Mat<N> = zero();
    for i in 0..N {
        out[i][i] = values[i];
    }
    out
}

/// A·B.
#[inline]
pub fn multiply<const N: usize>(a: &Mat<N>, b: &Mat<N>) -> Mat<N> {
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for k in 0..N {
            let factor = a[i][k];
            for j in 0..N {
                out[i][j] += factor * b[k][j];
            }
        }
    }
    out
}

/// A·Bᵀ.
#[inline]
pub fn multiply_transposed<const N: usize>(a: &Mat<N>, b: &Mat<N>) -> Mat<N> {
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for j in 0..N {
            out[i][j] = dot(&a[i], &b[j]);
        }
    }
    out
}

/// F·P·Fᵀ of a symmetric P, exactly symmetric.
#[inline]
pub fn sandwich<const N: usize>(f: &Mat<N>, p: &Mat<N>) -> Mat<N> {
    let fp = multiply(f, p);
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for j in 0..=i {
            let value = dot(&fp[i], &f[j]);
            out[i][j] = value;
            out[j][i] = value;
        }
    }
    out
}

/// Aᵀ.
#[inline]
pub fn transpose<const N: usize>(a: &Mat<N>) -> Mat<N> {
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for j in 0..N {
            out[j][i] = a[i][j];
        }
    }
    out
}

/// (A + Aᵀ)/2.
#[inline]
pub fn symmetric_part<const N: usize>(a: &Mat<N>) -> Mat<N> {
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for j in 0..N {
            out[i][j] = 0.5 * (a[i][j] + a[j][i]);
        }
    }
    out
}

/// A + B.
#[inline]
pub fn add<const N: usize>(a: &Mat<N>, b: &Mat<N>) -> Mat<N> {
    let mut out = *a;
    for i in 0..N {
        for j in 0..N {
            out[i][j] += b[i][j];
        }
    }
    out
}

/// A − B.
#[inline]
pub fn subtract<const N: usize>(a: &Mat<N>, b: &Mat<N>) -> Mat<N> {
    let mut out = *a;
    for i in 0..N {
        for j in 0..N {
            out[i][j] -= b[i][j];
        }
    }
    out
}

/// A times a number.
#[inline]
pub fn scale<const N: usize>(a: &Mat<N>, factor: f64) -> Mat<N> {
    let mut out = *a;
    for row in &mut out {
        for value in row {
            *value *= factor;
        }
    }
    out
}

/// A·x.
#[inline]
pub fn multiply_vector<const N: usize>(a: &Mat<N>, x: &Vector<N>) -> Vector<N> {
    let mut out = [0.0; N];
    for i in 0..N {
        out[i] = dot(&a[i], x);
    }
    out
}

/// x + y.
#[inline]
pub fn add_vectors<const N: usize>(x: &Vector<N>, y: &Vector<N>) -> Vector<N> {
    let mut out = *x;
    for i in 0..N {
        out[i] += y[i];
    }
    out
}

/// x − y.
#[inline]
pub fn subtract_vectors<const N: usize>(x: &Vector<N>, y: &Vector<N>) -> Vector<N> {
    let mut out = *x;
    for i in 0..N {
        out[i] -= y[i];
    }
    out
}

/// xᵀ·y.
#[inline]
pub fn dot<const N: usize>(x: &Vector<N>, y: &Vector<N>) -> f64 {
    let mut sum = 0.0;
    for i in 0..N {
        sum += x[i] * y[i];
    }
    sum
}

/// Lower L with L·Lᵀ = A, or nothing where A is not positive definite. Only the lower half of A is read.
#[inline]
pub fn cholesky<const N: usize>(a: &Mat<N>) -> Option<Mat<N>> {
    let mut lower: Mat<N> = zero();
    for j in 0..N {
        let mut pivot = a[j][j];
        for k in 0..j {
            pivot -= lower[j][k] * lower[j][k];
        }
        // Written so that a pivot that is not a number is refused too.
        if !(pivot > 0.0 && pivot.is_finite()) {
            return None;
        }
        let root = pivot.sqrt();
        lower[j][j] = root;
        for i in j + 1..N {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= lower[i][k] * lower[j][k];
            }
            lower[i][j] = sum / root;
        }
    }
    Some(lower)
}

/// Lower L with L·Lᵀ = A but for rounding, for any positive semidefinite A.
///
/// A pivot that rounding has eaten (less than [`LEAST_PIVOT_SHARE`] of its
/// diagonal element) is raised to that share and the column below it, which is
/// zero but for rounding, is left out. So a direction without doubt gets next
/// to no spread, and solving never divides by zero except where A has a zero row.
#[inline]
pub fn cholesky_semidefinite<const N: usize>(a: &Mat<N>) -> Mat<N> {
    let mut lower: Mat<N> = zero();
    for j in 0..N {
        let mut pivot = a[j][j];
        for k in 0..j {
            pivot -= lower[j][k] * lower[j][k];
        }
        let least = LEAST_PIVOT_SHARE * a[j][j].max(0.0);
        if pivot > least {
            let root = pivot.sqrt();
            lower[j][j] = root;
            for i in j + 1..N {
                let mut sum = a[i][j];
                for k in 0..j {
                    sum -= lower[i][k] * lower[j][k];
                }
                lower[i][j] = sum / root;
            }
        } else {
            lower[j][j] = least.sqrt();
        }
    }
    lower
}

/// x with L·Lᵀ·x = b.
#[inline]
pub fn solve_cholesky<const N: usize>(lower: &Mat<N>, b: &Vector<N>) -> Vector<N> {
    let mut x = *b;
    for i in 0..N {
        for k in 0..i {
            x[i] -= lower[i][k] * x[k];
        }
        x[i] /= lower[i][i];
    }
    for i in (0..N).rev() {
        for k in i + 1..N {
            x[i] -= lower[k][i] * x[k];
        }
        x[i] /= lower[i][i];
    }
    x
}

/// A⁻¹ of a symmetric positive definite A, exactly symmetric, or nothing.
#[inline]
pub fn inverse_positive_definite<const N: usize>(a: &Mat<N>) -> Option<Mat<N>> {
    let lower = cholesky(a)?;
    // The inverse of L, then its transpose times itself.
    let mut lower_inverse: Mat<N> = zero();
    for j in 0..N {
        lower_inverse[j][j] = lower[j][j].recip();
        for i in j + 1..N {
            let mut sum = 0.0;
            for k in j..i {
                sum += lower[i][k] * lower_inverse[k][j];
            }
            lower_inverse[i][j] = -sum / lower[i][i];
        }
    }
    let mut out: Mat<N> = zero();
    for i in 0..N {
        for j in 0..=i {
            let mut sum = 0.0;
            for k in i..N {
                sum += lower_inverse[k][i] * lower_inverse[k][j];
            }
            out[i][j] = sum;
            out[j][i] = sum;
        }
    }
    Some(out)
}

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

fn dot_slices(x: &[f64], y: &[f64]) -> f64 {
    x.iter().zip(y).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Draws;

    const A: Mat<3> = [
        [4.0, 12.0, -16.0],
        [12.0, 37.0, -43.0],
        [-16.0, -43.0, 98.0],
    ];
    const LOWER_OF_A: Mat<3> = [[2.0, 0.0, 0.0], [6.0, 1.0, 0.0], [-8.0, 5.0, 3.0]];

    fn close<const N: usize>(a: &Mat<N>, b: &Mat<N>, tolerance: f64) -> bool {
        (0..N).all(|i| (0..N).all(|j| (a[i][j] - b[i][j]).abs() <= tolerance))
    }

    fn random_positive_definite<const N: usize>(draws: &mut Draws) -> Mat<N> {
        let mut root: Mat<N> = zero();
        for row in &mut root {
            for value in row {
                *value = draws.normal();
            }
        }
        add(&multiply_transposed(&root, &root), &scale(&identity(), 0.1))
    }

    fn dense<const N: usize>(a: &Mat<N>) -> Dense {
        Dense {
            n: N,
            data: a.iter().flatten().copied().collect(),
        }
    }

    #[test]
    fn products_by_hand() {
        let a = [[1.0, 2.0], [3.0, 4.0]];
        let b = [[0.0, 1.0], [5.0, -1.0]];
        assert_eq!(multiply(&a, &b), [[10.0, -1.0], [20.0, -1.0]]);
        assert_eq!(multiply_transposed(&a, &b), multiply(&a, &transpose(&b)));
        assert_eq!(multiply_vector(&a, &[1.0, -1.0]), [-1.0, -1.0]);
        assert_eq!(subtract(&add(&a, &b), &b), a);
        assert_eq!(multiply(&identity(), &a), a);
        assert_eq!(symmetric_part(&a), [[1.0, 2.5], [2.5, 4.0]]);
        assert_eq!(dense(&a).multiply_vector(&[1.0, -1.0]), [-1.0, -1.0]);
    }

    #[test]
    fn sandwich_is_the_product_and_symmetric() {
        let f = [[1.0, 0.1, 0.0], [0.0, 1.0, 0.1], [0.3, 0.0, 1.0]];
        let out = sandwich(&f, &A);
        assert!(close(
            &out,
            &multiply_transposed(&multiply(&f, &A), &f),
            1e-12
        ));
        assert_eq!(out, transpose(&out));
    }

    #[test]
    fn cholesky_of_the_textbook_matrix() {
        assert_eq!(cholesky(&A), Some(LOWER_OF_A));
        assert_eq!(cholesky_semidefinite(&A), LOWER_OF_A);
        assert_eq!(dense(&A).cholesky(), Some(dense(&LOWER_OF_A)));
    }

    #[test]
    fn cholesky_refuses_what_is_not_positive_definite() {
        assert_eq!(cholesky(&[[1.0, 2.0], [2.0, 1.0]]), None);
        assert_eq!(cholesky(&[[f64::NAN, 0.0], [0.0, 1.0]]), None);
        assert_eq!(dense(&[[0.0]]).cholesky(), None);
    }

    #[test]
    fn semidefinite_matrices_never_fail() {
        // Rank one: the second and third direction carry no spread of their own.
        let v = [1.0e3, 2.0, -5.0e-4];
        let mut rank_one: Mat<3> = zero();
        for i in 0..3 {
            for j in 0..3 {
                rank_one[i][j] = v[i] * v[j];
            }
        }
        let lower = cholesky_semidefinite(&rank_one);
        let back = multiply_transposed(&lower, &lower);
        for i in 0..3 {
            for j in 0..3 {
                assert!((back[i][j] - rank_one[i][j]).abs() <= 1e-12 * (v[i] * v[j]).abs());
            }
        }
        assert_eq!(cholesky_semidefinite(&zero::<4>()), zero());
    }

    #[test]
    fn solving_and_inverting_random_systems() {
        let mut draws = Draws::new(7, 0);
        for _ in 0..200 {
            let a: Mat<9> = random_positive_definite(&mut draws);
            let mut x = [0.0; 9];
            x.fill_with(|| draws.normal());
            let b = multiply_vector(&a, &x);
            let solved = solve_cholesky(&cholesky(&a).unwrap(), &b);
            let solved_dense = dense(&a).solve(&b).unwrap();
            for i in 0..9 {
                assert!((solved[i] - x[i]).abs() < 1e-9);
                assert!((solved_dense[i] - x[i]).abs() < 1e-9);
            }
            let inverse = inverse_positive_definite(&a).unwrap();
            assert!(close(&multiply(&a, &inverse), &identity(), 1e-9));
            assert_eq!(inverse, transpose(&inverse));
            let inverse_dense = dense(&a).inverse().unwrap();
            for i in 0..9 {
                for j in 0..9 {
                    assert!((inverse_dense[(i, j)] - inverse[i][j]).abs() < 1e-9);
                }
            }
        }
    }

    #[test]
    fn dense_lower_products_by_hand() {
        let lower = dense(&LOWER_OF_A);
        assert_eq!(lower.multiply_lower(&[1.0, 2.0, 3.0]), [2.0, 8.0, 11.0]);
        assert_eq!(lower.solve_lower(&[2.0, 8.0, 11.0]), [1.0, 2.0, 3.0]);
        let transposed_product = multiply_vector(&transpose(&LOWER_OF_A), &[1.0, 2.0, 3.0]);
        assert_eq!(
            lower.solve_lower_transposed(&transposed_product),
            [1.0, 2.0, 3.0]
        );
        assert!((lower.log_determinant_of_cholesky() - 36.0_f64.ln()).abs() < 1e-12);
    }

    #[test]
    fn normal_equations_add_up() {
        let mut a = Dense::zero(2);
        a.add_outer(2.0, &[1.0, 3.0]);
        a.add_outer(1.0, &[0.0, 1.0]);
        assert_eq!(a.data, [2.0, 6.0, 6.0, 19.0]);
    }

    #[test]
    fn an_empty_system_is_solved() {
        assert_eq!(Dense::zero(0).solve(&[]), Some(vec![]));
        assert_eq!(Dense::zero(0).multiply_vector(&[]), Vec::<f64>::new());
    }
}
