//! A comparison drawn and written.

mod drawing;
mod page;
mod sheet;
mod table;

pub use page::page_html;
pub use sheet::sheet_svg;
pub use table::{csv, json, table};

use super::number;
use super::words;
use crate::compare::{Compared, Comparison};
use crate::measures::catalogue::{CATALOGUE, MeasureInfo};

/// From this probability on a difference is named.
const REAL_FROM: f64 = 0.95;

/// The catalogue's entry of a measure.
fn info(id: &str) -> Option<&'static MeasureInfo> {
    CATALOGUE.iter().find(|info| info.id == id)
}

/// What tells one attempt from the others: date and time, recording, pilot.
fn name(attempt: &Compared) -> String {
    let when = format!(
        "{} {}",
        attempt.utc.get(..10).unwrap_or_default(),
        words::time_of_day(&attempt.utc)
    );
    let who = attempt.pilot.clone().unwrap_or_default();
    let parts = [when, who, format!("{} ({})", attempt.file, attempt.number)];
    let parts: Vec<String> = parts
        .into_iter()
        .filter(|part| !part.trim().is_empty())
        .collect();
    parts.join(", ")
}

/// How many measures really differ from those of the first, in one line.
fn headline(comparison: &Comparison) -> String {
    let real = |i: usize| {
        comparison
            .measures
            .iter()
            .filter(|m| {
                m.differences[i]
                    .probability_real
                    .is_some_and(|p| p >= REAL_FROM)
            })
            .count()
    };
    let counts: Vec<String> = (1..comparison.attempts.len())
        .map(|i| format!("{} in {} measures", i + 1, real(i)))
        .collect();
    format!("Differ from 1: {}", counts.join(", "))
}

/// A probability in per cent, never 100.
fn chance(p: f64) -> String {
    if p > 0.99 {
        "> 99 %".into()
    } else {
        format!("{} %", number::number(100.0 * p, 0))
    }
}
