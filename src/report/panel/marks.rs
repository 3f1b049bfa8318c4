//! The numbered key points, and the shading of the flown line by time.

use std::ops::Range;

use super::super::look::Look;
use super::super::svg::{Anchor, Canvas, Ink, Placer, Point, Stroke, TextStyle};
use super::super::words;
use super::way::between;
use crate::debrief::document::Attempt;

/// A key point with its number in every drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// From 1, in time order.
    pub number: usize,
    /// The code of the key point.
    pub kind: String,
    /// Seconds since the power reduction.
    pub elapsed_s: f64,
    /// East of the aim, ft.
    pub east_ft: f64,
    /// North of the aim, ft.
    pub north_ft: f64,
}

/// The key points whose time is known, numbered in time order.
pub fn marks(attempt: &Attempt) -> Vec<Mark> {
    let mut known: Vec<Mark> = attempt
        .key_points
        .iter()
        .filter_map(|point| {
            let elapsed_s = words::elapsed_s(attempt, &point.utc.value()?)?;
            // on the path as it is drawn: the middle of the places of an instant in doubt may lie beside it
            let series = &attempt.series;
            let at = |list: &[f64]| between(&series.elapsed_s, list, elapsed_s);
            let place = at(&series.east_ft).zip(at(&series.north_ft));
            let (east_ft, north_ft) = place.unwrap_or((point.east_ft, point.north_ft));
            Some(Mark {
                number: 0,
                kind: point.kind.clone(),
                elapsed_s,
                east_ft,
                north_ft,
            })
        })
        .collect();
    known.sort_by(|a, b| a.elapsed_s.total_cmp(&b.elapsed_s));
    for (index, mark) in known.iter_mut().enumerate() {
        mark.number = index + 1;
    }
    known
}

/// A black disc with the number in it.
pub fn draw_disc(canvas: &mut Canvas, centre: Point, number: usize, look: Look) {
    canvas.disc(centre, look.disc, Ink::Text, Ink::Paper);
    let style = TextStyle::new(look.disc * 1.45, Ink::Paper)
        .bold()
        .anchor(Anchor::Middle);
    let baseline = Point::new(centre.x, centre.y + look.disc * 0.52);
    canvas.text(baseline, &number.to_string(), style);
}

/// A ring on each point and its number in a disc beside it, with a leader line, no farther than `reach`.
pub fn discs_beside(
    canvas: &mut Canvas,
    points: &[(usize, Point)],
    look: Look,
    placer: &mut Placer,
    reach: f64,
) {
    let size = 2.0 * look.disc + 1.0;
    for &(number, point) in points {
        canvas.disc(point, RING, Ink::Paper, Ink::Text);
        if let Some(label) = placer.place(point, size, size, 5.0, reach) {
            let centre = label.room.centre();
            let length = point.distance(centre).max(1e-6);
            let towards = |d: f64| {
                Point::new(
                    point.x + (centre.x - point.x) * d / length,
                    point.y + (centre.y - point.y) * d / length,
                )
            };
            let (from, to) = (towards(RING), towards((length - look.disc).max(RING)));
            canvas.line(from, to, Stroke::new(Ink::Text, 0.8));
            draw_disc(canvas, centre, number, look);
        }
    }
}

/// Radius of the ring on a point.
const RING: f64 = 2.6;

/// A stretch of the series in one shade: `None` before the power reduction and after the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shade {
    /// The steps; neighbours share one.
    pub steps: Range<usize>,
    /// The step of the shading, 0 to 9.
    pub tone: Option<u8>,
    /// Whether the recording has a gap here.
    pub bridged: bool,
}

impl Shade {
    /// The line of the path, `width` wide where it was recorded: thin and dashed elsewhere.
    pub(super) fn stroke(&self, width: f64) -> Stroke {
        match self.tone {
            Some(tone) if self.bridged => {
                Stroke::new(Ink::Track(tone), 0.6 * width).dashed("3 2.4")
            }
            Some(tone) => Stroke::new(Ink::Track(tone), width).round(),
            None => Stroke::new(Ink::Axis, 0.8).dashed("2 1.6"),
        }
    }
}

/// When the attempt ended, in seconds since the power reduction.
pub fn end_s(attempt: &Attempt, marks: &[Mark]) -> f64 {
    let last = attempt.series.elapsed_s.last().copied().unwrap_or(0.0);
    marks
        .iter()
        .rev()
        .find(|m| matches!(m.kind.as_str(), "touchdown" | "go_around"))
        .map_or(last, |m| m.elapsed_s)
        .max(1.0)
}

/// The series cut into shades by time from the power reduction to the end of the attempt, and at the ends of gaps.
pub fn shades(attempt: &Attempt, marks: &[Mark]) -> Vec<Shade> {
    let elapsed = &attempt.series.elapsed_s;
    let end = end_s(attempt, marks);
    let tone = |t: f64| {
        if t < 0.0 || t > end {
            None
        } else {
            Some(((t / end * 10.0) as u8).min(9))
        }
    };
    let gaps = &attempt.series.bridged_s;
    let bridged = |t: f64| gaps.iter().any(|[from, to]| *from < t && t < *to);
    let mut runs: Vec<Shade> = Vec::new();
    for (i, t) in elapsed.iter().enumerate() {
        let here = Shade {
            steps: i..i + 1,
            tone: tone(*t),
            bridged: bridged(*t),
        };
        if let Some(run) = runs.last_mut() {
            run.steps.end = i + 1;
            if (run.tone, run.bridged) == (here.tone, here.bridged) {
                continue;
            }
        }
        runs.push(here);
    }
    runs
}
