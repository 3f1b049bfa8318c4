//! A comparison drawn and written.

mod page;
mod sheet;
mod table;

pub use page::page_html;
pub use sheet::sheet_svg;
pub use table::{csv, json, table};

use super::panel::over::{Aim, Laid};
use super::wording::{Manner, Wording};
use super::words;
use crate::compare::{Compared, Comparison, Difference, Side};
use crate::measures::catalogue::MeasureInfo;
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
    let zone = match wording.zone() {
        zone if zone == "UTC" => String::new(),
        zone => format!(" {zone}"),
    };
    let (day, time) = (
        manner.iso_day(&attempt.utc),
        wording.time_of_day(&attempt.utc),
    );
    let when = format!("{day} {time}{zone}");
    let who = attempt.pilot.clone().unwrap_or_default();
    let parts = [when, who, format!("{} ({})", attempt.file, attempt.number)];
    let parts: Vec<String> = parts
        .into_iter()
        .filter(|part| !part.trim().is_empty())
        .collect();
    parts.join(", ")
}

/// How many measures really differ from those of the first, in one line; what says the same as another counts once.
fn headline(comparison: &Comparison) -> String {
    let counted = || comparison.measures.iter().filter(|m| m.same_as.is_none());
    let counts: Vec<String> = (1..comparison.attempts.len())
        .map(|i| {
            let real = counted().filter(|m| m.differences[i].found).count();
            let both = counted().filter(|m| m.differences[i].probability_real.is_some());
            format!(
                "attempt {} differs from 1 in {real} of {} measures",
                i + 1,
                both.count()
            )
        })
        .collect();
    words::sentence_case(&counts.join(", "))
}

/// What a mark at a difference means.
const FOUND: &str = "differs from 1, after allowing for the number of measures: of those named, one in twenty is expected not to";

/// A difference with the probability that it is real, where both values can be used.
fn told_difference(
    (first, other): (&Measured, &Measured),
    difference: &Difference,
    info: &MeasureInfo,
    wording: Wording,
) -> Option<(String, f64)> {
    let told = |m: &Measured| wording.figure(info, m).is_some_and(|f| f.told);
    let figure = wording.figure(info, &difference.difference)?;
    (told(first) && told(other)).then_some((figure.value, difference.probability_real?))
}
