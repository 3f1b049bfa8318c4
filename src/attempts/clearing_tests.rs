//! Bursts in invented glides, and the parts of looking for them by hand.

use super::*;
use crate::random::Draws;

/// A glide of two minutes in lively air with power from 60 s on.
fn glide(power_mps: f64, length_s: f64, seed: u64) -> Vec<AirMotion> {
    let mut rng = Draws::new(seed, 0);
    let mut slow = 0.7 * rng.normal();
    (0..150)
        .map(|i| {
            let t_s = f64::from(i);
            slow = slow * (-0.2f64).exp() + 0.7 * (1.0 - (-0.4f64).exp()).sqrt() * rng.normal();
            let on = t_s >= 60.0 && t_s < 60.0 + length_s;
            AirMotion {
                t_s,
                tas_mps: 36.0,
                energy_rate_mps: 0.0,
                load_factor: 1.0,
                power_mps: slow + 0.5 * rng.normal() + if on { power_mps } else { 0.0 },
                shape_mps: 0.0,
            }
        })
        .collect()
}

#[test]
fn finds_a_burst_of_five_seconds_and_when_it_began() {
    let mut found = 0;
    for seed in 0..40 {
        let bursts = bursts(&glide(5.0, 5.0, seed), None, (0.0, 150.0));
        assert!(bursts.len() <= 1, "{bursts:?}");
        if let Some(b) = bursts.first() {
            found += 1;
            assert!((b.start.median_s() - 60.0).abs() <= 3.0);
            assert!((2.0..=8.0).contains(&b.length_s));
        }
    }
    assert!(found >= 36, "{found} of 40");
}

#[test]
fn lively_air_alone_is_no_burst() {
    let found: usize = (100..300)
        .map(|seed| bursts(&glide(0.0, 0.0, seed), None, (0.0, 150.0)).len())
        .sum();
    assert!(found <= 1, "{found} in 200 glides");
}

#[test]
fn an_engine_that_stays_at_idle_says_lift() {
    let trace = glide(6.0, 8.0, 1);
    let engine = |burst: bool| EngineTrace {
        values: (0..150)
            .map(|i| {
                let on = burst && (60..68).contains(&i);
                (f64::from(i), if on { 1900.0 } else { 900.0 })
            })
            .collect(),
        full: 2500.0,
        is_noise: false,
    };
    assert_eq!(bursts(&trace, Some(&engine(false)), (0.0, 150.0)).len(), 0);
    assert_eq!(bursts(&trace, Some(&engine(true)), (0.0, 150.0)).len(), 1);
}

/// A glide of two minutes in quiet air with power of so much from, to, s.
fn quiet(power: &[(f64, f64, f64)]) -> Vec<AirMotion> {
    let mut trace = glide(0.0, 0.0, 3);
    for a in &mut trace {
        let on: f64 = power
            .iter()
            .filter(|(from, to, _)| a.t_s >= *from && a.t_s < *to)
            .map(|(_, _, mps)| mps)
            .sum();
        a.power_mps = 0.2 * a.power_mps + on;
    }
    trace
}

fn starts_of(trace: &[AirMotion], within: (f64, f64)) -> Vec<f64> {
    let found = bursts(trace, None, within);
    found.iter().map(|b| b.start.median_s()).collect()
}

#[test]
fn a_gain_with_an_equal_loss_beside_it_is_no_power() {
    let burst = (60.0, 65.0, 5.0);
    assert_eq!(starts_of(&quiet(&[burst]), (0.0, 150.0)).len(), 1);
    for loss in [
        (65.0, 70.0, -5.0),
        (55.0, 60.0, -5.0),
        (68.0, 73.0, -5.0),
        (52.0, 57.0, -5.0),
    ] {
        let found = starts_of(&quiet(&[burst, loss]), (0.0, 150.0));
        assert!(found.is_empty(), "{loss:?} {found:?}");
    }
    // far from it, or slight, a loss is air that sinks
    for loss in [(85.0, 90.0, -5.0), (30.0, 35.0, -5.0), (65.0, 70.0, -0.8)] {
        assert_eq!(
            starts_of(&quiet(&[burst, loss]), (0.0, 150.0)).len(),
            1,
            "{loss:?}"
        );
    }
}

#[test]
fn bursts_are_looked_for_from_20_s_after_the_start_to_14_s_before_the_end() {
    let trace = quiet(&[(60.0, 65.0, 5.0)]);
    assert_eq!(starts_of(&trace, (20.0, 100.0)).len(), 1);
    assert!(starts_of(&trace, (50.0, 150.0)).is_empty());
    assert!(starts_of(&trace, (0.0, 72.0)).is_empty());
    // twelve seconds at least, and none is not too few to be asked
    assert!(starts_of(&trace, (0.0, 20.0)).is_empty());
    assert!(starts_of(&trace, (20.0, 65.0)).is_empty());
}

