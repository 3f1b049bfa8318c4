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

#[test]
fn steps_reach_from_before_the_earliest_ramp_to_after_the_last() {
    // half of the longest ramp, 2.5 s, and one spacing beyond both ends; 17 s earlier where there may be two steps
    let steps = steps_s(&EXPECTED);
    assert_eq!(steps.len(), 223);
    assert!(
        (steps[0] - (20.0 - 17.0 - 2.7)).abs() < 1e-9,
        "{}",
        steps[0]
    );
    assert!((steps[222] - 44.7).abs() < 1e-9, "{}", steps[222]);
    let one = Expectation {
        between_mps: None,
        ..EXPECTED
    };
    let steps = steps_s(&one);
    assert_eq!(steps.len(), 138);
    assert!((steps[0] - 17.3).abs() < 1e-9 && (steps[137] - 44.7).abs() < 1e-9);
}

#[test]
fn instants_are_weighed_every_fifth_of_a_second() {
    let mut rng = Draws::new(11, 0);
    let trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - 30.0, 1.5)));
    let change = posterior(&trace, &EXPECTED, &sharp(&EXPECTED)).unwrap();
    assert_eq!(change.time_s.len(), 111);
    assert!((change.time_s[0] - 20.0).abs() < 1e-9 && (change.time_s[110] - 42.0).abs() < 1e-9);
    assert!((change.weight.iter().sum::<f64>() - 1.0).abs() < 1e-9);
}

#[test]
fn what_is_out_of_reach_says_nothing() {
    let mut rng = Draws::new(12, 0);
    let trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - 30.0, 1.5)));
    let response = sharp(&EXPECTED);
    let whole = posterior(&trace, &EXPECTED, &response).unwrap();
    // from 6 to 52 s
    let within = |from: f64, to: f64| -> Vec<AirMotion> {
        trace
            .iter()
            .copied()
            .filter(|a| a.t_s >= from && a.t_s <= to)
            .collect()
    };
    assert_eq!(
        posterior(&within(6.0, 52.0), &EXPECTED, &response).unwrap(),
        whole
    );
    assert_ne!(
        posterior(&within(6.5, 52.0), &EXPECTED, &response).unwrap(),
        whole
    );
    assert_ne!(
        posterior(&within(6.0, 51.5), &EXPECTED, &response).unwrap(),
        whole
    );
    // six samples at least
    assert!(posterior(&within(20.0, 22.0), &EXPECTED, &response).is_none());
    assert!(posterior(&within(20.0, 22.5), &EXPECTED, &response).is_some());
    let empty = StepResponse {
        t_s: vec![1.0],
        shown: vec![],
    };
    assert!(posterior(&trace, &EXPECTED, &empty).is_none());
}

#[test]
fn logarithms_are_added_whatever_their_order() {
    let none = f64::NEG_INFINITY;
    for (a, b, sum) in [
        (1.0, 3.0, 4.0),
        (3.0, 1.0, 4.0),
        (2.0, 2.0, 4.0),
        (5.0, 0.0, 5.0),
        (0.0, 5.0, 5.0),
    ] {
        assert!(
            (log_add(f64::ln(a), f64::ln(b)) - f64::ln(sum)).abs() < 1e-12,
            "{a} {b}"
        );
    }
    assert_eq!(log_add(none, none), none);
}

/// Evidence of columns given as they are: their products with one another by definition.
fn by_definition(
    columns: &[Vec<f64>],
    with_data: &[f64],
    data_data: f64,
    priors: &[(f64, f64)],
) -> f64 {
    let mut fit = Levels::new(data_data);
    for (i, column) in columns.iter().enumerate() {
        let products: Vec<f64> = columns[..=i]
            .iter()
            .map(|c| dot_slices(c, column))
            .collect();
        fit.add(&products, with_data[i], priors[i]);
    }
    fit.log_evidence()
}

fn less(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(x, y)| x - y).collect()
}

#[test]
fn one_step_and_two_are_levels_that_follow_each_other() {
    let expected = Expectation {
        tail: Some((0.3, 0.2)),
        ..EXPECTED
    };
    let mut rng = Draws::new(13, 0);
    let mut trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - 30.0, 1.5)));
    for a in &mut trace {
        a.shape_mps = 0.05 * a.t_s;
    }
    let used: Vec<&AirMotion> = trace
        .iter()
        .filter(|a| a.t_s >= 6.0 && a.t_s <= 52.0)
        .collect();
    let raw = RawColumns::new(&used, &sharp(&expected), true);
    let columns = Columns::new(&raw, NOISES[1], steps_s(&expected)[0]);
    // a step before the first sample shows a level
    let one = columns.ramp(0.3, 0.0);
    let begun = columns.ramp(24.0, 1.8);
    let after = columns.ramp_and_tail(31.0, 1.8);
    let (ramp, (tail, _)) = (&after.ramp, after.tail.as_ref().unwrap());
    let tail_prior = expected.tail.unwrap();

    let shown = [
        less(&one.shown, &ramp.shown),
        ramp.shown.clone(),
        tail.shown.clone(),
    ];
    let with_data = [one.data - ramp.data, ramp.data, tail.data];
    let priors = [expected.before_mps, expected.after_mps, tail_prior];
    let single = by_definition(&shown, &with_data, columns.data_data, &priors);
    assert!((columns.one_step(&after, &expected) - single).abs() < 1e-6);

    let between = (3.8, 0.8);
    let shown = [
        less(&one.shown, &begun.shown),
        less(&begun.shown, &ramp.shown),
        ramp.shown.clone(),
        tail.shown.clone(),
    ];
    let with_data = [
        one.data - begun.data,
        begun.data - ramp.data,
        ramp.data,
        tail.data,
    ];
    let priors = [expected.before_mps, between, expected.after_mps, tail_prior];
    let double = by_definition(&shown, &with_data, columns.data_data, &priors);
    let found = columns.two_steps(&begun, &after, between, &expected);
    assert!((found - double).abs() < 1e-6, "{found}, not {double}");
}

