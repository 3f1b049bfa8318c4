//! Side view: height above the aim against time.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, text_width};
use super::marks::shades;
use super::time_axis::{self, Surroundings, TimeFrame};
use super::{Subject, moments, nothing_over_time};

/// What it shows, and in which unit.
const TITLE: &str = "Height above the aim, ft";

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
         95 % band, the height wanted abeam, the height in hand with its least before final, and the \
         numbered key points.",
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
                title: TITLE,
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
        moments::band(canvas, frame, subject);
        let hand: Vec<Point> = elapsed
            .iter()
            .zip(&in_hand)
            .map(|(t, h)| frame.at(*t, *h))
            .collect();
        canvas.polyline(&hand, Stroke::new(Ink::Wind, 1.2).dashed("1.5 1.5"));
        let least = least_before_final(subject, &in_hand);
        frame.shaded_line(
            canvas,
            elapsed,
            &series.height_ft,
            &shades(subject.attempt, subject.marks),
        );
        canvas.close();
        frame.key_points(canvas, subject.marks, true);
        moments::marks(canvas, frame, subject);
        frame.axes(canvas);
        if let Some((at_s, height_ft)) = least.filter(|(_, h)| frame.value.holds(*h)) {
            name_least(canvas, frame, frame.at(at_s, height_ft));
        }
        let mut names = Vec::new();
        if let Some(target) = target {
            frame.reference(canvas, frame.time.from, target);
            names.push((
                target,
                format!("abeam {}", number::number(target, 0)),
                Ink::Target,
            ));
        }
        let last = in_hand.iter().rev().find(|h| h.is_finite());
        if let Some(last) = last {
            let within = last.clamp(frame.value.from, frame.value.to);
            names.push((within, "in hand".to_owned(), Ink::Wind));
        }
        frame.names(canvas, names);
    } else {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            TITLE,
            "no heights in this recording",
        );
    }
    canvas.close();
    frame
}

/// The level of the aim.
fn ground(canvas: &mut Canvas, frame: &TimeFrame) {
    let (left, right) = (frame.at(frame.time.from, 0.0), frame.at(frame.time.to, 0.0));
    canvas.line(left, right, Stroke::new(Ink::Aim, 1.4));
}

/// The least of the height in hand before final: when, and how much.
fn least_before_final(subject: &Subject<'_>, in_hand: &[f64]) -> Option<(f64, f64)> {
    let final_s = subject
        .marks
        .iter()
        .find(|m| m.kind == "on_final")
        .map_or(f64::INFINITY, |m| m.elapsed_s);
    subject
        .attempt
        .series
        .elapsed_s
        .iter()
        .zip(in_hand)
        .filter(|(t, h)| **t >= 0.0 && **t <= final_s && h.is_finite())
        .min_by(|a, b| a.1.total_cmp(b.1))
        .map(|(t, h)| (*t, *h))
}

/// A ring on the least height in hand, named beside it.
fn name_least(canvas: &mut Canvas, frame: &TimeFrame, place: Point) {
    let small = frame.look.small;
    canvas.disc(place, 2.6, Ink::Paper, Ink::Wind);
    let text = "least before final";
    let width = text_width(text, small, false);
    let (x, anchor) = if place.x - 6.0 - width > frame.plot.x {
        (place.x - 6.0, Anchor::End)
    } else {
        (place.x + 6.0, Anchor::Start)
    };
    // below the ring, but not on the level of the aim nor outside the plot
    let below = place.y + 1.1 * small;
    let on_level = (below - 0.35 * small - frame.value.at(0.0)).abs() < 0.7 * small;
    let y = if on_level || below > frame.plot.bottom() - 0.2 * small {
        place.y - 0.6 * small
    } else {
        below
    };
    canvas.text(
        Point::new(x, y),
        text,
        frame.look.small(Ink::Wind, anchor).halo(),
    );
}
