//! The verdicts in a document, read with tolerance for what a later grading may add.

use std::collections::BTreeMap;

use serde_json::Value;

use super::number::number;
use crate::debrief::document::Attempt;

/// One criterion's verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The measure it is about.
    pub measure: String,
    /// `met`, `not met`, `too close to call` or `not measured`.
    pub word: &'static str,
    /// Share of the draws inside the bounds.
    pub share_inside: Option<f64>,
    /// Least value wanted.
    pub low: Option<f64>,
    /// Greatest value wanted.
    pub high: Option<f64>,
    /// Document, task and element.
    pub source: String,
}

impl Verdict {
    /// The bounds in words: `67 to 77`, `at least 500`; empty when there are none.
    pub fn bounds(&self) -> String {
        let text = |value: f64| number(value, usize::from(value.fract() != 0.0));
        match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{} to {}", text(low), text(high)),
            (Some(low), None) => format!("at least {}", text(low)),
            (None, Some(high)) => format!("at most {}", text(high)),
            (None, None) => String::new(),
        }
    }
}

/// The name of the standard, where one was applied.
pub fn standard(attempt: &Attempt) -> Option<&str> {
    attempt.grade.as_ref()?.get("standard")?.as_str()
}

/// All verdicts in the order of the standard.
pub fn all(attempt: &Attempt) -> Vec<Verdict> {
    let criteria = attempt
        .grade
        .as_ref()
        .and_then(|g| g.get("criteria"))
        .and_then(Value::as_array);
    criteria.into_iter().flatten().filter_map(read).collect()
}

/// The first verdict on each measure.
pub fn by_measure(attempt: &Attempt) -> BTreeMap<String, Verdict> {
    let mut map = BTreeMap::new();
    for verdict in all(attempt) {
        map.entry(verdict.measure.clone()).or_insert(verdict);
    }
    map
}

fn read(criterion: &Value) -> Option<Verdict> {
    let word = match criterion.get("verdict")?.as_str()? {
        "met" => "met",
        "not_met" => "not met",
        "too_close" | "too_close_to_call" => "too close to call",
        _ => "not measured",
    };
    let number = |key: &str| criterion.get(key).and_then(Value::as_f64);
    Some(Verdict {
        measure: criterion.get("measure")?.as_str()?.to_owned(),
        word,
        share_inside: number("share_inside"),
        low: number("low"),
        high: number("high"),
        source: criterion
            .get("source")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned(),
    })
}
