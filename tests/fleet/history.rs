//! Months, trends and steps of fleets whose history is known.

use stillprop::fleet::document::Airframe;
use stillprop::fleet::model::Run;
use stillprop::fleet::{By, Options, analyse};

use super::drawn::{Law, USUAL, fleet, ratio};

fn airframes(law: Law, seed: u64, by: By, more: impl Fn(usize, f64) -> f64) -> Vec<Airframe> {
    let run = Run {
        settling: 150,
        kept: 400,
        ..Run::default()
    };
    analyse(&fleet(law, seed, more), Options { by, run }).airframes
}

#[test]
fn glides_of_one_flight_are_no_history() {
    // eight glides in each of two flights 100 days apart; the second had rising air
    let law = Law {
        airframes: 3,
        recordings: 2,
        glides: 8,
        days: 100.0,
        ..USUAL
    };
    for airframe in airframes(law, 1, By::Aircraft, |_, days| 0.1 * days / 100.0) {
        assert_eq!(airframe.attempts, 16);
        let reason = airframe.trend_percent_per_year.reason().unwrap();
        assert!(reason.contains("5 flights"), "{reason}");
        assert_eq!(airframe.probability_getting_worse, None);
        assert_eq!(airframe.change, None);
    }
}

#[test]
fn months_hold_the_truth_and_nothing_is_found_where_nothing_changed() {
    // six glides a flight share its air, which scatters as much as they do
    let law = Law {
        recordings: 6,
        glides: 6,
        flight: 0.06,
        ..USUAL
    };
    let (mut held, mut months, mut chance, mut found, mut all) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for seed in 0..30 {
        for airframe in airframes(law, 400 + seed, By::Aircraft, |_, _| 0.0) {
            all += 1.0;
            let p = airframe.probability_getting_worse.unwrap();
            chance += f64::from(u8::from(2.0 * p.min(1.0 - p) < 0.05));
            found += f64::from(u8::from(airframe.trend_found || airframe.change.is_some()));
            for month in &airframe.history {
                let (low, high) = month.glide_ratio.interval().unwrap();
                months += 1.0;
                held += f64::from(u8::from((low..=high).contains(&ratio(0.0))));
            }
        }
    }
    println!(
        "{held} of {months} months hold; of {all} histories {chance} below 5 %, {found} found"
    );
    // 2,000 months or so at 0.95: four standard deviations are 0.02; a little more is no fault
    assert!(
        (0.93..=0.985).contains(&(held / months)),
        "{held} of {months}"
    );
    // of 360 at most one in twenty may be below 5 % by chance, and none need be found
    assert!(
        chance <= 0.05 * all && found <= 2.0,
        "{chance} {found} of {all}"
    );
}

#[test]
fn a_step_and_a_slow_change_are_found() {
    // two years, a flight every two weeks, 6 % from one to the next; one airframe gets 15 % more drag at once, one 20 % over time
    let law = Law {
        airframes: 6,
        recordings: 50,
        days: 730.0,
        flight: 0.03,
        known: 0.04,
        unknown: 0.02,
        ..USUAL
    };
    let more = |airframe: usize, days: f64| match airframe {
        0 if days > 400.0 => 0.15,
        1 => 0.2 * days / 730.0,
        _ => 0.0,
    };
    let (mut steps, mut trends, mut wrong) = (0, 0, 0);
    for seed in 0..10 {
        for airframe in airframes(law, 500 + seed, By::Aircraft, more) {
            match airframe.registration.as_str() {
                "Trainer 0" => steps += u32::from(airframe.change.is_some()),
                "Trainer 1" => trends += u32::from(airframe.trend_found),
                _ => wrong += u32::from(airframe.trend_found || airframe.change.is_some()),
            }
        }
    }
    println!("of 10: {steps} steps and {trends} trends found; {wrong} of 40 others");
    assert!(
        steps >= 8 && trends >= 8 && wrong <= 3,
        "{steps} {trends} {wrong}"
    );
}

#[test]
fn flap_is_no_difference_from_the_others() {
    let law = Law {
        airframes: 2,
        recordings: 8,
        glides: 3,
        ..USUAL
    };
    let mut rows = fleet(law, 7, |_, _| 0.0);
    for row in &mut rows {
        row.flap = ["clean", "flap 10", "flap 30"][row.attempt as usize % 3].to_owned();
        let more = [0.0, 0.16, 0.6][row.attempt as usize % 3];
        row.terms_ft[0] += more * row.terms_ft[1] / 9.0;
    }
    let report = analyse(
        &rows,
        Options {
            by: By::Flap,
            run: Run::default(),
        },
    );
    assert_eq!(report.airframes.len(), 6);
    for airframe in &report.airframes {
        let clean = airframe.registration.ends_with("clean");
        assert_eq!(
            airframe.compared_with.as_deref(),
            clean.then_some("handbook")
        );
        assert!(airframe.against_others_percent.value().is_none());
        assert!(clean || !airframe.differs);
        // by hand: 9/1.06, 9/1.22 and 9/1.66
        let truth = match airframe.registration.split(", ").nth(1).unwrap() {
            "clean" => 8.49,
            "flap 10" => 7.38,
            _ => 5.42,
        };
        // 24 glides in eight flights: 2.5 % one standard deviation
        let found = airframe.glide_ratio_alone.value().unwrap();
        assert!((found / truth - 1.0).abs() < 0.075, "{airframe:?}");
    }
}
