//! A comparison drawn and written.

mod page;
mod sheet;
mod table;

pub use page::page_html;
pub use sheet::sheet_svg;
pub use table::{csv, json, table};

use super::number;
use super::panel::over::{Aim, Laid};
use super::wording::{Manner, Wording};
use crate::compare::{Compared, ComparedMeasure, Comparison, Difference, Side};
use crate::measures::catalogue::MeasureInfo;
use crate::measures::usable;
use crate::quantity::Measured;

/// The attempts as they are drawn over one another: north up where all have one aim, else each in its landing
/// direction from its own.
fn laid<'a>(sides: &[Side<'a>], same_aim: bool) -> (Vec<Laid<'a>>, Aim) {
    let landing = |side: &Side<'_>| side.debrief.reference.landing_true_deg;
    let up = |side: &Side<'_>| if same_aim { None } else { landing(side) };
    let laid = sides.iter().map(|side| Laid {
        attempt: side.attempt,
        up_true_deg: up(side).unwrap_or(0.0),
    });
    let first = sides.first().and_then(landing);
    let aim = Aim {
        known: true,
        north_up: same_aim,
        landing_deg: if same_aim { first } else { Some(0.0) },
    };
    (laid.collect(), aim)
}

/// The label of a measure with its unit.
fn label(info: &MeasureInfo, wording: Wording) -> String {
    let label = wording.sentence(info.label);
    match wording.unit(info) {
        "" => label,
        unit => format!("{label}, {unit}"),
    }
}

/// What tells one attempt from the others: date and time, recording, pilot.
fn name(attempt: &Compared, manner: &Manner) -> String {
    let wording = manner.at(&attempt.utc);
    let (day, time) = (
        manner.iso_day(&attempt.utc),
        wording.time_of_day(&attempt.utc),
    );
    let when = format!("{day} {time} {}", wording.zone());
    let who = attempt.pilot.clone().unwrap_or_default();
    let parts = [when, who, format!("{} ({})", attempt.file, attempt.number)];
    let parts: Vec<String> = parts
        .into_iter()
        .filter(|part| !part.trim().is_empty())
        .collect();
    parts.join(", ")
}

/// How many measures really differ from those of the first, of those that both attempts tell; what says the same as
/// another counts once.
fn headline(comparison: &Comparison) -> String {
    let counts: Vec<(usize, usize, usize)> = (1..comparison.attempts.len())
        .map(|i| {
            let both: Vec<bool> = comparison
                .measures
                .iter()
                .filter(|m| m.same_as.is_none() && told_apart(m, i))
                .map(|m| m.differences[i].found)
                .collect();
            let real = both.iter().filter(|found| **found).count();
            (i + 1, real, both.len())
        })
        .collect();
    if let [(_, real, of)] = counts[..] {
        return format!("{real} of {of} measures differ between attempts 1 and 2");
    }
    let counts: Vec<String> = counts
        .iter()
        .map(|(number, real, of)| format!("{real} of {of} (attempt {number})"))
        .collect();
    format!("Measures that differ from attempt 1: {}", counts.join(", "))
}

/// What a mark at a difference means.
const FOUND: &str = "differs from 1, after allowing for the number of measures (of those named, one in twenty is expected not to); \
                     what says the same as another measure counts once above";

/// Whether both the first attempt and attempt number `i`, from 0, tell a value of the measure.
fn told_apart(m: &ComparedMeasure, i: usize) -> bool {
    let told = |measured: &Measured| {
        let known = measured.value().zip(measured.interval());
        known.is_some_and(|(value, (low, high))| usable::can_tell(&m.measure, value, low, high))
    };
    told(&m.values[0]) && told(&m.values[i])
}

/// A difference with the probability that it is real, where both values can be used.
fn told_difference(
    (first, other): (&Measured, &Measured),
    difference: &Difference,
    info: &MeasureInfo,
    wording: Wording,
) -> Option<(String, f64)> {
    let told = |m: &Measured| wording.figure(info, m).is_some_and(|f| f.told);
    let figure = wording.figure(info, &difference.difference)?;
    let by = figure.value;
    let signed = by.starts_with(['+', number::MINUS]) || by.chars().all(|c| "0.".contains(c));
    let by = if signed { by } else { format!("+{by}") };
    (told(first) && told(other)).then_some((by, difference.probability_real?))
}
