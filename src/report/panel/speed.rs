//! Calibrated airspeed against time, with best glide and its tolerance.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke};
use super::super::words;
use super::frame::{Frame, Surroundings};
use super::marks::shades;
use super::time_axis;
use super::{Subject, nothing_over_time, told};

/// What it is looked at for.
const MEASURES: [&str; 6] = [
    "settling_time_s",
    "glide_cas_mean_kt",
    "glide_cas_min_kt",
    "glide_cas_max_kt",
    "glide_cas_within_share",
    "final_cas_mean_kt",
];

/// Draws the airspeed, with so many rows of labels below: none where a panel over time follows.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    rows: u8,
    right: f64,
) -> Option<Frame> {
    let series = &subject.attempt.series;
    let shown = subject.wording.kt();
    let title = format!("CAS, {}", shown.unit);
    let best = subject.reference.to_hold_kcas().filter(|v| v.is_finite());
    let best = best.map(|v| shown.of(v));
    let [below, above] = subject.reference.speed_band_kt.map(|v| shown.of(v));
    let [cas, cas_low, cas_high] =
        [&series.cas_kt, &series.cas_low_kt, &series.cas_high_kt].map(|list| shown.all(list));
    canvas.open(
        "speed",
        "img",
        "Calibrated airspeed",
        &told::with(
            "Calibrated airspeed against time since the power reduction, with its 95 % band, the best glide speed and \
             the tolerance around it.",
            &[told::figures(subject, &MEASURES)],
        ),
    );
    let frame = time_axis::range_in_attempt(subject, &cas).map(|(low, high)| {
        let low = low.min(best.map_or(low, |b| b - below - 3.0));
        let high = high.max(best.map_or(high, |b| b + above + 3.0));
        let room = (0.06 * (high - low)).max(2.0);
        // the bar of the steady glide and its name stand below the line
        let foot = match subject.attempt.steady_glide {
            Some(_) => (0.3 * (high - low)).max(room),
            None => room,
        };
        let around = Surroundings {
            title: &title,
            discs: true,
            rows,
            right,
        };
        time_axis::frame(
            canvas,
            area,
            subject,
            around,
            ((low - foot).max(0.0), high + room),
        )
    });
    if let Some(frame) = &frame {
        let elapsed = &series.elapsed_s;
        canvas.open_clipped(frame.plot);
        if let Some(best) = best {
            tolerance(canvas, frame, best - below, best + above);
        }
        frame.band(canvas, elapsed, &cas_low, &cas_high);
        if let Some(best) = best {
            for edge in [best - below, best + above] {
                let (from, to) = (
                    frame.at(frame.across.from, edge),
                    frame.at(frame.across.to, edge),
                );
                canvas.line(from, to, Stroke::new(Ink::Target, 0.5).dashed("2 2"));
            }
        }
        frame.shaded_line(
            canvas,
            elapsed,
            &cas,
            &shades(subject.attempt, subject.marks),
        );
        steady_glide(canvas, frame, subject);
        canvas.close();
        frame.key_points(canvas, &time_axis::places(subject), true);
        frame.axes(canvas);
        references(canvas, frame, subject, best);
    } else {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            &title,
            "no airspeed could be worked out",
        );
    }
    canvas.close();
    frame
}

/// The tolerance around best glide.
fn tolerance(canvas: &mut Canvas, frame: &Frame, low: f64, high: f64) {
    let (a, b) = (
        frame.at(frame.across.from, high),
        frame.at(frame.across.to, low),
    );
    canvas.rect(Rect::new(a.x, a.y, b.x - a.x, b.y - a.y), Ink::Tolerance);
}

/// Best glide, and the approach speed from on final.
fn references(canvas: &mut Canvas, frame: &Frame, subject: &Subject<'_>, best: Option<f64>) {
    let mut names = Vec::new();
    if let Some(best) = best {
        frame.reference(canvas, frame.across.from, best);
        let sure = subject.reference.best_glide_from_briefing;
        let name = if sure { "best glide" } else { "likely best" };
        names.push((
            best,
            format!("{name} {}", number::number(best, 0)),
            Ink::Target,
        ));
    }
    let approach = subject.reference.approach_kcas.filter(|v| v.is_finite());
    let approach = approach.map(|v| subject.wording.kt().of(v));
    let on_final = subject.marks.iter().find(|m| m.kind == "on_final");
    if let (Some(approach), Some(on_final)) = (approach, on_final) {
        frame.reference(canvas, on_final.elapsed_s, approach);
        names.push((
            approach,
            format!("approach {}", number::number(approach, 0)),
            Ink::Target,
        ));
    }
    frame.names(canvas, names);
}

/// The stretch that the glide figures are taken from, as a bar along the bottom.
fn steady_glide(canvas: &mut Canvas, frame: &Frame, subject: &Subject<'_>) {
    let Some(stretch) = &subject.attempt.steady_glide else {
        return;
    };
    let ends =
        [&stretch.from_utc, &stretch.to_utc].map(|utc| words::elapsed_s(subject.attempt, utc));
    if let [Some(from), Some(to)] = ends {
        let y = frame.plot.bottom() - 3.0;
        let (left, right) = (frame.across.at(from), frame.across.at(to));
        canvas.line(
            Point::new(left, y),
            Point::new(right, y),
            Stroke::new(Ink::Text, 2.4),
        );
        let at = Point::new(f64::midpoint(left, right), y - 3.5);
        canvas.text(
            at,
            "steady glide",
            frame.look.small(Ink::Text, Anchor::Middle).halo(),
        );
    }
}
