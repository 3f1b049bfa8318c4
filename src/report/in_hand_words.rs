//! What the document says about height in hand, as sentences for the sheet, the page and the terminal.

use super::number;
use super::panel::moments;
use super::words;
use crate::debrief::document::{Attempt, Projection, SlowDanger};
use crate::quantity::Measured;

/// The dangers, then the moments: what a student should read first.
pub fn remarks(attempt: &Attempt) -> Vec<String> {
    let dangers = attempt.in_hand.dangers.iter();
    dangers
        .map(danger)
        .chain(moments_in_words(attempt))
        .collect()
}

/// A danger, with its probability where that is in doubt.
pub fn danger(danger: &SlowDanger) -> String {
    if danger.probability < words::SURE {
        let share = number::number(100.0 * danger.probability, 0);
        format!("{} (probability {share} %)", danger.words)
    } else {
        danger.words.clone()
    }
}

/// Each moment with letter, time, interval and height.
pub fn moments_in_words(attempt: &Attempt) -> Vec<String> {
    moments::lettered(attempt)
        .iter()
        .map(|m| {
            let interval = interval_of(attempt, &m.event.utc)
                .map_or_else(String::new, |text| format!(" ({text})"));
            let height = number::height(&m.event.height_ft)
                .filter(|f| f.told)
                .map_or_else(String::new, |f| format!(", at {} ft", f.value));
            format!(
                "Mark {}, {}{interval}{height}: {}",
                m.letter,
                number::clock(m.elapsed_s),
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
    Some(format!("{} to {}", number::clock(low), number::clock(high)))
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
