//! Progress on one printable page.

use super::super::look::Look;
use super::super::sheet::{INK, Paper, overview};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, wrap};
use super::super::wording::Manner;
use super::{
    advice, drawing, endings, headline, label, overview_advice, overview_headline, share,
    with_figures, yardstick,
};
use crate::progress::document::{LAST, Overview, ProgressReport};
use crate::quantity::counted;

/// Columns of drawings.
const COLUMNS: usize = 3;
/// Most pilots on a sheet; the page has all.
const MOST_PILOTS: usize = 24;

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
        "Dots: attempts in the order flown, hollow: can\u{2019}t tell; lines: 95 % intervals; arrow: goes on, or lies, at the value beside it; band: the yardstick, whose source the page has.",
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
        &format!("Share of the last {LAST} attempts within the yardstick"),
    );
    overview::headline(
        &mut canvas,
        &overview_headline(report),
        &overview_advice(report, wording),
    );
    let top = INK.y + 92.0;
    // what no pilot has a figure of has no column
    let known = with_figures(report);
    let name_w = 150.0;
    let column = (INK.w - name_w) / known.len().max(1) as f64;
    let any = report.measures.iter().any(|m| m.share.is_some());
    let lines = report.pilots.len().min(MOST_PILOTS) + usize::from(any);
    let rows_from = top + 55.0;
    let row = ((INK.bottom() - 50.0 - rows_from) / lines.max(1) as f64).clamp(22.0, 32.0);
    for (at, m) in known.iter().map(|&k| &report.measures[k]).enumerate() {
        let x = INK.x + name_w + column * (at as f64 + 0.5);
        let label = wording.sentence(label(&m.measure));
        let label = wrap(&label, look.small, false, column - 6.0);
        for (line, text) in label.iter().take(3).enumerate() {
            canvas.text(
                Point::new(x, top + 11.0 * line as f64),
                text,
                look.small(Ink::Muted, Anchor::Middle),
            );
        }
        let met = yardstick((&m.measure, &m.better, m.yardstick), wording);
        // a narrow column
        let met = match (met.strip_suffix(" or less"), met.strip_suffix(" or more")) {
            (Some(most), _) => format!("\u{2264} {most}"),
            (_, Some(least)) => format!("\u{2265} {least}"),
            _ => met,
        };
        canvas.text(
            Point::new(x, top + 33.0),
            &fit(&met, look.small, false, column - 2.0),
            look.small(Ink::Target, Anchor::Middle),
        );
    }
    if any {
        canvas.text(
            Point::new(INK.x, rows_from),
            "All, mean of the pilots",
            look.body(Ink::Text, Anchor::Start).bold(),
        );
        for (at, m) in known.iter().map(|&k| &report.measures[k]).enumerate() {
            let x = INK.x + name_w + column * at as f64 + 4.0;
            bar(
                &mut canvas,
                Rect::new(x, rows_from - 8.0, column - 8.0, 9.0),
                m.share,
                "",
                look,
            );
        }
    }
    for (i, pilot) in report.pilots.iter().take(MOST_PILOTS).enumerate() {
        let y = rows_from + row * (i + usize::from(any)) as f64;
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
        let shares = known.iter().filter_map(|&k| pilot.met_shares.get(k));
        for (at, met) in shares.enumerate() {
            let x = INK.x + name_w + column * at as f64 + 4.0;
            let w = column - 8.0;
            let turn = if pilot.improving.contains(&met.measure) {
                " \u{2191}"
            } else if pilot.worsening.contains(&met.measure) {
                " \u{2193}"
            } else {
                ""
            };
            let place = Rect::new(x, y - 8.0, w, 9.0);
            if met.share.is_none() && met.attempts > 0 {
                let few = if (met.attempts as usize) < LAST {
                    counted(met.attempts as usize, "attempt")
                } else {
                    "too vague".to_owned()
                };
                canvas.text(
                    Point::new(x + 0.5 * w, y),
                    &fit(&few, look.small, false, w),
                    look.small(Ink::Muted, Anchor::Middle),
                );
            }
            bar(&mut canvas, place, met.share, turn, look);
        }
        canvas.line(
            Point::new(INK.x, y - 3.5 + 0.5 * row),
            Point::new(INK.right(), y - 3.5 + 0.5 * row),
            Stroke::new(Ink::Grid, 0.7),
        );
    }
    let mut foot = format!(
        "Bars: share of the last {LAST} attempts, each counted by how well it is known; none: too few, or too uncertain. \u{2191} getting better, \u{2193} worse, one in twenty by chance. Not a ranking: aircraft and air differ."
    );
    if report.pilots.len() > MOST_PILOTS {
        foot = format!(
            "{MOST_PILOTS} of {} pilots: the page has all. {foot}",
            report.pilots.len()
        );
    }
    let foot = fit(&foot, look.small, false, INK.w);
    canvas.text(
        Point::new(INK.x, INK.bottom() - 31.0),
        &foot,
        look.small(Ink::Muted, Anchor::Start),
    );
    overview::cautions(&mut canvas, &report.cautions, &report.program);
    Paper::Both.finish(canvas, "Pilots", &overview_headline(report))
}

/// A share as a bar with its figure; nothing where there is none.
fn bar(canvas: &mut Canvas, place: Rect, of: Option<f64>, turn: &str, look: Look) {
    let Some(value) = of else { return };
    canvas.rect(place, Ink::Shade);
    let filled = Rect::new(place.x, place.y, (place.w * value).max(0.5), place.h);
    canvas.rect(filled, Ink::Band);
    canvas.text(
        Point::new(place.x + 0.5 * place.w, place.y + 8.0),
        &format!("{}{turn}", share(of)),
        look.small(Ink::Text, Anchor::Middle),
    );
}
