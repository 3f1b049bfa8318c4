//! What the document says about height in hand, as sentences for the sheet, the page and the terminal.

use super::number;
use super::panel::moments;
use super::words;
use crate::debrief::document::{Attempt, Projection};
use crate::quantity::Measured;

/// Seconds as `m:ss`.
pub fn clock(seconds: f64) -> String {
    let whole = seconds.round().abs() as u64;
    let minus = if seconds <= -0.5 {
        number::MINUS.to_string()
    } else {
        String::new()
    };
    format!("{minus}{}:{:02}", whole / 60, whole % 60)
}

/// The dangers, then the moments: what a student should read first.
pub fn remarks(attempt: &Attempt) -> Vec<String> {
    let dangers = attempt.in_hand.dangers.iter().map(|d| {
        if d.probability < SURE {
            let share = number::number(100.0 * d.probability, 0);
            format!("{} (probability {share} %)", d.words)
        } else {
            d.words.clone()
        }
    });
    dangers.chain(moments_in_words(attempt)).collect()
}

/// From this probability on a danger or a moment is not doubted in words.
const SURE: f64 = 0.95;

/// Each moment with letter, time, interval and height.
pub fn moments_in_words(attempt: &Attempt) -> Vec<String> {
    moments::lettered(attempt)
        .iter()
        .map(|m| {
            let interval = interval_of(attempt, &m.event.utc)
                .map_or_else(String::new, |text| format!(" ({text})"));
            let height = number::height(&m.event.height_ft)
                .map_or_else(String::new, |f| format!(", at {} ft", f.value));
            format!(
                "Mark {}, {}{interval}{height}: {}",
                m.letter,
                clock(m.elapsed_s),
                m.event.words
            )
        })
        .collect()
}

/// The interval of an instant as `0:55 to 1:10`, since the power reduction.
pub fn interval_of(attempt: &Attempt, utc: &Measured<String>) -> Option<String> {
    let (low, high) = utc.interval()?;
    let (low, high) = (
        words::elapsed_s(attempt, &low)?,
        words::elapsed_s(attempt, &high)?,
    );
    Some(format!("{} to {}", clock(low), clock(high)))
}

/// From where a projection was judged.
pub fn judged_at(projection: &Projection) -> &'static str {
    match projection.judged_at.as_str() {
        "abeam" => "abeam",
        "500_ft" => "at 500 ft",
        "on_final" => "on final",
        "last_of_glide" => "at the last of the glide",
        _ => "elsewhere",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks() {
        assert_eq!(clock(62.4), "1:02");
        assert_eq!(clock(-3.0), "\u{2212}0:03");
        assert_eq!(clock(-0.2), "0:00");
    }
}
