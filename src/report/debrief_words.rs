//! What mattered most about an attempt, in at most five plain sentences, by rules; before them, that
//! it is not the manoeuvre it is held against.
//!
//! Each says when and how high, what was flown, and what the standard, the briefing or the handbook
//! asks. The order is by weight: how far outside, in widths of the tolerance, times how sure that is.
//! Nothing is said about causes.

use super::number::{Figure, UNIT_SPACE, number, since_power_off};
use super::wording::Wording;
use super::{headline, verdicts, words};
use crate::debrief::document::{Attempt, Basis, CriterionGrade, Debrief, Event, KeyPoint, Verdict};
use crate::measures::catalogue::{self, MeasureInfo};
use crate::measures::limits::SETTLED_WITHIN_S;
use crate::quantity::Measured;

/// The most sentences.
const MOST: usize = 5;
/// The farthest miss that adds weight, in widths of the tolerance.
const FARTHEST: f64 = 3.0;
/// Least share of the stall margin wanted in a glide: 1.3 times the stall speed is common practice.
const STALL_MARGIN: f64 = 1.3;
/// Weight of the aim going out of reach, as of a criterion missed for sure by a whole tolerance.
const OUT_OF_REACH: f64 = 2.0;

/// A sentence, what it is about, and how much it matters.
struct Said {
    about: &'static str,
    weight: f64,
    text: String,
}

