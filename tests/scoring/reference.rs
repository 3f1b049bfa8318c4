//! The reference flights are whole, and scoring them gives what a reader can check by hand.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use stillprop::briefing;
use stillprop::reading::{ReadOptions, read};

use crate::truth::reference::motion::Motion;
use crate::truth::reference::scoring::score;
use crate::truth::reference::{Attempt, Flight, GoAround, Recording, flights, folder};

const NAMES: &str = "time,height,north,east,wind_north,wind_east,sink,cas\n";

/// Two minutes due north at 40 m/s into 5 m/s of wind, down at 4 m/s from 1,000 m, CAS 36 m/s.
fn straight() -> Motion {
    let first = "0,1000000,40000,0,-5000,0,4000,36000\n";
    let then = "200,-800,0,0,0,0,0,0\n".repeat(600);
    Motion::read(&format!("{NAMES}{first}{then}")).unwrap()
}

#[test]
fn averages_of_a_straight_glide() {
    let window = straight().window(10.1, 70.3).unwrap().unwrap();
    let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-3, "{got}, not {wanted}");
    near(window.cas_mean_kt, 69.9784);
    near(window.cas_sd_kt, 0.0);
    near(window.descent_fpm, 787.402);
    near(window.air_sink_fpm, 787.402);
    near(window.ratio_air, 45.0 / 4.0);
    near(window.ratio_ground, 40.0 / 4.0);
}

#[test]
fn speed_that_is_lost_counts_as_sink() {
    // 40 m/s to 34 m/s in 60 s at one height: (1600 - 1156) / (2 g 60) = 0.3773 m/s
    let table = format!(
        "{NAMES}0,500000,40000,0,0,0,0,38000\n{}",
        "200,0,-20,0,0,0,0,0\n".repeat(300)
    );
    let window = Motion::read(&table)
        .unwrap()
        .window(0.0, 60.0)
        .unwrap()
        .unwrap();
    assert!((window.air_sink_fpm - 0.3773 / 0.3048 * 60.0).abs() < 0.01);
}

#[test]
fn a_window_needs_ten_seconds_and_motion_that_was_kept() {
    assert!(straight().window(10.0, 19.0).unwrap().is_none());
    assert!(straight().window(100.0, 140.0).is_err());
}

#[test]
fn turns_are_told_from_the_course_through_the_air() {
    let (radius, rate) = (40.0, 10f64.to_radians());
    let mut table = NAMES.to_owned();
    let mut before = [0i64; 8];
    for i in 0..=180 {
        let t = 0.2 * f64::from(i);
        let (north, east) = (radius * (rate * t).cos(), radius * (rate * t).sin());
        let now = [t, 500.0 - 5.0 * t, north - 8.0, east, -8.0, 0.0, 5.0, 36.0]
            .map(|x| (x * 1000.0).round() as i64);
        let change: Vec<String> = now
            .iter()
            .zip(before)
            .map(|(n, b)| (n - b).to_string())
            .collect();
        table += &(change.join(",") + "\n");
        before = now;
    }
    let motion = Motion::read(&table).unwrap();
    assert!((motion.turned_deg((0.0, 36.0), (0.0, 5000.0)) - 360.0).abs() < 0.1);
    // 164 ft above and below 1,312 ft: 20 s of 10 degrees each
    let turned_deg = motion.turned_deg((0.0, 36.0), (1148.3, 1476.4));
    assert!((turned_deg - 200.0).abs() < 4.0, "{turned_deg}");
    let wind_kt = motion.wind_kt(0.0, 36.0, 1312.0).unwrap();
    assert!((wind_kt[0] + 15.55).abs() < 0.01 && wind_kt[1].abs() < 1e-9);
}

/// A glide from 20 s to 100 s of the straight flight, recorded by stamps half a second late.
fn flight() -> Flight {
    Flight {
        start_utc_s: 1_777_777_200.0,
        recordings: vec![Recording {
            file: "none.igc".into(),
            rate_hz: 1.0,
            stamps_late_s: 0.5,
            first_fix_s: 0.0,
            last_fix_s: 120.0,
        }],
        attempts: vec![Attempt {
            power_reduction_s: 20.0,
            end_s: 100.0,
            power_reduction_height_ft: 3018.0,
            settling_time_s: Some(12.0),
            orbits: None,
            bank_max_deg: None,
            wind_bands_from_ft: vec![2500.0],
            abeam: None,
            touchdown: None,
            go_around: Some(GoAround {
                time_s: 100.0,
                height_ft: 1968.5,
            }),
        }],
        motion: straight(),
    }
}

