//! Descent rate against time.

use super::super::svg::{Canvas, Ink, Rect, Stroke};
use super::marks::shades;
use super::time_axis::{self, Surroundings, TimeFrame};
use super::{Subject, nothing_to_draw};

/// Draws the descent rate, positive (down) drawn downwards.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    discs: bool,
    right: f64,
) -> Option<TimeFrame> {
    let series = &subject.attempt.series;
    canvas.open(
        "descent",
        "img",
        "Descent rate",
        "Geometric descent rate in feet per minute, positive down, against time since the power \
         reduction.",
    );
    let frame =
        time_axis::range_in_attempt(subject, &series.descent_rate_fpm).map(|(low, high)| {
            let (low, high) = (low.clamp(-6000.0, 0.0), high.clamp(200.0, 9000.0));
            let room = 0.05 * (high - low);
            let around = Surroundings {
                title: "Descent rate, ft/min down",
                discs,
                times: true,
                right,
            };
            time_axis::frame(canvas, area, subject, around, (low - room, high + room))
        });
    if let Some(frame) = &frame {
        canvas.open_clipped(frame.plot);
        let (left, right) = (frame.at(frame.time.from, 0.0), frame.at(frame.time.to, 0.0));
        canvas.line(left, right, Stroke::new(Ink::Axis, 1.0));
        let runs = shades(subject.attempt, subject.marks);
        frame.shaded_line(canvas, &series.elapsed_s, &series.descent_rate_fpm, &runs);
        canvas.close();
        frame.key_points(canvas, subject.marks, discs);
        frame.axes(canvas);
    } else {
        nothing_to_draw(
            canvas,
            area,
            subject.look,
            "no descent rate could be worked out",
        );
    }
    canvas.close();
    frame
}
