//! What the sheets on many attempts have in common.

use super::super::look::Look;
use super::super::svg::{Anchor, Canvas, Ink, Point, Stroke, TextStyle, fit, wrap};
use super::{INK, Paper};

/// The ground.
pub(in super::super) fn paper(canvas: &mut Canvas) {
    canvas.rect(Paper::Both.view(), Ink::Paper);
}

/// The title line: what the sheet is, and what it rests on.
pub(in super::super) fn title(canvas: &mut Canvas, what: &str, facts: &str) {
    canvas.open("title", "group", "Title", "What this sheet is about.");
    let style = TextStyle::new(10.4, Ink::Text);
    let baseline = INK.y + 9.0;
    canvas.text(
        Point::new(INK.x, baseline),
        &fit(facts, 10.4, false, 0.75 * INK.w),
        style,
    );
    canvas.text(
        Point::new(INK.right(), baseline),
        what,
        style.bold().anchor(Anchor::End),
    );
    let y = INK.y + 15.0;
    canvas.line(
        Point::new(INK.x, y),
        Point::new(INK.right(), y),
        Stroke::new(Ink::Text, 1.2),
    );
    canvas.close();
}

/// The finding, large, and a line below it.
pub(in super::super) fn headline(canvas: &mut Canvas, outcome: &str, detail: &str) {
    canvas.open("headline", "group", "In short", "The finding.");
    let size = [27.0, 22.0, 17.0]
        .into_iter()
        .find(|size| super::super::svg::text_width(outcome, *size, true) <= INK.w)
        .unwrap_or(14.0);
    canvas.text(
        Point::new(INK.x, INK.y + 46.0),
        &fit(outcome, size, true, INK.w),
        TextStyle::new(size, Ink::Text).bold(),
    );
    canvas.text(
        Point::new(INK.x, INK.y + 64.0),
        &fit(detail, 12.5, false, INK.w),
        TextStyle::new(12.5, Ink::Text),
    );
    canvas.close();
}

/// The cautions, at the foot.
pub(in super::super) fn cautions(canvas: &mut Canvas, cautions: &[String], program: &str) {
    canvas.open(
        "cautions",
        "group",
        "Cautions",
        "What this sheet is not for.",
    );
    let size = Look::SHEET.small;
    let top = INK.bottom() - 25.0;
    canvas.line(
        Point::new(INK.x, top),
        Point::new(INK.right(), top),
        Stroke::new(Ink::Text, 0.8),
    );
    let text = format!("{}  {program}", cautions.join(" "));
    let mut lines = wrap(&text, size, false, INK.w);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(fit(&rest, size, false, INK.w));
    }
    for (i, line) in lines.iter().enumerate() {
        let at = Point::new(INK.x, top + 11.0 + 11.0 * i as f64);
        canvas.text(at, line, TextStyle::new(size, Ink::Text));
    }
    canvas.close();
}
