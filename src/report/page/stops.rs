//! What the cursor stops at by name: key points, moments, dangers and what was noted.

use serde_json::{Value, json};

use super::super::in_hand_words::danger_kind;
use super::super::number::{self, Figure};
use super::super::panel::{marks, moments};
use super::super::wording::Wording;
use super::super::words;
use super::data::{in_hand_figure, tenths, text_of};
use crate::debrief::document::{Attempt, KeyPoint};

/// All of them, the key points first: name, number or letter, time since the power reduction, and the figures of its
/// table, which hold the doubt of its instant too.
pub(super) fn all(attempt: &Attempt, wording: Wording) -> Vec<Value> {
    let marks = marks::marks(attempt);
    let points = marks.iter().map(|mark| {
        let found = attempt.key_points.iter().find(|p| {
            let utc = p.utc.value();
            let at = utc.and_then(|utc| words::elapsed_s(attempt, &utc));
            p.kind == mark.kind && at.is_some_and(|t| (t - mark.elapsed_s).abs() < 1e-6)
        });
        let height = found.and_then(|p| wording.height(&p.height_ft));
        let cas = found.and_then(|p| wording.speed(&p.cas_kt));
        let hand = found.and_then(|p| in_hand_at(attempt, p));
        let hand = hand.and_then(|measured| in_hand_figure(measured, wording));
        json!({
            "n": mark.number.to_string(),
            "clock": number::clock(mark.elapsed_s),
            "kind": words::key_point(&mark.kind),
            "t": tenths(mark.elapsed_s),
            "height": of_point(height),
            "cas": of_point(cas),
            "inHand": hand.map(|f| text_of(&f)),
        })
    });
    let lettered = moments::lettered(attempt);
    let lettered = lettered.iter().map(|m| {
        let stop = told(&m.letter.to_string(), moment(&m.event.kind), m.elapsed_s);
        with_heights(stop, wording.height(&m.event.height_ft), None)
    });
    let story = &attempt.in_hand;
    let dangers = story.dangers.iter().filter_map(|danger| {
        let from_s = words::elapsed_s(attempt, &danger.from_utc.value()?)?;
        Some(told("!", danger_kind(danger), from_s))
    });
    let noted = story.at_events.iter().filter_map(|event| {
        let what = words::printable(&event.what);
        let stop = told("", &what, event.elapsed_s.value()?);
        let hand = in_hand_figure(&event.height_in_hand_ft, wording);
        Some(with_heights(stop, wording.height(&event.height_ft), hand))
    });
    points.chain(lettered).chain(dangers).chain(noted).collect()
}

/// The figures of its own table.
fn with_heights(mut stop: Value, height: Option<Figure>, in_hand: Option<Figure>) -> Value {
    stop["height"] = json!(height.map(|f| text_of(&f)));
    stop["inHand"] = json!(in_hand.map(|f| text_of(&f)));
    stop
}

/// A figure of a key point; what lies in a gap of the recording has none, and the path there is no measurement either.
fn of_point(figure: Option<Figure>) -> String {
    figure.map_or_else(|| "none".to_owned(), |f| text_of(&f))
}

fn told(sign: &str, kind: &str, elapsed_s: f64) -> Value {
    json!({ "n": sign, "kind": kind, "clock": number::clock(elapsed_s), "t": tenths(elapsed_s) })
}

/// The height in hand that the measures have at a key point.
fn in_hand_at<'a>(attempt: &'a Attempt, point: &KeyPoint) -> Option<&'a crate::quantity::Measured> {
    let id = match point.kind.as_str() {
        "power_reduction" => "height_in_hand_at_power_reduction_ft",
        "abeam" => "height_in_hand_at_abeam_ft",
        _ => return None,
    };
    attempt.measures.get(id)
}

/// A moment in a word or two; its letter stands before it.
fn moment(kind: &str) -> &str {
    match kind {
        "out_of_reach" => "aim out of reach",
        "back_within_reach" => "aim back within reach",
        "last_within_reach" => "aim within reach for the last time",
        "too_high" => "too high",
        other => other,
    }
}
