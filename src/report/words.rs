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
        other => other.replace('_', " "),
    }
}

/// The name of a key point, and how sure it is that there was one where that is in doubt.
pub fn key_point_name(point: &KeyPoint) -> String {
    let name = sentence_case(&key_point(&point.kind));
    if point.probability < SURE {
        let share = number::number(100.0 * point.probability, 0);
        format!("{name}, {share}{UNIT_SPACE}% sure")
    } else {
        name
    }
}

/// When the power came off.
pub fn power_off(attempt: &Attempt) -> Option<String> {
    let point = attempt
        .key_points
        .iter()
        .find(|p| p.kind == "power_reduction")?;
    point.utc.value()
}

/// Best glide speed, and how it comes from the handbook's.
pub fn best_glide(reference: &Reference, wording: Wording) -> Option<String> {
    let (speed, weight) = (wording.kt(), wording.shown("lb", 0));
    let best = speed.whole(reference.best_glide_kcas.filter(|v| v.is_finite())?);
    let unit = speed.unit;
    if !reference.best_glide_from_briefing {
        return Some(format!(
            "Best glide {best}{UNIT_SPACE}{unit} is a guess from this recording: the briefing has none."
        ));
    }
    let handbook = reference.handbook_best_glide_kcas.map(|v| speed.whole(v));
    Some(
        match (handbook, reference.weight_lb, reference.reference_weight_lb) {
            (Some(handbook), Some(flown), Some(full)) => format!(
                "Best glide {best}{UNIT_SPACE}{unit} at {}{UNIT_SPACE}{} (handbook {handbook} at {}).",
                weight.whole(flown),
                weight.unit,
                weight.whole(full)
            ),
            _ => format!(
                "Best glide {best}{UNIT_SPACE}{unit}, as in the handbook: no weights were given."
            ),
        },
    )
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
        .chain(attempt.remarks.iter().map(|r| wording.sentence(r)))
        .collect()
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
    fn times_that_cannot_be_read_do_no_harm() {
        assert_eq!(day("2026-05-03T10:21:40Z"), "3 May 2026");
        assert_eq!(time_of_day("2026-05-03T10:21:40.25Z"), "10:21:40");
        assert_eq!(day("yesterday"), "");
        assert_eq!(sentence_case("go-around"), "Go-around");
        assert_eq!(sentence_case(""), "");
    }
}
