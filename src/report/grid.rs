//! Grid lines with their numbers, as every plot without a frame of its own has them.

use super::look::Look;
use super::number;
use super::svg::{Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, nice_ticks};

/// A grid line across the plot at each multiple of `step`, its number left of it.
pub(super) fn rows(canvas: &mut Canvas, plot: Rect, value: Scale, step: f64, look: Look) {
    let ticks = nice_ticks(value.from, value.to, step);
    for tick in &ticks {
        let y = value.at(*tick);
        canvas.line(
            Point::new(plot.x, y),
            Point::new(plot.right(), y),
            Stroke::new(Ink::Grid, 0.7),
        );
    }
    for tick in ticks {
        let y = value.at(tick);
        let at = Point::new(plot.x - 4.0, y + 0.35 * look.small);
        let text = number::number(tick, decimals(step));
        canvas.text(at, &text, look.small(Ink::Muted, Anchor::End));
    }
}

/// A grid line up the plot at each tick, its text below; an empty text is none.
pub(super) fn columns(
    canvas: &mut Canvas,
    plot: Rect,
    across: Scale,
    ticks: &[(f64, String)],
    look: Look,
) {
    for (tick, _) in ticks {
        let x = across.at(*tick);
        canvas.line(
            Point::new(x, plot.y),
            Point::new(x, plot.bottom()),
            Stroke::new(Ink::Grid, 0.7),
        );
    }
    for (tick, text) in ticks {
        let x = across.at(*tick);
        if !text.is_empty() {
            let at = Point::new(x, plot.bottom() + look.small + 4.0);
            canvas.text(at, text, look.small(Ink::Muted, Anchor::Middle));
        }
    }
}

/// Ticks at each multiple of `step` within the scale, as numbers.
pub(super) fn numbers(across: Scale, step: f64) -> Vec<(f64, String)> {
    nice_ticks(across.from, across.to, step)
        .into_iter()
        .map(|tick| (tick, number::number(tick, decimals(step))))
        .collect()
}

/// The scale that ends at multiples of `step`.
pub(super) fn rounded(low: f64, high: f64, step: f64, start: f64, end: f64) -> Scale {
    let (from, to) = ((low / step).floor() * step, (high / step).ceil() * step);
    Scale::new(from, to, start, end)
}

/// Decimals that tell multiples of `step` apart.
fn decimals(step: f64) -> usize {
    if step < 0.1 {
        2
    } else {
        usize::from(step < 1.0)
    }
}
