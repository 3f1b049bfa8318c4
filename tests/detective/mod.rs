//! Briefings with a slip, held against the track: the likely cause and the fix are told, and good ones are let be.

mod good_briefings;
mod observability;
mod spoilt_briefings;

use std::fs;
use std::path::Path;

use stillprop::briefing;
use stillprop::debrief::document::Debrief;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};

/// Few draws: the suspicions are of the recording and the smoothed path, not of the draws.
const FEW: Options = Options {
    draws: 20,
    seed: 1,
    standard: None,
};

/// A sample recording and its briefing.
fn sample(file: &str) -> (Vec<u8>, String) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-tracks")
        .join(file);
    let notes = fs::read_to_string(path.with_extension("briefing.toml")).unwrap();
    (fs::read(path).unwrap(), notes)
}

fn debriefed(bytes: &[u8], file: &str, notes: &str, options: &Options) -> Debrief {
    let recording = read(bytes, file, &ReadOptions::default()).unwrap();
    let briefing = briefing::parse(notes, "briefing.toml").unwrap();
    debrief(&recording, &briefing, "", options).unwrap()
}

/// Marks of the warnings that accuse a briefing or a recorder of a slip.
const ACCUSING: [&str; 11] = [
    "latitude_deg = ",
    "elevation_ft = ",
    "qnh_hpa = ",
    "landing_true_deg = ",
    "GNSS altitudes put",
    "but they fit",
    "of the briefing are outside",
    "the METAR (issued",
    "best_glide_kcas = ",
    "glide_ratio = ",
    "the wind of the briefing comes from",
];

/// Warnings that accuse somebody.
fn accusations(debrief: &Debrief) -> Vec<&str> {
    debrief
        .warnings
        .iter()
        .map(String::as_str)
        .filter(|w| ACCUSING.iter().any(|mark| w.contains(mark)))
        .collect()
}

/// `notes` with another value for `key`, or with the key in `[air]` where it was not.
fn with(notes: &str, key: &str, value: &str) -> String {
    let line = format!("{key} = {value}");
    let mut found = false;
    let mut lines: Vec<String> = notes
        .lines()
        .map(|l| {
            if l.starts_with(&format!("{key} =")) {
                found = true;
                line.clone()
            } else {
                l.to_owned()
            }
        })
        .collect();
    if !found {
        let air = lines.iter().position(|l| l == "[air]").unwrap();
        lines.insert(air + 1, line);
    }
    lines.join("\n")
}

/// `notes` without the lines of these keys.
fn without(notes: &str, keys: &[&str]) -> String {
    let has = |line: &str| keys.iter().any(|key| line.starts_with(&format!("{key} =")));
    notes
        .lines()
        .filter(|line| !has(line))
        .collect::<Vec<_>>()
        .join("\n")
}
