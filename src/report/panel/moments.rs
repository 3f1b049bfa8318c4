//! The moments at which reach was lost or won, lettered, on a panel over time; and the band of the
//! height in hand.

use super::super::svg::{Anchor, Canvas, Ink, Point, Stroke, TextStyle};
use super::super::words;
use super::Subject;
use super::time_axis::TimeFrame;
use crate::debrief::document::{Attempt, Event};

/// A moment with its letter.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment<'a> {
    /// From `A`, in time order.
    pub letter: char,
    /// Seconds since the power reduction.
    pub elapsed_s: f64,
    /// The event of the document.
    pub event: &'a Event,
}

/// The moments whose time is known, lettered in time order.
pub fn lettered(attempt: &Attempt) -> Vec<Moment<'_>> {
    attempt
        .events
        .iter()
        .filter_map(|event| {
            let elapsed_s = words::elapsed_s(attempt, &event.utc.value()?)?;
            Some((elapsed_s, event))
        })
        .zip('A'..='Z')
        .map(|((elapsed_s, event), letter)| Moment {
            letter,
            elapsed_s,
            event,
        })
        .collect()
}

/// The 95 % band of the height in hand, behind its line.
pub(super) fn band(canvas: &mut Canvas, frame: &TimeFrame, subject: &Subject<'_>) {
    let series = &subject.attempt.series;
    let shown = subject.wording.ft();
    let known = |list: &[Option<f64>]| -> Vec<f64> {
        list.iter()
            .map(|h| h.map_or(f64::NAN, |h| shown.of(h)))
            .collect()
    };
    let (low, high) = (
        known(&series.height_in_hand_low_ft),
        known(&series.height_in_hand_high_ft),
    );
    if low.len() == series.elapsed_s.len() && high.len() == low.len() {
        frame.band(canvas, &series.elapsed_s, &low, &high);
    }
}

/// A triangle on the level of the aim at each moment, with its letter.
pub(super) fn marks(canvas: &mut Canvas, frame: &TimeFrame, subject: &Subject<'_>) {
    let small = frame.look.small;
    for moment in lettered(subject.attempt) {
        let at = frame.at(moment.elapsed_s, 0.0);
        if !at.is_finite() || !frame.plot.holds(at) {
            continue;
        }
        let triangle = [
            at,
            Point::new(at.x - 3.2, at.y - 6.0),
            Point::new(at.x + 3.2, at.y - 6.0),
        ];
        canvas.polygon(&triangle, Ink::Target, Some(Stroke::new(Ink::Paper, 0.6)));
        let style = TextStyle::new(small, Ink::Target)
            .bold()
            .anchor(Anchor::Middle)
            .halo();
        let letter = moment.letter.to_string();
        canvas.text(Point::new(at.x, at.y - 8.0), &letter, style);
    }
}
