//! The statistics that tables of errors are made of, against numbers that can be looked up.

use crate::truth::goals::{judge, least_inside};
use crate::truth::rows::{Row, Score};
use crate::truth::summary::lines;

fn score(errors: &[f64], half: f64) -> Score {
    let row = |error: &f64| Row {
        figure: "touchdown_along_ft",
        error: *error,
        low: error - half,
        high: error + half,
        seed: 0,
    };
    Score {
        rows: errors.iter().map(row).collect(),
        none: vec!["touchdown_along_ft"],
        ..Score::default()
    }
}

#[test]
fn the_line_of_five_errors() {
    let score = score(&[-10.0, 20.0, 30.0, -40.0, 100.0], 35.0);
    let line = lines([&score].into_iter())[0];
    assert_eq!(
        (line.n, line.none, line.bias, line.median),
        (5, 1, 20.0, 30.0)
    );
    // between 40 and 100: 0.95 of 4 steps is 3.8
    assert!((line.p95 - 88.0).abs() < 1e-9);
    assert!((line.rms - 2600f64.sqrt()).abs() < 1e-9);
    assert!((line.cover - 0.6).abs() < 1e-9);
    assert!((line.sharp - 35.0 / (1.96 * 2600f64.sqrt())).abs() < 1e-9);
    let judged = judge(&line).unwrap();
    assert!(judged.error_met && !judged.interval_met);
}

#[test]
fn a_figure_never_measured_has_a_line_and_no_verdict() {
    let score = score(&[], 0.0);
    let line = lines([&score].into_iter())[0];
    assert_eq!((line.n, line.none), (0, 1));
    assert!(line.median.is_nan() && judge(&line).is_none());
}

/// Tables of the binomial distribution with p = 0.95: P(X <= 15 of 20) = 0.0026, P(X <= 16) = 0.0159,
/// P(X <= 17) = 0.0755; P(X <= 89 of 100) = 0.0115, P(X <= 90) = 0.0282.
#[test]
fn chance_allows_so_many_outside() {
    assert_eq!(least_inside(20, 0.95), 17);
    assert_eq!(least_inside(100, 0.95), 90);
    assert_eq!(least_inside(1, 0.95), 0);
    assert_eq!(least_inside(0, 0.95), 0);
}
