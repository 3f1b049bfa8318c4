//! Moved in time and place, turned, mirrored.

use std::sync::LazyLock;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use stillprop::debrief::document::{Attempt, Debrief};

use super::comparing::{same, same_but_for_draws};
use super::{Flight, flight};
use crate::truth::rows::utc_s;
use crate::truth::simulator::receiver::Format;

/// Two landings and a go-around, each by another kind of recorder, with their debriefs.
static FLIGHTS: LazyLock<Vec<(Flight, Debrief)>> = LazyLock::new(|| {
    [
        (7, Format::Phone, true),
        (16, Format::Gpx, true),
        (3, Format::Avionics, false),
    ]
    .into_iter()
    .map(|(seed, format, lands)| {
        let flight = flight(seed, format, lands);
        let debrief = flight.debriefed();
        (flight, debrief)
    })
    .collect()
});

/// `holds` for some flights and generated values; the same ones in every run.
fn for_some<S: Strategy>(cases: u32, values: S, holds: impl Fn(&Flight, &Debrief, S::Value)) {
    let config = Config {
        cases,
        max_shrink_iters: 4,
        failure_persistence: None,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let which = 0..FLIGHTS.len();
    TestRunner::new_with_rng(config, rng)
        .run(&(which, values), |(which, value)| {
            let (flight, debrief) = &FLIGHTS[which];
            holds(flight, debrief, value);
            Ok(())
        })
        .unwrap();
}

/// Kind and time of each key point, s since 1970.
fn key_points(attempt: &Attempt) -> Vec<(&str, f64)> {
    attempt
        .key_points
        .iter()
        .filter_map(|k| Some((k.kind.as_str(), utc_s(&k.utc.value()?)?)))
        .collect()
}

/// By whole seconds, for stamps of whole seconds that become fractions would be another recorder's.
#[test]
fn a_later_flight_is_the_same_flight_later() {
    let years = 20 * 365 * 86_400i64;
    for_some(3, -years..years, |flight, before, shift_s| {
        let mut later = flight.clone();
        for fix in &mut later.recording.fixes {
            fix.utc_s += shift_s as f64;
        }
        for event in &mut later.briefing.events {
            let at: jiff::Timestamp = event.utc.parse().unwrap();
            event.utc = (at + jiff::SignedDuration::from_secs(shift_s)).to_string();
        }
        let after = later.debriefed();
        same(before, &after);
        let times = key_points(&before.attempts[0]);
        assert!(times.len() > 3);
        for ((kind, at), (_, then)) in times.iter().zip(key_points(&after.attempts[0])) {
            assert!((then - at - shift_s as f64).abs() < 0.01, "{kind}");
        }
        let start = |d: &Debrief| utc_s(&d.recording.start_utc).unwrap();
        assert!((start(&after) - start(before) - shift_s as f64).abs() < 0.01);
    });
}

/// At one latitude the earth has one shape: only the geoid differs, which is no matter where altitudes are
/// above mean sea level.
#[test]
fn another_longitude_changes_nothing() {
    for_some(3, -180.0..180.0_f64, |flight, here, by_deg: f64| {
        let moved = |deg: f64| (deg + by_deg + 540.0).rem_euclid(360.0) - 180.0;
        let mut there = flight.clone();
        for fix in &mut there.recording.fixes {
            fix.longitude_deg = moved(fix.longitude_deg);
        }
        let aim = &mut there.briefing.aim;
        aim.longitude_deg = aim.longitude_deg.map(moved);
        same(here, &there.debriefed());
    });
}

/// By whole degrees, for a landing direction in whole degrees is taken as rounded, and another one is not.
#[test]
fn a_turned_flight_has_the_same_figures() {
    for_some(4, 1..360i32, |flight, before, by_deg| {
        let by_deg = f64::from(by_deg);
        let (sin, cos) = by_deg.to_radians().sin_cos();
        let turned = flight
            .in_plane(|east, north| (east * cos + north * sin, north * cos - east * sin))
            .directions(|deg| deg + by_deg)
            .debriefed();
        same_but_for_draws(before, &turned, false);
        let wind = |d: &Debrief| {
            let wind = d.attempts[0].wind.first().unwrap();
            let half = |m: &stillprop::quantity::Measured| {
                let (low, high) = m.interval().unwrap();
                (m.value().unwrap(), 0.5 * (high - low))
            };
            (half(&wind.north_kt), half(&wind.east_kt))
        };
        let ((north, _), (east, _)) = wind(before);
        let ((n, n_half), (e, e_half)) = wind(&turned);
        let off = (
            n - (north * cos - east * sin),
            e - (east * cos + north * sin),
        );
        assert!(
            off.0.abs() < 0.4 * n_half && off.1.abs() < 0.4 * e_half,
            "{off:?}"
        );
    });
}

#[test]
fn a_mirrored_flight_has_the_same_figures_on_the_other_side() {
    for (flight, before) in FLIGHTS.iter() {
        let mirrored = flight
            .in_plane(|east, north| (-east, north))
            .directions(|deg| -deg);
        same_but_for_draws(before, &mirrored.debriefed(), true);
    }
}
