//! Wind at heights as arrows, highest above, to stand beside the plan: north is up in both.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, fit, text_width, wrap};
use super::{Subject, nothing_to_draw};
use crate::debrief::document::WindAtHeight;

/// Room one wind takes at the least, in text heights.
const ROW: f64 = 6.8;

/// Draws the column of arrows; winds that do not fit are left out evenly.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    let (feet, knots) = (subject.wording.ft(), subject.wording.kt());
    canvas.open(
        "wind-arrows",
        "img",
        "Wind",
        "Arrows show where the air goes at each height above the aim point, north up; below each \
         the direction it blows from and its speed, with their 95 % intervals.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Wind",
        look.title(),
    );
    let body = area.inset(0.0, look.title + 5.0, 0.0, 0.0);
    let known: Vec<&WindAtHeight> = subject
        .attempt
        .wind
        .iter()
        .filter(|wind| wind.speed_kt.value().is_some_and(f64::is_finite))
        .collect();
    if known.is_empty() {
        nothing_to_draw(canvas, body, look, "not measured");
        canvas.close();
        return;
    }
    canvas.rect(body, Ink::Shade);
    let rows = ((body.h / (ROW * look.small)).floor() as usize).max(1);
    let every = known.len().div_ceil(rows).max(1);
    let shown: Vec<&&WindAtHeight> = known.iter().step_by(every).collect();
    let row_height = (body.h / shown.len() as f64).min(7.6 * look.small);
    for (i, wind) in shown.iter().rev().enumerate() {
        let (Some(speed), Some(figure)) =
            (wind.speed_kt.value(), subject.wording.speed(&wind.speed_kt))
        else {
            continue;
        };
        let top = body.y + row_height * i as f64 + 0.5 * (row_height - ROW * look.small);
        let x = body.x + body.w / 2.0;
        let height = format!("{} {}", subject.wording.level(wind.height_ft), feet.unit);
        let style = look.small(Ink::Muted, Anchor::Middle);
        canvas.text(Point::new(x, top + look.small), &height, style);
        let line = |canvas: &mut Canvas, down: f64, text: &str, ink: Ink| {
            let text = fit(text, look.small, false, body.w);
            let at = Point::new(x, top + down * look.small);
            canvas.text(at, &text, look.small(ink, Anchor::Middle));
        };
        let figure_words = if figure.told {
            format!("{} {}", figure.value, knots.unit)
        } else {
            number::CANNOT_TELL.to_owned()
        };
        let interval = format!("{}–{} {}", figure.low, figure.high, knots.unit);
        let from = wind.from_deg_true.value().filter(|from| from.is_finite());
        let bearing = number::bearing(&wind.from_deg_true);
        if let (Some(from), Some(bearing)) = (from, bearing) {
            let half = (0.4 + speed / 45.0).clamp(0.5, 0.95) * look.small;
            arrow(canvas, Point::new(x, top + 2.3 * look.small), from, half);
            let whole = format!("{}° {figure_words}", bearing.value);
            let text = if text_width(&whole, look.small, false) <= body.w {
                whole
            } else {
                // the interval below has the unit too
                format!("{}° {}", bearing.value, figure.value)
            };
            line(canvas, 4.15, &text, Ink::Text);
            line(
                canvas,
                5.3,
                &format!("{}–{}°", bearing.low, bearing.high),
                Ink::Muted,
            );
        } else {
            // the reason as in the table of the page
            let reason = wind.from_deg_true.reason().unwrap_or("no direction");
            let lines = wrap(reason, look.small, false, body.w - 2.0);
            for (i, text) in lines.iter().take(3).enumerate() {
                line(canvas, 2.15 + 1.05 * i as f64, text, Ink::Muted);
            }
            line(canvas, 5.3, &figure_words, Ink::Text);
        }
        line(canvas, 6.45, &interval, Ink::Muted);
    }
    canvas.close();
}

/// One arrow as an ornament of a table in a page, beside the direction in figures.
pub fn arrow_svg(from_deg: f64) -> String {
    let mut canvas = Canvas::new("").in_page();
    arrow(&mut canvas, Point::new(12.0, 12.0), from_deg, 9.0);
    canvas.finish_ornament((24.0, 24.0), "arrow")
}

/// An arrow that points where the air goes.
pub(super) fn arrow(canvas: &mut Canvas, centre: Point, from_deg: f64, half: f64) {
    let (sin, cos) = from_deg.to_radians().sin_cos();
    // Towards = opposite of from: east is +x, north is −y.
    let (dx, dy) = (-sin, cos);
    let tail = Point::new(centre.x - dx * half, centre.y - dy * half);
    let tip = Point::new(centre.x + dx * half, centre.y + dy * half);
    canvas.line(tail, tip, Stroke::new(Ink::Wind, 1.2));
    let back = |side: f64| {
        Point::new(
            tip.x - 0.9 * half * dx + side * 0.55 * half * dy,
            tip.y - 0.9 * half * dy - side * 0.55 * half * dx,
        )
    };
    canvas.polygon(&[tip, back(1.0), back(-1.0)], Ink::Wind, None);
}
