//! The fleet on one printable page.

use super::super::look::Look;
use super::super::number;
use super::super::sheet::{INK, Paper, overview};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, TextStyle, fit, wrap};
use super::super::wording::Manner;
use super::super::words;
use super::{drawing, finding};
use crate::fleet::document::{Airframe, FleetReport};
use crate::quantity::counted;

/// Most airframes drawn on a sheet; the page and the tables have all.
const MOST: usize = 18;
/// Most histories.
const HISTORIES: usize = 12;
/// Most polars where there is no history.
const POLARS: usize = 3;

/// The sheet.
pub fn sheet_svg(report: &FleetReport, manner: &Manner) -> String {
    let look = Look::SHEET;
    let mut canvas = Canvas::new("fleet-");
    overview::paper(&mut canvas);
    let facts = format!(
        "{} in {}, by {}",
        counted(report.attempts as usize, "attempt"),
        counted(report.recordings as usize, "recording"),
        report.by
    );
    overview::title(&mut canvas, "Fleet", &facts);
    overview::headline(&mut canvas, &headline(report), "");
    let rows = &report.airframes[..report.airframes.len().min(MOST)];
    let top = INK.y + 78.0;
    let height = drawing::dots_height(look, rows.len());
    drawing::dots(
        &mut canvas,
        Rect::new(INK.x, top, INK.w, height),
        report,
        rows,
        look,
    );
    let below = top + height + 14.0;
    let foot = INK.bottom() - 34.0;
    let polar_height = (foot - below).clamp(60.0, 230.0);
    let mut kinds: Vec<_> = report.types.iter().collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(kind.airframes));
    // one month is no history; where there is none its room is for the polars of other types
    let with_history: Vec<&Airframe> = report
        .airframes
        .iter()
        .filter(|a| a.history.len() > 1)
        .take(HISTORIES)
        .collect();
    let polars = if with_history.is_empty() { POLARS } else { 1 };
    for (i, kind) in kinds.into_iter().take(polars).enumerate() {
        let place = Rect::new(INK.x + 361.0 * i as f64, below, 330.0, polar_height);
        drawing::polar(&mut canvas, place, (i, kind), manner.figures(), look);
    }
    let under = below + polar_height + 8.0;
    let room = Rect::new(INK.x, under, 330.0, foot - under);
    notes(&mut canvas, room, report, manner, look);
    if !with_history.is_empty() {
        let area = Rect::new(INK.x + 352.0, below, INK.w - 352.0, foot - below);
        histories(&mut canvas, area, &with_history, manner, look);
    }
    overview::cautions(&mut canvas, &report.cautions, &report.program);
    Paper::Both.finish(canvas, "Fleet", &headline(report))
}

/// The finding in one line.
pub(super) fn headline(report: &FleetReport) -> String {
    let differing: Vec<String> = report
        .airframes
        .iter()
        .filter(|a| a.differs)
        .filter_map(|a| {
            let percent = a
                .against_others_percent
                .value()
                .or(a.against_handbook_percent.value())?;
            let how = if percent < 0.0 { "worse" } else { "better" };
            let size = number::number(percent.abs(), 0);
            Some(format!("{} glides {size} % {how}", a.registration))
        })
        .collect();
    match differing.len() {
        0 if report.airframes.is_empty() => "No glide to compare".into(),
        0 => "No airframe differs, as far as can be told".into(),
        n => format!(
            "{n} of {} differ: {}",
            report.airframes.len(),
            differing.join(", ")
        ),
    }
}

fn histories(canvas: &mut Canvas, area: Rect, shown: &[&Airframe], manner: &Manner, look: Look) {
    let title = format!(
        "History, month by month, against its own glide ratio; the shaded field is {} % up and down",
        20
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &fit(&title, look.title, true, area.w),
        look.title(),
    );
    let columns = if shown.len() > 4 { 3 } else { 2 };
    let lines = shown.len().div_ceil(columns).max(1);
    let room = (area.h - 18.0) / lines as f64;
    let (w, h) = (
        (area.w - 12.0 * (columns - 1) as f64) / columns as f64,
        room.min(120.0) - 8.0,
    );
    for (i, airframe) in shown.iter().enumerate() {
        let (column, line) = (i % columns, i / columns);
        let place = Rect::new(
            area.x + column as f64 * (w + 12.0),
            area.y + 18.0 + line as f64 * (h + 8.0),
            w,
            h,
        );
        drawing::history(canvas, place, i, airframe, manner, look);
    }
}

fn notes(canvas: &mut Canvas, area: Rect, report: &FleetReport, manner: &Manner, look: Look) {
    let wording = manner.figures();
    let feet = wording.ft();
    let mut y = area.y + look.small;
    let needed = report
        .airframes
        .iter()
        .filter(|a| a.differs)
        .filter_map(|a| {
            let figure = number::in_unit(&a.abeam_height_needed_ft, feet, f64::INFINITY)?;
            let target = a.abeam_target_ft?;
            Some(format!(
                "{} {}: {} {unit} abeam ({}) does for it what {} {unit} does at the handbook's glide.",
                a.registration,
                finding(a),
                figure.value,
                figure.interval(),
                feet.whole(target),
                unit = feet.unit
            ))
        });
    for note in needed.chain(report.warnings.iter().map(|w| wording.sentence(w))) {
        for line in wrap(&words::sentence_case(&note), look.small, false, area.w) {
            if y > area.bottom() {
                return;
            }
            canvas.text(
                Point::new(area.x, y),
                &line,
                TextStyle::new(look.small, Ink::Text).anchor(Anchor::Start),
            );
            y += 1.25 * look.small;
        }
    }
}
