//! Matrices of a size known at compile time: plain arrays.

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
