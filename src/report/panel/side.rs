//! Side view: height above the aim against time.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke};
use super::marks::shades;
use super::time_axis::{self, Surroundings, TimeFrame};
use super::{Subject, nothing_to_draw};

/// Draws the side view; `discs` says whether the numbered discs stand above it.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    right: f64,
) -> Option<TimeFrame> {
    let series = &subject.attempt.series;
    let target = subject.reference.abeam_target_ft.filter(|t| t.is_finite());
    canvas.open(
        "side",
        "img",
        "Height above the aim",
        "Height above the aim point in feet against time since the power reduction, with its \
         95 % band, the height wanted abeam, and the numbered key points.",
    );
    let in_hand: Vec<f64> = series
        .height_in_hand_ft
        .iter()
        .map(|h| h.unwrap_or(f64::NAN))
        .collect();
    let frame = time_axis::range(series.height_ft.iter().chain(&series.height_high_ft)).map(
        |(low, high)| {
            let least = time_axis::range(in_hand.iter())
                .map_or(0.0, |(l, _)| l)
                .max(-0.3 * high.abs());
            let low = low.min(0.0).min(least);
            let high = high.max(target.unwrap_or(0.0)).max(100.0);
            let room = 0.03 * (high - low);
            let around = Surroundings {
                title: "Height above the aim, ft",
                discs: true,
                times: true,
                right,
            };
            time_axis::frame(canvas, area, subject, around, (low - room, high + room))
        },
    );
    if let Some(frame) = &frame {
        let elapsed = &series.elapsed_s;
        canvas.open_clipped(frame.plot);
        ground(canvas, frame);
        frame.band(
            canvas,
            elapsed,
            &series.height_low_ft,
            &series.height_high_ft,
        );
        let hand: Vec<Point> = elapsed
            .iter()
            .zip(&in_hand)
            .map(|(t, h)| frame.at(*t, *h))
            .collect();
        canvas.polyline(&hand, Stroke::new(Ink::Wind, 1.2).dashed("1.5 1.5"));
        frame.shaded_line(
            canvas,
            elapsed,
            &series.height_ft,
            &shades(subject.attempt, subject.marks),
        );
        canvas.close();
        frame.key_points(canvas, subject.marks, true);
        frame.axes(canvas);
        if let Some(target) = target {
            let text = number::number(target, 0);
            frame.reference(canvas, frame.time.from, target, &["abeam", &text]);
        }
        label_in_hand(canvas, frame, elapsed, &in_hand, target);
    } else {
        nothing_to_draw(canvas, area, subject.look, "no heights in this recording");
    }
    canvas.close();
    frame
}

/// The level of the aim.
fn ground(canvas: &mut Canvas, frame: &TimeFrame) {
    let (left, right) = (frame.at(frame.time.from, 0.0), frame.at(frame.time.to, 0.0));
    canvas.line(left, right, Stroke::new(Ink::Aim, 1.4));
}

/// The name of the height-in-hand line, right of the plot at its last value.
fn label_in_hand(
    canvas: &mut Canvas,
    frame: &TimeFrame,
    elapsed: &[f64],
    in_hand: &[f64],
    target: Option<f64>,
) {
    let last = elapsed
        .iter()
        .zip(in_hand)
        .rev()
        .find(|(_, h)| h.is_finite() && frame.value.holds(**h));
    if let Some((_, height)) = last {
        let small = frame.look.small;
        let mut y = frame.value.at(*height);
        if let Some(target) = target {
            let taken = frame.value.at(target);
            if (y - taken).abs() < 2.4 * small {
                y = taken + 2.4 * small;
            }
        }
        let y = y.clamp(frame.plot.y + small, frame.plot.bottom() - 1.2 * small);
        let x = frame.plot.right() + 4.0;
        canvas.text(
            Point::new(x, y),
            "height",
            frame.look.small(Ink::Wind, Anchor::Start),
        );
        canvas.text(
            Point::new(x, y + 1.1 * small),
            "in hand",
            frame.look.small(Ink::Wind, Anchor::Start),
        );
    }
}
