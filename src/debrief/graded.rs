//! The verdicts of a document: the draws of its attempts against the standard that was named.

use super::analyse::{Analysis, Options};
use super::assemble::{APPROACH_BAND_KT, SPEED_BAND_KT};
use super::attempt::AttemptAnalysis;
use super::checklist::checklist;
use super::document::Attempt;
use super::manoeuvre::another_manoeuvre;
use super::sources::channels;
use crate::grading::{About, Evidence, Grade, Recorder, References, grade};
use crate::units::kt;

/// Tolerance on a speed, kt below and above: the standard's, else the usual one.
pub(super) fn speed_band_kt(options: &Options, about: About) -> [f64; 2] {
    let usual = match about {
        About::BestGlide => SPEED_BAND_KT,
        About::Approach => APPROACH_BAND_KT,
    };
    let standard = options.standard.as_ref();
    standard
        .and_then(|s| s.speed_band_kt(about))
        .unwrap_or(usual)
}

/// Grades `attempt`, whose draws are those of `analysed`, where a standard was named.
pub(super) fn add(
    attempt: &mut Attempt,
    analysis: &Analysis,
    analysed: &AttemptAnalysis,
    options: &Options,
) {
    let Some(standard) = &options.standard else {
        return;
    };
    let references = References {
        best_glide_kcas: analysis
            .best_glide_from_briefing
            .then(|| kt(analysis.to_hold_cas_mps)),
        approach_kcas: analysis.briefing.aircraft.approach_kcas,
    };
    let channels = channels(analysis);
    let recorded = |channel: &str| channels.iter().any(|c| c == channel);
    let recorder = Recorder {
        rate_hz: analysis.track.rate_hz(),
        airspeed: recorded("tas") || recorded("ias"),
        pressure_altitude: recorded("pressure_altitude"),
        qnh_known: analysis.setting.qnh_known,
    };
    let measures = &attempt.measures;
    let graded = grade(standard, &references, &recorder, |id| {
        match measures.get(id).and_then(|m| m.reason()) {
            Some(reason) => Evidence::none(reason),
            None => Evidence {
                values: analysed
                    .values
                    .iter()
                    .map(|v| v.get(id).copied().unwrap_or(f64::NAN))
                    .collect(),
                reason: String::new(),
            },
        }
    });
    let another = another_manoeuvre(attempt, &graded, standard);
    attempt.grade = Some(Grade {
        another_manoeuvre: another,
        ..graded
    });
    attempt.checklist = checklist(
        &standard.checklist,
        &analysis.briefing,
        analysed,
        analysis.setting.utc_start_s,
    );
}
