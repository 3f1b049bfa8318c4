//! Descent rate against time.

use super::super::number::{self, UNIT_SPACE};
use super::super::svg::{Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, dense, text_width};
use super::super::wording::Units;
use super::frame::{Frame, Surroundings};
use super::marks::{end_s, shades};
use super::time_axis;
use super::{Subject, nothing_over_time, told};

/// The greatest rate is named over this time, s, as the remark on a dive has it.
const OVER_S: f64 = 2.0;
/// A rate that no aeroplane survives, ft/min: beyond it the axis does not follow the numbers, and says so.
const LIMIT_FPM: f64 = 20_000.0;

/// Draws the descent rate, positive upwards, with its 95 % band and its greatest value in the attempt.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    discs: bool,
    right: f64,
) -> Option<Frame> {
    let series = &subject.attempt.series;
    let shown = subject.wording.fpm();
    let title = format!("Descent rate, {} down", shown.unit);
    let lists = [
        &series.descent_rate_fpm,
        &series.descent_rate_low_fpm,
        &series.descent_rate_high_fpm,
    ]
    .map(|list| shown.all(list));
    let [rate, rate_low, rate_high] = &lists;
    canvas.open(
        "descent",
        "img",
        "Descent rate",
        &told::with(
            "Geometric descent rate, positive down, against time since the power reduction, with its 95 % band and the \
             greatest rate of the attempt.",
            &[
                told::figures(subject, &["descent_rate_fpm", "air_sink_rate_fpm"]),
                greatest_told(subject, rate),
            ],
        ),
    );
    let ends: Vec<f64> = lists
        .iter()
        .filter_map(|list| time_axis::range_in_attempt(subject, list))
        .flat_map(|(low, high)| [low, high])
        .collect();
    let frame = time_axis::range(ends.iter()).map(|(low, high)| {
        let (low, high) = (
            low.clamp(-shown.of(LIMIT_FPM), 0.0),
            high.clamp(shown.of(200.0), shown.of(LIMIT_FPM)),
        );
        let room = 0.08 * (high - low);
        let around = Surroundings {
            title: &title,
            discs,
            rows: 1,
            right,
        };
        time_axis::frame(canvas, area, subject, around, (low - room, high + room))
    });
    if let Some(frame) = &frame {
        let elapsed = &series.elapsed_s;
        canvas.open_clipped(frame.plot);
        frame.band(canvas, elapsed, rate_low, rate_high);
        let (left, right) = (
            frame.at(frame.across.from, 0.0),
            frame.at(frame.across.to, 0.0),
        );
        canvas.line(left, right, Stroke::new(Ink::Axis, 1.0));
        let runs = shades(subject.attempt, subject.marks);
        frame.shaded_line(canvas, elapsed, rate, &runs);
        canvas.close();
        frame.key_points(canvas, &time_axis::places(subject), discs);
        frame.axes(canvas);
        greatest(canvas, frame, subject, rate);
    } else {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            &title,
            "no descent rate could be worked out",
        );
    }
    canvas.close();
    frame
}

/// The greatest rate of the attempt: when, how great, and its mean over [`OVER_S`], as it is named.
struct Peak {
    at_s: f64,
    rate: f64,
    named: String,
}

fn peak(subject: &Subject<'_>, rates: &[f64]) -> Option<Peak> {
    let series = &subject.attempt.series;
    let end = end_s(subject.attempt, subject.marks);
    let (at_s, rate) = series
        .elapsed_s
        .iter()
        .zip(rates)
        .filter(|(t, rate)| (0.0..=end).contains(*t) && rate.is_finite())
        .max_by(|a, b| a.1.total_cmp(b.1))?;
    let near: Vec<f64> = series
        .elapsed_s
        .iter()
        .zip(rates)
        .filter(|(t, v)| (*t - at_s).abs() <= 0.5 * OVER_S && v.is_finite())
        .map(|(_, v)| *v)
        .collect();
    let over_seconds = near.iter().sum::<f64>() / near.len().max(1) as f64;
    let named = match subject.wording.units {
        Units::Us => {
            // a great one as the remark on it
            let step = if over_seconds < 2000.0 { 50.0 } else { 100.0 };
            number::number((over_seconds / step).round() * step, 0)
        }
        Units::Metric => number::number(over_seconds, 1),
    };
    Some(Peak {
        at_s: *at_s,
        rate: *rate,
        named,
    })
}

/// The greatest rate in words.
fn greatest_told(subject: &Subject<'_>, rates: &[f64]) -> String {
    peak(subject, rates).map_or_else(String::new, |peak| {
        let (unit, at) = (subject.wording.fpm().unit, number::clock(peak.at_s));
        format!("greatest: {}{UNIT_SPACE}{unit} at {at}", peak.named)
    })
}

/// The greatest rate of the attempt, named beside its peak where the line leaves room.
fn greatest(canvas: &mut Canvas, frame: &Frame, subject: &Subject<'_>, rates: &[f64]) {
    let series = &subject.attempt.series;
    let Some(Peak { at_s, rate, named }) = peak(subject, rates) else {
        return;
    };
    let small = frame.look.small;
    let within = rate.min(frame.value.to);
    let place = frame.at(at_s, within);
    let beyond = if rate > frame.value.to {
        "beyond the drawing: "
    } else {
        ""
    };
    let text = format!("{beyond}{named}");
    let width = text_width(&text, small, false);
    canvas.disc(place, 2.2, Ink::Paper, Ink::Text);
    let mut placer = Placer::new(frame.plot.inset(1.0, -0.3 * small, 1.0, 1.0));
    let line: Vec<Point> = series
        .elapsed_s
        .iter()
        .zip(rates)
        .map(|(t, r)| frame.at(*t, *r))
        .collect();
    placer.avoid(&dense(&line, frame.plot));
    placer.block(Rect::around(place, 5.0, 5.0));
    let label = placer
        .place_clear(place, width, small, 3.0, 24.0)
        .or_else(|| placer.place(place, width, small, 3.0, 40.0));
    if let Some(label) = label {
        let at = Point::new(label.room.x, label.room.y + 0.78 * small);
        canvas.text(at, &text, frame.look.small(Ink::Text, Anchor::Start).halo());
    }
}
