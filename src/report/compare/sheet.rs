//! A comparison on one printable page.

use super::super::look::Look;
use super::super::panel::over::{self, Against};
use super::super::sheet::{INK, Paper, overview};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, fit, text_width, wrap};
use super::super::wording::{Manner, Wording};
use super::{FOUND, headline, label, laid, name, told_apart};
use crate::compare::{Comparison, Side};
use crate::measures::catalogue::{MeasureInfo, find as info};
use crate::quantity::Measured;

/// The sheet.
pub fn sheet_svg(comparison: &Comparison, sides: &[Side<'_>], manner: &Manner) -> String {
    let (look, wording) = (Look::SHEET, manner.figures());
    let (laid, aim) = laid(sides, comparison.same_aim);
    let mut canvas = Canvas::new("compare-");
    overview::paper(&mut canvas);
    let place = sides
        .first()
        .and_then(|s| s.debrief.reference.aim_name.clone());
    let facts = match place.filter(|_| comparison.same_aim) {
        Some(place) => format!("{} attempts, aim {place}", sides.len()),
        None => format!("{} attempts", sides.len()),
    };
    overview::title(&mut canvas, "Side by side", &facts);
    overview::headline(&mut canvas, &headline(comparison), "");
    let top = INK.y + 64.0;
    let key = key(
        &mut canvas,
        Rect::new(INK.x, top, INK.w, 60.0),
        comparison,
        manner,
        look,
    );
    let top = top + key + 6.0;
    let foot = INK.bottom() - 34.0;
    let (left, height) = (420.0, foot - top);
    over::plan(
        &mut canvas,
        Rect::new(INK.x, top, left, 0.46 * height),
        &laid,
        aim,
        look,
        wording,
    );
    for (what, from, share) in [(Against::Height, 0.48, 0.27), (Against::Speed, 0.76, 0.24)] {
        let area = Rect::new(INK.x, top + from * height, left, share * height);
        over::by_time(&mut canvas, area, &laid, what, look, wording);
    }
    let room = Rect::new(INK.x + left + 18.0, top, INK.w - left - 18.0, height);
    table(&mut canvas, room, comparison, wording, look);
    overview::cautions(&mut canvas, &comparison.cautions, &comparison.program);
    Paper::Both.finish(canvas, "Side by side", &headline(comparison))
}

/// Number, line and name of each attempt; gives the height it took.
fn key(
    canvas: &mut Canvas,
    area: Rect,
    comparison: &Comparison,
    manner: &Manner,
    look: Look,
) -> f64 {
    let columns = 2;
    let w = area.w / f64::from(columns);
    let row = 14.0;
    for (i, attempt) in comparison.attempts.iter().enumerate() {
        let x = area.x + w * (i % 2) as f64;
        let y = area.y + row * (i / 2) as f64 + 8.0;
        canvas.line(
            Point::new(x, y),
            Point::new(x + 28.0, y),
            over::stroke(i, look),
        );
        let text = fit(
            &format!("{}  {}", i + 1, name(attempt, manner)),
            look.body,
            false,
            w - 48.0,
        );
        canvas.text(
            Point::new(x + 34.0, y + 3.4),
            &text,
            look.body(Ink::Text, Anchor::Start),
        );
    }
    row * comparison.attempts.len().div_ceil(2) as f64
}

fn table(canvas: &mut Canvas, area: Rect, comparison: &Comparison, wording: Wording, look: Look) {
    let n = comparison.attempts.len();
    let labels = comparison
        .measures
        .iter()
        .filter_map(|m| Some(label(info(&m.measure)?, wording)));
    let widest = labels.map(|text| text_width(&text, look.small, false));
    let name_w = widest.fold(0.0, f64::max).min(0.4 * area.w) + 6.0;
    let column = (area.w - name_w) / n as f64;
    let row = (area.h - 38.0) / (comparison.measures.len() + 1) as f64;
    let row = row.min(15.0);
    let x = |i: usize| area.x + name_w + column * (i as f64 + 1.0);
    for i in 0..n {
        canvas.text(
            Point::new(x(i), area.y + look.body),
            &(i + 1).to_string(),
            look.body(Ink::Text, Anchor::End).bold(),
        );
    }
    let mut y = area.y + look.body + 5.0;
    canvas.line(
        Point::new(area.x, y),
        Point::new(area.right(), y),
        Stroke::new(Ink::Text, 0.8),
    );
    for m in &comparison.measures {
        let Some(info) = info(&m.measure) else {
            continue;
        };
        y += row;
        let label = label(info, wording);
        canvas.text(
            Point::new(area.x, y),
            &fit(&label, look.small, false, name_w - 4.0),
            look.small(Ink::Text, Anchor::Start),
        );
        for i in 0..n {
            let real = m.differences[i].found && told_apart(m, i);
            let style = look.small(
                if real || i == 0 {
                    Ink::Text
                } else {
                    Ink::Muted
                },
                Anchor::End,
            );
            let style = if real { style.bold() } else { style };
            canvas.text(
                Point::new(x(i), y),
                &fit(
                    &cell(info, &m.values[i], wording, n),
                    look.small,
                    real,
                    column - 4.0,
                ),
                style,
            );
        }
    }
    let key = format!(
        "Bold: {FOUND}; grey: may be chance. The drawings run from the power reduction, 0:00."
    );
    for (i, line) in wrap(&key, look.small, false, area.w).iter().enumerate() {
        let at = Point::new(area.x, y + 1.6 * look.small + 1.2 * look.small * i as f64);
        canvas.text(at, line, look.small(Ink::Muted, Anchor::Start));
    }
}

/// A value, with its interval where there is room.
fn cell(info: &MeasureInfo, measured: &Measured, wording: Wording, columns: usize) -> String {
    match wording.figure(info, measured) {
        None => "\u{2013}".into(),
        Some(figure) if columns <= 3 => format!("{} ({})", figure.shown(), figure.interval()),
        Some(figure) => figure.shown().to_owned(),
    }
}
