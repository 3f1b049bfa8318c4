//! Draws → document: medians, intervals, names.

use std::collections::BTreeMap;

use super::analyse::Analysis;
use super::attempt::{AttemptAnalysis, AttemptEnd};
use super::detective;
use super::document::{Attempt, Debrief, Ending, NotAnAttempt, RecordingSummary, SCHEMA, Stretch};
use super::gaps::{self, Lost};
use super::glide_energy;
use super::instants::rfc3339;
use super::key_points::key_points;
use super::legs::legs;
use super::reach::in_hand;
use super::reasons::reason;
use super::remarks::remarks;
use super::series::{series, series_steps};
use super::sources::{channels, height_reference, reference};
use super::winds::wind;
use crate::cleaning::CleanTrack;
use crate::flight_path::setting::AimSource;
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::{Measured, from_draws};
use crate::reading::Recording;
use crate::units::ft;

/// Tolerance around best glide drawn and measured when no standard is chosen, kt below and above:
/// FAA-S-ACS-6C and 7B, Area IX Task B (±10 kt).
pub const SPEED_BAND_KT: [f64; 2] = [10.0, 10.0];
/// The same around approach speed on final: FAA-S-ACS-6C, Area IV Task B (−5 to +10 kt; memory).
pub const APPROACH_BAND_KT: [f64; 2] = [5.0, 10.0];

/// What is said of a recording of places and times only.
const NO_ALTITUDE: &str = "the recording holds no altitude: without heights no glide can be told from level flight, and no attempt was looked for; export the flight again with its altitudes, or use the file of another recorder";

/// What is said of one that has a vertical speed besides.
const SUMMED_UP: &str = "the recording holds no altitude: heights are summed up from its vertical speed; export the flight again with its altitudes, or use the file of another recorder";

/// The cautions every report carries.
pub const CAUTIONS: [&str; 6] = [
    "For review on the ground: not for navigation or use in flight.",
    "The aircraft's handbook, local regulations (minimum heights, low flying), a qualified instructor and the examiner come first.",
    "Heights are not altimeter readings; airspeed is estimated unless recorded.",
    "Idle is not a stopped engine.",
    "A track shows no look-out, checklists, carburettor heat or people below.",
    "Evidence, not a pass.",
];

