//! Wind at heights as a table with intervals.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, fit};
use super::wind_arrows::arrow;
use super::{Subject, nothing_to_draw};
use crate::debrief::document::WindAtHeight;

/// Draws the table, highest wind first; rows that do not fit are left out evenly.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    canvas.open(
        "wind",
        "group",
        "Wind by height",
        "Wind at heights above the aim point: direction it blows from in degrees true, speed in \
         knots, 95 % intervals. Arrows show where the air goes, north up.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Wind by height",
        look.title(),
    );
    let body = area.inset(0.0, look.title + 4.0, 0.0, 0.0);
    if subject.attempt.wind.is_empty() {
        nothing_to_draw(canvas, body, look, "no wind could be worked out");
        canvas.close();
        return;
    }
    let small = look.small;
    let columns = Columns {
        height: body.x + 0.16 * body.w,
        arrow: body.x + 0.25 * body.w,
        from: body.x + 0.44 * body.w,
        speed: body.x + 0.84 * body.w,
    };
    let head = Point::new(0.0, body.y + small);
    for (x, text) in [
        (columns.height, "ft"),
        (columns.from, "from °"),
        (columns.speed, "kt"),
    ] {
        canvas.text(
            Point::new(x, head.y),
            text,
            look.small(Ink::Muted, Anchor::End),
        );
    }
    let row_height = small * 1.42;
    let rows = (((body.h - small - 4.0) / row_height).floor() as usize).max(1);
    let every = subject.attempt.wind.len().div_ceil(rows);
    let shown: Vec<&WindAtHeight> = subject
        .attempt
        .wind
        .iter()
        .rev()
        .step_by(every.max(1))
        .collect();
    for (i, wind) in shown.into_iter().enumerate() {
        let middle = body.y + small + 4.0 + row_height * (i as f64 + 0.5);
        row(canvas, wind, middle, &columns, subject, body.right());
    }
    canvas.close();
}

/// Right edges of the numbers, and the middle of the arrows.
struct Columns {
    height: f64,
    arrow: f64,
    from: f64,
    speed: f64,
}

fn row(
    canvas: &mut Canvas,
    wind: &WindAtHeight,
    middle: f64,
    columns: &Columns,
    subject: &Subject<'_>,
    right: f64,
) {
    let look = subject.look;
    let baseline = middle + look.small * 0.35;
    let write = |canvas: &mut Canvas, x: f64, text: &str, anchor: Anchor, ink: Ink| {
        canvas.text(Point::new(x, baseline), text, look.small(ink, anchor));
    };
    write(
        canvas,
        columns.height,
        &number::number(wind.height_ft, 0),
        Anchor::End,
        Ink::Text,
    );
    let (Some(from), Some(bearing)) = (
        wind.from_deg_true.value(),
        number::bearing(&wind.from_deg_true),
    ) else {
        let reason = wind.from_deg_true.reason().unwrap_or("not measured");
        let text = fit(reason, look.small, false, right - columns.arrow);
        write(canvas, columns.arrow, &text, Anchor::Start, Ink::Muted);
        return;
    };
    arrow(
        canvas,
        Point::new(columns.arrow, middle),
        from,
        0.62 * look.small,
    );
    write(canvas, columns.from, &bearing.value, Anchor::End, Ink::Text);
    let interval = bearing.interval();
    let small_gap = 0.4 * look.small;
    write(
        canvas,
        columns.from + small_gap,
        &interval,
        Anchor::Start,
        Ink::Muted,
    );
    if let Some(speed) = number::speed(&wind.speed_kt) {
        write(canvas, columns.speed, speed.shown(), Anchor::End, Ink::Text);
        let text = fit(
            &speed.interval(),
            look.small,
            false,
            right - columns.speed - small_gap,
        );
        write(
            canvas,
            columns.speed + small_gap,
            &text,
            Anchor::Start,
            Ink::Muted,
        );
    }
}
