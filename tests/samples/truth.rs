//! The figures of the sample recordings against what was flown in the simulation.
//!
//! Six recordings say little about errors in general; they show that nothing is grossly wrong,
//! and the table in `sample-tracks/README.md` shows it to the reader.

use std::fmt::Write as _;
use std::fs;

use jiff::Timestamp;
use serde::Deserialize;
use stillprop::briefing;
use stillprop::debrief::document::{Attempt, Debrief, Ending};
use stillprop::debrief::{self, Options};
use stillprop::quantity::Measured;
use stillprop::reading::{self, ReadOptions};

use super::{SAMPLES, root, sample, update};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Truth {
    recording: Vec<Flown>,
}

/// What was flown in one recording.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Flown {
    file: String,
    wind: Vec<Wind>,
    attempt: Vec<FlownAttempt>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wind {
    height_ft: f64,
    from_deg_true: f64,
    speed_kt: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FlownAttempt {
    power_reduction_utc: String,
    power_reduction_height_ft: f64,
    orbits: f64,
    abeam_height_ft: Option<f64>,
    ending: Ending,
    touchdown_along_ft: Option<f64>,
    touchdown_across_ft: Option<f64>,
    touchdown_cas_kt: Option<f64>,
    go_around_height_ft: Option<f64>,
    glide_time_s: f64,
}

impl FlownAttempt {
    /// Each figure: measure, truth, how far outside the stated 95 % interval it may be, and how wide
    /// half the interval may be. A recorder that knows little may say so, within reason.
    fn figures(&self) -> Vec<(&'static str, f64, f64, f64)> {
        [
            (
                "power_reduction_height_ft",
                Some(self.power_reduction_height_ft),
                15.0,
                100.0,
            ),
            ("orbits", Some(self.orbits), 0.35, 0.5),
            ("abeam_height_ft", self.abeam_height_ft, 15.0, 100.0),
            ("touchdown_along_ft", self.touchdown_along_ft, 50.0, 400.0),
            ("touchdown_across_ft", self.touchdown_across_ft, 15.0, 60.0),
            ("touchdown_cas_kt", self.touchdown_cas_kt, 2.0, 12.0),
            ("go_around_height_ft", self.go_around_height_ft, 15.0, 100.0),
            ("glide_time_s", Some(self.glide_time_s), 1.5, 20.0),
        ]
        .into_iter()
        .filter_map(|(id, truth, beyond, widest)| Some((id, truth?, beyond, widest)))
        .collect()
    }
}

fn truth() -> Vec<Flown> {
    let text = fs::read_to_string(sample("truth.toml")).unwrap();
    toml::from_str::<Truth>(&text).unwrap().recording
}

pub(super) fn debriefed(file: &str) -> Debrief {
    let stem = file.rsplit_once('.').unwrap().0;
    let notes = fs::read_to_string(sample(&format!("{stem}.briefing.toml"))).unwrap();
    let briefing = briefing::parse(&notes, file).unwrap();
    let recording = reading::read(
        &fs::read(sample(file)).unwrap(),
        file,
        &ReadOptions::default(),
    )
    .unwrap();
    debrief::debrief(&recording, &briefing, "", &Options::default()).unwrap()
}

fn utc_s(utc: &str) -> f64 {
    utc.parse::<Timestamp>().unwrap().as_millisecond() as f64 / 1000.0
}

#[test]
fn every_attempt_is_found_and_nothing_else() {
    for flown in truth() {
        let debrief = debriefed(&flown.file);
        let found: Vec<Ending> = debrief
            .attempts
            .iter()
            .map(|attempt| attempt.ending)
            .collect();
        let there: Vec<Ending> = flown.attempt.iter().map(|attempt| attempt.ending).collect();
        assert_eq!(found, there, "{}", flown.file);
        for (attempt, flown_attempt) in debrief.attempts.iter().zip(&flown.attempt) {
            let found_s = utc_s(&attempt.key_points[0].utc.value().unwrap());
            let error_s = found_s - utc_s(&flown_attempt.power_reduction_utc);
            assert!(
                error_s.abs() < 3.0,
                "{} attempt {}: power off {error_s:.1} s late",
                flown.file,
                attempt.number
            );
        }
    }
}

#[test]
fn figures_are_what_was_flown() {
    let mut offences = Vec::new();
    for flown in truth() {
        for (attempt, flown_attempt) in matched(&debriefed(&flown.file), &flown) {
            for (id, truth, beyond, widest) in flown_attempt.figures() {
                let Some((low, high)) = attempt.measures[id].interval() else {
                    offences.push(format!("{} {id}: not measured", flown.file));
                    continue;
                };
                if truth < low - beyond || truth > high + beyond || high - low > 2.0 * widest {
                    offences.push(format!(
                        "{} attempt {} {id}: {low:.1} to {high:.1}, flown {truth:.1}",
                        flown.file, attempt.number
                    ));
                }
            }
        }
    }
    assert!(offences.is_empty(), "\n{}", offences.join("\n"));
}

/// Each true attempt with the one that starts nearest.
fn matched<'a>(debrief: &'a Debrief, flown: &'a Flown) -> Vec<(&'a Attempt, &'a FlownAttempt)> {
    let start = |attempt: &Attempt| {
        attempt
            .key_points
            .first()
            .and_then(|p| p.utc.value())
            .map_or(f64::MAX, |utc| utc_s(&utc))
    };
    flown
        .attempt
        .iter()
        .filter_map(|truth| {
            let at = utc_s(&truth.power_reduction_utc);
            let nearest = debrief
                .attempts
                .iter()
                .min_by(|a, b| (start(a) - at).abs().total_cmp(&(start(b) - at).abs()))?;
            ((start(nearest) - at).abs() < 30.0).then_some((nearest, truth))
        })
        .collect()
}

