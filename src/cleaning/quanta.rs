//! The steps in which a recorder writes its figures.

use crate::reading::Fix;
use crate::units::M_PER_FT;

/// Share of the figures that must be multiples of a step for it to be one.
const SHARE: f64 = 0.99;

/// Fewest figures that tell.
const FEWEST: usize = 8;

/// Most figures looked at.
const MOST: usize = 5000;

/// Steps of time stamps, s, the largest first.
const STAMP_STEPS_S: [f64; 10] = [1.0, 0.5, 0.25, 0.2, 0.1, 0.05, 0.04, 0.02, 0.01, 0.001];

/// Half a turn in 2³¹ parts, as many receivers count angles, degrees.
const SEMICIRCLE_DEG: f64 = 180.0 / 2_147_483_648.0;

/// Steps of angles, degrees, the largest first: decimals of degrees, of minutes (60 to a degree) and of seconds.
const ANGLE_STEPS_DEG: [f64; 15] = [
    1e-3,
    0.01 / 60.0,
    1e-4,
    0.1 / 3600.0,
    0.001 / 60.0,
    1e-5,
    0.01 / 3600.0,
    0.0001 / 60.0,
    1e-6,
    0.00001 / 60.0,
    1e-7,
    SEMICIRCLE_DEG,
    0.000001 / 60.0,
    1e-8,
    1e-9,
];

/// Steps of altitudes, m, the largest first.
const ALTITUDE_STEPS_M: [f64; 10] = [
    100.0 * M_PER_FT,
    25.0 * M_PER_FT,
    10.0 * M_PER_FT,
    5.0 * M_PER_FT,
    1.0,
    0.5,
    M_PER_FT,
    0.1,
    0.1 * M_PER_FT,
    0.01,
];

/// The first step of which nearly all values are multiples, within a share of the step and the error of the values themselves.
fn quantum(values: &[f64], steps: &[f64], error: f64) -> Option<f64> {
    if values.len() < FEWEST {
        return None;
    }
    let stride = values.len() / MOST + 1;
    let sample: Vec<f64> = values.iter().copied().step_by(stride).collect();
    // One value over and over has no step.
    if sample.iter().all(|v| *v == sample[0]) {
        return None;
    }
    steps.iter().copied().find(|step| {
        let near = 0.02 + error / step;
        let on = sample
            .iter()
            .filter(|v| (*v / step - (*v / step).round()).abs() < near)
            .count();
        near < 0.2 && on as f64 >= SHARE * sample.len() as f64
    })
}

pub(super) fn are_whole_seconds(fixes: &[Fix]) -> bool {
    !fixes.is_empty() && fixes.iter().all(|f| f.utc_s.fract() == 0.0)
}

pub(super) fn stamp_quantum_s(fixes: &[Fix]) -> Option<f64> {
    let stamps: Vec<f64> = fixes.iter().map(|f| f.utc_s).collect();
    // Seconds since 1970 are known to 0.3 microseconds.
    quantum(&stamps, &STAMP_STEPS_S, 1e-6)
}

pub(super) fn angle_quantum_deg(values: &[f64]) -> Option<f64> {
    quantum(values, &ANGLE_STEPS_DEG, 1e-13)
}

pub(super) fn altitude_quantum_m(values: &[f64]) -> Option<f64> {
    // Altitudes are kept to 24 bits.
    let most = values.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
    quantum(values, &ALTITUDE_STEPS_M, most * 6e-8)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(step: f64, count: i32) -> Vec<f64> {
        (0..count)
            .map(|i| f64::from(4000 + i * i % 977) * step)
            .collect()
    }

    #[test]
    fn finds_the_step_of_each_kind_of_recorder() {
        for step in [1e-5, 1e-6, 1e-7, 0.001 / 60.0, 0.0001 / 60.0] {
            let got = angle_quantum_deg(&grid(step, 200)).unwrap();
            assert!((got / step - 1.0).abs() < 1e-9, "{step}: {got}");
        }
        for step in [1.0, 0.1, 0.01, M_PER_FT, 25.0 * M_PER_FT] {
            let values: Vec<f64> = grid(step, 200)
                .iter()
                .map(|v| f64::from(*v as f32))
                .collect();
            let got = altitude_quantum_m(&values).unwrap();
            assert!((got / step - 1.0).abs() < 1e-9, "{step}: {got}");
        }
    }

    #[test]
    fn finds_no_step_where_there_is_none() {
        let odd: Vec<f64> = (0..200)
            .map(|i| 51.0 + f64::from(i).sqrt() / 777.0)
            .collect();
        assert_eq!(angle_quantum_deg(&odd), None);
        assert_eq!(angle_quantum_deg(&[51.0; 50]), None);
        assert_eq!(altitude_quantum_m(&[1.0, 2.0]), None);
    }
}
