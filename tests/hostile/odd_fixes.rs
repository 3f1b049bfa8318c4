//! Fixes drawn by chance, given to the whole debrief.

use proptest::prelude::*;
use stillprop::briefing::Briefing;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{AltitudeDatum, Fix, Format, Recording};

use super::sound::faults;

/// One step from a fix to the next: seconds, degrees, metres.
fn step() -> impl Strategy<Value = (f64, f64, f64, f32)> {
    let seconds = prop_oneof![
        6 => Just(1.0),
        2 => 0.0..30.0,
        1 => -100.0..5000.0,
    ];
    let degrees = prop_oneof![8 => -0.0006..0.0006, 1 => -1.0..1.0];
    let metres = prop_oneof![8 => -8.0_f32..6.0, 1 => -3000.0_f32..3000.0];
    (seconds, degrees, -0.0006..0.0006, metres)
}

/// A channel that is there now and then, in or out of its range.
fn channel() -> impl Strategy<Value = Option<f32>> {
    prop_oneof![
        5 => Just(None),
        4 => (0.0_f32..60.0).prop_map(Some),
        1 => any::<f32>().prop_map(Some),
    ]
}

fn recording() -> impl Strategy<Value = Recording> {
    let start = (-90.0..=90.0, -180.0..=180.0, -500.0_f32..9000.0, -1e9..5e9);
    let steps = prop::collection::vec((step(), channel(), channel(), channel()), 2..400);
    (start, steps, any::<bool>()).prop_map(
        |((mut lat, mut lon, mut up, mut utc_s), steps, pressure)| {
            let mut fixes = Vec::with_capacity(steps.len());
            for (line, ((seconds, north, east, climb), speed, tas, rpm)) in
                steps.into_iter().enumerate()
            {
                utc_s += seconds;
                lat = f64::clamp(lat + north, -90.0, 90.0);
                lon = stillprop::units::wrap_180_deg(lon + east);
                up = (up + climb).clamp(-600.0, 15_000.0);
                fixes.push(Fix {
                    utc_s,
                    line: line as u32 + 1,
                    latitude_deg: lat,
                    longitude_deg: lon,
                    gnss_altitude_m: Some(up),
                    pressure_altitude_m: pressure.then_some(up + 40.0),
                    ground_speed_mps: speed,
                    track_deg_true: speed.map(|s| s * 6.0),
                    tas_mps: tas,
                    engine_rpm: rpm.map(|r| r * 40.0),
                    ..Fix::default()
                });
            }
            Recording {
                file_name: "odd.csv".into(),
                format: Format::Csv,
                fixes,
                gnss_datum: AltitudeDatum::Unstated,
                events: Vec::new(),
                notes: Vec::new(),
                about: Vec::new(),
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_was_recorded_is_debriefed_soundly(recording in recording()) {
        let options = Options { draws: 20, seed: 1, standard: None };
        if let Ok(document) = debrief(&recording, &Briefing::default(), "", &options) {
            let found = faults(&document);
            prop_assert!(found.is_empty(), "\n{}", found.join("\n"));
        }
    }
}
