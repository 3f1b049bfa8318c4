//! What the document says about height in hand, as sentences for the sheet, the page and the terminal.

use std::fmt::Write as _;

use super::number;
use super::panel::moments;
use super::wording::Wording;
use super::words;
use crate::debrief::document::{Attempt, Projection, SlowDanger};
use crate::quantity::Measured;

/// The dangers, the gravest first and in time order among like ones: a stall in the last turn leaves no height to
/// recover in, a stretched glide leads to one, and a steep turn alone takes margin (common practice).
pub fn gravest_first(attempt: &Attempt) -> Vec<&SlowDanger> {
    let rank = |danger: &&SlowDanger| match danger.kind.as_str() {
        "slow_turn" => 0,
        "slow_with_full_flap" => 1,
        "stretching" => 2,
        _ => 3,
    };
    let mut all: Vec<&SlowDanger> = attempt.in_hand.dangers.iter().collect();
    all.sort_by_key(rank);
    all
}

/// A danger in a few words, with its time, for a headline.
pub fn danger_in_short(attempt: &Attempt, danger: &SlowDanger) -> String {
    let what = danger_kind(danger);
    let utc = danger.from_utc.value();
    let at = utc.and_then(|utc| words::elapsed_s(attempt, &utc));
    let at = at.map_or_else(String::new, |s| format!(" at {}", number::clock(s)));
    let sure = doubt(danger.probability);
    format!("Danger{at}{sure}: {what}")
}

/// A danger in the fewest words.
pub fn danger_kind(danger: &SlowDanger) -> &'static str {
    match danger.kind.as_str() {
        "slow_turn" => "slow in the turn to final",
        "slow_with_full_flap" => "slow with full flap",
        "stretching" => "stretching the glide",
        "steep_turn" => "steep in the turn to final",
        _ => "slow",
    }
}

/// Events of the briefing and changes of recorded flap, in time order; steps of flap of which the same is to be said
/// in one sentence.
pub fn noted(attempt: &Attempt, wording: Wording) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut last: Option<String> = None;
    for event in &attempt.in_hand.at_events {
        let at = event
            .elapsed_s
            .value()
            .map_or_else(|| "at a time unknown".to_owned(), number::since_power_off);
        let tail = event.words.strip_prefix(&event.what);
        let tail = tail.unwrap_or(&event.words).split(": ").next();
        let judged: String = tail
            .unwrap_or_default()
            .chars()
            .filter(|c| !c.is_ascii_digit())
            .collect();
        let again = event.kind == "flap" && last.as_ref() == Some(&judged);
        match out.last_mut() {
            Some(sentence) if again => {
                let _ = write!(sentence, "; {} at {at}", event.what); // cannot fail
            }
            _ => out.push(format!("{at}, {}", wording.sentence(&event.words))),
        }
        last = (event.kind == "flap").then_some(judged);
    }
    out
}

/// A danger, with its probability where that is in doubt.
pub fn danger(danger: &SlowDanger, wording: Wording) -> String {
    let words = wording.sentence(&danger.words);
    if danger.probability < words::SURE {
        let share = number::number(100.0 * danger.probability, 0);
        format!("{words} (probability {share}{}%)", number::UNIT_SPACE)
    } else {
        words
    }
}

/// How sure something is, in brackets, where there is doubt.
pub(super) fn doubt(probability: f64) -> String {
    if probability >= words::SURE {
        return String::new();
    }
    let share = number::number(100.0 * probability, 0);
    format!(" ({share}{}% sure)", number::UNIT_SPACE)
}

/// Each moment with letter, time, interval and height.
pub fn moments_in_words(attempt: &Attempt, wording: Wording) -> Vec<String> {
    moments::lettered(attempt)
        .iter()
        .map(|m| {
            let interval = interval_of(attempt, &m.event.utc).map_or_else(String::new, |text| {
                format!(" (95{}% {text})", number::UNIT_SPACE)
            });
            let height = wording
                .height(&m.event.height_ft)
                .filter(|f| f.told)
                .map_or_else(String::new, |f| {
                    format!(", at {} {}", f.value, wording.ft().unit)
                });
            format!(
                "Mark {}, {}{interval}{height}: {}{}",
                m.letter,
                number::since_power_off(m.elapsed_s),
                wording.sentence(&m.event.words),
                doubt(m.event.probability)
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
