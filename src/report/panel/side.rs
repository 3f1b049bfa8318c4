//! Side view: height above the aim against time.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, nice_step, text_width};
use super::super::usable;
use super::marks::{end_s, shades};
use super::time_axis::{self, Surroundings, TimeFrame};
use super::{Subject, moments, nothing_over_time};
use crate::units::{M_PER_FT, M_PER_NM};

/// Draws the side view; `discs` says whether the numbered discs stand above it.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    right: f64,
) -> Option<TimeFrame> {
    let series = &subject.attempt.series;
    let look = subject.look;
    let shown = subject.wording.ft();
    let title = format!("Height above the aim, {}", shown.unit);
    let target = subject.reference.abeam_target_ft.filter(|t| t.is_finite());
    let target = target.map(|t| shown.of(t));
    let height = shown.all(&series.height_ft);
    let (height_low, height_high) = (
        shown.all(&series.height_low_ft),
        shown.all(&series.height_high_ft),
    );
    canvas.open(
        "side",
        "img",
        "Height above the aim",
        "Height above the aim point against time since the power reduction, with its \
         95 % band, the height wanted abeam, the height in hand with its least before final, and the \
         numbered key points.",
    );
    let in_hand: Vec<f64> = series
        .height_in_hand_ft
        .iter()
        .map(|h| h.map_or(f64::NAN, |h| shown.of(h)))
        .collect();
    // below the times: the way flown
    let row = look.small + 3.0;
    let panel = area.inset(0.0, 0.0, 0.0, row);
    let frame = time_axis::range(height.iter().chain(&height_high)).map(|(low, high)| {
        let least = time_axis::range(in_hand.iter())
            .map_or(0.0, |(l, _)| l)
            .max(-0.3 * high.abs());
        let low = low.min(0.0).min(least);
        let high = high.max(target.unwrap_or(0.0)).max(shown.of(100.0));
        let room = 0.03 * (high - low);
        let around = Surroundings {
            title: &title,
            discs: true,
            times: true,
            right,
        };
        time_axis::frame(canvas, panel, subject, around, (low - room, high + room))
    });
    if let Some(frame) = &frame {
        let elapsed = &series.elapsed_s;
        canvas.open_clipped(frame.plot);
        ground(canvas, frame);
        frame.band(canvas, elapsed, &height_low, &height_high);
        moments::band(canvas, frame, subject);
        in_hand_line(canvas, frame, subject, &in_hand);
        let least = least_before_final(subject, &in_hand);
        frame.shaded_line(
            canvas,
            elapsed,
            &height,
            &shades(subject.attempt, subject.marks),
        );
        canvas.close();
        frame.key_points(canvas, subject.marks, true);
        moments::marks(canvas, frame, subject);
        frame.axes(canvas);
        flown(
            canvas,
            frame,
            subject,
            Point::new(area.x, area.bottom() - 2.0),
        );
        let mut names = Vec::new();
        if let Some((at_s, least)) = least.filter(|(_, h)| frame.value.holds(*h)) {
            canvas.disc(frame.at(at_s, least), 2.6, Ink::Paper, Ink::Wind);
            names.push((least, "ring: least".to_owned(), Ink::Wind));
        }
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
            &title,
            "no heights in this recording",
        );
    }
    canvas.close();
    frame
}

/// The height in hand, with gaps where it is known too badly to be told: there its band stands alone.
fn in_hand_line(canvas: &mut Canvas, frame: &TimeFrame, subject: &Subject<'_>, in_hand: &[f64]) {
    let series = &subject.attempt.series;
    let half_width = |i: usize| -> Option<f64> {
        let low = (*series.height_in_hand_low_ft.get(i)?)?;
        let high = (*series.height_in_hand_high_ft.get(i)?)?;
        Some((high - low) / 2.0)
    };
    let stroke = Stroke::new(Ink::Wind, 1.2).dashed("1.5 1.5");
    let mut run: Vec<Point> = Vec::new();
    for (i, (t, h)) in series.elapsed_s.iter().zip(in_hand).enumerate() {
        let told = half_width(i).is_none_or(|w| w <= usable::IN_HAND_FT);
        if told && h.is_finite() {
            run.push(frame.at(*t, *h));
        } else {
            canvas.polyline(&std::mem::take(&mut run), stroke);
        }
    }
    canvas.polyline(&run, stroke);
}

/// The way flown over the ground since the power reduction, in a row with ticks where each mile is full.
fn flown(canvas: &mut Canvas, frame: &TimeFrame, subject: &Subject<'_>, from: Point) {
    let series = &subject.attempt.series;
    let unit = subject.wording.shown("NM", 0);
    let end = end_s(subject.attempt, subject.marks);
    let mut way: Vec<(f64, f64)> = Vec::new();
    let mut last: Option<(f64, f64)> = None;
    let places = series.east_ft.iter().zip(&series.north_ft);
    for (t, (east, north)) in series.elapsed_s.iter().zip(places) {
        if !(0.0..=end).contains(t) || !east.is_finite() || !north.is_finite() {
            continue;
        }
        let step = last.map_or(0.0, |(e, n)| (east - e).hypot(north - n));
        let before = way.last().map_or(0.0, |(_, flown)| *flown);
        way.push((*t, before + unit.of(step * M_PER_FT / M_PER_NM)));
        last = Some((*east, *north));
    }
    let Some((_, whole)) = way.last() else {
        return;
    };
    let small = frame.look.small;
    let muted = frame.look.small(Ink::Muted, Anchor::Middle);
    let text = format!("{} flown", unit.unit);
    canvas.text(from, &text, muted.anchor(Anchor::Start));
    let mut free = from.x + text_width(&text, small, false) + 4.0;
    let columns = ((frame.plot.w / (small * 3.0)) as usize).max(2);
    let step = nice_step(*whole, columns).max(0.1);
    let mut next = step;
    for (t, flown) in &way {
        if *flown + 1e-9 < next {
            continue;
        }
        let x = frame.time.at(*t);
        let foot = Point::new(x, frame.plot.bottom());
        canvas.line(
            foot,
            Point::new(x, foot.y + 3.0),
            Stroke::new(Ink::Axis, 0.8),
        );
        let number = number::number(next, usize::from(step < 1.0));
        let half = 0.5 * text_width(&number, small, false);
        if x - half > free {
            canvas.text(Point::new(x, from.y), &number, muted);
            free = x + half + 3.0;
        }
        next += step;
    }
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
