//! One measure over the attempts.

use super::super::cut::{self, Cut};
use super::super::grid;
use super::super::look::Look;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, fit, nice_step, text_width,
};
use super::super::wording::Manner;
use super::range;
use super::{of_how_many, shown, verdict, with_unit, yardstick};
use crate::measures::usable;
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
    let (_, times) = shown(&m.measure, wording);
    let title = with_unit(m, wording);
    canvas.text(
        Point::new(area.x, area.y + look.body),
        &fit(&title, look.body, true, area.w),
        look.body(Ink::Text, Anchor::Start).bold(),
    );
    let met = yardstick((&m.measure, &m.better, m.yardstick), wording);
    let met = fit(&met, look.small, false, 0.5 * area.w);
    let room = area.w - text_width(&met, look.small, false) - 8.0;
    canvas.text(
        Point::new(area.x, area.y + 1.2 * look.body + look.small),
        &fit(&subtitle(m), look.small, false, room),
        look.small(Ink::Muted, Anchor::Start),
    );
    canvas.text(
        Point::new(area.right(), area.y + 1.2 * look.body + look.small),
        &met,
        look.small(Ink::Target, Anchor::End).halo(),
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
    let limit = times * m.yardstick;
    let (low, high) = range::shown(m, times);
    let pad = 0.05 * (high - low).max(1e-6);
    let step = nice_step(high - low + 2.0 * pad, 4);
    let y = grid::rounded(low - pad, high + pad, step, plot.bottom(), plot.y);
    // what is never below zero has no room there
    let least = m.points.iter().map(|p| p.low).fold(m.yardstick, f64::min);
    let y = match (share, m.better.as_str()) {
        (true, _) => Scale::new(y.from.max(0.0), y.to.min(100.0), y.start, y.end),
        (false, "less") if least >= 0.0 => Scale::new(y.from.max(0.0), y.to, y.start, y.end),
        _ => y,
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
    let mut cuts = Vec::new();
    for (i, p) in m.points.iter().enumerate() {
        let px = x.at(i as f64);
        let value = times * p.value;
        // of an attempt beyond the plot its value is told, of one within it the ends of its interval
        let ends = match (value < y.from, value > y.to) {
            (true, _) => [Some(value), None],
            (_, true) => [None, Some(value)],
            _ => [
                Some(times * p.low).filter(|low| *low < y.from),
                Some(times * p.high).filter(|high| *high > y.to),
            ],
        };
        let told = usable::can_tell(&m.measure, p.value, p.low, p.high);
        let beyond = !(y.from..=y.to).contains(&value);
        for (end, over) in ends.into_iter().zip([false, true]) {
            if let Some(end) = end {
                // a value that cannot be told is not named
                let value = if beyond && !told {
                    String::new()
                } else {
                    cut::value(end)
                };
                cuts.push(Cut { x: px, over, value });
            }
        }
        canvas.line(
            Point::new(px, y.at(times * p.low)),
            Point::new(px, y.at(times * p.high)),
            Stroke::new(Ink::Track(3), 1.2),
        );
        // a far value is a dot at the edge, below its arrow
        let inside = y.at(value).max(plot.y + 9.0).min(plot.bottom() - 9.0);
        canvas.disc(
            Point::new(px, if beyond { inside } else { y.at(value) }),
            2.6,
            if told { Ink::Track(8) } else { Ink::Paper },
            Ink::Track(8),
        );
    }
    canvas.close();
    cut::draw(canvas, plot, &cuts, look);
    // each date below its dot, as far as there is room
    let foot = area.bottom() - 1.0;
    let ends = [m.points.first(), m.points.last().filter(|_| n > 1)];
    for (point, at) in ends.iter().zip([0.0, (n - 1) as f64]) {
        let Some(point) = point else { continue };
        let day = manner.iso_day(&point.utc);
        let half = 0.5 * text_width(&day, look.small, false);
        let middle = x.at(at).max(plot.x + half).min(plot.right() - half);
        let style = look.small(Ink::Muted, Anchor::Middle);
        canvas.text(Point::new(middle, foot), &day, style);
    }
    canvas.close();
}

/// The course, and of how many attempts there is a figure where some have none.
fn subtitle(m: &MeasureProgress) -> String {
    let mut parts = vec![verdict(m)];
    let mut counts = Vec::new();
    if m.not_achieved + m.not_measured > 0 {
        counts.push(of_how_many(m));
    }
    if m.not_achieved > 0 {
        counts.push(format!("{} not achieved", m.not_achieved));
    }
    if m.too_wide > 0 {
        counts.push(format!("{} can\u{2019}t tell", m.too_wide));
    }
    if !counts.is_empty() {
        parts.push(counts.join(", "));
    }
    parts.join("; ")
}
