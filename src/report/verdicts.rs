//! The verdicts of an attempt, in words.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::number::clock;
use super::number::number;
use super::wording::Wording;
use crate::debrief::document::{Attempt, Basis, CriterionGrade, Verdict};
use crate::measures::catalogue;
use crate::quantity::Measured;
use crate::units::M_PER_FT;

/// A verdict, as printed.
pub fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::NotMet => "not met",
        Verdict::TooCloseToCall => "too close to call",
        Verdict::NotMeasured => "not measured",
    }
}

/// The bounds with their unit, no finer than they can be flown: `67 to 77 kt`, `at least 500 ft`,
/// `±60 m (±197 ft)`; empty when there are none.
pub fn bounds(criterion: &CriterionGrade, wording: Wording) -> String {
    let published = published_bounds(criterion);
    let unit = catalogue::find(&criterion.measure).map_or("", |info| info.unit);
    let shown = wording.shown(unit, 0);
    if shown.unit == unit || published.is_empty() || published.contains("m (") {
        return published;
    }
    let in_unit = |value: Option<f64>| value.map(|v| shown.of(v));
    let words = range(in_unit(criterion.low), in_unit(criterion.high), shown.unit);
    format!("{words} ({published})")
}

/// The same in the unit of the measure.
pub fn published_bounds(criterion: &CriterionGrade) -> String {
    let info = catalogue::find(&criterion.measure);
    let unit = info.map_or("", super::number::unit);
    let scale = if criterion.measure.ends_with("_share") {
        100.0
    } else {
        1.0
    };
    let (low, high) = (
        criterion.low.map(|v| v * scale),
        criterion.high.map(|v| v * scale),
    );
    let known = [low, high].into_iter().flatten();
    let whole = |x: f64| (x - x.round()).abs() < 1e-6;
    if unit == "ft"
        && known.clone().any(|ft| !whole(ft))
        && known.clone().all(|ft| whole(ft * M_PER_FT))
    {
        let metres = |ft: f64| ft * M_PER_FT;
        let published = range(low.map(metres), high.map(metres), "m");
        return format!("{published} ({})", range(low, high, unit));
    }
    range(low, high, unit)
}

/// Bounds in words; speeds, heights and distances in whole units, anything else in tenths.
fn range(low: Option<f64>, high: Option<f64>, unit: &str) -> String {
    let text = |value: f64| {
        let step = if matches!(unit, "kt" | "ft" | "ft/min" | "m" | "km/h") {
            1.0
        } else {
            10.0
        };
        let rounded = (value * step).round() / step;
        number(rounded, usize::from(rounded.fract() != 0.0))
    };
    let words = match (low, high) {
        (Some(low), Some(high)) if low == -high && high > 0.0 => format!("±{}", text(high)),
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

/// What marks a verdict that the document does not ask for in this form.
pub fn mark(criterion: &CriterionGrade) -> Option<&'static str> {
    (criterion.basis == Basis::Program).then_some("by this program\u{2019}s measure")
}

/// Elements that have the power off abeam the point: the power-off 180° accuracy approach.
const POWER_OFF_ABEAM: [&str; 1] = ["CA.IV.M.S8"];
/// From this time before abeam on, the power did not come off abeam, s: a choice of this program, the
/// document has no figure.
const LONG_BEFORE_ABEAM_S: f64 = 60.0;

/// That an attempt is not the manoeuvre it is held against, where that is sure.
pub fn another_manoeuvre(attempt: &Attempt, wording: Wording) -> Option<String> {
    all(attempt).iter().find_map(|criterion| {
        if POWER_OFF_ABEAM.contains(&criterion.id.as_str()) {
            no_power_off_180(attempt)
        } else if criterion.measure == "orbits" && criterion.verdict == Verdict::NotMet {
            too_few_orbits(attempt, criterion, wording)
        } else {
            None
        }
    })
}

fn no_power_off_180(attempt: &Attempt) -> Option<String> {
    let (earliest, middle) = (
        before_abeam_s(
            attempt,
            |utc| utc.interval().map(|(low, _)| low),
            |utc| utc.interval().map(|(_, high)| high),
        )?,
        before_abeam_s(attempt, Measured::value, Measured::value)?,
    );
    (earliest > LONG_BEFORE_ABEAM_S).then(|| {
        format!(
            "This attempt is no power-off 180: power came off {} before abeam.",
            clock(middle)
        )
    })
}

/// Seconds from the power reduction to abeam, of the ends of their intervals that are asked for.
fn before_abeam_s(
    attempt: &Attempt,
    of_abeam: impl Fn(&Measured<String>) -> Option<String>,
    of_power: impl Fn(&Measured<String>) -> Option<String>,
) -> Option<f64> {
    let utc = |kind: &str| {
        attempt
            .key_points
            .iter()
            .find(|p| p.kind == kind)
            .map(|p| &p.utc)
    };
    let abeam: Timestamp = of_abeam(utc("abeam")?)?.parse().ok()?;
    let power: Timestamp = of_power(utc("power_reduction")?)?.parse().ok()?;
    Some(abeam.duration_since(power).as_secs_f64())
}

fn too_few_orbits(
    attempt: &Attempt,
    criterion: &CriterionGrade,
    wording: Wording,
) -> Option<String> {
    let info = catalogue::find(&criterion.measure)?;
    let flown = wording.figure(info, attempt.measures.get(info.id)?)?;
    let asked = number(criterion.low?, 0);
    Some(format!(
        "This attempt is not the manoeuvre of the task: {} orbits ({}), the task asks for {asked}.",
        flown.value,
        flown.interval()
    ))
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
