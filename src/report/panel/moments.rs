//! The moments at which reach was lost or won, lettered, on the side view; and the band of the
//! height in hand.

use super::super::svg::{Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, dense, text_width};
use super::super::words;
use super::Subject;
use super::frame::Frame;
use super::way::{Way, between};
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
pub(super) fn band(canvas: &mut Canvas, frame: &Frame, subject: &Subject<'_>, way: &Way) {
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
        frame.band(canvas, &way.flown, &low, &high);
    }
}

/// A triangle on the level of the aim below the flown line at each moment, with its letter where the lines leave room.
pub(super) fn marks(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject<'_>,
    way: &Way,
    placer: &mut Placer,
) {
    let small = frame.look.small;
    let (series, shown) = (&subject.attempt.series, subject.wording.ft());
    let known = |list: &[Option<f64>]| list.iter().map(|h| h.unwrap_or(f64::NAN)).collect();
    let in_hand: [Vec<f64>; 3] = [
        known(&series.height_in_hand_ft),
        known(&series.height_in_hand_low_ft),
        known(&series.height_in_hand_high_ft),
    ];
    for list in std::iter::once(&series.height_ft).chain(&in_hand) {
        let line: Vec<Point> = way
            .flown
            .iter()
            .zip(list)
            .map(|(place, h)| frame.at(*place, shown.of(*h)))
            .filter(|p| p.is_finite())
            .collect();
        placer.avoid(&dense(&line, frame.plot));
    }
    let flown = |moment: &Moment<'_>| {
        let height = between(&series.elapsed_s, &series.height_ft, moment.elapsed_s)?;
        Some(frame.at(way.at(moment.elapsed_s)?, shown.of(height)))
    };
    let moments: Vec<(char, Point)> = lettered(subject.attempt)
        .iter()
        .filter_map(|moment| {
            let on_line = flown(moment)?;
            let ground = frame.at(way.at(moment.elapsed_s)?, 0.0);
            if on_line.is_finite() {
                // the height it was at
                canvas.line(ground, on_line, Stroke::new(Ink::Target, 0.7));
            }
            Some((moment.letter, ground))
        })
        .filter(|(_, at)| at.is_finite() && frame.plot.holds(*at))
        .collect();
    for (_, at) in &moments {
        placer.block(Rect::new(at.x - 3.5, at.y - 6.5, 7.0, 6.5));
    }
    for (letter, at) in moments {
        let triangle = [
            at,
            Point::new(at.x - 3.2, at.y - 6.0),
            Point::new(at.x + 3.2, at.y - 6.0),
        ];
        canvas.polygon(&triangle, Ink::Target, Some(Stroke::new(Ink::Paper, 0.6)));
        let style = TextStyle::new(small, Ink::Target).bold().halo();
        let text = letter.to_string();
        let width = text_width(&text, small, true);
        let middle = Point::new(at.x, at.y - 3.0);
        let label = placer
            .place_clear(middle, width, small, 3.0, 22.0)
            .or_else(|| placer.place(middle, width, small, 3.0, 40.0));
        if let Some(label) = label {
            if label.wants_leader {
                let centre = label.room.centre();
                let share = (0.6 * small / middle.distance(centre)).min(1.0);
                let end = Point::new(
                    centre.x + share * (middle.x - centre.x),
                    centre.y + share * (middle.y - centre.y),
                );
                canvas.line(middle, end, Stroke::new(Ink::Target, 0.8));
            }
            let at = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(at, &text, style);
        }
    }
}
