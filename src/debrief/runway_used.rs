//! The runway that a recording landed on, or lined up with before a go-around: told, never taken.

use super::analyse::Analysis;
use super::document::Ending;
use crate::airfields::{Airfields, Flown, Used};
use crate::flight_path::Motion;
use crate::flight_path::setting::AimSource;
use crate::units::M_PER_FT;

/// Slower than this over ground on the way to a stop is a rollout, m/s (39 kt).
const ROLLOUT_MPS: f64 = 20.0;
/// Height lost in the two minutes before a rollout, m: else it was a taxi run.
const DESCENT_M: f64 = 45.0;
/// A go-around from higher than this above the ground tells no runway, m.
const LOW_M: f64 = 1000.0 * M_PER_FT;
/// How long after the power is back the lowest point may be, s.
const STILL_SINKING_S: f64 = 12.0;
/// Most runways told.
const MOST_TOLD: usize = 3;

/// What was flown to a runway, with the runways that fit, best first.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The landing or low approach.
    pub flown: Flown,
    /// Runways that fit; at least one.
    pub runways: Vec<Used>,
}

/// The runways used: those landed on, first those of attempts; where nothing landed, those of go-arounds.
/// Each once.
pub fn runways_used(analysis: &Analysis, airfields: &Airfields) -> Vec<Found> {
    let mut found = distinct(landings(analysis), airfields);
    if found.is_empty() {
        found = distinct(go_arounds(analysis), airfields);
    }
    found.truncate(MOST_TOLD);
    found
}

/// The warning that names them, where the briefing has no aim.
pub(super) fn suggestion(analysis: &Analysis, airfields: Option<&Airfields>) -> Option<String> {
    if analysis.setting.aim == AimSource::Briefing {
        return None;
    }
    let table = airfields.unwrap_or_else(|| Airfields::embedded());
    let found = runways_used(analysis, table);
    let first = found.first()?;
    let what: Vec<String> = found.iter().map(told).collect();
    let best = &first.runways[0].landing;
    Some(format!(
        "{}: if that was the aim, add `--runway {}` (`--runway {}` for a mark 500 ft past the threshold); not applied on its own ({})",
        what.join("; "),
        best.as_flag(0.0),
        best.as_flag(500.0),
        table.caution()
    ))
}

fn told(found: &Found) -> String {
    let best = &found.runways[0];
    let name = format!(
        "runway {} of {}",
        best.landing.runway, best.landing.airfield
    );
    let what = if found.flown.landed {
        format!("the recording landed on {name}")
    } else {
        format!("the recording lined up with {name} and went around")
    };
    let others: Vec<String> = found.runways[1..]
        .iter()
        .map(|used| used.landing.as_flag(0.0))
        .collect();
    if others.is_empty() {
        what
    } else {
        format!("{what} (or {}, whose line is as near)", others.join(", "))
    }
}

fn distinct(flown: Vec<Flown>, airfields: &Airfields) -> Vec<Found> {
    let mut out: Vec<Found> = Vec::new();
    for flown in flown {
        let runways = airfields.used(&flown);
        let Some(best) = runways.first() else {
            continue;
        };
        let same = |other: &Found| {
            let other = &other.runways[0].landing;
            (&other.airfield, &other.runway) == (&best.landing.airfield, &best.landing.runway)
        };
        if !out.iter().any(same) {
            out.push(Found { flown, runways });
        }
    }
    out
}

fn flown(analysis: &Analysis, east_m: f64, north_m: f64, track_deg: f64, landed: bool) -> Flown {
    let (latitude_deg, longitude_deg) = analysis
        .setting
        .frame
        .to_latitude_longitude(east_m, north_m);
    Flown {
        latitude_deg,
        longitude_deg,
        track_deg,
        landed,
    }
}

fn at(analysis: &Analysis, motion: &Motion, landed: bool) -> Flown {
    let track_deg = motion.east_mps.atan2(motion.north_mps).to_degrees();
    flown(analysis, motion.east_m, motion.north_m, track_deg, landed)
}

/// Touchdowns of the attempts, then every other rollout.
fn landings(analysis: &Analysis) -> Vec<Flown> {
    let touchdowns = analysis
        .attempts
        .iter()
        .filter(|attempt| attempt.document.ending == Ending::Touchdown)
        .filter_map(|attempt| attempt.median_touchdown);
    let mut out: Vec<Flown> = touchdowns
        .map(|([east_m, north_m], track_deg)| flown(analysis, east_m, north_m, track_deg, true))
        .collect();
    let (from_s, to_s) = analysis.path.mean.span_s();
    if to_s - from_s > 60.0 {
        let points = analysis.path.mean.resampled(from_s, to_s, 1.0);
        out.extend(rollouts(&points).map(|motion| at(analysis, motion, true)));
    }
    out
}

/// The points at which a landing aeroplane has become slow; `points` one a second.
fn rollouts(points: &[Motion]) -> impl Iterator<Item = &Motion> {
    let slow = |motion: &Motion| motion.ground_speed_mps() < ROLLOUT_MPS;
    (1..points.len())
        .filter(move |&i| {
            let before = &points[i.saturating_sub(120)..i];
            let highest_m = before.iter().map(|p| p.height_m).fold(f64::MIN, f64::max);
            slow(&points[i])
                && !slow(&points[i - 1])
                && highest_m - points[i].height_m > DESCENT_M
                && points[i..].iter().take(5).all(slow)
        })
        .map(|i| &points[i])
}

/// The lowest points of the go-arounds, where they are low.
fn go_arounds(analysis: &Analysis) -> Vec<Flown> {
    let path = &analysis.path.mean;
    let (_, last_s) = path.span_s();
    let ended = analysis
        .attempts
        .iter()
        .filter(|attempt| attempt.document.ending != Ending::Touchdown);
    ended
        .filter_map(|attempt| {
            let end_s = attempt.candidate.end_s;
            let to_s = (end_s + STILL_SINKING_S).min(last_s);
            let points = path.resampled(end_s - 3.0, to_s, 1.0);
            let lowest = points
                .iter()
                .min_by(|a, b| a.height_m.total_cmp(&b.height_m))?;
            (lowest.height_m < LOW_M).then(|| at(analysis, lowest, false))
        })
        .collect()
}