const BEGIN: &str = "<!-- measured: written by `UPDATE_REPORTS=1 cargo test samples` -->\n";
const END: &str = "<!-- end of measured -->\n";

#[test]
fn the_table_of_the_readme_is_current() {
    let path = root().join("sample-tracks/README.md");
    let text = fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once(BEGIN).unwrap();
    let (_, after) = rest.split_once(END).unwrap();
    let current = format!("{before}{BEGIN}{}{END}{after}", tables());
    if update() {
        fs::write(&path, &current).unwrap();
    } else {
        assert!(
            text == current,
            "sample-tracks/README.md: run `UPDATE_REPORTS=1 cargo test samples`"
        );
    }
}

/// What was flown beside what the program says, for people.
fn tables() -> String {
    let mut out = String::from(
        "\n| recording | attempt | figure | flown | stillprop says |\n|---|---|---|---|---|\n",
    );
    let mut winds = String::from(
        "\n| recording | height | mean wind flown | stillprop says |\n|---|---|---|---|\n",
    );
    let truth = truth();
    for flown in SAMPLES
        .iter()
        .filter_map(|name| truth.iter().find(|flown| flown.file == *name))
    {
        let debrief = debriefed(&flown.file);
        for (i, (attempt, flown_attempt)) in matched(&debrief, flown).into_iter().enumerate() {
            for (id, label, unit) in [
                ("power_reduction_height_ft", "power reduction, height", "ft"),
                ("abeam_height_ft", "abeam, height", "ft"),
                ("touchdown_along_ft", "touchdown along", "ft"),
                ("go_around_height_ft", "go-around, least height", "ft"),
            ] {
                let Some((_, truth, ..)) = flown_attempt
                    .figures()
                    .into_iter()
                    .find(|(figure, ..)| *figure == id)
                else {
                    continue;
                };
                let says = interval(&attempt.measures[id], unit);
                let _ = writeln!(
                    out,
                    "| {} | {} | {label} | {truth:.0} {unit} | {says} |",
                    flown.file,
                    i + 1
                );
            }
        }
        wind_rows(&mut winds, flown, &debrief);
    }
    out + &winds + "\n"
}

fn wind_rows(out: &mut String, flown: &Flown, debrief: &Debrief) {
    for truth in flown
        .wind
        .iter()
        .filter(|wind| [500.0, 1000.0, 2000.0].contains(&wind.height_ft))
    {
        let found = debrief
            .attempts
            .iter()
            .flat_map(|a| &a.wind)
            .find(|wind| (wind.height_ft - truth.height_ft).abs() < 1.0);
        let Some(found) = found else { continue };
        let says = match (found.from_deg_true.value(), found.speed_kt.value()) {
            (Some(from), Some(_)) => format!("{from:.0}°, {}", interval(&found.speed_kt, "kt")),
            _ => "not measured".to_owned(),
        };
        let _ = writeln!(
            out,
            "| {} | {:.0} ft | {:.0}°, {:.1} kt | {says} |",
            flown.file, truth.height_ft, truth.from_deg_true, truth.speed_kt
        );
    }
}

fn interval(figure: &Measured, unit: &str) -> String {
    match (figure.value(), figure.interval()) {
        (Some(value), Some((low, high))) => format!("{value:.0} {unit} ({low:.0} to {high:.0})"),
        _ => format!("not measured: {}", figure.reason().unwrap_or_default()),
    }
}
