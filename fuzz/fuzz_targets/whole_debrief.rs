//! Fixes of any time, place and height, with any gaps, debriefed: each figure is a number, each interval
//! is in order and holds its value, and it ends in time.
#![no_main]

#[path = "../../tests/hostile/sound.rs"]
mod sound;

use std::time::{Duration, Instant};

use arbitrary::Arbitrary;
use libfuzzer_sys::fuzz_target;
use stillprop::briefing::Briefing;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{AltitudeDatum, Fix, Format, Recording};

/// Longer than any of them takes, with the checks of a fuzz build.
const LONGEST: Duration = Duration::from_secs(60);

#[derive(Debug, Arbitrary)]
struct Flight {
    latitude: i32,
    longitude: i32,
    altitude_m: i16,
    utc_s: u32,
    kind: u8,
    aim: Option<(i16, i16, i16, u16)>,
    steps: Vec<Step>,
}

/// So many fixes of one motion.
#[derive(Debug, Arbitrary)]
struct Step {
    count: u8,
    step_ms: u16,
    /// Motion to the north and east, and up, for each fix.
    north: i8,
    east: i8,
    up: i8,
    turn: i8,
    jump: Option<Jump>,
    airspeed: Option<u8>,
    rpm: Option<u8>,
}

#[derive(Debug, Arbitrary)]
struct Jump {
    seconds: i32,
    north: i32,
    east: i32,
    up_m: i16,
    new_segment: bool,
}

fn recording(flight: &Flight) -> Recording {
    let mut lat = f64::from(flight.latitude) / f64::from(i32::MAX) * 90.0;
    let mut lon = f64::from(flight.longitude) / f64::from(i32::MAX) * 180.0;
    let mut up = f64::from(flight.altitude_m);
    let mut utc_s = f64::from(flight.utc_s);
    let mut segment = 0;
    let mut fixes = Vec::new();
    for step in flight.steps.iter().take(40) {
        if let Some(jump) = &step.jump {
            utc_s += f64::from(jump.seconds) * 1e-3;
            lat += f64::from(jump.north) * 1e-8;
            lon += f64::from(jump.east) * 1e-8;
            up += f64::from(jump.up_m);
            segment += u32::from(jump.new_segment);
        }
        let (mut north, mut east) = (f64::from(step.north), f64::from(step.east));
        for _ in 0..step.count {
            let (sin, cos) = (f64::from(step.turn) * 2e-3).sin_cos();
            (north, east) = (north * cos - east * sin, north * sin + east * cos);
            let step_s = f64::from(step.step_ms) * 1e-3;
            utc_s += step_s;
            lat = (lat + north * step_s * 1e-5).clamp(-90.0, 90.0);
            lon = stillprop::units::wrap_180_deg(lon + east * step_s * 1e-5);
            up = (up + f64::from(step.up) * 0.1 * step_s).clamp(-1000.0, 40_000.0);
            fixes.push(Fix {
                utc_s,
                line: fixes.len() as u32 + 1,
                segment,
                latitude_deg: lat,
                longitude_deg: lon,
                gnss_altitude_m: (flight.kind & 1 == 0).then_some(up as f32),
                pressure_altitude_m: (flight.kind & 2 != 0).then_some(up as f32 + 30.0),
                tas_mps: step.airspeed.map(f32::from),
                engine_rpm: step.rpm.map(|rpm| f32::from(rpm) * 12.0),
                ..Fix::default()
            });
        }
    }
    Recording {
        file_name: "fuzzed.csv".into(),
        format: Format::Csv,
        fixes,
        gnss_datum: AltitudeDatum::Unstated,
        events: Vec::new(),
        notes: Vec::new(),
        about: Vec::new(),
    }
}

fuzz_target!(|flight: Flight| {
    let recording = recording(&flight);
    let mut briefing = Briefing::default();
    if let Some((north, east, elevation_ft, landing)) = flight.aim {
        let first = recording.fixes.first().copied().unwrap_or_default();
        briefing.aim.latitude_deg =
            Some((first.latitude_deg + f64::from(north) * 1e-5).clamp(-90.0, 90.0));
        briefing.aim.longitude_deg =
            Some(stillprop::units::wrap_180_deg(first.longitude_deg + f64::from(east) * 1e-5));
        briefing.aim.elevation_ft = Some(f64::from(elevation_ft).clamp(-1500.0, 16_000.0));
        briefing.aim.landing_true_deg = Some(f64::from(landing % 361));
    }
    let options = Options { draws: 8, seed: 1, standard: None };
    let start = Instant::now();
    if let Ok(document) = debrief(&recording, &briefing, "", &options) {
        let mut found = sound::faults(&document);
        found.extend(sound::report_faults(&document));
        assert!(found.is_empty(), "\n{}", found.join("\n"));
    }
    assert!(start.elapsed() < LONGEST, "took {:?}", start.elapsed());
});
