//! The table of measures on a sheet.

use super::super::panel::Subject;
use super::super::rows::{Group, groups};
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, text_width, wrap,
};
use super::super::verdicts;
use super::super::wording::Wording;
use crate::debrief::document::CriterionGrade;
use crate::measures::catalogue;

/// One line of the table.
#[derive(Clone)]
enum Line {
    Heading(&'static str, String),
    Measure(super::super::rows::Row),
    Missing(String),
    Said(String),
    Standard(String),
    Verdict(CriterionGrade),
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
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Measures",
        look.title(),
    );
    let note = look.small(Ink::Muted, Anchor::End);
    canvas.text(
        Point::new(area.right(), area.y + look.title),
        "95 % interval, unit",
        note,
    );
    let body = area.inset(0.0, look.title + 5.0, 0.0, 0.0);
    let groups = groups(subject.attempt, subject.reference, subject.wording);
    let size = look.small;
    let graded = graded(subject, size, body.w);
    let fits = (body.h / (size * 1.18)).floor() as usize;
    let lines = [usize::MAX, 3, 2, 1]
        .into_iter()
        .map(|most| lines(&groups, &graded, (size, subject.wording), body.w, most))
        .find(|lines| lines.len() <= fits)
        .unwrap_or_else(|| {
            let mut lines = lines(&groups, &graded, (size, subject.wording), body.w, 1);
            lines.truncate(fits);
            lines
        });
    let step = (body.h / lines.len().max(1) as f64).min(size * 1.42);
    let value = value_column(&groups, body, size, subject.wording);
    for (i, line) in lines.iter().enumerate() {
        let baseline = body.y + step * i as f64 + size;
        draw_line(
            canvas,
            line,
            baseline,
            (body, value),
            (size, subject.wording),
        );
    }
    canvas.close();
}

/// Where values end: as far right as leaves the widest interval its room, within a tenth of the width.
fn value_column(groups: &[Group], body: Rect, size: f64, wording: Wording) -> f64 {
    let right_of_it = groups.iter().flat_map(|group| &group.rows).map(|row| {
        let interval = text_width(&row.figure.interval(), size, false);
        interval + text_width(wording.unit(row.info), size, false) + 10.5
    });
    let widest = right_of_it.fold(0.0, f64::max);
    (body.right() - widest).clamp(body.x + 0.56 * body.w, body.x + 0.64 * body.w)
}

/// The verdicts against a standard, before everything else; empty without one.
fn graded(subject: &Subject<'_>, size: f64, width: f64) -> Vec<Line> {
    let verdicts = verdicts::all(subject.attempt);
    if verdicts.is_empty() {
        return Vec::new();
    }
    let standard = verdicts::standard(subject.attempt).unwrap_or("the standard");
    let mut lines = vec![Line::Standard(format!("Held against {standard}"))];
    if let Some(another) = verdicts::another_manoeuvre(subject.attempt) {
        let said = wrap(&subject.wording.sentence(another), size, true, width);
        lines.extend(said.into_iter().map(Line::Said));
    }
    for criterion in verdicts {
        lines.push(Line::Verdict(criterion.clone()));
        let bounds = verdicts::bounds(criterion, subject.wording);
        if !beside(criterion, &bounds, (size, subject.wording), width) {
            lines.extend(
                wrap(&bounds, size, false, width)
                    .into_iter()
                    .map(Line::Missing),
            );
        }
        if let Some(remark) = &criterion.remark {
            lines.extend(
                wrap(remark, size, false, width)
                    .into_iter()
                    .map(Line::Missing),
            );
        }
    }
    lines
}

/// What is asked, as in the table of measures.
fn asked(criterion: &CriterionGrade, wording: Wording) -> String {
    let info = catalogue::find(&criterion.measure);
    wording.sentence(info.map_or(&criterion.name, |info| info.label))
}

/// Whether the bounds have room between what is asked and the verdict.
fn beside(
    criterion: &CriterionGrade,
    bounds: &str,
    (size, wording): (f64, Wording),
    width: f64,
) -> bool {
    let used = text_width(&asked(criterion, wording), size, false)
        + text_width(verdicts::word(criterion.verdict), size, true);
    used + text_width(bounds, size, false) + 0.35 * size + 16.0 <= width
}

