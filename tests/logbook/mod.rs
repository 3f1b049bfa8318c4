//! The logbook as a file: what it keeps, what it forgets, and what happens when it cannot be used.

mod faults;
mod keeping;

use std::fs;
use std::path::{Path, PathBuf};

use stillprop::debrief::Debrief;
use stillprop::debrief::document::{GlideEnergy, KeyPoint};
use stillprop::logbook::{Access, Kept, Logbook};
use stillprop::quantity::Measured;

use crate::report::documents;

/// An empty folder for one test.
fn folder(test: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("logbook-{test}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// An invented debrief of recording `number` by `pilot` in `registration`.
fn debrief(number: u32, pilot: &str, registration: &str) -> Debrief {
    let mut debrief = documents::debrief(vec![documents::attempt(1), documents::attempt(2)]);
    debrief.recording.sha256 = format!("{number:064x}");
    debrief.recording.file = format!("flight-{number}.igc");
    let day = format!("2026-{:02}-{:02}", 1 + number / 28 % 12, 1 + number % 28);
    debrief.recording.start_utc = format!("{day}T09:00:00.000Z");
    debrief.reference.pilot = Some(pilot.into());
    debrief.reference.instructor = Some("I-02".into());
    debrief.reference.registration = Some(registration.into());
    for (i, attempt) in debrief.attempts.iter_mut().enumerate() {
        let utc = format!("{day}T09:{:02}:00.000Z", 10 + 10 * i);
        let point = attempt
            .key_points
            .iter_mut()
            .find(|p| p.kind == "power_reduction");
        let known = Measured::Known {
            value: utc.clone(),
            low: utc.clone(),
            high: utc.clone(),
        };
        match point {
            Some(KeyPoint { utc, .. }) => *utc = known,
            None => panic!("no power reduction"),
        }
        attempt.glide_energy = vec![GlideEnergy {
            flap: "clean".into(),
            from_utc: utc,
            seconds: 120.0,
            lost_ft: 1600.0,
            parasite_ft: 15_000.0,
            induced_ft: 15_000.0,
            turning_ft: 900.0,
            distance_ft: 15_000.0,
            sd_ft: 60.0,
            tas_over_cas: 1.04,
        }];
    }
    debrief
}

fn keep(logbook: &mut Logbook, debrief: &Debrief) {
    logbook
        .keep(&Kept {
            debrief,
            method: 1,
            inputs_sha256: "inputs",
        })
        .unwrap();
}

/// A logbook of `n` recordings by `P-07` and as many by `P-11`.
fn filled(path: &Path, n: u32) -> Logbook {
    let mut logbook = Logbook::open(path, Access::Write).unwrap();
    for i in 0..n {
        keep(&mut logbook, &debrief(2 * i, "P-07", "Trainer 3"));
        keep(&mut logbook, &debrief(2 * i + 1, "P-11", "Trainer 4"));
    }
    logbook
}