#[test]
fn ramps_and_first_steps_are_weighed_alike_and_two_steps_three_tenths() {
    let mut rng = Draws::new(14, 0);
    let trace = noisy(&mut rng, |t| 6.0 * (1.0 - done(t - 30.0, 1.5)));
    let used: Vec<&AirMotion> = trace.iter().collect();
    let raw = RawColumns::new(&used, &sharp(&EXPECTED), false);
    let columns = Columns::new(&raw, NOISES[0], steps_s(&EXPECTED)[0]);
    let tau = 29.4;
    let one: f64 = RAMPS_S
        .iter()
        .map(|length_s| columns.one_step(&columns.ramp_and_tail(tau, *length_s), &EXPECTED))
        .map(|e| (e + 0.5 * columns.data_data).exp() / 3.0)
        .sum();
    let after = columns.ramp_and_tail(tau, 1.8);
    let two: f64 = FIRST_STEPS_S
        .iter()
        .map(|s| columns.two_steps(&columns.ramp(tau - s, 1.8), &after, (3.8, 0.8), &EXPECTED))
        .map(|e| (e + 0.5 * columns.data_data).exp() / 5.0)
        .sum();
    let whole = |sum: f64| sum.ln() - 0.5 * columns.data_data - 0.5 * columns.log_variance;
    let found = columns.log_evidence(tau, &EXPECTED);
    assert!((found - whole(one + 0.3 * two)).abs() < 1e-9, "{found}");
    let single = Expectation {
        between_mps: None,
        ..EXPECTED
    };
    assert!((columns.log_evidence(tau, &single) - whole(one)).abs() < 1e-9);
}

#[test]
fn shares_and_medians_of_instants_by_hand() {
    let change = ChangePoint {
        time_s: vec![10.0, 10.2, 10.4],
        weight: vec![0.25, 0.5, 0.25],
    };
    // each instant stands for a fifth of a second around it
    for (share, at_s) in [
        (0.0, 9.9),
        (0.125, 10.0),
        (0.25, 10.1),
        (0.5, 10.2),
        (0.875, 10.4),
    ] {
        assert!(
            (change.at_share(share) - at_s).abs() < 1e-9,
            "{share}: {}",
            change.at_share(share)
        );
    }
    assert_eq!(change.at_share(1.0), 10.4);
    assert_eq!(change.median_s(), 10.2);
    let none = ChangePoint {
        time_s: vec![],
        weight: vec![],
    };
    assert!(none.median_s().is_nan() && none.at_share(0.5).is_nan());
    assert_eq!(none.led_by((1.0, 0.5)), none);
}

#[test]
fn an_opinion_with_trust_by_hand() {
    let mut change = ChangePoint {
        time_s: vec![1.0, 2.0],
        weight: vec![0.5, 0.5],
    };
    change.weigh_with(1.0, 0.5, 0.6);
    // normal density at 1 and at two standard deviations; without it one over the 0.4 s that two instants stand for
    let peak = 0.6 / (0.5 * std::f64::consts::TAU.sqrt());
    let (near, far) = (peak + 0.4 / 0.4, peak * (-2f64).exp() + 0.4 / 0.4);
    assert!((change.weight[0] - near / (near + far)).abs() < 1e-12);
    assert!((change.weight.iter().sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn a_lead_widens_the_instants_by_what_it_is_in_doubt() {
    let change = ChangePoint {
        time_s: (0..11).map(|i| 20.0 + SPACING_S * f64::from(i)).collect(),
        weight: vec![1.0 / 11.0; 11],
    };
    let led = change.led_by((2.0, 0.5));
    // 3.5 standard deviations beyond both ends
    assert!((led.time_s[0] - (20.0 - 2.0 - 1.75)).abs() < 1e-9);
    let last = led.time_s[led.time_s.len() - 1];
    assert!((last - (22.0 - 2.0 + 1.75)).abs() < SPACING_S, "{last}");
    assert!((led.median_s() - 19.0).abs() < 0.11, "{}", led.median_s());
}

#[test]
fn power_like_nothing_expected_still_has_a_posterior() {
    // so unlikely that no likelihood of it is a number above zero
    let mut rng = Draws::new(15, 0);
    let trace = noisy(&mut rng, |t| 30.0 * (0.7 * t).sin());
    let change = posterior(&trace, &EXPECTED, &sharp(&EXPECTED)).unwrap();
    assert!((change.weight.iter().sum::<f64>() - 1.0).abs() < 1e-9);
}
