//! The sample recordings: their reports are current, and their figures are what was flown.

mod current;
mod labels;
mod remarks;
mod truth;

use std::path::{Path, PathBuf};

/// Names of the sample recordings.
const SAMPLES: [&str; 6] = [
    "one-orbit-landed-long.igc",
    "two-orbits-avionics.csv",
    "go-around-500-ft.gpx",
    "low-slow-landed-short.gpx",
    "three-attempts-circuits.csv",
    "strong-wind-two-go-arounds.csv",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sample(name: &str) -> PathBuf {
    root().join("sample-tracks").join(name)
}

/// Whether the files that hold our figures are to be written anew.
fn update() -> bool {
    std::env::var_os("UPDATE_REPORTS").is_some_and(|value| value == "1")
}
