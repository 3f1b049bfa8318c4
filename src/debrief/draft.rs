//! What a recording shows that belongs into its briefing.

use super::analyse::{self, DebriefError, Options};
use super::assemble;
use super::document::{Attempt, Ending};
use super::runway_used::{self, Found};
use crate::airfields::{Airfields, listed};
use crate::briefing::Briefing;
use crate::briefing::draft::{Draft, DraftAttempt, DraftRunway, code_of_aircraft, code_of_person};
use crate::cleaning::CleanTrack;
use crate::flight_path::setting::AimSource;
use crate::reading::Recording;

/// Runways this near to the track are named where none was used, NM.
const NEAR_TRACK_NM: f64 = 5.0;
/// Most airfields named.
const MOST_NAMED: usize = 6;

/// Drafts the briefing of `recording`; `airfields` in place of the program's table of runways.
///
/// # Errors
/// A recording that cannot be used.
pub fn draft(
    recording: &Recording,
    options: &Options,
    airfields: Option<&Airfields>,
) -> Result<Draft, DebriefError> {
    let table = airfields.unwrap_or_else(|| Airfields::embedded());
    let analysis = analyse::analyse(recording, &Briefing::default(), options, airfields)?;
    let found = runway_used::runways_used(&analysis, table);
    let setting = &analysis.setting;
    let touched = setting.aim == AimSource::Touchdown;
    let touchdown_deg =
        touched.then(|| (setting.frame.latitude_deg(), setting.frame.longitude_deg()));
    let landing_true_deg = setting
        .landing_true_deg
        .filter(|_| touched)
        .map(|deg| deg.round() % 360.0);
    let near = found
        .is_empty()
        .then(|| near(&analysis.track, table))
        .flatten();
    let holds_altitude = analysis.track.holds_altitude();
    let usual_glide = analysis.best_glide_from_recording;
    let document = assemble::document(recording, "", analysis);
    let says = |label: &str| {
        let mut about = recording.about.iter();
        about
            .find(|(known, _)| known == label)
            .map(|(_, text)| text.as_str())
    };
    Ok(Draft {
        file: recording.file_name.clone(),
        start_utc: document.recording.start_utc.clone(),
        runway: found.first().map(|found| runway(found, table)),
        other_runways: others(&found),
        near,
        touchdown_deg,
        landing_true_deg,
        ground_ft: holds_altitude
            .then_some(document.reference.aim_elevation_ft)
            .flatten(),
        registration: says("aircraft registration").and_then(code_of_aircraft),
        pilot: says("pilot").and_then(code_of_person),
        usual_glide_kcas: document.reference.best_glide_kcas.filter(|_| usual_glide),
        attempts: document.attempts.iter().map(attempt).collect(),
    })
}

fn runway(found: &Found, table: &Airfields) -> DraftRunway {
    let used = &found.runways[0];
    let landing = &used.landing;
    let name = format!("runway {} of {}", landing.runway, landing.airfield);
    let how = if found.flown.landed {
        let past_ft = (used.past_threshold_ft / 10.0).round() * 10.0;
        let from = if past_ft < 0.0 { "before" } else { "past" };
        format!(
            "Landed on {name}, on the ground {:.0} ft {from} its threshold",
            past_ft.abs()
        )
    } else {
        format!("Lined up with {name} and went around")
    };
    DraftRunway {
        airfield: landing.airfield.clone(),
        runway: landing.runway.clone(),
        how,
        elevation_ft: landing.spot(0.0).elevation_ft,
        landing_true_deg: (landing.landing_true_deg * 10.0).round() / 10.0 % 360.0,
        caution: format!("The runway is from {}", table.caution()),
    }
}

fn others(found: &[Found]) -> Vec<String> {
    let mut flags: Vec<String> = found
        .iter()
        .flat_map(|found| &found.runways)
        .skip(1)
        .map(|used| used.landing.as_flag(0.0))
        .collect();
    flags.dedup();
    flags
}

fn near(track: &CleanTrack, table: &Airfields) -> Option<String> {
    let fixes = track.fixes.iter();
    let places: Vec<(f64, f64)> = fixes.map(|f| (f.latitude_deg, f.longitude_deg)).collect();
    let near = listed(&table.along(&places, NEAR_TRACK_NM), MOST_NAMED)?;
    Some(format!("within {NEAR_TRACK_NM:.0} NM of the track: {near}"))
}

fn attempt(attempt: &Attempt) -> DraftAttempt {
    let point = |kind: &str| attempt.key_points.iter().find(|point| point.kind == kind);
    let instant = |kind: &str| point(kind).and_then(|p| p.utc.value());
    let clock = |utc: &String| utc.get(11..19).unwrap_or_default().to_owned();
    let reduction_utc = instant("power_reduction").unwrap_or_default();
    let height = point("power_reduction").and_then(|p| p.height_ft.value());
    let height = height.map_or_else(String::new, |ft| {
        format!(" at {ft:.0} ft above the ground there")
    });
    let end = match attempt.ending {
        Ending::Touchdown => instant("touchdown").map(|utc| format!("touchdown {}Z", clock(&utc))),
        Ending::GoAround => instant("go_around").map(|utc| format!("go-around {}Z", clock(&utc))),
        Ending::EndOfRecording => Some("the recording ends in it".to_owned()),
    };
    DraftAttempt {
        what: format!(
            "power off {}Z{height}{}",
            clock(&reduction_utc),
            end.map_or_else(String::new, |end| format!(", {end}"))
        ),
        reduction_utc,
    }
}
