//! Panels over time: seconds since the power reduction, to the right.

use super::super::number;
use super::super::svg::{Canvas, Rect, nice_ticks, nice_time_step};
use super::Subject;
use super::frame::{Frame, Surroundings};
use super::marks;

/// The range that holds all finite values.
pub fn range<'a>(values: impl Iterator<Item = &'a f64>) -> Option<(f64, f64)> {
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(*v), h.max(*v))
        });
    (low <= high).then_some((low, high))
}

/// The range of a series before the attempt ended: what follows must not squeeze it.
pub fn range_in_attempt(subject: &Subject<'_>, values: &[f64]) -> Option<(f64, f64)> {
    let end = marks::end_s(subject.attempt, subject.marks);
    let elapsed = &subject.attempt.series.elapsed_s;
    range(
        elapsed
            .iter()
            .zip(values)
            .filter(|(t, _)| **t <= end)
            .map(|(_, v)| v),
    )
}

/// Draws frame, grid and labels for values `low..=high` and returns where.
pub fn frame(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    around: Surroundings<'_>,
    values: (f64, f64),
) -> Frame {
    let elapsed = &subject.attempt.series.elapsed_s;
    let (from, to) = range(elapsed.iter()).unwrap_or((0.0, 60.0));
    let frame = Frame::draw(canvas, area, subject.look, around, (from, to), values);
    let columns = ((frame.plot.w / (subject.look.small * 3.3)) as usize).max(2);
    let text = |tick: f64| {
        if around.rows > 0 {
            number::clock(tick)
        } else {
            String::new()
        }
    };
    let ticks: Vec<(f64, String)> = nice_ticks(from, to, nice_time_step(to - from, columns))
        .into_iter()
        .map(|tick| (tick, text(tick)))
        .collect();
    frame.columns(canvas, &ticks);
    frame
}

/// The key points with their times.
pub fn places(subject: &Subject<'_>) -> Vec<(usize, f64)> {
    let marks = subject.marks.iter();
    marks.map(|m| (m.number, m.elapsed_s)).collect()
}
