//! Descent rate against time.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, text_width};
use super::marks::{end_s, shades};
use super::time_axis::{self, Surroundings, TimeFrame};
use super::{Subject, nothing_over_time};

/// What it shows, and in which unit.
const TITLE: &str = "Descent rate, ft/min down";
/// A rate that no aeroplane survives, ft/min: beyond it the axis does not follow the numbers, and says so.
const LIMIT_FPM: f64 = 20_000.0;

/// Draws the descent rate, positive upwards, with its 95 % band and its greatest value in the attempt.
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
         reduction, with its 95 % band and the greatest rate of the attempt.",
    );
    let lists = [
        &series.descent_rate_fpm,
        &series.descent_rate_low_fpm,
        &series.descent_rate_high_fpm,
    ];
    let ends: Vec<f64> = lists
        .iter()
        .filter_map(|list| time_axis::range_in_attempt(subject, list))
        .flat_map(|(low, high)| [low, high])
        .collect();
    let frame = time_axis::range(ends.iter()).map(|(low, high)| {
        let (low, high) = (low.clamp(-LIMIT_FPM, 0.0), high.clamp(200.0, LIMIT_FPM));
        let room = 0.08 * (high - low);
        let around = Surroundings {
            title: TITLE,
            discs,
            times: true,
            right,
        };
        time_axis::frame(canvas, area, subject, around, (low - room, high + room))
    });
    if let Some(frame) = &frame {
        let elapsed = &series.elapsed_s;
        canvas.open_clipped(frame.plot);
        let (low, high) = (&series.descent_rate_low_fpm, &series.descent_rate_high_fpm);
        frame.band(canvas, elapsed, low, high);
        let (left, right) = (frame.at(frame.time.from, 0.0), frame.at(frame.time.to, 0.0));
        canvas.line(left, right, Stroke::new(Ink::Axis, 1.0));
        let runs = shades(subject.attempt, subject.marks);
        frame.shaded_line(canvas, elapsed, &series.descent_rate_fpm, &runs);
        canvas.close();
        frame.key_points(canvas, subject.marks, discs);
        frame.axes(canvas);
        greatest(canvas, frame, subject);
    } else {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            TITLE,
            "no descent rate could be worked out",
        );
    }
    canvas.close();
    frame
}

/// The greatest rate of the attempt, named right of its peak where there is room, else left.
fn greatest(canvas: &mut Canvas, frame: &TimeFrame, subject: &Subject<'_>) {
    let series = &subject.attempt.series;
    let end = end_s(subject.attempt, subject.marks);
    let peak = series
        .elapsed_s
        .iter()
        .zip(&series.descent_rate_fpm)
        .filter(|(t, rate)| (0.0..=end).contains(*t) && rate.is_finite())
        .max_by(|a, b| a.1.total_cmp(b.1));
    let Some((at_s, rate)) = peak else {
        return;
    };
    let small = frame.look.small;
    let within = rate.min(frame.value.to);
    let place = frame.at(*at_s, within);
    let beyond = if *rate > frame.value.to {
        "beyond the drawing: "
    } else {
        ""
    };
    let text = format!(
        "{beyond}{}",
        number::number((rate / 50.0).round() * 50.0, 0)
    );
    let width = text_width(&text, small, false);
    let fits = place.x + 6.0 + width < frame.plot.right();
    let (x, anchor) = if fits {
        (place.x + 6.0, Anchor::Start)
    } else {
        (place.x - 6.0, Anchor::End)
    };
    canvas.disc(place, 2.2, Ink::Paper, Ink::Text);
    let y = (place.y + 0.35 * small).max(frame.plot.y + 0.8 * small);
    let style = frame.look.small(Ink::Text, anchor).halo();
    canvas.text(Point::new(x, y), &text, style);
}
