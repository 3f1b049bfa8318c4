//! The verdicts of an attempt, in words.

use std::collections::BTreeMap;

use super::number::number;
use crate::debrief::document::{Attempt, CriterionGrade, Verdict};
use crate::measures::catalogue;

/// A verdict, as printed.
pub fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::NotMet => "not met",
        Verdict::TooCloseToCall => "too close to call",
        Verdict::NotMeasured => "not measured",
    }
}

/// The bounds with their unit: `67 to 77 kt`, `at least 500 ft`; empty when there are none.
pub fn bounds(criterion: &CriterionGrade) -> String {
    let info = catalogue::find(&criterion.measure);
    let share = criterion.measure.ends_with("_share");
    let unit = info.map_or("", super::number::unit);
    let text = |value: f64| {
        let value = if share { 100.0 * value } else { value };
        let tenths = (value * 10.0).round() / 10.0;
        number(tenths, usize::from(tenths.fract() != 0.0))
    };
    let words = match (criterion.low, criterion.high) {
        (Some(low), Some(high)) => format!("{} to {}", text(low), text(high)),
        (Some(low), None) => format!("at least {}", text(low)),
        (None, Some(high)) => format!("at most {}", text(high)),
        (None, None) => return String::new(),
    };
    if unit.is_empty() {
        words
    } else {
        format!("{words} {unit}")
    }
}

/// The source, with what must be known about its figure.
pub fn source(criterion: &CriterionGrade) -> String {
    match criterion.basis.caution() {
        Some(caution) => format!("{} ({caution})", criterion.source),
        None => criterion.source.clone(),
    }
}

/// The name of the standard, where one was applied.
pub fn standard(attempt: &Attempt) -> Option<&str> {
    attempt.grade.as_ref().map(|g| g.standard.as_str())
}

/// All criteria in the order of the standard.
pub fn all(attempt: &Attempt) -> &[CriterionGrade] {
    attempt.grade.as_ref().map_or(&[], |g| &g.criteria)
}

/// The first criterion on each measure.
pub fn by_measure(attempt: &Attempt) -> BTreeMap<&str, &CriterionGrade> {
    let mut map = BTreeMap::new();
    for criterion in all(attempt) {
        map.entry(criterion.measure.as_str()).or_insert(criterion);
    }
    map
}
