//! Fleets in which one airframe changes: the step, the drift, and those that stay as they are.

use stillprop::fleet::document::{Airframe, FleetReport};
use stillprop::fleet::model::Run;
use stillprop::fleet::{By, Options, analyse};
use stillprop::random::Draws;

use super::glide;

const AIRFRAMES: usize = 6;

/// Two glides a month over 2026 for each airframe, with drag `more` in airframe 2 at each share of the year.
fn report(seed: u64, more: impl Fn(f64) -> f64) -> FleetReport {
    let mut draws = Draws::new(seed, 79);
    let mut rows = Vec::new();
    for airframe in 0..AIRFRAMES {
        for k in 0..24 {
            let x2 = (1.0 + 0.05 * draws.normal()).powi(2);
            let turning = 0.3 * draws.uniform() / x2;
            let sd = 0.003;
            let drag = if airframe == 2 {
                1.0 + more(k as f64 / 24.0)
            } else {
                1.0
            };
            // glide ratio 9 at best glide, more drag in all of it
            let lost = drag * 0.5 / 9.0 * (x2 + 1.0 / x2) + 0.09 * turning + sd * draws.normal();
            let day = format!(
                "2026-{:02}-{:02}T10:00:00Z",
                1 + k / 2,
                1 + airframe + 12 * (k % 2)
            );
            let ft = 15_000.0;
            let terms_ft = [lost, x2, 1.0 / x2, turning, 1.0, sd].map(|share| share * ft);
            let number = (airframe * 24 + k) as i64;
            rows.push(glide(
                number,
                &format!("Trainer {airframe}"),
                &day,
                terms_ft,
            ));
        }
    }
    let run = Run {
        kept: 600,
        settling: 200,
        ..Run::default()
    };
    analyse(
        &rows,
        Options {
            by: By::Aircraft,
            run,
        },
    )
}

fn changed_and_others(report: &FleetReport) -> (&Airframe, Vec<&Airframe>) {
    let (changed, others): (Vec<&Airframe>, Vec<&Airframe>) = report
        .airframes
        .iter()
        .partition(|a| a.registration == "Trainer 2");
    assert_eq!((changed.len(), others.len()), (1, AIRFRAMES - 1));
    (changed[0], others)
}

#[test]
fn a_step_in_july_is_found_in_the_airframe_that_had_it() {
    let mut others_said = 0;
    for seed in 0..8 {
        let report = report(seed, |share| if share < 0.5 { 0.0 } else { 0.08 });
        let (changed, others) = changed_and_others(&report);
        let change = changed.change.as_ref().unwrap();
        assert!(change.probability > 0.95, "{change:?}");
        assert!(
            ["2026-06", "2026-07", "2026-08"].contains(&&change.utc[..7]),
            "{change:?}"
        );
        // 8 % more drag is 7.4 % less glide ratio
        let (low, high) = change.percent.interval().unwrap();
        assert!(low < -6.0 && high > -9.5 && high < -3.0, "{low} {high}");
        others_said += others.iter().filter(|a| a.change.is_some()).count();
    }
    // one in ten is expected to have had one before it is looked at
    assert!(others_said <= 2, "{others_said} of 40");
}

#[test]
fn a_slow_growth_of_drag_is_a_trend_of_that_airframe_and_few_others_are_said_to_have_one() {
    let (mut found, mut wrong) = (0, 0);
    for seed in 0..40 {
        let report = report(seed, |share| 0.08 * share);
        let (changed, others) = changed_and_others(&report);
        found += usize::from(changed.trend_found);
        let (low, high) = changed.trend_percent_per_year.interval().unwrap();
        assert!(low < -4.0 && high < 0.0, "{low} {high}");
        assert!(changed.probability_getting_worse.unwrap() > 0.97);
        wrong += others.iter().filter(|a| a.trend_found).count();
    }
    assert!(found >= 38, "{found} of 40");
    // one in twenty, and two standard deviations of so many
    let said = (found + wrong) as f64;
    let most = 0.05 * said + 2.0 * (0.05 * 0.95 * said).sqrt();
    assert!(wrong as f64 <= most, "{wrong} of {said} wrong");
}

#[test]
fn the_height_abeam_goes_with_the_drag() {
    // with 12.5 % more drag in all of it the glide ratio is 8 in place of 9: from 1000 ft abeam 1125 ft
    let (mut held, mut held_changed, mut widest) = (0, 0, 0.0_f64);
    for seed in 0..20 {
        let report = report(seed, |_| 0.125);
        let (changed, others) = changed_and_others(&report);
        let holds = |a: &Airframe, ft: f64| {
            let (low, high) = a.abeam_height_needed_ft.interval().unwrap();
            (usize::from((low..=high).contains(&ft)), high - low)
        };
        let (is, width) = holds(changed, 1125.0);
        held_changed += is;
        widest = widest.max(width);
        held += others.iter().map(|a| holds(a, 1000.0).0).sum::<usize>();
    }
    // of 20 and 100 intervals of 95 %, those of one fleet alike
    assert!(
        held_changed >= 17 && held >= 88,
        "{held_changed} of 20, {held} of 100"
    );
    assert!(widest < 120.0, "{widest}");
}
