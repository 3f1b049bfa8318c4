//! Steps of known instant in noise of known kind.

use super::*;
use crate::random::Draws;

/// Share of a change done at `x` seconds from its middle, for a ramp of `length_s`.
fn done(x: f64, length_s: f64) -> f64 {
    (x / length_s + 0.5).clamp(0.0, 1.0)
}

/// A trace every half second with this power, and slow and fast noise.
fn noisy(rng: &mut Draws, power_mps: impl Fn(f64) -> f64) -> Vec<AirMotion> {
    let mut slow = 0.6 * rng.normal();
    (0..130)
        .map(|i| {
            let t_s = 0.5 * f64::from(i);
            slow = slow * (-0.125f64).exp() + 0.6 * (1.0 - (-0.25f64).exp()).sqrt() * rng.normal();
            AirMotion {
                t_s,
                tas_mps: 35.0,
                energy_rate_mps: 0.0,
                load_factor: 1.0,
                power_mps: power_mps(t_s) + slow + 0.5 * rng.normal(),
                shape_mps: 0.0,
            }
        })
        .collect()
}

/// A smoother that shows a step as it is.
fn sharp(expected: &Expectation) -> StepResponse {
    let t_s: Vec<f64> = (0..1300).map(|i| 0.05 * f64::from(i)).collect();
    let shown = steps_s(expected)
        .iter()
        .map(|s| t_s.iter().map(|t| f64::from(u8::from(t >= s))).collect())
        .collect();
    StepResponse { t_s, shown }
}

const EXPECTED: Expectation = Expectation {
    before_mps: (6.0, 3.0),
    after_mps: (0.0, 1.0),
    between_s: (20.0, 42.0),
    between_mps: Some((3.8, 0.8)),
    tail: None,
    reach_s: (14.0, 10.0),
};

fn covered(change: &ChangePoint, tau: f64) -> bool {
    change.at_share(0.025) <= tau && tau <= change.at_share(0.975)
}

#[test]
fn finds_a_step_in_noise_and_knows_how_well() {
    let mut rng = Draws::new(7, 0);
    let response = sharp(&EXPECTED);
    let mut inside = 0;
    for _ in 0..60 {
        let tau = 28.0 + 4.0 * rng.uniform();
        let trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - tau, 1.5)));
        let change = posterior(&trace, &EXPECTED, &response).unwrap();
        assert!((change.median_s() - tau).abs() < 2.5);
        inside += u32::from(covered(&change, tau));
    }
    assert!(inside >= 52, "{inside} of 60");
}

#[test]
fn of_two_steps_the_last_is_in_the_interval() {
    let mut rng = Draws::new(8, 0);
    let response = sharp(&EXPECTED);
    let mut inside = 0;
    for _ in 0..40 {
        let tau = 31.0 + 3.0 * rng.uniform();
        let trace = noisy(&mut rng, |t| {
            8.0 - 4.2 * done(t - tau + 9.6, 1.8) - 3.8 * done(t - tau, 1.8)
        });
        let change = posterior(&trace, &EXPECTED, &response).unwrap();
        inside += u32::from(covered(&change, tau));
    }
    assert!(inside >= 35, "{inside} of 40");
}

#[test]
fn a_slow_answer_of_the_smoother_does_not_shift_the_instant() {
    // a step shown as a ramp over six seconds, as by fixes far apart
    let mut response = sharp(&EXPECTED);
    for (shown, step_s) in response.shown.iter_mut().zip(steps_s(&EXPECTED)) {
        for (s, t) in shown.iter_mut().zip(&response.t_s) {
            *s = done(t - step_s, 6.0);
        }
    }
    let mut rng = Draws::new(9, 0);
    let mut total = 0.0;
    for _ in 0..20 {
        let trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - 30.0, 6.2)));
        total += posterior(&trace, &EXPECTED, &response).unwrap().median_s() - 30.0;
    }
    assert!((total / 20.0).abs() < 0.4, "{}", total / 20.0);
}

#[test]
fn an_opinion_without_trust_changes_nothing() {
    let mut change = ChangePoint {
        time_s: vec![1.0, 2.0],
        weight: vec![0.25, 0.75],
    };
    change.weigh_with(1.0, 0.1, 0.0);
    assert!((change.weight[0] - 0.25).abs() < 1e-12);
    change.weigh_with(1.0, 0.1, 0.9);
    assert!(change.weight[0] > 0.8);
}

#[test]
fn an_instant_led_by_a_time_in_doubt_is_earlier_and_wider() {
    let change = ChangePoint {
        time_s: (0..50).map(|i| 20.0 + SPACING_S * f64::from(i)).collect(),
        weight: (0..50).map(|i| if i == 25 { 1.0 } else { 0.0 }).collect(),
    };
    let begun = change.led_by((2.0, 0.5));
    assert!((begun.weight.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    // the one instant is 25.0: the law of the lead is left, and its 2.5 % points
    for (share, at_s) in [(0.5, 23.0), (0.025, 22.02), (0.975, 23.98)] {
        assert!(
            (begun.at_share(share) - at_s).abs() < 0.05,
            "{share}: {}",
            begun.at_share(share)
        );
    }
}
