//! The table of measures on a sheet.

use super::super::number;
use super::super::panel::Subject;
use super::super::rows::{Group, groups};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, wrap};
use super::super::verdicts;

/// One line of the table.
enum Line {
    Heading(&'static str),
    Measure(super::super::rows::Row),
    Missing(String),
}

/// Draws the table; the reasons of missing measures are shortened first where room is short.
pub(super) fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    canvas.open(
        "measures",
        "group",
        "Measures",
        "What was measured, by part of the attempt: value, 95 % interval and unit; and what was not \
         measured, with the reason.",
    );
    let title = verdicts::standard(subject.attempt).map_or_else(
        || "Measures".to_owned(),
        |standard| format!("Measures, against {standard}"),
    );
    let title = fit(&title, look.title, true, 0.6 * area.w);
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &title,
        look.title(),
    );
    let note = look.small(Ink::Muted, Anchor::End);
    canvas.text(
        Point::new(area.right(), area.y + look.title),
        "95 % interval, unit",
        note,
    );
    let body = area.inset(0.0, look.title + 5.0, 0.0, 0.0);
    let groups = groups(subject.attempt);
    let size = look.small;
    let fits = (body.h / (size * 1.18)).floor() as usize;
    let lines = [usize::MAX, 3, 2, 1]
        .into_iter()
        .map(|most| lines(&groups, size, body.w, most))
        .find(|lines| lines.len() <= fits)
        .unwrap_or_else(|| {
            let mut lines = lines(&groups, size, body.w, 1);
            lines.truncate(fits);
            lines
        });
    let step = (body.h / lines.len().max(1) as f64).min(size * 1.42);
    for (i, line) in lines.iter().enumerate() {
        let baseline = body.y + step * i as f64 + size;
        draw_line(canvas, line, baseline, body, size);
    }
    canvas.close();
}

/// The lines of all groups, each reason in at most `most` lines.
fn lines(groups: &[Group], size: f64, width: f64, most: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    for group in groups {
        lines.push(Line::Heading(group.name));
        lines.extend(group.rows.iter().cloned().map(Line::Measure));
        for missing in &group.missing {
            let mut wrapped = wrap(&missing.sentence(), size, false, width);
            if wrapped.len() > most {
                let rest = wrapped.split_off(most - 1).join(" ");
                wrapped.push(fit(&rest, size, false, width));
            }
            lines.extend(wrapped.into_iter().map(Line::Missing));
        }
    }
    lines
}

fn draw_line(canvas: &mut Canvas, line: &Line, baseline: f64, body: Rect, size: f64) {
    let regular = TextStyle::new(size, Ink::Text);
    let muted = TextStyle::new(size, Ink::Muted);
    match line {
        Line::Heading(name) => {
            let y = baseline + 2.2;
            canvas.line(
                Point::new(body.x, y),
                Point::new(body.right(), y),
                Stroke::new(Ink::Axis, 0.6),
            );
            canvas.text(Point::new(body.x, baseline), name, regular.bold());
        }
        Line::Missing(text) => canvas.text(Point::new(body.x, baseline), text, muted),
        Line::Measure(row) => {
            let value = body.x + 0.585 * body.w;
            let label = fit(row.info.label, size, false, value - body.x - 34.0);
            canvas.text(Point::new(body.x, baseline), &label, regular);
            let at = Point::new(value, baseline);
            canvas.text(at, &row.figure.value, regular.bold().anchor(Anchor::End));
            let unit = row
                .verdict
                .as_deref()
                .unwrap_or_else(|| number::unit(row.info));
            canvas.text(
                Point::new(body.right(), baseline),
                unit,
                regular.anchor(Anchor::End),
            );
            let interval = fit(
                &row.figure.interval(),
                size,
                false,
                body.right() - value - 40.0,
            );
            canvas.text(Point::new(value + 7.0, baseline), &interval, muted);
        }
    }
}
