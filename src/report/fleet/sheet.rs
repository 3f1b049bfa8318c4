//! The fleet on one printable page.

use super::super::look::Look;
use super::super::number;
use super::super::sheet::{INK, Paper, overview};
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, TextStyle, fit, wrap};
use super::super::wording::Manner;
use super::super::words;
use super::drawing::Column;
use super::{drawing, finding, in_unit, named_apart, percent, types, with_interval};
use crate::fleet::document::{Airframe, FleetReport};
use crate::quantity::counted;

/// Most airframes drawn on a sheet; the page and the tables have all.
const MOST: usize = 14;
/// Most histories.
const HISTORIES: usize = 12;
/// Most polars where there is no history.
const POLARS: usize = 3;

/// The sheet.
pub fn sheet_svg(report: &FleetReport, manner: &Manner) -> String {
    let report = &named_apart(report);
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
        (report, rows),
        (&columns(report, manner), look.small),
        look,
    );
    let below = top + height + 14.0;
    let foot = INK.bottom() - 34.0;
    let polar_height = (0.6 * (foot - below)).clamp(60.0, 230.0);
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
    let shown = polars.min(kinds.len());
    for (i, kind) in kinds.into_iter().take(polars).enumerate() {
        let place = Rect::new(INK.x + 361.0 * i as f64, below, 330.0, polar_height);
        drawing::polar(&mut canvas, place, (i, kind), manner.figures(), look);
    }
    let under = below + polar_height + 8.0;
    let wide = if with_history.is_empty() {
        INK.w
    } else {
        330.0
    };
    let room = Rect::new(INK.x, under, wide, foot - under);
    let said = notes(report, (shown, with_history.len()), manner);
    write(&mut canvas, room, &said, look);
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
    let title = "History, month by month, against its own glide ratio; the shaded field is 20 % up and down";
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &fit(title, look.title, true, area.w),
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

/// The figures beside the dots: those of the table on the page.
fn columns(report: &FleetReport, manner: &Manner) -> Vec<Column> {
    let (feet, rate) = (manner.figures().ft(), manner.figures().fpm());
    let several = report.types.len() > 1;
    let letters: Vec<(String, String)> = types(report);
    let mut columns = Vec::new();
    if several {
        columns.push(Column::new("Type", 28.0, move |a| {
            let of = letters.iter().find(|(_, name)| *name == a.aircraft_type);
            of.map_or_else(String::new, |(letter, _)| letter.clone())
        }));
    }
    columns.extend([
        Column::new("n", 24.0, |a| a.attempts.to_string()),
        Column::new("Glide ratio", 94.0, |a| {
            with_interval(number::plain(&a.glide_ratio, 1))
        }),
        Column::new("By its own glides alone", 94.0, |a| {
            with_interval(number::plain(&a.glide_ratio_alone, 1))
        }),
        Column::new("Hand-book", 34.0, |a| {
            a.handbook_glide_ratio
                .map_or_else(|| "\u{2013}".into(), |v| number::number(v, 1))
        }),
        Column::new("Chance of 5 % below it", 54.0, |a| {
            percent(a.probability_5_percent_below_handbook)
        }),
        Column::new(format!("Sink, {}", rate.unit), 100.0, move |a| {
            in_unit(&a.air_sink_rate_fpm, rate)
        }),
        Column::new("Against the others, %", 124.0, |a| {
            with_interval(number::plain(&a.against_others_percent, 1))
        }),
        Column::new(format!("Abeam needed, {}", feet.unit), 120.0, move |a| {
            in_unit(&a.abeam_height_needed_ft, feet)
        }),
        Column::new("Finding", 126.0, |a| {
            finding(a).trim_start_matches("glides ").to_owned()
        }),
    ]);
    columns
}

/// What there is to say beside the figures; `drawn` are the polars and the histories on the sheet.
fn notes(report: &FleetReport, drawn: (usize, usize), manner: &Manner) -> Vec<String> {
    let wording = manner.figures();
    let feet = wording.ft();
    let mut out = Vec::new();
    if report.types.len() > 1 {
        let named: Vec<String> = types(report)
            .iter()
            .map(|(letter, name)| format!("{letter}: {}", wording.sentence(name)))
            .collect();
        out.push(format!("types: {}", named.join("; ")));
    }
    let polars = (drawn.0, report.types.len(), "polars");
    let histories = report.airframes.iter().filter(|a| a.history.len() > 1);
    let histories = (drawn.1, histories.count(), "histories");
    let left: Vec<String> = [polars, histories]
        .iter()
        .filter(|(shown, all, _)| shown < all)
        .map(|(shown, all, what)| format!("{shown} of {all} {what}"))
        .collect();
    if !left.is_empty() {
        out.push(format!("here are {}; the page has all", left.join(" and ")));
    }
    let needed = report.airframes.iter().filter(|a| a.differs).filter_map(|a| {
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
    out.extend(needed);
    out.extend(report.warnings.iter().map(|w| wording.sentence(w)));
    out
}

/// As many notes as there is room for, and how many there are more.
fn write(canvas: &mut Canvas, area: Rect, said: &[String], look: Look) {
    let step = 1.25 * look.small;
    let room = ((area.h / step).floor() as usize).max(1);
    let lines_of = |note: &String| wrap(&words::sentence_case(note), look.small, false, area.w);
    let mut lines: Vec<String> = Vec::new();
    for (k, note) in said.iter().enumerate() {
        let of = lines_of(note);
        let last = k + 1 == said.len();
        // the last line is kept for what is left out
        if lines.len() + of.len() + usize::from(!last) > room {
            let left = counted(said.len() - k, "remark");
            lines.push(format!("{left} more on the page."));
            break;
        }
        lines.extend(of);
    }
    for (i, line) in lines.iter().enumerate() {
        canvas.text(
            Point::new(area.x, area.y + look.small + step * i as f64),
            line,
            TextStyle::new(look.small, Ink::Text).anchor(Anchor::Start),
        );
    }
}