/// A figure with an interval of two to either side.
fn figure(value: f64) -> Value {
    json!({"value": value, "low": value - 2.0, "high": value + 2.0})
}

/// Found at second `second` of the flight, by the recorder's stamps.
fn found(second: u32) -> Value {
    let at = |s: u32| format!("2026-05-03T03:{:02}:{:02}.5Z", s / 60, s % 60);
    let instant = |s: u32| json!({"value": at(s), "low": at(s - 1), "high": at(s + 1)});
    json!({
        "confidence": 0.9,
        "key_points": [
            {"kind": "power_reduction", "utc": instant(second)},
            {"kind": "go_around", "utc": instant(100)},
        ],
        "steady_glide": {"from_utc": at(40), "to_utc": at(90)},
        "wind": [{"height_ft": 2700.0, "north_kt": figure(0.0), "east_kt": figure(0.0)}],
        "measures": {
            "power_reduction_height_ft": figure(3021.0),
            "settling_time_s": {"value": null, "reason": "never held"},
            "descent_rate_fpm": figure(787.402 * 1.02),
        },
    })
}

#[test]
fn errors_are_what_the_document_says_less_what_was_flown() {
    let flight = flight();
    let document = json!({"attempts": [found(23)]});
    let score = score(&flight, &flight.recordings[0], &document, 7).unwrap();
    assert_eq!((score.findable, score.missed, score.false_ones), (1, 0, 0));
    let row = |figure: &str| *score.rows.iter().find(|row| row.figure == figure).unwrap();
    let start = row("power_reduction_time_s");
    assert!((start.error - 3.0).abs() < 1e-6 && (start.low - 2.0).abs() < 1e-6);
    assert!(row("go_around_time_s").error.abs() < 1e-6);
    let height = row("power_reduction_height_ft");
    assert_eq!(
        (height.error, height.low, height.high, height.seed),
        (3.0, 1.0, 5.0, 7)
    );
    assert!(
        (row("descent_rate_fpm").error - 2.0).abs() < 1e-3,
        "per cent of the truth"
    );
    assert!(score.none.contains(&"settling_time_s") && score.none.contains(&"go_around_height_ft"));
    // straight ahead shows no wind, and what has no truth is not counted
    assert!(score.rows.iter().all(|row| !row.figure.starts_with("wind")));
    assert!(!score.none.contains(&"abeam_height_ft"));
}

#[test]
fn an_attempt_is_missed_or_false_where_nothing_fits() {
    let flight = flight();
    let document = json!({"attempts": [found(82), found(21)]});
    let two = score(&flight, &flight.recordings[0], &document, 0).unwrap();
    assert_eq!((two.missed, two.false_ones), (0, 1));
    let none = score(&flight, &flight.recordings[0], &json!({"attempts": []}), 0).unwrap();
    assert_eq!((none.findable, none.missed, none.rows.len()), (1, 1, 0));
}

#[test]
fn every_reference_flight_is_whole() {
    let flights = flights().unwrap();
    let mut there = BTreeSet::new();
    for (number, flight) in flights.iter().enumerate() {
        assert!(!flight.attempts.is_empty() && !flight.recordings.is_empty());
        for attempt in &flight.attempts {
            let kept = flight
                .motion
                .between(attempt.power_reduction_s - 60.0, attempt.end_s + 10.0);
            let wanted = attempt.end_s + 10.0 - (attempt.power_reduction_s - 60.0).max(0.1);
            assert!(
                kept.len() as f64 * 0.2 > wanted - 1.0,
                "flight {}",
                number + 1
            );
            assert!(attempt.touchdown.is_some() != attempt.go_around.is_some());
        }
        for recording in &flight.recordings {
            let (bytes, notes) = recording.read().unwrap();
            briefing::parse(&notes, &recording.file).unwrap();
            let read = read(&bytes, &recording.file, &ReadOptions::default()).unwrap();
            let seconds = recording.last_fix_s - recording.first_fix_s;
            let fixes = seconds * recording.rate_hz;
            let share = read.fixes.len() as f64 / fixes;
            assert!(
                (0.85..1.1).contains(&share),
                "{}: {share} of the fixes",
                recording.file
            );
            there.insert(recording.file.clone());
        }
    }
    let files: BTreeSet<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".gz") && !name.contains(".motion."))
        .collect();
    assert_eq!(
        there, files,
        "recordings named in the flights, recordings in the folder"
    );
}
