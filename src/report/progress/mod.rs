//! The progress documents drawn and written.

mod drawing;
mod page;
mod range;
mod sheet;
mod table;

pub use page::{overview_html, page_html};
pub use sheet::{overview_svg, sheet_svg};
pub use table::{csv, json, overview_csv, overview_json, overview_table, table};

use super::number::{self, UNIT_SPACE, chance};
use super::wording::Wording;
use crate::measures::catalogue::find as info;
use crate::progress::document::{LAST, MeasureProgress, Overview, PilotLine, ProgressReport};
use crate::quantity::{self, Measured};

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

/// The unit of a measure as shown, and what its values in the document are multiplied by.
fn shown(measure: &str, wording: Wording) -> (&'static str, f64) {
    match info(measure) {
        _ if measure.ends_with("_share") => ("%", 100.0),
        Some(info) => {
            let shown = wording.shown(info.unit, info.decimals);
            (shown.unit, shown.factor)
        }
        None => ("", 1.0),
    }
}

/// The label of a measure with its unit.
fn with_unit(m: &MeasureProgress, wording: Wording) -> String {
    let label = wording.sentence(&m.label);
    match shown(&m.measure, wording).0 {
        "" => label,
        unit => format!("{label}, {unit}"),
    }
}

/// What counts as met: `within 200 ft`, `20 s or less`.
fn yardstick((measure, better, limit): (&str, &str, f64), wording: Wording) -> String {
    let (unit, factor) = shown(measure, wording);
    let limit = factor * limit;
    // a round limit of the document keeps its roundness, a converted one is to the nearest whole or tenth
    let whole = limit.fract().abs() < 1e-9 || limit.abs() >= 20.0;
    let decimals = usize::from(!whole);
    let space = if unit == "\u{b0}" { "" } else { " " };
    let figure = format!("{}{space}{unit}", number::number(limit, decimals));
    let figure = figure.trim();
    match better {
        "less" => format!("{figure} or less"),
        "more" | "at_least" => format!("{figure} or more"),
        _ => format!("within {figure}"),
    }
}

/// A figure of a measure's own kind with its interval.
fn figure(m: &MeasureProgress, measured: &Measured, wording: Wording) -> String {
    let figure = info(&m.measure).and_then(|info| wording.figure(info, measured));
    figure.map_or_else(
        || "\u{2013}".into(),
        |f| format!("{} ({})", f.value, f.interval()),
    )
}

/// `2 touchdowns, 1 go-around`: how the attempts ended, without what never came.
fn endings(report: &ProgressReport) -> String {
    let names = [
        ("touchdown", "touchdowns"),
        ("go-around", "go-arounds"),
        ("cut short", "cut short"),
    ];
    let counted: Vec<String> = report
        .endings
        .iter()
        .zip(names)
        .filter(|(count, _)| **count > 0)
        .map(|(count, (one, many))| format!("{count} {}", if *count == 1 { one } else { many }))
        .collect();
    counted.join(", ")
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
        (0, 0) if count("no_change") == 0 => format!("{counted}: too few to tell a change"),
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

/// A share of the last attempts in per cent.
fn share(share: Option<f64>) -> String {
    share.map_or_else(
        || "\u{2013}".into(),
        |share| format!("{}{UNIT_SPACE}%", number::number(100.0 * share, 0)),
    )
}

/// Which measures some pilot has a figure of, by their place in the list.
fn with_figures(report: &Overview) -> Vec<usize> {
    let any = |k: usize| {
        let of = |p: &PilotLine| p.met_shares.get(k).is_some_and(|met| met.attempts > 0);
        report.pilots.iter().any(of)
    };
    (0..report.measures.len()).filter(|k| any(*k)).collect()
}

/// What is found over all pilots, in one line.
fn overview_headline(report: &Overview) -> String {
    let pilots = quantity::counted(report.pilots.len(), "pilot");
    let told = |p: &&PilotLine| p.met_shares.iter().any(|met| met.share.is_some());
    if !report.pilots.iter().any(|p| told(&p)) {
        return format!("{pilots}: too few attempts each to tell");
    }
    let count = |of: &dyn Fn(&PilotLine) -> bool| report.pilots.iter().filter(|p| of(p)).count();
    let better = count(&|p| !p.improving.is_empty());
    let worse = count(&|p| !p.worsening.is_empty());
    match (better, worse) {
        (0, 0) => format!("{pilots}: no change to be told yet"),
        (n, 0) => format!("{pilots}: {n} getting better at something"),
        (0, k) => format!("{pilots}: {k} getting worse at something"),
        (n, k) => format!("{pilots}: {n} getting better at something, {k} worse"),
    }
}

/// What is met least over all pilots, and how many have too few attempts, in one line.
fn overview_advice(report: &Overview, wording: Wording) -> String {
    let mut least: Vec<_> = report
        .measures
        .iter()
        .filter_map(|m| Some((m, m.share.filter(|share| *share < 0.5)?)))
        .collect();
    least.sort_by(|a, b| a.1.total_cmp(&b.1));
    let named: Vec<String> = least
        .iter()
        .take(2)
        .map(|(m, of)| {
            let label = in_sentence(&wording.sentence(label(&m.measure)));
            format!(
                "{label} ({}, {})",
                share(Some(*of)),
                quantity::counted(m.pilots as usize, "pilot")
            )
        })
        .collect();
    let mut parts = Vec::new();
    if !named.is_empty() {
        parts.push(format!("Met least over all: {}.", named.join("; ")));
    }
    let few = report
        .pilots
        .iter()
        .filter(|p| p.met_shares.iter().all(|met| met.share.is_none()))
        .count();
    if few > 0 {
        parts.push(format!(
            "{} without a share yet: it needs {LAST} attempts.",
            quantity::counted(few, "pilot")
        ));
    }
    parts.join(" ")
}

/// What is met most and what least often, in one line.
fn advice(report: &ProgressReport, wording: Wording) -> String {
    let list = |ids: &[String]| {
        let names: Vec<String> = ids
            .iter()
            .map(|id| in_sentence(&wording.sentence(label(id))))
            .collect();
        // a label may have a comma in it
        names.join("; ")
    };
    if report.measures.iter().all(|m| m.met_share.is_none()) {
        return format!(
            "Too few attempts to tell what is met most often: that needs {LAST} of a measure, known well enough."
        );
    }
    let mut parts = Vec::new();
    if !report.best.is_empty() {
        parts.push(format!("Met most often: {}.", list(&report.best)));
    }
    if !report.least.is_empty() {
        parts.push(format!("Met least often: {}.", list(&report.least)));
    }
    parts.join(" ")
}
