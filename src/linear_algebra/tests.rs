//! Both kinds of matrix against each other and by hand.

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
