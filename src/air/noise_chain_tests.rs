//! Whitened columns against the dense covariance.

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
    let rows: Vec<Block> = y.iter().map(|v| [*v, 0.0, 0.0, 0.0]).collect();
    let mut quadratic = 0.0;
    let log_sum = whiten(&noise, &t, &[[1.0, 0.0]; 5], (&rows, 1), |row| {
        quadratic += row[0][0].powi(2);
    });
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

#[test]
fn a_wind_that_drifts_is_seen_along_the_heading() {
    // a wander, and a wind that moves off by Brownian motion on each axis, from a known doubt
    let noise = ChainNoise {
        smooth: (1.5, 8.0),
        slow: (2.0, 12.0),
        fast: (0.0, 1.0),
        white_mps: 0.3,
        drift_m2ps3: 0.2,
        drift_start_m2ps2: 0.7,
    };
    let t = [10.0, 11.0, 13.0, 14.0, 18.0];
    let y = [0.3, -1.0, 0.8, 2.0, -0.2];
    let heading = [0.0f64, 0.5, 1.2, 2.0, 3.5].map(|a| [a.sin(), a.cos()]);
    let mut columns = [y.to_vec()];
    let log_sum = whiten_columns(&noise, &t, &heading, &mut columns);
    let mut c = Dense::zero(5);
    for i in 0..5 {
        for j in 0..5 {
            let since_start = f64::min(t[i], t[j]) - t[0];
            let along = heading[i][0] * heading[j][0] + heading[i][1] * heading[j][1];
            let dt = f64::abs(t[i] - t[j]);
            let value = 4.0 * (-dt / 12.0).exp()
                + 2.25 * (1.0 + 3f64.sqrt() * dt / 8.0) * (-3f64.sqrt() * dt / 8.0).exp()
                + along * (0.7 + 0.2 * since_start)
                + if i == j { 0.09 } else { 0.0 };
            c.data[i * 5 + j] = value;
        }
    }
    let l = c.cholesky().unwrap();
    let dense: f64 = l.solve_lower(&y).iter().map(|x| x * x).sum();
    let quadratic: f64 = columns[0].iter().map(|x| x * x).sum();
    assert!((quadratic - dense).abs() < 1e-9, "{quadratic} {dense}");
    assert!((log_sum - l.log_determinant_of_cholesky()).abs() < 1e-9);
    // a start that is known, and a start without any drift after, are both drifts
    for (drift_m2ps3, drift_start_m2ps2, states) in [(0.2, 0.0, 3), (0.0, 0.7, 3), (0.0, 0.0, 1)] {
        let single = ChainNoise {
            drift_m2ps3,
            drift_start_m2ps2,
            ..noise
        }
        .single();
        assert_eq!(single.len(), states);
    }
}

#[test]
fn columns_are_whitened_alike_wherever_they_stand() {
    let noise = ChainNoise {
        smooth: (1.5, 8.0),
        slow: (2.0, 12.0),
        fast: (0.4, 3.0),
        white_mps: 0.15,
        drift_m2ps3: 0.0,
        drift_start_m2ps2: 0.0,
    };
    let t = [0.0, 1.0, 2.5, 4.0];
    let heading = [[1.0, 0.0]; 4];
    let column = |k: f64| vec![0.3 * k, -1.0, 0.8 + k, 2.0];
    let mut all: Vec<Vec<f64>> = (0..6).map(|k| column(f64::from(k))).collect();
    let log_sum = whiten_columns(&noise, &t, &heading, &mut all);
    for (k, together) in all.iter().enumerate() {
        let mut alone = [column(k as f64)];
        let alone_sum = whiten_columns(&noise, &t, &heading, &mut alone);
        assert_eq!((&alone[0], alone_sum), (together, log_sum));
    }
}
