//! That an attempt is not the manoeuvre it is held against, where that is sure.

use jiff::Timestamp;

use super::document::{Attempt, Grade, Verdict};
use crate::grading::Standard;
use crate::quantity::Measured;
use crate::units::minutes_and_seconds;

/// The sentence, by the keys of the standard: power off long before abeam, or a criterion that makes the
/// manoeuvre not met.
pub fn another_manoeuvre(attempt: &Attempt, grade: &Grade, standard: &Standard) -> Option<String> {
    let off_abeam = || power_off_long_before_abeam(attempt, standard.power_off_abeam_within_s?);
    off_abeam().or_else(|| a_criterion_that_makes_it(attempt, grade, standard))
}

fn power_off_long_before_abeam(attempt: &Attempt, within_s: f64) -> Option<String> {
    let (earliest, middle) = (
        before_abeam_s(
            attempt,
            |utc| utc.interval().map(|(low, _)| low),
            |utc| utc.interval().map(|(_, high)| high),
        )?,
        before_abeam_s(attempt, Measured::value, Measured::value)?,
    );
    (earliest > within_s).then(|| {
        format!(
            "This attempt is no power-off 180: power came off {} before abeam.",
            minutes_and_seconds(middle)
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
        let point = attempt.key_points.iter().find(|p| p.kind == kind)?;
        Some(&point.utc)
    };
    let abeam: Timestamp = of_abeam(utc("abeam")?)?.parse().ok()?;
    let power: Timestamp = of_power(utc("power_reduction")?)?.parse().ok()?;
    Some(abeam.duration_since(power).as_secs_f64())
}

fn a_criterion_that_makes_it(
    attempt: &Attempt,
    grade: &Grade,
    standard: &Standard,
) -> Option<String> {
    let making = standard.criteria.iter().filter(|c| c.makes_the_manoeuvre);
    making.into_iter().find_map(|criterion| {
        let graded = grade.criteria.iter().find(|g| g.id == criterion.id)?;
        let asked = criterion.low.filter(|_| graded.verdict == Verdict::NotMet)?;
        let measured = attempt.measures.get(&criterion.measure)?;
        let (value, (low, high)) = (measured.value()?, measured.interval()?);
        let what = criterion.measure.replace('_', " ");
        Some(format!(
            "This attempt is not the manoeuvre of the task: {value:.1} {what} ({low:.1} to {high:.1}), the task asks for {asked}."
        ))
    })
}