/// The document of one recording.
pub fn document(recording: &Recording, sha256: &str, mut analysis: Analysis) -> Debrief {
    let told = std::mem::take(&mut analysis.attempts);
    let (analysis, briefing) = (&analysis, &analysis.briefing);
    let setting = &analysis.setting;
    let track = &analysis.track;
    let start = setting.utc_start_s;
    let (_, last_s) = analysis.path.mean.span_s();
    let dropped: u64 = recording
        .notes
        .iter()
        .chain(&track.notes)
        .map(|n| u64::from(n.dropped_fixes))
        .sum();
    let mut warnings: Vec<String> = Vec::new();
    for note in recording.notes.iter().chain(&track.notes) {
        let place = if note.first_line > 0 {
            match note.count {
                0 | 1 => format!(
                    " (line {}{})",
                    note.first_line,
                    when(track, note.first_line)
                ),
                n => format!(" (first at line {}, {n} in all)", note.first_line),
            }
        } else {
            String::new()
        };
        warnings.push(format!("{}{place}", note.what));
    }
    let suspicions = detective::suspicions(analysis, &told);
    if !suspicions.heights {
        // weighed with the heights of the briefing: worth nothing where those are doubted
        warnings.extend(setting.datum_warning.iter().cloned());
    }
    warnings.extend(setting.warnings.iter().cloned());
    warnings.extend(suspicions.warnings);
    match setting.aim {
        AimSource::Touchdown => warnings.push(
            "no aim point in the briefing: the touchdown itself stands in for it, so distances from the aim say nothing about accuracy".into(),
        ),
        AimSource::None => warnings.push(
            "no aim point in the briefing and no touchdown in the recording: figures about the aim are not measured".into(),
        ),
        AimSource::Briefing => {}
    }
    warnings.extend(analysis.aim_warnings.iter().cloned());
    warnings.extend(gaps::warnings(track, start, &told));
    if !track.holds_altitude() {
        let climbs = track.fixes.iter().any(|f| f.vertical_speed_mps.is_some());
        warnings.push(if climbs { SUMMED_UP } else { NO_ALTITUDE }.into());
    }
    let attempts: Vec<Attempt> = told.into_iter().map(|a| a.document).collect();
    warnings.extend(detective::flown::suspicions(briefing, &attempts));
    Debrief {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        recording: RecordingSummary {
            file: recording.file_name.clone(),
            format: format!("{:?}", recording.format).to_lowercase(),
            fixes: track.fixes.len() as u64,
            dropped,
            rate_hz: track.rate_hz(),
            start_utc: rfc3339(start),
            end_utc: rfc3339(start + last_s),
            sha256: sha256.into(),
            channels: channels(analysis),
        },
        reference: reference(briefing, analysis),
        height_reference: height_reference(analysis),
        warnings,
        attempts,
        not_attempts: analysis
            .rejected
            .iter()
            .map(|c| NotAnAttempt {
                utc: rfc3339(start + c.start_s),
                height_ft: ft(c.start_height_m),
                confidence: c.confidence,
                reason: c.reason.clone().unwrap_or_default(),
            })
            .collect(),
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

/// The document of attempt number `index`, not graded yet.
pub(super) fn attempt(analysis: &Analysis, a: &AttemptAnalysis, index: usize) -> Attempt {
    let start = analysis.setting.utc_start_s;
    let lost = Lost::find(&gaps::long_gaps(&analysis.track, start), &a.draws);
    let mut measures = BTreeMap::new();
    for info in CATALOGUE {
        let drawn: Vec<f64> = a
            .values
            .iter()
            .map(|v| v.get(info.id).copied().unwrap_or(f64::NAN))
            .collect();
        let measured = match lost.reason_for(info.id) {
            Some(why) => Measured::unknown(why),
            None => from_draws(&drawn, &reason(info.id, analysis, a)),
        };
        measures.insert(info.id.to_string(), measured);
    }
    let key_points = key_points(analysis, a, &lost);
    let mut series = series(analysis, a);
    let in_hand = in_hand(analysis, &analysis.briefing, a, &lost, &series_steps(a));
    [
        series.height_in_hand_ft,
        series.height_in_hand_low_ft,
        series.height_in_hand_high_ft,
    ] = in_hand.height_ft;
    Attempt {
        number: index as u32 + 1,
        confidence: a.candidate.confidence,
        ending: match a.end {
            AttemptEnd::Touchdown => Ending::Touchdown,
            AttemptEnd::GoAround => Ending::GoAround,
            AttemptEnd::Recording => Ending::EndOfRecording,
        },
        touched_probability: a.touched_probability,
        legs: legs(start, a),
        key_points,
        steady_glide: a.steady_s.map(|(from, to)| Stretch {
            from_utc: rfc3339(start + from),
            to_utc: rfc3339(start + to),
        }),
        wind: wind(a),
        measures,
        glide_energy: glide_energy::of(analysis, &analysis.briefing, a),
        grade: None,
        checklist: None,
        remarks: remarks(analysis, a),
        events: in_hand.events,
        glide_ring_ft: in_hand.ring_ft,
        in_hand: in_hand.story,
        series,
    }
}

/// When a line was written, as far as the fix after it says: `, 10:21:40 UTC`.
fn when(track: &CleanTrack, line: u32) -> String {
    // cut by fixes in order of time, which need not be that of their lines
    let next = track.fixes.iter().filter(|fix| fix.line >= line);
    let next = next.min_by_key(|fix| fix.line);
    let clock = next.and_then(|fix| rfc3339(fix.utc_s).get(11..19).map(str::to_owned));
    clock.map_or_else(String::new, |clock| format!(", {clock} UTC"))
}
