//! Progress on one printable page.

use super::super::look::Look;
use super::super::sheet::{INK, Paper, overview};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit};
use super::super::wording::Manner;
use super::{advice, drawing, endings, headline, label};
use crate::progress::document::{Overview, ProgressReport};
use crate::quantity::counted;

/// Columns of drawings.
const COLUMNS: usize = 3;
/// Most pilots on a sheet; the page has all.
const MOST_PILOTS: usize = 26;

/// The sheet of one pilot.
pub fn sheet_svg(report: &ProgressReport, manner: &Manner) -> String {
    let mut canvas = Canvas::new("progress-");
    overview::paper(&mut canvas);
    let day = |utc: &str| manner.iso_day(utc);
    let facts = format!(
        "Pilot {}  ·  {} to {}  ·  {}",
        report.pilot,
        day(&report.first_utc),
        day(&report.last_utc),
        endings(report)
    );
    overview::title(&mut canvas, "Progress", &facts);
    overview::headline(
        &mut canvas,
        &headline(report),
        &advice(report, manner.figures()),
    );
    let top = INK.y + 80.0;
    let foot = INK.bottom() - 46.0;
    let lines = report.measures.len().div_ceil(COLUMNS).max(1);
    let gap = 16.0;
    let w = (INK.w - gap * (COLUMNS - 1) as f64) / COLUMNS as f64;
    let h = ((foot - top) / lines as f64).min(210.0);
    for (i, m) in report.measures.iter().enumerate() {
        let place = Rect::new(
            INK.x + (i % COLUMNS) as f64 * (w + gap),
            top + (i / COLUMNS) as f64 * h,
            w,
            h - 10.0,
        );
        drawing::measure(&mut canvas, place, i, m, manner, Look::SHEET);
    }
    canvas.text(
        Point::new(INK.x, INK.bottom() - 31.0),
        "Dots: attempts in the order flown, lines: 95 % intervals, band: the program's own yardstick, which is no standard.",
        TextStyle::new(Look::SHEET.small, Ink::Muted),
    );
    overview::cautions(&mut canvas, &report.cautions, &report.program);
    Paper::Both.finish(canvas, "Progress", &headline(report))
}

/// The sheet of all pilots.
pub fn overview_svg(report: &Overview, manner: &Manner) -> String {
    let wording = manner.figures();
    let look = Look::SHEET;
    let mut canvas = Canvas::new("pilots-");
    overview::paper(&mut canvas);
    overview::title(
        &mut canvas,
        "Pilots",
        &format!(
            "{} pilots, share of the last attempts within the yardstick",
            report.pilots.len()
        ),
    );
    let top = INK.y + 34.0;
    let measures: Vec<&str> = report
        .pilots
        .first()
        .map(|p| p.met_shares.iter().map(|m| m.measure.as_str()).collect())
        .unwrap_or_default();
    let name_w = 150.0;
    let column = (INK.w - name_w) / measures.len().max(1) as f64;
    let row = 22.0;
    for (k, id) in measures.iter().enumerate() {
        let x = INK.x + name_w + column * (k as f64 + 0.5);
        for (line, text) in super::super::svg::wrap(
            &wording.sentence(label(id)),
            look.small,
            false,
            column - 6.0,
        )
        .iter()
        .take(3)
        .enumerate()
        {
            canvas.text(
                Point::new(x, top + 11.0 * line as f64),
                text,
                look.small(Ink::Muted, Anchor::Middle),
            );
        }
    }
    for (i, pilot) in report.pilots.iter().take(MOST_PILOTS).enumerate() {
        let y = top + 44.0 + row * i as f64;
        let name = format!(
            "{}, {}",
            pilot.pilot,
            counted(pilot.attempts as usize, "attempt")
        );
        canvas.text(
            Point::new(INK.x, y),
            &fit(&name, look.body, false, name_w - 8.0),
            look.body(Ink::Text, Anchor::Start),
        );
        for (k, met) in pilot.met_shares.iter().enumerate() {
            let x = INK.x + name_w + column * k as f64 + 4.0;
            let w = column - 8.0;
            let Some(share) = met.share else {
                continue;
            };
            canvas.rect(Rect::new(x, y - 8.0, w, 9.0), Ink::Shade);
            canvas.rect(Rect::new(x, y - 8.0, (w * share).max(0.5), 9.0), Ink::Band);
            let turn = if pilot.improving.contains(&met.measure) {
                " \u{2191}"
            } else if pilot.worsening.contains(&met.measure) {
                " \u{2193}"
            } else {
                ""
            };
            let text = format!("{:.0} %{turn}", 100.0 * share);
            canvas.text(
                Point::new(x + 0.5 * w, y),
                &text,
                look.small(Ink::Text, Anchor::Middle),
            );
        }
        canvas.line(
            Point::new(INK.x, y + 5.5),
            Point::new(INK.right(), y + 5.5),
            Stroke::new(Ink::Grid, 0.7),
        );
    }
    canvas.text(
        Point::new(INK.x, INK.bottom() - 31.0),
        "Bars: last five attempts; \u{2191} getting better, \u{2193} getting worse, of which one in twenty is expected to be chance. Aircraft and air differ: not a ranking.",
        look.small(Ink::Muted, Anchor::Start),
    );
    overview::cautions(&mut canvas, &report.cautions, &report.program);
    Paper::Both.finish(
        canvas,
        "Pilots",
        "How often each pilot meets the yardsticks",
    )
}
