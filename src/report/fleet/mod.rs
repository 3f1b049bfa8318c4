//! The fleet document drawn and written.

mod drawing;
mod page;
mod sheet;
mod table;

pub use page::page_html;
pub use sheet::sheet_svg;
pub(super) use table::quoted;
pub use table::{csv, json, table};

use super::number::{self, Figure, chance};
use super::wording::Shown;
use crate::fleet::document::{Airframe, FleetReport};
use crate::quantity::Measured;

/// The finding on one airframe in a few words.
fn finding(airframe: &Airframe) -> String {
    let than = match airframe.compared_with.as_deref() {
        Some("others") => "the others",
        Some(_) => "its handbook",
        None => return "nothing to compare with".into(),
    };
    let off = if airframe.compared_with.as_deref() == Some("others") {
        &airframe.against_others_percent
    } else {
        &airframe.against_handbook_percent
    };
    if !airframe.differs {
        return "no difference found".into();
    }
    match off.value() {
        Some(percent) if percent < 0.0 => format!("glides worse than {than}"),
        Some(_) => format!("glides better than {than}"),
        None => String::new(),
    }
}

/// A figure with its interval in one text: `9.8 (9.5 to 10.1)`.
fn with_interval(figure: Option<Figure>) -> String {
    figure.map_or_else(
        || "\u{2013}".into(),
        |f| format!("{} ({})", f.value, f.interval()),
    )
}

/// A probability as per cent, where there is one.
fn percent(probability: Option<f64>) -> String {
    probability.map_or_else(|| "\u{2013}".into(), chance)
}

/// A figure of the document in the unit shown, with its interval.
fn in_unit(measured: &Measured, shown: Shown) -> String {
    with_interval(number::in_unit(measured, shown, f64::INFINITY))
}

/// Value, low and high end, where there are any.
fn ends(measured: &Measured) -> Option<(f64, f64, f64)> {
    let (low, high) = measured.interval()?;
    Some((measured.value()?, low, high))
}

/// The report for drawing: where two airframes of unlike types have one name, each has its letter behind it.
fn named_apart(report: &FleetReport) -> FleetReport {
    let letters = types(report);
    let mut named = report.clone();
    for (a, airframe) in named.airframes.iter_mut().zip(&report.airframes) {
        let namesakes = report.airframes.iter();
        let twice = namesakes
            .filter(|b| b.registration == airframe.registration)
            .count()
            > 1;
        let letter = letters
            .iter()
            .find(|(_, name)| *name == airframe.aircraft_type);
        if let Some((letter, _)) = letter.filter(|_| twice) {
            a.registration = format!("{} ({letter})", airframe.registration);
        }
    }
    named
}

/// Whether there is something to say of one airframe that does not hold for all.
fn findings_differ(report: &FleetReport) -> bool {
    let mut all = report.airframes.iter().map(finding);
    let first = all.next();
    all.any(|other| Some(other) != first)
}

/// A letter for each type.
fn types(report: &FleetReport) -> Vec<(String, String)> {
    ('A'..='Z')
        .map(String::from)
        .chain((1..).map(|k| format!("T{k}")))
        .zip(report.types.iter().map(|kind| kind.name.clone()))
        .collect()
}
