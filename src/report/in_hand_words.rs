//! What the document says about height in hand, as sentences for the sheet, the page and the terminal.

use super::number;
use super::panel::moments;
use super::wording::Wording;
use super::words;
use crate::debrief::document::{Attempt, Projection, SlowDanger};
use crate::quantity::Measured;

/// The dangers, then the moments: what a student should read first.
pub fn remarks(attempt: &Attempt, wording: Wording) -> Vec<String> {
    let dangers = attempt.in_hand.dangers.iter();
    dangers
        .map(|one| danger(one, wording))
        .chain(moments_in_words(attempt, wording))
        .collect()
}

/// A danger, with its probability where that is in doubt.
pub fn danger(danger: &SlowDanger, wording: Wording) -> String {
    let words = wording.sentence(&danger.words);
    if danger.probability < words::SURE {
        let share = number::number(100.0 * danger.probability, 0);
        format!("{words} (probability {share} %)")
    } else {
        words
    }
}

/// Each moment with letter, time, interval and height.
pub fn moments_in_words(attempt: &Attempt, wording: Wording) -> Vec<String> {
    moments::lettered(attempt)
        .iter()
        .map(|m| {
            let interval = interval_of(attempt, &m.event.utc)
                .map_or_else(String::new, |text| format!(" ({text})"));
            let height = wording
                .height(&m.event.height_ft)
                .filter(|f| f.told)
                .map_or_else(String::new, |f| {
                    format!(", at {} {}", f.value, wording.ft().unit)
                });
            format!(
                "Mark {}, {}{interval}{height}: {}",
                m.letter,
                number::clock(m.elapsed_s),
                wording.sentence(&m.event.words)
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
    Some(format!("{} to {}", number::clock(low), number::clock(high)))
}

/// From where a projection was judged.
pub fn judged_at(projection: &Projection) -> &'static str {
    match projection.judged_at.as_str() {
        "abeam" => "abeam",
        "500_ft" => "at 500 ft", // the report converts it
        "on_final" => "on final",
        "last_of_glide" => "at the last of the glide",
        _ => "elsewhere",
    }
}
