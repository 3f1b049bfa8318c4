//! What the document's codes are called in a report.

use jiff::Timestamp;

use super::number::{self, UNIT_SPACE};
use super::wording::Wording;
use crate::debrief::document::{Attempt, Debrief, Ending, KeyPoint, Reference};

/// From this probability on, an attempt is not doubted in words.
pub const SURE: f64 = 0.95;

/// A key point, as in the middle of a sentence.
pub fn key_point(kind: &str) -> String {
    match kind {
        "go_around" => "go-around".to_owned(),
        // measured is that the speed came there and stayed some seconds, not that it was kept
        "best_glide_held" => "best glide reached".to_owned(),
        other => other.replace('_', " "),
    }
}

/// The name of a key point, and how sure it is that there was one where that is in doubt.
pub fn key_point_name(point: &KeyPoint) -> String {
    let name = sentence_case(&key_point(&point.kind));
    if point.probability < SURE {
        let share = number::number(100.0 * point.probability, 0);
        format!("{name}, {share}{UNIT_SPACE}% sure")
    } else if spread_s(point).is_some_and(|s| s > WIDEST_INSTANT_S) {
        format!("{name}, time unsure")
    } else {
        name
    }
}

/// What stands after the name of a key point whose time is before the power reduction, where its time has a minus.
pub fn power_still_on(elapsed_s: f64) -> &'static str {
    if number::clock(elapsed_s).starts_with(number::MINUS) {
        ", power still on"
    } else {
        ""
    }
}

/// From this width of its interval on, the instant of a key point is said to be unsure, s: twice the
/// half-width from which the time until best glide is reached cannot be told.
const WIDEST_INSTANT_S: f64 = 30.0;

/// Width of the interval of its instant, s.
fn spread_s(point: &KeyPoint) -> Option<f64> {
    let (low, high) = point.utc.interval()?;
    let (low, high): (Timestamp, Timestamp) = (low.parse().ok()?, high.parse().ok()?);
    Some(high.duration_since(low).as_secs_f64())
}

/// When the power came off.
pub fn power_off(attempt: &Attempt) -> Option<String> {
    let point = attempt
        .key_points
        .iter()
        .find(|p| p.kind == "power_reduction")?;
    point.utc.value()
}

/// The glide speed to hold, and what the weight flown makes of the handbook's.
pub fn best_glide(reference: &Reference, wording: Wording) -> Option<String> {
    let (speed, weight) = (wording.kt(), wording.shown("lb", 0));
    let finite = |kt: Option<f64>| kt.filter(|v| v.is_finite());
    let hold = speed.whole(finite(reference.to_hold_kcas())?);
    let unit = speed.unit;
    if !reference.best_glide_from_briefing {
        return Some(format!(
            "Best glide {hold}{UNIT_SPACE}{unit} is a guess from this recording: the briefing has none."
        ));
    }
    let handbook = finite(reference.handbook_best_glide_kcas).map(|v| speed.whole(v));
    let Some(handbook) = handbook else {
        return Some(format!(
            "Best glide {hold}{UNIT_SPACE}{unit}, as briefed; the briefing has no handbook speed: reach is computed with it too."
        ));
    };
    let to_hold = if handbook == hold {
        format!("Best glide {hold}{UNIT_SPACE}{unit}, as the handbook has it.")
    } else {
        format!("Best glide {hold}{UNIT_SPACE}{unit}, as briefed (handbook {handbook}).")
    };
    let best = finite(reference.best_glide_kcas).map(|v| speed.whole(v));
    let brought = match (best, reference.weight_lb) {
        (Some(best), Some(flown))
            if reference.reference_weight_lb.is_some() && best != handbook =>
        {
            format!(
                " At {}{UNIT_SPACE}{} the aeroplane glides best at {best}{UNIT_SPACE}{unit}: reach is computed with that.",
                weight.whole(flown),
                weight.unit,
            )
        }
        _ if handbook != hold => " Reach is computed with the handbook's.".to_owned(),
        _ => String::new(),
    };
    Some(to_hold + &brought)
}

