//! The progress documents drawn and written.

mod drawing;
mod page;
mod sheet;
mod table;

pub use page::{overview_html, page_html};
pub use sheet::{overview_svg, sheet_svg};
pub use table::{csv, json, overview_csv, overview_json, overview_table, table};

use super::number;
use super::wording::Wording;
use crate::measures::catalogue::{CATALOGUE, MeasureInfo};
use crate::progress::document::{MeasureProgress, ProgressReport};
use crate::quantity::{self, Measured};

/// The catalogue's entry of a measure.
fn info(id: &str) -> Option<&'static MeasureInfo> {
    CATALOGUE.iter().find(|info| info.id == id)
}

/// What a pilot calls a measure.
fn label(id: &str) -> &str {
    info(id).map_or(id, |info| info.label)
}

/// A label within a sentence: its first word small, unless it is an abbreviation.
fn in_sentence(label: &str) -> String {
    let mut letters = label.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(label.chars().skip(1)).collect()
        }
        _ => label.to_owned(),
    }
}

/// Whether a measure gets better, in words, with the probability.
fn verdict(m: &MeasureProgress) -> String {
    let p = m.probability_improving.unwrap_or(0.5);
    match m.course.as_str() {
        "better" => format!("getting better ({} likely)", chance(p)),
        "worse" => format!("getting worse ({} likely)", chance(1.0 - p)),
        "no_change" => "no change to be told".into(),
        "no_direction" => "a floor: more is not better".into(),
        _ => "too few to tell".into(),
    }
}

/// Attempts with a figure, of how many where some have none.
fn of_how_many(m: &MeasureProgress) -> String {
    match m.not_achieved + m.not_measured {
        0 => m.attempts.to_string(),
        none => format!("{} of {}", m.attempts, m.attempts + none),
    }
}

/// A probability in per cent, never 100.
fn chance(p: f64) -> String {
    if p > 0.99 {
        "over 99 %".into()
    } else {
        format!("{} %", number::number(100.0 * p, 0))
    }
}

/// What counts as met: `within 200 ft`, `20 s or less`.
fn yardstick(m: &MeasureProgress) -> String {
    let share = m.measure.ends_with("_share");
    let limit = if share {
        100.0 * m.yardstick
    } else {
        m.yardstick
    };
    let decimals = usize::from(limit.fract().abs() > 1e-9);
    let unit = if share { "%" } else { m.unit.as_str() };
    let figure = format!("{} {unit}", number::number(limit, decimals));
    let figure = figure.trim();
    match m.better.as_str() {
        "less" => format!("{figure} or less"),
        "more" | "at_least" => format!("{figure} or more"),
        _ => format!("within {figure}"),
    }
}

/// A figure of a measure's own kind with its interval.
fn figure(m: &MeasureProgress, measured: &Measured) -> String {
    let figure = info(&m.measure).and_then(|info| Wording::default().figure(info, measured));
    figure.map_or_else(
        || "\u{2013}".into(),
        |f| format!("{} ({})", f.value, f.interval()),
    )
}

/// The finding in one line.
fn headline(report: &ProgressReport) -> String {
    let count = |course: &str| {
        report
            .measures
            .iter()
            .filter(|m| m.course == course)
            .count()
    };
    let counted = quantity::counted(report.attempts as usize, "attempt");
    match (count("better"), count("worse")) {
        (0, 0) => format!("{counted}: no change to be told yet"),
        (n, 0) => format!(
            "{counted}: {n} of {} measures getting better",
            report.measures.len()
        ),
        (0, n) => format!(
            "{counted}: {n} of {} measures getting worse",
            report.measures.len()
        ),
        (n, k) => format!("{counted}: {n} measures getting better, {k} worse"),
    }
}

/// What goes best and what to practise, in one line.
fn advice(report: &ProgressReport) -> String {
    let list = |ids: &[String]| {
        let names: Vec<String> = ids.iter().map(|id| in_sentence(label(id))).collect();
        names.join(", ")
    };
    let mut parts = Vec::new();
    if !report.best.is_empty() {
        parts.push(format!("Goes best: {}.", list(&report.best)));
    }
    if !report.least.is_empty() {
        parts.push(format!("To practise: {}.", list(&report.least)));
    }
    parts.join(" ")
}
