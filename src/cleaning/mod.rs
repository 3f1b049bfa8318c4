//! Stage 2: [`Recording`] → [`CleanTrack`]. Knows how recorders err, no aviation.
//!
//! Fixes come out in order of time, each instant once, without those that contradict
//! their neighbours; what went is counted and said. Nothing is smoothed or made up:
//! the fixes that stay are as the recorder wrote them, but for time stamps that had
//! lost their fractions (see [`CleanTrack::spread_stamps`]).

mod error;
mod gaps;
mod order;
mod parts;
mod plane;
mod quanta;
mod spikes;
mod stamps;
mod steps;
mod stuck;

pub use self::error::{CleanError, CleanProblem};
pub use self::gaps::Gap;

use std::ops::RangeInclusive;

use crate::reading::{AltitudeDatum, Fix, Note, Notes, Recording};

/// A recording without its defects.
#[derive(Debug, Clone, PartialEq)]
pub struct CleanTrack {
    /// In order of time, no instant twice.
    pub fixes: Vec<Fix>,
    /// Stretches without fixes, in order of time.
    pub gaps: Vec<Gap>,
    /// What GNSS altitudes are measured from, as the recording says.
    pub gnss_datum: AltitudeDatum,
    /// Middle time between fixes, s.
    pub median_step_s: f64,
    /// All time stamps are whole seconds (of the recording as it was read).
    pub stamps_whole_seconds: bool,
    /// Several fixes to each second had the same stamp; they were spread over the second.
    pub spread_stamps: bool,
    /// Step of the time stamps, s: the largest of which all are multiples; `None` if finer than a millisecond.
    pub stamp_quantum_s: Option<f64>,
    /// Step of latitudes, degrees; `None` where none shows.
    pub latitude_quantum_deg: Option<f64>,
    /// Step of longitudes, degrees; `None` where none shows.
    pub longitude_quantum_deg: Option<f64>,
    /// Step of GNSS altitudes, m; `None` where none shows, or there are none.
    pub gnss_altitude_quantum_m: Option<f64>,
    /// Step of pressure altitudes, m; `None` where none shows, or there are none.
    pub pressure_altitude_quantum_m: Option<f64>,
    /// Fixes of the recording that are not among `fixes`.
    pub dropped_fixes: u32,
    /// What was dropped or repaired here; [`Recording::notes`] tells what reading dropped.
    pub notes: Vec<Note>,
}

impl CleanTrack {
    /// The gaps long enough to hide what happened in them: more than five seconds, and three steps.
    pub fn long_gaps(&self) -> impl Iterator<Item = Gap> + '_ {
        let long_s = gaps::long_s(self.median_step_s);
        self.gaps
            .iter()
            .copied()
            .filter(move |gap| gap.length_s() > long_s)
    }

    /// Fixes a second, by the median step; zero where there is none.
    pub fn rate_hz(&self) -> f64 {
        if self.median_step_s > 0.0 {
            1.0 / self.median_step_s
        } else {
            0.0
        }
    }

    /// Whether any fix has an altitude.
    pub fn holds_altitude(&self) -> bool {
        self.fixes
            .iter()
            .any(|f| f.gnss_altitude_m.is_some() || f.pressure_altitude_m.is_some())
    }
}

/// Puts a recording in order and takes out what cannot be true.
///
/// # Errors
///
/// One fix only, or a recorder that never moved.
pub fn clean(recording: &Recording) -> Result<CleanTrack, CleanError> {
    cleaned(recording, recording.fixes.clone())
}

/// The same with the fixes taken out of the recording, where it is needed no more: those of a long one are tens of
/// megabytes.
///
/// # Errors
///
/// As for [`clean`].
pub fn clean_taken(recording: &mut Recording) -> Result<CleanTrack, CleanError> {
    let fixes = std::mem::take(&mut recording.fixes);
    cleaned(recording, fixes)
}

/// `fixes` are those of `recording`.
fn cleaned(recording: &Recording, mut fixes: Vec<Fix>) -> Result<CleanTrack, CleanError> {
    let fail = |problem| CleanError {
        file_name: recording.file_name.clone(),
        problem,
    };
    let mut notes = Notes::default();
    let read = fixes.len();
    fixes.retain(is_usable);
    for fix in &mut fixes {
        if fix.leave_out_impossible() {
            notes.remark(fix.line, "a value out of any range, left out");
        }
    }
    let stamps_whole_seconds = quanta::are_whole_seconds(&fixes);
    order::put_in_order(&mut fixes, &mut notes);
    let spread_stamps = stamps_whole_seconds && stamps::spread(&mut fixes, &mut notes);
    order::drop_duplicates(&mut fixes, &mut notes);
    parts::keep_the_longest(&mut fixes, &mut notes);
    if fixes.len() < 2 {
        return Err(fail(CleanProblem::OneFix {
            fixes: fixes.len() as u32,
        }));
    }
    stuck::drop_stuck(&mut fixes, &mut notes);
    let stamp_quantum_s = quanta::stamp_quantum_s(&fixes);
    spikes::drop_spikes(&mut fixes, stamp_quantum_s.unwrap_or(0.0), &mut notes);
    steps::drop_pressure_steps(&mut fixes, &mut notes);
    if fixes.len() < 2 {
        return Err(fail(CleanProblem::OneFix {
            fixes: fixes.len() as u32,
        }));
    }
    if let Some(problem) = plane::never_moved(&fixes) {
        return Err(fail(problem));
    }
    let median_step_s = gaps::median_step_s(&fixes);
    let of =
        |value: fn(&Fix) -> Option<f64>| -> Vec<f64> { fixes.iter().filter_map(value).collect() };
    Ok(CleanTrack {
        gaps: gaps::find(&fixes, median_step_s),
        gnss_datum: recording.gnss_datum,
        median_step_s,
        stamps_whole_seconds,
        spread_stamps,
        stamp_quantum_s,
        latitude_quantum_deg: quanta::angle_quantum_deg(&of(|f| Some(f.latitude_deg))),
        longitude_quantum_deg: quanta::angle_quantum_deg(&of(|f| Some(f.longitude_deg))),
        gnss_altitude_quantum_m: quanta::altitude_quantum_m(&of(|f| {
            f.gnss_altitude_m.map(f64::from)
        })),
        pressure_altitude_quantum_m: quanta::altitude_quantum_m(&of(|f| {
            f.pressure_altitude_m.map(f64::from)
        })),
        dropped_fixes: read.saturating_sub(fixes.len()) as u32,
        notes: notes.into_list(),
        fixes,
    })
}

/// Times that a calendar has: the years 1 to 9999 (RFC 3339 writes years with four digits), s since 1970.
const CALENDAR_S: RangeInclusive<f64> = -62_135_596_800.0..=253_402_300_799.0;

/// Reading lets no others through; recordings made by hand might.
fn is_usable(fix: &Fix) -> bool {
    CALENDAR_S.contains(&fix.utc_s) && fix.latitude_deg.is_finite() && fix.longitude_deg.is_finite()
}

#[cfg(test)]
mod tests;