/// What heights rest on.
pub fn height_source(code: &str) -> String {
    match code {
        "ground" => "the aeroplane rolling on ground of known elevation".to_owned(),
        "qnh" => "pressure altitude and QNH".to_owned(),
        "geoid" => "satellite altitude and the geoid".to_owned(),
        "recorder" => "the recorder's own altitude".to_owned(),
        other => other.replace('_', " "),
    }
}

/// `heights rest on …` as a sentence.
pub fn heights_rest_on(debrief: &Debrief) -> String {
    if debrief.height_reference.is_empty() {
        return "Heights rest on nothing that could be checked.".to_owned();
    }
    let sources: Vec<String> = debrief
        .height_reference
        .iter()
        .map(|c| height_source(c))
        .collect();
    format!("Heights rest on {}.", sources.join("; then on "))
}

/// What the attempt's remarks are, with a first one when it may not have been an attempt at all.
pub fn remarks(attempt: &Attempt, wording: Wording) -> Vec<String> {
    let doubt = (attempt.confidence < SURE).then(|| {
        let share = number::number(100.0 * attempt.confidence, 0);
        format!("that this was a practice forced landing has a probability of {share} %")
    });
    doubt
        .into_iter()
        .chain(
            attempt
                .remarks
                .iter()
                .map(|remark| wording.sentence(&from_power_off(attempt, remark))),
        )
        .collect()
}

/// A remark with its times of day as minutes and seconds from the power reduction, as all of its reports have
/// them.
fn from_power_off(attempt: &Attempt, remark: &str) -> String {
    let mut out = remark.to_owned();
    while let Some(end) = out.find(" UTC") {
        let elapsed = end
            .checked_sub(8)
            .and_then(|start| Some((start, seconds_of_day(out.get(start..end)?)?)))
            .and_then(|(start, second)| Some((start, second - seconds_at_power_off(attempt)?)));
        let Some((start, elapsed)) = elapsed else {
            break;
        };
        let elapsed = (elapsed + HALF_DAY_S).rem_euclid(2.0 * HALF_DAY_S) - HALF_DAY_S;
        out.replace_range(start..end + 4, &number::since_power_off(elapsed));
    }
    out
}

/// Whether a warning about the recording is about this attempt too: one that names another attempt, or a
/// single line written outside of this one, is not.
pub fn concerns(attempt: &Attempt, warning: &str) -> bool {
    if let Some((_, rest)) = warning.split_once(" in attempt ") {
        let number: String = rest.chars().take_while(char::is_ascii_digit).collect();
        return number == attempt.number.to_string();
    }
    let second = warning
        .strip_suffix(" UTC)")
        .filter(|text| text.contains("(line "))
        .and_then(|text| seconds_of_day(text.get(text.len().checked_sub(8)?..)?));
    let (Some(second), Some(start)) = (second, seconds_at_power_off(attempt)) else {
        return true;
    };
    let series = &attempt.series.elapsed_s;
    let (Some(first), Some(last)) = (series.first(), series.last()) else {
        return true;
    };
    let elapsed = (second - start + HALF_DAY_S).rem_euclid(2.0 * HALF_DAY_S) - HALF_DAY_S;
    (*first..=*last).contains(&elapsed)
}

/// Half a day, s.
const HALF_DAY_S: f64 = 43_200.0;

/// Seconds of the day of `10:21:40`.
fn seconds_of_day(clock: &str) -> Option<f64> {
    let mut parts = clock.split(':').map(str::parse::<f64>);
    let (h, m, s) = (
        parts.next()?.ok()?,
        parts.next()?.ok()?,
        parts.next()?.ok()?,
    );
    Some(3600.0 * h + 60.0 * m + s)
}

/// Seconds of the day at which the power came off.
fn seconds_at_power_off(attempt: &Attempt) -> Option<f64> {
    let first: Timestamp = attempt.series.utc.first()?.parse().ok()?;
    let offset = *attempt.series.elapsed_s.first()?;
    Some(
        first
            .as_duration()
            .as_secs_f64()
            .rem_euclid(2.0 * HALF_DAY_S)
            - offset,
    )
}

