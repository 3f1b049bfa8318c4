//! From a recording to its debrief, stage by stage.

use thiserror::Error;

use super::aim;
use super::air_chains;
use super::assemble;
use super::attempt::{self, AttemptAnalysis, Ground};
use super::document::{Attempt, Debrief};
use super::graded;
use super::instants::rfc3339;
use super::runway_used;
use crate::air::drag::Polar;
use crate::air::{AirFit, Chain, ChainKind, FitOptions, Sample};
use crate::airfields::Airfields;
use crate::atmosphere::SpeedScale;
use crate::attempts::{self, Candidate};
use crate::briefing::{Briefing, BriefingError, Event};
use crate::cleaning::{CleanError, CleanTrack, clean, clean_taken};
use crate::flight_path::setting::{AimSource, FoundAim};
use crate::flight_path::{self, FlightPath, Setting, Window};
use crate::grading::{About, Standard};
use crate::reading::{Format, Recording};
use crate::units::{MPS_PER_KT, wrap_360_deg};

/// Why a recording cannot be debriefed.
#[derive(Debug, Error)]
pub enum DebriefError {
    /// The fixes cannot be used.
    #[error(transparent)]
    Clean(#[from] CleanError),
    /// The briefing cannot be used.
    #[error(transparent)]
    Briefing(#[from] BriefingError),
}

/// How to debrief.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Number of draws: more make smoother intervals and take longer.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// What the attempts are held against.
    pub standard: Option<Standard>,
}

impl Default for Options {
    fn default() -> Self {
        Options {
            draws: 200,
            seed: 1,
            standard: None,
        }
    }
}

/// Everything estimated from one recording, before it is put into words.
#[derive(Debug)]
pub struct Analysis {
    /// The briefing, every event with its time of day.
    pub briefing: Briefing,
    /// Cleaned fixes.
    pub track: CleanTrack,
    /// Frame of all estimates.
    pub setting: Setting,
    /// Motion.
    pub path: FlightPath,
    /// Best glide as flown: speed and ratio.
    pub polar: Polar,
    /// Glide speed to hold, m/s calibrated; where the briefing has none, the speed of `polar`.
    pub to_hold_cas_mps: f64,
    /// Whether the best glide speed came from the briefing.
    pub best_glide_from_briefing: bool,
    /// Whether it is the speed usually held in this recording.
    pub best_glide_from_recording: bool,
    /// Attempts, as the document has them.
    pub attempts: Vec<Told>,
    /// Idle stretches that are not attempts.
    pub rejected: Vec<Candidate>,
    /// What the reader should know of where the aim and its direction came from.
    pub aim_warnings: Vec<String>,
}

/// What is kept of an attempt once its part of the document is made: its draws are many megabytes.
#[derive(Debug)]
pub struct Told {
    /// Where it came from.
    pub candidate: Candidate,
    /// Latest end over its draws, s.
    pub end_s: f64,
    /// Median place of the touchdown, east and north, m, and the track there, degrees true.
    pub median_touchdown: Option<([f64; 2], f64)>,
    /// Its part of the document.
    pub document: Attempt,
}

/// Confidence from which a candidate is an attempt. Above a half: an ordinary approach debriefed as
/// a forced landing misleads more than one left out, which is listed with the reason.
pub const LEAST_CONFIDENCE: f64 = 0.7;
/// Best glide speed taken when the briefing has none and the recording cannot tell, m/s calibrated (68 kt, common practice).
const TYPICAL_BEST_GLIDE_MPS: f64 = 68.0 * MPS_PER_KT;
/// Glide ratio taken when the briefing has none (8 to 10 is the published range for light trainers).
const TYPICAL_GLIDE_RATIO: f64 = 9.0;
/// How far around an attempt every fix is used, s: before, and after.
const WINDOW_S: (f64, f64) = (60.0, 45.0);

/// Debriefs `recording`; `sha256` is the hash of its bytes.
pub fn debrief(
    recording: &Recording,
    briefing: &Briefing,
    sha256: &str,
    options: &Options,
) -> Result<Debrief, DebriefError> {
    let track = clean(recording)?;
    document_of(recording, track, briefing, (sha256, options, None))
}

/// Debriefs `recording`, with `airfields` in place of the program's table of runways. It is let go on the way: a long one
/// takes as much memory as all that is estimated from it.
pub fn debrief_among(
    mut recording: Recording,
    briefing: &Briefing,
    sha256: &str,
    options: &Options,
    airfields: Option<&Airfields>,
) -> Result<Debrief, DebriefError> {
    let track = clean_taken(&mut recording)?;
    document_of(&recording, track, briefing, (sha256, options, airfields))
}

/// Of `recording` only what stands about it beside its fixes is used.
fn document_of(
    recording: &Recording,
    track: CleanTrack,
    briefing: &Briefing,
    (sha256, options, airfields): (&str, &Options, Option<&Airfields>),
) -> Result<Debrief, DebriefError> {
    let mut analysis = analyse_track(recording.format, track, briefing, options, airfields)?;
    analysis
        .aim_warnings
        .extend(runway_used::suggestion(&analysis, airfields));
    let mut document = assemble::document(recording, sha256, analysis);
    let reference = &mut document.reference;
    reference.speed_band_kt = graded::speed_band_kt(options, About::BestGlide);
    reference.approach_band_kt = reference
        .approach_kcas
        .map(|_| graded::speed_band_kt(options, About::Approach));
    Ok(document)
}

/// Estimates everything, with `airfields` in place of the program's table of runways; runs a second time when the aim had to be found from a touchdown.
pub fn analyse(
    recording: &Recording,
    briefing: &Briefing,
    options: &Options,
    airfields: Option<&Airfields>,
) -> Result<Analysis, DebriefError> {
    let track = clean(recording)?;
    analyse_track(recording.format, track, briefing, options, airfields)
}

fn analyse_track(
    format: Format,
    track: CleanTrack,
    briefing: &Briefing,
    options: &Options,
    airfields: Option<&Airfields>,
) -> Result<Analysis, DebriefError> {
    let aim::Resolved { briefing, warnings } = aim::resolved(briefing, &track, airfields)?;
    let mut analysis = analyse_at(format, track, &briefing, options)?;
    analysis.aim_warnings = warnings;
    Ok(analysis)
}

/// The same with an aim that is a place or none.
fn analyse_at(
    format: Format,
    track: CleanTrack,
    briefing: &Briefing,
    options: &Options,
) -> Result<Analysis, DebriefError> {
    let setting = Setting::new(&track, briefing, format, None)?;
    let analysis = analyse_in(track, setting, briefing, options);
    if analysis.setting.aim == AimSource::None
        && let Some(found) = touchdown_as_aim(&analysis)
    {
        let setting = Setting::new(&analysis.track, briefing, format, Some(found))?;
        return Ok(analyse_in(analysis.track, setting, briefing, options));
    }
    Ok(analysis)
}

fn touchdown_as_aim(analysis: &Analysis) -> Option<FoundAim> {
    let (place, landing_true_deg) = analysis
        .attempts
        .iter()
        .rev()
        .find_map(|a| a.median_touchdown)?;
    let (latitude_deg, longitude_deg) = analysis
        .setting
        .frame
        .to_latitude_longitude(place[0], place[1]);
    Some(FoundAim {
        latitude_deg,
        longitude_deg,
        landing_true_deg: wrap_360_deg(landing_true_deg),
    })
}

fn analyse_in(
    track: CleanTrack,
    setting: Setting,
    briefing: &Briefing,
    options: &Options,
) -> Analysis {
    let coarse = flight_path::estimate(&track, &setting);
    let briefed = briefing
        .aircraft
        .best_glide_as_flown_kcas()
        .or(briefing.targets.glide_kcas);
    let mut polar = Polar {
        best_glide_cas_mps: briefed.map_or(TYPICAL_BEST_GLIDE_MPS, |kt| kt * MPS_PER_KT),
        glide_ratio: briefing.aircraft.glide_ratio.unwrap_or(TYPICAL_GLIDE_RATIO),
    };
    let scale = SpeedScale::of(&setting.air);
    let rough = rough_air(&coarse, &setting, &polar, &scale);
    let usual = briefed
        .is_none()
        .then(|| usual_glide_speed(&coarse, rough.as_ref(), &polar, &scale))
        .flatten();
    polar.best_glide_cas_mps = usual.unwrap_or(polar.best_glide_cas_mps);
    let wind = rough.as_ref().map(|r| r.wind.clone()).unwrap_or_default();
    let span = coarse.mean.span_s();
    let trace = attempts::power::trace(&coarse.mean, span, 1.0, &wind, &polar, &scale);
    let aim_known = setting.aim != AimSource::None;
    let engine = attempts::engine::idle_evidence(&coarse.rows, span.0, trace.len());
    let candidates = attempts::find(&trace, &engine, &coarse.mean, aim_known);
    drop(trace);
    let (accepted, mut rejected): (Vec<Candidate>, Vec<Candidate>) = candidates
        .into_iter()
        .partition(|c| c.confidence >= LEAST_CONFIDENCE);

    let to_hold_cas_mps = briefing
        .glide_to_hold_kcas()
        .map_or(polar.best_glide_cas_mps, |kt| kt * MPS_PER_KT);
    let windows: Vec<Window> = accepted
        .iter()
        .map(|c| Window {
            from_s: c.start_s - WINDOW_S.0,
            power_off_s: c.start_s,
            to_s: c.end_s + WINDOW_S.1,
        })
        .collect();
    let path = if windows.is_empty() {
        coarse
    } else {
        flight_path::refine(coarse, &track, &setting, &windows)
    };
    let mut analysis = Analysis {
        briefing: with_events_in_utc(briefing, &setting, accepted.first()),
        track,
        setting,
        path,
        polar,
        to_hold_cas_mps,
        best_glide_from_briefing: briefed.is_some(),
        best_glide_from_recording: usual.is_some(),
        attempts: Vec::new(),
        rejected: Vec::new(),
        aim_warnings: Vec::new(),
    };
    let mut found: Vec<Told> = Vec::new();
    for (index, candidate) in accepted.iter().cloned().enumerate() {
        let ground = Ground {
            track: &analysis.track,
            setting: &analysis.setting,
            path: &analysis.path,
            polar,
            to_hold_cas_mps,
            best_glide_from_briefing: briefed.is_some(),
            rough_wind: &wind,
            candidates: &accepted,
            briefing: &analysis.briefing,
            options,
        };
        match attempt::analyse(&ground, candidate, index) {
            Ok(attempt) => found.push(told(&analysis, attempt, found.len(), options)),
            Err(not) => rejected.push(*not),
        }
    }
    rejected.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    analysis.attempts = found;
    analysis.rejected = rejected;
    analysis
}

/// Attempt number `index` put into words, its draws let go.
fn told(analysis: &Analysis, attempt: AttemptAnalysis, index: usize, options: &Options) -> Told {
    let mut document = assemble::attempt(analysis, &attempt, index);
    graded::add(&mut document, analysis, &attempt, options);
    Told {
        end_s: attempt
            .draws
            .iter()
            .map(|d| d.known.end_s)
            .fold(attempt.candidate.end_s, f64::max),
        median_touchdown: attempt.median_touchdown(),
        candidate: attempt.candidate,
        document,
    }
}

/// The briefing with events that count from the power reduction as events in time of day; without an
/// attempt they have none, and stay.
fn with_events_in_utc(
    briefing: &Briefing,
    setting: &Setting,
    first: Option<&Candidate>,
) -> Briefing {
    let mut briefing = briefing.clone();
    if let Some(first) = first {
        let reduction_utc_s = setting.utc_start_s + first.start_s;
        for event in std::mem::take(&mut briefing.events_after_reduction) {
            briefing.events.push(Event {
                utc: rfc3339(reduction_utc_s + event.seconds),
                what: event.what,
            });
        }
    }
    briefing
}

/// Wind over the whole recording, good enough to see the power, not for figures.
fn rough_air(
    path: &FlightPath,
    setting: &Setting,
    polar: &Polar,
    scale: &SpeedScale,
) -> Option<AirFit> {
    let (from, to) = path.mean.span_s();
    // about a thousand samples, whatever the length
    let step = ((to - from) / 1000.0).max(3.0);
    let samples: Vec<Sample> = path
        .mean
        .resampled(from, to, step)
        .iter()
        .filter(|m| m.height_m > 25.0 && m.ground_speed_mps() > 7.0 && m.ground_speed_mps() < 110.0)
        .map(|m| air_chains::sample(m, &path.rows, polar, scale))
        .collect();
    let options = FitOptions {
        surface_wind_mps: setting.surface_wind_mps,
        glide_tas_mps: (scale.tas_mps(polar.best_glide_cas_mps, 600.0), 8.0),
        approach_tas_mps: None,
        polar: *polar,
        drag_scale_sd: 0.1,
        recorded_bias_sd_mps: 1.0,
        start: None,
    };
    crate::air::fit(
        &[Chain {
            kind: ChainKind::Context,
            samples,
            apart_s: 0.0,
        }],
        &options,
    )
}

/// The calibrated airspeed held in the long idle descents of the recording, m/s.
fn usual_glide_speed(
    path: &FlightPath,
    rough: Option<&AirFit>,
    polar: &Polar,
    scale: &SpeedScale,
) -> Option<f64> {
    let wind = &rough?.wind;
    let span = path.mean.span_s();
    let trace = attempts::power::trace(&path.mean, span, 1.0, wind, polar, scale);
    let power: Vec<f64> = trace.iter().map(|a| a.power_mps).collect();
    let mut speeds: Vec<f64> = attempts::segments::segments(&power, &[])
        .iter()
        .filter(|s| s.idle && s.to - s.from > 30)
        .flat_map(|s| trace[s.from + 15..s.to - 8].iter())
        .filter(|a| a.tas_mps > 22.0)
        .map(|a| scale.cas_mps(a.tas_mps, path.mean.at(a.t_s).height_m))
        .collect();
    if speeds.len() < 20 {
        return None;
    }
    speeds.sort_by(f64::total_cmp);
    Some(speeds[speeds.len() / 2])
}
