//! Wind at heights as arrows, highest above, to stand beside the plan: north is up in both.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, fit};
use super::{Subject, nothing_to_draw};
use crate::debrief::document::WindAtHeight;
use crate::quantity::Measured;

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
        .filter(|wind| {
            let is_number = |measured: &Measured| measured.value().is_some_and(f64::is_finite);
            is_number(&wind.from_deg_true) && is_number(&wind.speed_kt)
        })
        .collect();
    if known.is_empty() {
        nothing_to_draw(canvas, body, look, "unknown");
        canvas.close();
        return;
    }
    canvas.rect(body, Ink::Shade);
    let rows = ((body.h / (ROW * look.small)).floor() as usize).max(1);
    let every = known.len().div_ceil(rows).max(1);
    let shown: Vec<&&WindAtHeight> = known.iter().step_by(every).collect();
    let row_height = (body.h / shown.len() as f64).min(7.6 * look.small);
    for (i, wind) in shown.iter().rev().enumerate() {
        let (Some(from), Some(speed)) = (wind.from_deg_true.value(), wind.speed_kt.value()) else {
            continue;
        };
        let top = body.y + row_height * i as f64 + 0.5 * (row_height - ROW * look.small);
        let x = body.x + body.w / 2.0;
        let height = format!("{} {}", feet.whole(wind.height_ft), feet.unit);
        let style = look.small(Ink::Muted, Anchor::Middle);
        canvas.text(Point::new(x, top + look.small), &height, style);
        let half = (0.5 + speed / 25.0).clamp(0.6, 1.25) * look.small;
        arrow(canvas, Point::new(x, top + 2.3 * look.small), from, half);
        let bearing = number::bearing(&wind.from_deg_true)
            .map_or_else(|| number::direction(from), |figure| figure.value);
        let text = format!("{bearing}° {} {}", knots.whole(speed), knots.unit);
        let style = look.small(Ink::Text, Anchor::Middle);
        canvas.text(Point::new(x, top + 4.15 * look.small), &text, style);
        let muted = look.small(Ink::Muted, Anchor::Middle);
        let intervals = [
            number::bearing(&wind.from_deg_true).map(|f| format!("{}–{}°", f.low, f.high)),
            subject
                .wording
                .speed(&wind.speed_kt)
                .map(|f| format!("{}–{} {}", f.low, f.high, knots.unit)),
        ];
        for (line, text) in intervals.into_iter().flatten().enumerate() {
            let at = Point::new(x, top + (5.3 + 1.15 * line as f64) * look.small);
            canvas.text(at, &fit(&text, look.small, false, body.w), muted);
        }
    }
    canvas.close();
}

/// One arrow as a drawing of its own, for a table in a page.
pub fn arrow_svg(name: &str, from_deg: f64) -> String {
    let mut canvas = Canvas::new(name);
    arrow(&mut canvas, Point::new(12.0, 12.0), from_deg, 9.0);
    let from = number::direction(from_deg);
    canvas.finish((24.0, 24.0), "arrow", "Wind", &format!("from {from}° true"))
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
