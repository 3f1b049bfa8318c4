//! Sample recordings made worse: what is lost is said, and the rest stays.

mod cut_short;
mod dates;
mod gaps;
mod no_altitude;

use std::fs;

use jiff::Timestamp;
use stillprop::briefing;
use stillprop::debrief::document::{Attempt, Debrief, KeyPoint};
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, Recording, read};

use super::cli::sample;

/// A sample recording.
fn recording(file: &str) -> Recording {
    let bytes = fs::read(sample(file)).unwrap();
    read(&bytes, file, &ReadOptions::default()).unwrap()
}

/// The debrief of `recording` with the briefing of the sample `file`.
fn debriefed(recording: &Recording, file: &str) -> Debrief {
    let stem = file.rsplit_once('.').unwrap().0;
    let text = fs::read_to_string(sample(&format!("{stem}.briefing.toml"))).unwrap();
    let briefing = briefing::parse(&text, file).unwrap();
    debrief(recording, &briefing, "", &Options::default()).unwrap()
}

fn key_point<'a>(attempt: &'a Attempt, kind: &str) -> &'a KeyPoint {
    attempt.key_points.iter().find(|k| k.kind == kind).unwrap()
}

/// When, seconds since 1970.
fn utc_s(point: &KeyPoint) -> f64 {
    let utc: Timestamp = point.utc.value().unwrap().parse().unwrap();
    utc.as_millisecond() as f64 / 1000.0
}