/// The sentences of one attempt, what mattered most first.
pub fn sentences(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Vec<String> {
    let mut all: Vec<Said> = verdicts::all(attempt)
        .iter()
        .filter_map(|criterion| missed(attempt, criterion, wording))
        .collect();
    all.extend(
        attempt
            .events
            .iter()
            .filter_map(|e| reach(attempt, e, wording)),
    );
    all.extend(stall_margin(attempt, wording));
    all.extend(abeam(debrief, attempt, wording));
    all.extend(glide_ratio(debrief, attempt, wording));
    all.extend(settling(debrief, attempt, wording));
    all.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let mut out: Vec<Said> = Vec::new();
    for said in all {
        if said.weight > 0.0 && !out.iter().any(|o| o.about == said.about) {
            out.push(said);
        }
    }
    out.truncate(MOST);
    let first = verdicts::another_manoeuvre(attempt).map(str::to_owned);
    first
        .into_iter()
        .chain(out.into_iter().map(|said| said.text))
        .collect()
}

/// A criterion that was not met, or may not have been.
fn missed(attempt: &Attempt, criterion: &CriterionGrade, wording: Wording) -> Option<Said> {
    if !matches!(criterion.verdict, Verdict::NotMet | Verdict::TooCloseToCall) {
        return None;
    }
    let info = catalogue::find(&criterion.measure)?;
    let measured = attempt.measures.get(info.id)?;
    let figure = wording.figure(info, measured)?;
    let value = measured.value()?;
    let outside = [
        criterion.low.map(|low| low - value),
        criterion.high.map(|high| value - high),
    ]
    .into_iter()
    .flatten()
    .fold(0.0, f64::max);
    let width = match (criterion.low, criterion.high) {
        (Some(low), Some(high)) => high - low,
        (Some(one), None) | (None, Some(one)) => one.abs(),
        (None, None) => return None,
    };
    let miss = (outside / width.max(1e-9)).min(FARTHEST);
    let weight = (1.0 - criterion.share_inside?) * (1.0 + miss);
    let flown = flown(info, &figure, measured.interval()?, wording);
    let at = key_point_of(info.id)
        .and_then(|kind| place(attempt, kind, !info.id.ends_with("_height_ft"), wording));
    let asks = match (criterion.basis, criterion.low) {
        _ if criterion.within_kt.is_some() => {
            let speeds = verdicts::bounds(criterion, wording);
            let standard = verdicts::standard(attempt).unwrap_or("the standard");
            let (speeds, share) = speeds.split_once(" for ").unwrap_or((&speeds, ""));
            format!(
                "{standard} asks for {speeds}; {share} is this program\u{2019}s measure of that"
            )
        }
        (Basis::Program, Some(least)) => format!(
            "{}{UNIT_SPACE}% of the glide within is this program\u{2019}s measure; the document gives no share",
            number(100.0 * least, 0)
        ),
        _ => format!(
            "{} asks for {}",
            verdicts::standard(attempt).unwrap_or("the standard"),
            verdicts::bounds(criterion, wording)
        ),
    };
    let close = if criterion.verdict == Verdict::TooCloseToCall {
        "; too close to call"
    } else {
        ""
    };
    let start = at.map_or_else(String::new, |at| format!("{at}: "));
    Some(Said {
        about: info.id,
        weight,
        text: words::sentence_case(&format!("{start}{flown}; {asks}{close}.")),
    })
}

/// A figure in a clause: `CAS 65 kt on the average (95 % 61 to 71)`.
fn flown(info: &MeasureInfo, figure: &Figure, (low, high): (f64, f64), wording: Wording) -> String {
    let unit = match wording.unit(info) {
        "" => String::new(),
        unit => format!("{UNIT_SPACE}{unit}"),
    };
    let value = format!("{}{unit}", figure.value);
    let interval = format!("(95{UNIT_SPACE}% {})", figure.interval());
    match info.id {
        "touchdown_along_ft" => {
            let (place, interval) = headline::along(figure, low, high, wording.ft());
            format!("{place} (95{UNIT_SPACE}% {interval})")
        }
        _ if !figure.told => {
            let label = info.label.to_lowercase().replace("cas", "CAS");
            let (low, high) = (&figure.low, &figure.high);
            format!("{label} cannot be told closer than {low} to {high}{unit} (95{UNIT_SPACE}%)")
        }
        "glide_cas_within_share" => {
            format!("CAS within the tolerance for {value} of the steady glide {interval}")
        }
        "final_cas_within_share" => {
            format!("CAS within the tolerance for {value} of the time until the flare {interval}")
        }
        "glide_cas_mean_kt" => format!("CAS {value} in the mean of the steady glide {interval}"),
        "final_cas_mean_kt" => format!("CAS {value} in the mean until the flare {interval}"),
        id if id.ends_with("_height_ft") => format!("height {value} {interval}"),
        _ => format!(
            "{} {value} {interval}",
            info.label.to_lowercase().replace("cas", "CAS")
        ),
    }
}

/// The key point a measure belongs to.
fn key_point_of(measure: &str) -> Option<&'static str> {
    [
        ("touchdown_", "touchdown"),
        ("float_", "touchdown"),
        ("final_", "on_final"),
        ("on_final_", "on_final"),
        ("abeam_", "abeam"),
        ("base_turn_", "base_turn"),
        ("overhead_", "overhead"),
        ("power_reduction_", "power_reduction"),
        ("go_around_", "go_around"),
        ("glide_cas_", "best_glide_held"),
    ]
    .into_iter()
    .find(|(start, _)| measure.starts_with(start))
    .map(|(_, kind)| kind)
}

/// An instant as the key points have it: minutes and seconds since the power reduction.
fn since(attempt: &Attempt, utc: &Measured<String>) -> Option<String> {
    Some(since_power_off(words::elapsed_s(attempt, &utc.value()?)?))
}

/// `on final, 5:03 at 540 ft`; nothing where the instant is not known.
fn place(attempt: &Attempt, kind: &str, with_height: bool, wording: Wording) -> Option<String> {
    let point = attempt.key_points.iter().find(|p| p.kind == kind)?;
    let time = since(attempt, &point.utc)?;
    let name = match kind {
        "best_glide_held" => "from best glide".to_owned(),
        other => words::key_point(other),
    };
    Some(match height(point, wording) {
        Some(ft) if with_height && kind != "touchdown" => {
            let comma = if time.contains(' ') { "," } else { "" };
            format!("{name}, {time}{comma} at {ft}")
        }
        _ => format!("{name}, {time}"),
    })
}

fn height(point: &KeyPoint, wording: Wording) -> Option<String> {
    let figure = wording.height(&point.height_ft).filter(|f| f.told)?;
    Some(format!("{}{UNIT_SPACE}{}", figure.value, wording.ft().unit))
}