#[test]
fn several_bursts_come_in_their_order_each_with_one_law_of_its_start() {
    let trace = quiet(&[(80.0, 85.0, 7.0), (40.0, 45.0, 4.0), (110.0, 115.0, 5.0)]);
    let found = bursts(&trace, None, (0.0, 150.0));
    let starts: Vec<f64> = found.iter().map(|b| b.start.median_s().round()).collect();
    assert_eq!(starts, [40.0, 80.0, 110.0]);
    for burst in &found {
        let (time_s, weight) = (&burst.start.time_s, &burst.start.weight);
        assert!((weight.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        // each instant once, within six seconds of the best
        assert!(time_s.windows(2).all(|w| w[0] < w[1]), "{time_s:?}");
        assert!(time_s.len() <= 13 && weight.len() == time_s.len());
        assert!((2.0..=8.0).contains(&burst.length_s), "{burst:?}");
    }
}

#[test]
fn an_engine_is_asked_around_the_burst_only() {
    let trace = quiet(&[(60.0, 65.0, 5.0)]);
    let found = |rise: (usize, usize), speed: f64| {
        let engine = EngineTrace {
            values: (0..150)
                .map(|i| {
                    (
                        i as f64,
                        if (rise.0..rise.1).contains(&i) {
                            speed
                        } else {
                            900.0
                        },
                    )
                })
                .collect(),
            full: 2500.0,
            is_noise: false,
        };
        bursts(&trace, Some(&engine), (0.0, 150.0)).len()
    };
    assert_eq!(found((60, 65), 1900.0), 1);
    assert_eq!(found((66, 70), 1900.0), 1, "as it ends");
    assert_eq!(found((67, 80), 1900.0), 0, "after it");
    assert_eq!(found((30, 45), 1900.0), 0, "another time");
    assert_eq!(found((70, 80), 1900.0), 0, "later");
    assert_eq!(
        found((58, 61), 1900.0),
        1,
        "a little before it shows in the motion"
    );
    // 12 % of full are 300
    assert_eq!((found((60, 65), 1190.0), found((60, 65), 1210.0)), (0, 1));
    // what it did before does not matter
    let twice = EngineTrace {
        values: (0..150)
            .map(|i| {
                let on = (30..45).contains(&i) || (60..65).contains(&i);
                (f64::from(i), if on { 1900.0 } else { 900.0 })
            })
            .collect(),
        full: 2500.0,
        is_noise: false,
    };
    assert_eq!(bursts(&trace, Some(&twice), (0.0, 150.0)).len(), 1);
    // an engine that says nothing then leaves it to the motion
    let silent = EngineTrace {
        values: vec![(0.0, 900.0), (140.0, 900.0)],
        full: 2500.0,
        is_noise: false,
    };
    assert_eq!(bursts(&trace, Some(&silent), (0.0, 150.0)).len(), 1);
}

#[test]
fn sizes_of_noise_and_of_boxes_by_hand() {
    // the middle of the sizes over that of a normal law
    assert!((noise_of(&[-0.6745, 0.1, 9.0, -1.349, 1.349]) - 2.0).abs() < 1e-12);
    assert_eq!(noise_of(&[0.0, 0.1, -0.1]), LEAST_NOISE);
    let (power, sigmas) = power_and_sigmas(&[2.0, 0.0], &[6.0, 5.0], 1.5);
    assert_eq!((power, sigmas), (3.0, 4.0));
    let mut data = vec![6.0, 5.0];
    clear_of(&[2.0, 0.0], &mut data);
    assert_eq!(data, [0.0, 5.0]);
    // of 5 s from 0 and from 1 on, and none that ends with the trace or after it
    let t_s: Vec<f64> = (0..7).map(f64::from).collect();
    let of_five: Vec<f64> = boxes(&t_s)
        .iter()
        .filter(|b| b.1 == 5.0)
        .map(|b| b.0)
        .collect();
    assert_eq!(of_five, [0.0]);
}

#[test]
fn a_loss_is_beside_within_six_seconds_and_not_within_the_burst() {
    let swings = |other: (f64, f64), loss: f64| {
        let boxes = [(10.0, 5.0), other];
        let columns = [vec![1.0, 0.0], vec![0.0, 1.0]];
        swings_back(&boxes, &columns, &[5.0, -loss], 0)
    };
    for (other, is) in [
        ((15.0, 3.0), true),
        ((20.0, 3.0), true),
        ((21.0, 3.0), false),
        ((14.0, 3.0), false),
        ((7.0, 3.0), true),
        ((8.0, 3.0), false),
        ((2.0, 3.0), true),
        ((1.0, 3.0), false),
        ((12.0, 3.0), false),
    ] {
        assert_eq!(swings(other, 5.0), is, "{other:?}");
    }
    // more than half of the gain
    assert!(swings((15.0, 3.0), 2.6) && !swings((15.0, 3.0), 2.5));
    assert!(!swings((15.0, 3.0), -5.0));
}

#[test]
fn the_law_of_the_start_by_hand() {
    // sizes of 2, 1, 3/sqrt(2), less than nothing, and of one too far off
    let boxes = [(0.0, 3.0), (0.0, 5.0), (1.0, 3.0), (7.0, 3.0), (7.5, 3.0)];
    let columns = [
        vec![1.0, 0.0],
        vec![0.0, 1.0],
        vec![1.0, 1.0],
        vec![-1.0, 0.0],
        vec![1.0, 1.0],
    ];
    let law = starts(&boxes, &columns, &[2.0, 1.0], 1.0, 2);
    assert_eq!(law.time_s, [0.0, 1.0, 7.0]);
    let weights = [(-0.25f64).exp() + (-1.75f64).exp(), 1.0, (-2.25f64).exp()];
    let sum: f64 = weights.iter().sum();
    for (found, expected) in law.weight.iter().zip(weights) {
        assert!((found - expected / sum).abs() < 1e-12, "{law:?}");
    }
}