/// How an attempt ended.
pub fn ending(ending: Ending) -> &'static str {
    match ending {
        Ending::Touchdown => "touchdown",
        Ending::GoAround => "go-around",
        Ending::EndOfRecording => "end of recording",
    }
}

/// A text with its first letter in upper case.
pub fn sentence_case(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}

/// A text of the document without the characters that do not print or turn the direction of
/// writing. Markup is left to the template, which escapes it.
pub fn printable(text: &str) -> String {
    text.chars()
        .filter(|c| !super::svg::is_unprintable(*c))
        .collect()
}

/// Day, as `3 May 2026`; empty when the text is not a time.
pub fn day(utc: &str) -> String {
    utc.parse::<Timestamp>()
        .map_or_else(|_| String::new(), |t| t.strftime("%-d %B %Y").to_string())
}

/// Time of day, as `10:21:40`; the text itself when it is not a time.
pub fn time_of_day(utc: &str) -> String {
    utc.parse::<Timestamp>()
        .map_or_else(|_| utc.to_owned(), |t| t.strftime("%H:%M:%S").to_string())
}

/// Recorder and rate, as `igc, 1 fix a second`.
pub fn recorder(debrief: &Debrief) -> String {
    let rate = debrief.recording.rate_hz;
    let rate = if !rate.is_finite() || rate <= 0.0 {
        "rate unknown".to_owned()
    } else if rate >= 0.95 {
        format!(
            "{} fixes/s",
            number::number(rate, usize::from((rate - rate.round()).abs() > 0.05))
        )
    } else {
        format!(
            "a fix every {} s",
            number::number(
                1.0 / rate,
                usize::from(1.0 / rate < 10.0 && (1.0 / rate).fract() > 0.05)
            )
        )
    };
    let rate = if rate == "1 fixes/s" {
        "1 fix/s".to_owned()
    } else {
        rate
    };
    format!(
        "{} recording, {rate}",
        debrief.recording.format.to_uppercase()
    )
}

/// Seconds since the power reduction of an instant, by the attempt's own time base.
pub fn elapsed_s(attempt: &Attempt, utc: &str) -> Option<f64> {
    let instant: Timestamp = utc.parse().ok()?;
    let first: Timestamp = attempt.series.utc.first()?.parse().ok()?;
    let offset = *attempt.series.elapsed_s.first()?;
    Some(instant.duration_since(first).as_secs_f64() + offset)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sentence_about_best_glide_says_where_it_comes_from() {
        let told = |hold: f64, handbook: Option<f64>, at_weight: f64| {
            let reference = Reference {
                best_glide_kcas: Some(at_weight),
                best_glide_from_briefing: true,
                glide_to_hold_kcas: Some(hold),
                handbook_best_glide_kcas: handbook,
                reference_weight_lb: Some(2400.0),
                weight_lb: Some(2180.0),
                ..Reference::default()
            };
            let said = best_glide(&reference, Wording::default()).unwrap();
            said.replace(['\u{a0}', UNIT_SPACE], " ")
        };
        assert_eq!(
            told(71.0, Some(71.0), 67.7),
            "Best glide 71 kt, as the handbook has it. At 2180 lb the aeroplane glides best at 68 kt: reach is computed with that."
        );
        assert_eq!(
            told(68.0, Some(71.0), 67.7),
            "Best glide 68 kt, as briefed (handbook 71). At 2180 lb the aeroplane glides best at 68 kt: reach is computed with that."
        );
        assert_eq!(
            told(71.0, Some(71.0), 71.2),
            "Best glide 71 kt, as the handbook has it."
        );
        assert_eq!(
            told(68.0, None, 68.0),
            "Best glide 68 kt, as briefed; the briefing has no handbook speed: reach is computed with it too."
        );
    }

    #[test]
    fn times_that_cannot_be_read_do_no_harm() {
        assert_eq!(day("2026-05-03T10:21:40Z"), "3 May 2026");
        assert_eq!(time_of_day("2026-05-03T10:21:40.25Z"), "10:21:40");
        assert_eq!(day("yesterday"), "");
        assert_eq!(sentence_case("go-around"), "Go-around");
        assert_eq!(sentence_case(""), "");
    }
}