/// The lines of all groups, each reason in at most `most` lines.
fn lines(
    groups: &[Group],
    graded: &[Line],
    (size, wording): (f64, Wording),
    width: f64,
    most: usize,
) -> Vec<Line> {
    let mut lines = graded.to_vec();
    for group in groups {
        lines.push(Line::Heading(group.name, group.yardstick.clone()));
        lines.extend(group.rows.iter().cloned().map(Line::Measure));
        for missing in &group.missing {
            let mut wrapped = wrap(&wording.sentence(&missing.sentence()), size, false, width);
            if wrapped.len() > most {
                let rest = wrapped.split_off(most - 1).join(" ");
                wrapped.push(fit(&rest, size, false, width));
            }
            lines.extend(wrapped.into_iter().map(Line::Missing));
        }
    }
    lines
}

/// A label whole where there is room, else in fewer words that mean the same.
fn fitting(label: &str, size: f64, room: f64) -> String {
    let fewer = label
        .replace("power reduction", "power off")
        .replace("judged at", "at");
    let bare = fewer.split(" (").next().unwrap_or_default().to_owned();
    let all = [label.to_owned(), fewer, bare];
    let whole = all
        .into_iter()
        .find(|text| text_width(text, size, false) <= room);
    whole.unwrap_or_else(|| fit(label, size, false, room))
}

fn draw_line(
    canvas: &mut Canvas,
    line: &Line,
    baseline: f64,
    (body, value): (Rect, f64),
    (size, wording): (f64, Wording),
) {
    let regular = TextStyle::new(size, Ink::Text);
    let muted = TextStyle::new(size, Ink::Muted);
    match line {
        Line::Heading(name, yardstick) => {
            let y = baseline + 2.2;
            canvas.line(
                Point::new(body.x, y),
                Point::new(body.right(), y),
                Stroke::new(Ink::Axis, 0.6),
            );
            canvas.text(Point::new(body.x, baseline), name, regular.bold());
            let room = body.w - text_width(name, size, true) - 8.0;
            let at = Point::new(body.right(), baseline);
            canvas.text(
                at,
                &fit(yardstick, size, false, room),
                muted.anchor(Anchor::End),
            );
        }
        Line::Standard(text) => {
            let text = fit(text, size, true, body.w);
            let y = baseline + 2.2;
            canvas.line(
                Point::new(body.x, y),
                Point::new(body.right(), y),
                Stroke::new(Ink::Text, 1.2),
            );
            canvas.text(Point::new(body.x, baseline), &text, regular.bold());
        }
        Line::Verdict(verdict) => {
            let text = verdicts::word(verdict.verdict);
            let word = body.right() - text_width(text, size, true) - 8.0;
            canvas.text(
                Point::new(body.right(), baseline),
                text,
                regular.bold().anchor(Anchor::End),
            );
            let bounds = verdicts::bounds(verdict, wording);
            let label = fit(&asked(verdict, wording), size, false, word - body.x);
            let at = Point::new(body.x, baseline);
            if beside(verdict, &bounds, (size, wording), body.w) {
                canvas.text_then(at, (&label, regular), (&bounds, muted));
            } else {
                canvas.text(at, &label, regular);
            }
        }
        Line::Missing(text) => canvas.text(Point::new(body.x, baseline), text, muted),
        Line::Said(text) => canvas.text(Point::new(body.x, baseline), text, regular.bold()),
        Line::Measure(row) => {
            let shown = row.shown();
            let style = if row.figure.told {
                regular.bold()
            } else {
                muted
            };
            let number_width = text_width(shown, size, row.figure.told);
            let room = value - body.x - number_width - 4.0;
            let label = fitting(&wording.sentence(row.info.label), size, room);
            canvas.text(Point::new(body.x, baseline), &label, regular);
            let at = Point::new(value, baseline);
            canvas.text(at, shown, style.anchor(Anchor::End));
            let unit = wording.unit(row.info);
            canvas.text(
                Point::new(body.right(), baseline),
                unit,
                regular.anchor(Anchor::End),
            );
            let interval = fit(
                &row.figure.interval(),
                size,
                false,
                body.right() - value - 10.0 - text_width(unit, size, false),
            );
            canvas.text(Point::new(value + 5.0, baseline), &interval, muted);
        }
    }
}
