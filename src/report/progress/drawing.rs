//! One measure over the attempts.

use super::super::grid;
use super::super::look::Look;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, fit, nice_step};
use super::super::wording::Manner;
use super::{of_how_many, shown, verdict, with_unit, yardstick};
use crate::progress::document::MeasureProgress;

/// Dots with intervals in the order of the attempts, the yardstick as a band.
pub(super) fn measure(
    canvas: &mut Canvas,
    area: Rect,
    index: usize,
    m: &MeasureProgress,
    manner: &Manner,
    look: Look,
) {
    let wording = manner.figures();
    canvas.open(
        &format!("measure-{index}"),
        "img",
        &m.label,
        "Value of each attempt with its 95 % interval, in the order flown; the band is the yardstick.",
    );
    let share = m.measure.ends_with("_share");
    let (_, times) = shown(m, wording);
    let title = with_unit(m, wording);
    canvas.text(
        Point::new(area.x, area.y + look.body),
        &fit(&title, look.body, true, area.w),
        look.body(Ink::Text, Anchor::Start).bold(),
    );
    canvas.text(
        Point::new(area.x, area.y + 1.2 * look.body + look.small),
        &fit(&subtitle(m), look.small, false, area.w),
        look.small(Ink::Muted, Anchor::Start),
    );
    if m.points.is_empty() {
        canvas.close();
        return;
    }
    let plot = area.inset(
        look.small * 3.6,
        look.body * 2.6 + look.small * 0.4,
        4.0,
        look.small * 1.7,
    );
    let values = || m.points.iter().map(|p| times * p.value);
    let limit = times * m.yardstick;
    let low = values().fold(
        limit.min(if m.better == "nearer_zero" {
            -limit
        } else {
            limit
        }),
        f64::min,
    );
    let high = values().fold(limit, f64::max);
    // room for the intervals, but a wild one does not flatten the rest
    let pad = 0.15 * (high - low).max(1e-6);
    let step = nice_step(high - low + 2.0 * pad, 4);
    let y = grid::rounded(low - pad, high + pad, step, plot.bottom(), plot.y);
    let y = if share {
        Scale::new(y.from.max(0.0), y.to.min(100.0), y.start, y.end)
    } else {
        y
    };
    let n = m.points.len();
    let x = Scale::new(-0.7, n as f64 - 0.3, plot.x, plot.right());
    let band = |from: f64, to: f64| {
        let (top, bottom) = (y.at(to.min(y.to)), y.at(from.max(y.from)));
        Rect::new(plot.x, top, plot.w, (bottom - top).max(0.5))
    };
    let met = match m.better.as_str() {
        "less" => band(y.from, limit),
        "more" | "at_least" => band(limit, y.to),
        _ => band(-limit, limit),
    };
    canvas.rect(met, Ink::Tolerance);
    grid::rows(canvas, plot, y, step, look);
    // dots on the edge are whole
    canvas.open_clipped(plot.inset(0.0, -3.0, 0.0, -3.0));
    for (i, p) in m.points.iter().enumerate() {
        let px = x.at(i as f64);
        canvas.line(
            Point::new(px, y.at(times * p.low)),
            Point::new(px, y.at(times * p.high)),
            Stroke::new(Ink::Track(3), 1.2),
        );
        canvas.disc(
            Point::new(px, y.at(times * p.value)),
            2.6,
            Ink::Track(8),
            Ink::Track(8),
        );
    }
    canvas.close();
    let foot = area.bottom() - 1.0;
    let day = |utc: &str| manner.iso_day(utc);
    if let (Some(first), Some(last)) = (m.points.first(), m.points.last()) {
        canvas.text(
            Point::new(plot.x, foot),
            &day(&first.utc),
            look.small(Ink::Muted, Anchor::Start),
        );
        if n > 1 {
            canvas.text(
                Point::new(plot.right(), foot),
                &day(&last.utc),
                look.small(Ink::Muted, Anchor::End),
            );
        }
    }
    let met = fit(&yardstick(m, wording), look.small, false, 0.5 * area.w);
    canvas.text(
        Point::new(area.right(), area.y + 1.2 * look.body + look.small),
        &met,
        look.small(Ink::Target, Anchor::End).halo(),
    );
    canvas.close();
}

/// The course, and of how many attempts there is a figure where some have none.
fn subtitle(m: &MeasureProgress) -> String {
    if m.not_achieved > 0 {
        let (all, not) = (of_how_many(m), m.not_achieved);
        return format!("{}; {all} attempts, {not} not achieved", verdict(m));
    }
    if m.not_measured > 0 {
        return format!("{}; {} attempts", verdict(m), of_how_many(m));
    }
    verdict(m)
}
