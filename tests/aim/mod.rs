//! The aim made easy: runways from a table, coordinates in many spellings, magnetic directions, a drafted briefing.
//! Places are invented; only the table of the program is real, and only its form is looked at.

mod brief;
mod runways;
mod suggested;
mod table;

use std::fmt::Write as _;

use serde_json::Value;
use stillprop::geodesy::LocalFrame;

use crate::cli::program::Said;
use crate::cli::{Folder, sample};

const M_PER_FT: f64 = 0.3048;

/// A line of a table: a runway whose landing direction, from the end of name `ends.0`, is `landing_deg`, and on
/// which the place `aim_deg` is `past_ft` after the threshold.
fn line(
    airfield: &str,
    ends: (&str, &str),
    aim_deg: (f64, f64),
    landing_deg: f64,
    (past_ft, length_ft, elevation_ft): (f64, f64, f64),
) -> String {
    let frame = LocalFrame::new(aim_deg.0, aim_deg.1, elevation_ft * M_PER_FT);
    let (sin, cos) = landing_deg.to_radians().sin_cos();
    let mut out = format!("{airfield}\t\t{}\t{}\t{length_ft}\t", ends.0, ends.1);
    for along_ft in [-past_ft, length_ft - past_ft] {
        let along_m = along_ft * M_PER_FT;
        let (latitude, longitude) = frame.to_latitude_longitude(along_m * sin, along_m * cos);
        let _ = write!(out, "\t{latitude:.7}\t{longitude:.7}\t{elevation_ft}\t");
    }
    out + "\n"
}

/// The runways of the samples' places: each aim is 500 ft past its threshold.
fn club() -> String {
    let mut out = String::from("# source: an invented club\n# date: 2026-05-01\n");
    let size = |elevation_ft| (500.0, 3000.0, elevation_ft);
    out += &line(
        "ZZAM",
        ("36", "18"),
        (-37.410741, 144.190702),
        0.0,
        size(1432.0),
    );
    out += &line(
        "ZZRB",
        ("30", "12"),
        (39.136591, -104.224832),
        303.0,
        size(5485.0),
    );
    // across the first, and the same number a mile east
    out += &line(
        "ZZAM",
        ("09", "27"),
        (-37.4050, 144.1880),
        90.0,
        size(1432.0),
    );
    out += &line(
        "ZZAN",
        ("36", "18"),
        (-37.4107, 144.2120),
        0.0,
        size(1440.0),
    );
    out
}

/// A folder with the landed sample, the sample that went around, both without briefing, and the table.
fn folder(test: &str) -> Folder {
    Folder::new(&format!("aim-{test}"))
        .with(
            "landed.igc",
            std::fs::read(sample("one-orbit-landed-long.igc")).unwrap(),
        )
        .with(
            "around.gpx",
            std::fs::read(sample("go-around-500-ft.gpx")).unwrap(),
        )
        .with("club.txt", club())
}

/// Runs `debrief` to the document with few draws.
fn debrief(folder: &Folder, flight: &str, more: &[&str]) -> (Said, Value) {
    let mut args = vec![
        "debrief",
        flight,
        "--format",
        "json",
        "--out",
        "-",
        "--draws",
        "30",
        "--runways",
        "club.txt",
    ];
    args.extend(more);
    let said = folder.run(&args);
    let document = serde_json::from_str(&said.stdout).unwrap_or(Value::Null);
    (said, document)
}

#[track_caller]
fn about(document: &Value, path: &str, expected: f64, tolerance: f64) {
    let found = document.pointer(path).and_then(Value::as_f64);
    let found = found.unwrap_or_else(|| panic!("{path} is not a number"));
    assert!(
        (found - expected).abs() <= tolerance,
        "{path}: {found}, expected {expected}"
    );
}
