//! What a drawing of an attempt shows, in words and figures: for people who hear it instead of seeing it.
//!
//! The figures and their names are those of the tables.

use super::super::number::UNIT_SPACE;
use super::super::wording::Wording;
use super::super::words;
use super::Subject;
use crate::debrief::document::Attempt;
use crate::measures::catalogue;

/// What the drawing is, and what is to be seen in it: `found`, as far as it is known.
pub(super) fn with(what: &str, found: &[String]) -> String {
    let found: Vec<&str> = found.iter().map(String::as_str).collect();
    let found = found
        .into_iter()
        .filter(|one| !one.is_empty())
        .collect::<Vec<_>>()
        .join("; ");
    if found.is_empty() {
        return what.to_owned();
    }
    format!("{what} {}.", words::sentence_case(&found))
}

/// Measures that are known, each with its name, unit and 95 % interval.
pub(super) fn figures(subject: &Subject<'_>, ids: &[&str]) -> String {
    let known = ids
        .iter()
        .filter_map(|id| figure(subject.attempt, subject.wording, id));
    known.collect::<Vec<_>>().join("; ")
}

fn figure(attempt: &Attempt, wording: Wording, id: &str) -> Option<String> {
    let info = catalogue::find(id)?;
    let figure = wording.figure(info, attempt.measures.get(id)?)?;
    let label = words::sentence_case(&wording.sentence(info.label));
    let unit = match wording.unit(info) {
        "" => String::new(),
        unit => format!("{UNIT_SPACE}{unit}"),
    };
    Some(if figure.told {
        format!("{label}: {}{unit} ({})", figure.value, figure.interval())
    } else {
        format!("{label}: {} ({}{unit})", figure.shown(), figure.interval())
    })
}

/// The key points in the order they were passed, each with its height.
pub(super) fn key_points(subject: &Subject<'_>) -> String {
    let wording = subject.wording;
    let points = subject.marks.iter().map(|mark| {
        let name = format!("{} {}", mark.number, words::key_point(&mark.kind));
        let point = subject.attempt.key_points.iter();
        let height = point
            .filter(|point| point.kind == mark.kind)
            .find_map(|point| wording.height(&point.height_ft))
            .filter(|height| height.told);
        match height {
            Some(height) => format!(
                "{name} at {}{UNIT_SPACE}{}",
                height.value,
                wording.ft().unit
            ),
            None => name,
        }
    });
    points.collect::<Vec<_>>().join(", ")
}