/// The aim going out of reach, or being overflown too high.
fn reach(attempt: &Attempt, event: &Event, wording: Wording) -> Option<Said> {
    let (about, weight) = match event.kind.as_str() {
        "last_within_reach" | "out_of_reach" => ("reach", OUT_OF_REACH),
        "too_high" => ("too high", 0.5 * OUT_OF_REACH),
        _ => return None,
    };
    let time = since(attempt, &event.utc)?;
    let at = wording
        .height(&event.height_ft)
        .filter(|height| height.told)
        .map_or_else(String::new, |height| {
            format!(" at {}{UNIT_SPACE}{}", height.value, wording.ft().unit)
        });
    Some(Said {
        about,
        weight,
        text: format!("{time}{at}: {}.", wording.sentence(&event.words)),
    })
}

fn stall_margin(attempt: &Attempt, wording: Wording) -> Option<Said> {
    let measured = attempt.measures.get("stall_margin_min")?;
    let (value, (_, high)) = (measured.value()?, measured.interval()?);
    let figure = wording.figure(catalogue::find("stall_margin_min")?, measured)?;
    (high < STALL_MARGIN).then(|| Said {
        about: "stall margin",
        weight: 10.0 * (STALL_MARGIN - value),
        text: format!(
            "The slowest moment was at {} times the stall speed in that turn (95{UNIT_SPACE}% {}); {STALL_MARGIN} is common practice.",
            figure.value,
            figure.interval()
        ),
    })
}

/// The height abeam against the target of the briefing, where it surely differs.
fn abeam(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Option<Said> {
    let target = debrief.reference.abeam_target_ft.filter(|t| *t > 0.0)?;
    let measured = attempt.measures.get("abeam_height_error_ft")?;
    let (error, (low, high)) = (measured.value()?, measured.interval()?);
    let at = place(attempt, "abeam", true, wording)?;
    (low > 0.0 || high < 0.0).then(|| Said {
        about: "abeam_height_ft",
        weight: (2.0 * error.abs() / target).min(FARTHEST),
        text: format!(
            "{}; the briefing wants {}.",
            words::sentence_case(&at),
            wording.mark(target)
        ),
    })
}

/// The glide ratio against the handbook's, where it surely differs.
fn glide_ratio(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Option<Said> {
    let handbook = debrief
        .reference
        .handbook_glide_ratio
        .filter(|r| *r > 0.0)?;
    let measured = attempt.measures.get("glide_ratio_air")?;
    let (value, (low, high)) = (measured.value()?, measured.interval()?);
    let figure = wording.figure(catalogue::find("glide_ratio_air")?, measured)?;
    (high < handbook || low > handbook).then(|| Said {
        about: "glide ratio",
        weight: 2.0 * (value / handbook - 1.0).abs(),
        text: format!(
            "The glide ratio through the air was {} (95{UNIT_SPACE}% {}); the handbook has {}.",
            figure.value,
            figure.interval(),
            number(handbook, 1)
        ),
    })
}

/// A minute until best glide was reached weighs as much as a whole tolerance.
fn settling(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Option<Said> {
    let best = debrief
        .reference
        .to_hold_kcas()
        .filter(|_| debrief.reference.best_glide_from_briefing)?;
    let measured = attempt.measures.get("settling_time_s")?;
    let seconds = measured.value()?;
    let held = attempt
        .key_points
        .iter()
        .find(|p| p.kind == "best_glide_held")?;
    let told = wording
        .figure(catalogue::find("settling_time_s")?, measured)?
        .told;
    if !told || held.probability < words::SURE {
        return None;
    }
    let at = place(attempt, "best_glide_held", true, wording)?.replacen("from best glide, ", "", 1);
    (seconds > SETTLED_WITHIN_S).then(|| Said {
        about: "settling",
        weight: (seconds / 60.0).min(FARTHEST),
        text: format!(
            "Best glide ({}{UNIT_SPACE}{}) was reached only at {at}, {}{UNIT_SPACE}s after the power reduction.",
            wording.kt().whole(best),
            wording.kt().unit,
            number(seconds, 0)
        ),
    })
}
