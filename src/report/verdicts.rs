//! The verdicts of an attempt, in words.

use std::collections::BTreeMap;

use super::number::Figure;
use super::wording::Wording;
use super::{bounds, number};
use crate::debrief::document::{Attempt, Basis, CriterionGrade, Verdict};
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

/// The side of the limits that a verdict says a figure is on.
pub fn side(verdict: Verdict) -> Option<&'static str> {
    match verdict {
        Verdict::Met => Some("inside"),
        Verdict::NotMet => Some("outside"),
        Verdict::TooCloseToCall | Verdict::NotMeasured => None,
    }
}

/// The value of a figure; where it cannot be told, the side of the limits that it is on, or that it cannot be told: a
/// verdict does not stand beside a figure that contradicts it.
pub fn shown<'a>(figure: &'a Figure, side: Option<&'a str>) -> &'a str {
    match side {
        Some(side) if !figure.told => side,
        _ => figure.shown(),
    }
}

/// The bounds with their unit, no finer than they can be flown: `67 to 77 kt`, `at least 500 ft`,
/// `±60 m (±197 ft)`; empty when there are none.
pub fn bounds(criterion: &CriterionGrade, wording: Wording) -> String {
    if let (Some([low, high]), Some(share)) = (criterion.within_kt, criterion.low) {
        let shown = wording.shown("kt", 0);
        let ends = (Some(shown.of(low)), Some(shown.of(high)));
        let speeds = bounds::range(ends, shown.unit, false);
        let share = number::number(100.0 * share, 0);
        return format!("{speeds} for {share}{}% of the time", number::UNIT_SPACE);
    }
    let published = bounds::published(&criterion.measure, (criterion.low, criterion.high), false);
    let unit = catalogue::find(&criterion.measure).map_or("", |info| info.unit);
    let shown = wording.shown(unit, 0);
    if shown.unit == unit || published.is_empty() || published.contains("m (") {
        return published;
    }
    let in_unit = |value: Option<f64>| value.map(|v| shown.of(v));
    let ends = (in_unit(criterion.low), in_unit(criterion.high));
    format!("{} ({published})", bounds::range(ends, shown.unit, false))
}

/// What marks a verdict that the document does not ask for in this form.
pub fn mark(criterion: &CriterionGrade) -> Option<&'static str> {
    if criterion.within_kt.is_some() {
        return Some("share of the time by this program\u{2019}s measure");
    }
    (criterion.basis == Basis::Program).then_some("by this program\u{2019}s measure")
}

/// That an attempt is not the manoeuvre it is held against, where that is sure.
pub fn another_manoeuvre(attempt: &Attempt) -> Option<&str> {
    attempt.grade.as_ref()?.another_manoeuvre.as_deref()
}

/// What is the program's about a speed that is held.
pub const SHARE_IS_OURS: &str = "the tolerance is the document\u{2019}s, the share of the time this program\u{2019}s: the document gives none";
/// What a mean does not show.
const MEAN: &str = "judged by the mean, which does not show that it was held";

/// The source, with what must be known about its figure.
pub fn source(criterion: &CriterionGrade) -> String {
    let cautions = [
        criterion.basis.caution(),
        criterion.within_kt.map(|_| SHARE_IS_OURS),
        criterion.measure.ends_with("_cas_mean_kt").then_some(MEAN),
    ];
    let cautions: Vec<&str> = cautions.into_iter().flatten().collect();
    if cautions.is_empty() {
        criterion.source.clone()
    } else {
        format!("{} ({})", criterion.source, cautions.join("; "))
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
