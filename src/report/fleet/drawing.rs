//! Dots with intervals, polars and histories.

use super::super::cut::{self, Cut};
use super::super::grid;
use super::super::look::Look;
use super::super::number::{self, UNIT_SPACE};
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, TextStyle, fit, nice_step, text_width, wrap,
};
use super::super::wording::{Manner, Wording};
use super::{ends, with_interval};
use crate::fleet::document::{Airframe, FleetReport, TypePolar};

/// What the dots are.
pub(super) const TITLE: &str = "Glide ratio at idle, clean, wings level, at best glide speed";
/// What their marks mean, and their order.
pub(super) const KEY: &str = "Dot: drawn towards the others; line: 95 % interval; tick below: by its own glides alone; upright bar: \
                              the handbook's. Worst against the others first.";

/// Height of a row of dots, in body sizes.
const ROW: f64 = 1.9;
/// Most points at which a month is drawn as a dot; the histories share this scale, %.
const HISTORY_PERCENT: f64 = 20.0;

/// A column of figures beside the dots.
pub(super) struct Column {
    /// What stands above it.
    pub(super) head: String,
    /// How wide it is, in the unit of the drawing.
    pub(super) width: f64,
    /// Text of an airframe.
    pub(super) text: Box<dyn Fn(&Airframe) -> String>,
}

impl Column {
    pub(super) fn new(
        head: impl Into<String>,
        width: f64,
        text: impl Fn(&Airframe) -> String + 'static,
    ) -> Self {
        Column {
            head: head.into(),
            width,
            text: Box::new(text),
        }
    }
}

/// How high the dots of so many airframes stand.
pub(super) fn dots_height(look: Look, airframes: usize) -> f64 {
    look.body * (ROW * airframes as f64 + 7.2)
}

/// Glide ratios in order, each a dot with its 95 % interval and figures beside it; the handbook's a bar across. `size` is
/// that of the figures.
pub(super) fn dots(
    canvas: &mut Canvas,
    area: Rect,
    (report, rows): (&FleetReport, &[Airframe]),
    (columns, size): (&[Column], f64),
    look: Look,
) {
    canvas.open(
        "dots",
        "img",
        "Glide ratios",
        "Each airframe's glide ratio with its 95 % interval, worst against the others first.",
    );
    // a page has title and key as its own text, which breaks where the screen ends
    let whole = look == Look::SHEET;
    if whole {
        canvas.text(Point::new(area.x, area.y + look.title), TITLE, look.title());
    }
    let all: f64 = columns.iter().map(|column| column.width).sum();
    let name_width = 0.3 * (area.w - all);
    let heads = if whole { 4.4 } else { 1.6 };
    let key = if whole { 2.6 } else { 1.6 };
    let plot = area.inset(name_width, look.body * heads, all + 10.0, look.body * key);
    let (low, high) = rows
        .iter()
        .flat_map(|a| {
            let (_, low, high) = ends(&a.glide_ratio).unwrap_or((9.0, 9.0, 9.0));
            let book = a.handbook_glide_ratio.unwrap_or(low);
            let alone = a.glide_ratio_alone.value().unwrap_or(low);
            [low.min(book).min(alone), high.max(book).max(alone)]
        })
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(v), high.max(v))
        });
    if !low.is_finite() || !high.is_finite() || low >= high {
        canvas.close();
        return;
    }
    let step = nice_step(high - low, 6);
    let scale = grid::rounded(low, high, step, plot.x, plot.right());
    grid::columns(canvas, plot, scale, &grid::numbers(scale, step), look);
    let left = |k: usize| plot.right() + 10.0 + columns[..k].iter().map(|c| c.width).sum::<f64>();
    let head_style = TextStyle::new(size, Ink::Muted);
    for (k, column) in columns.iter().enumerate() {
        let lines = wrap(&column.head, size, false, column.width - 4.0);
        let lines = &lines[..lines.len().min(3)];
        for (line, text) in lines.iter().enumerate() {
            let above = 1.1 * size * (lines.len() - 1 - line) as f64;
            canvas.text(
                Point::new(left(k), plot.y - 0.4 * size - above),
                text,
                head_style,
            );
        }
    }
    for (i, airframe) in rows.iter().enumerate() {
        let y = plot.y + look.body * ROW * (i as f64 + 0.5);
        dot(canvas, (area.x, name_width), scale, y, airframe, look);
        let style = TextStyle::new(size, Ink::Text);
        let style = if airframe.differs {
            style.bold()
        } else {
            style
        };
        for (k, column) in columns.iter().enumerate() {
            let text = (column.text)(airframe);
            canvas.text(
                Point::new(left(k), y + 0.35 * size),
                &fit(&text, size, airframe.differs, column.width - 4.0),
                style,
            );
        }
    }
    if !whole {
        canvas.close();
        return;
    }
    let mut key = KEY.to_owned();
    if rows.len() < report.airframes.len() {
        let (shown, all) = (rows.len(), report.airframes.len());
        key = format!("{key} The first {shown} of {all}: page and tables have all.");
    }
    canvas.text(
        Point::new(area.x, area.bottom() - 2.0),
        &fit(&key, look.small, false, area.w),
        look.small(Ink::Muted, Anchor::Start),
    );
    canvas.close();
}

fn dot(
    canvas: &mut Canvas,
    (left, name_width): (f64, f64),
    scale: Scale,
    y: f64,
    airframe: &Airframe,
    look: Look,
) {
    let style = look.body(Ink::Text, Anchor::Start);
    let name = fit(
        &airframe.registration,
        look.body,
        airframe.differs,
        name_width - 6.0,
    );
    let style = if airframe.differs {
        style.bold()
    } else {
        style
    };
    canvas.text(Point::new(left, y + 0.35 * look.body), &name, style);
    if let Some(book) = airframe.handbook_glide_ratio {
        let x = scale.at(book);
        canvas.line(
            Point::new(x, y - 0.7 * look.body),
            Point::new(x, y + 0.7 * look.body),
            Stroke::new(Ink::Target, 2.0),
        );
    }
    if let Some((value, low, high)) = ends(&airframe.glide_ratio) {
        let ink = Ink::Track(7);
        canvas.line(
            Point::new(scale.at(low), y),
            Point::new(scale.at(high), y),
            Stroke::new(ink, if airframe.differs { 3.0 } else { 1.6 }),
        );
        let fill = if airframe.differs { ink } else { Ink::Paper };
        canvas.disc(Point::new(scale.at(value), y), 0.36 * look.body, fill, ink);
    }
    if let Some(alone) = airframe.glide_ratio_alone.value() {
        let x = scale.at(alone);
        canvas.line(
            Point::new(x, y + 0.25 * look.body),
            Point::new(x, y + 0.75 * look.body),
            Stroke::new(Ink::Text, 1.4),
        );
    }
}

/// The polar of a type: sink against speed, with the 95 % band; paler where nobody flew.
pub(super) fn polar(
    canvas: &mut Canvas,
    area: Rect,
    (index, kind): (usize, &TypePolar),
    wording: Wording,
    look: Look,
) {
    let (knots, rate) = (wording.kt(), wording.fpm());
    canvas.open(
        &format!("polar-{index}"),
        "img",
        "Polar",
        "Sink rate against airspeed of the middle airframe of the type, with its 95 % band.",
    );
    let title = fit(
        &format!("Polar, {}", wording.sentence(&kind.name)),
        look.title,
        true,
        area.w,
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &title,
        look.title(),
    );
    let plot = area.inset(look.small * 4.2, look.body * 2.2, 8.0, look.small * 3.2);
    let points: Vec<(f64, f64, f64, f64)> = kind
        .polar
        .iter()
        .filter(|p| {
            kind.flown_kcas
                .is_none_or(|[from, to]| p.cas_kt >= from - 3.0 && p.cas_kt <= to + 3.0)
        })
        .filter_map(|p| {
            let (v, low, high) = ends(&p.sink_fpm)?;
            Some((knots.of(p.cas_kt), rate.of(v), rate.of(low), rate.of(high)))
        })
        .collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        canvas.text(
            Point::new(area.x, area.y + 3.0 * look.body),
            "Best glide speed not given",
            look.body(Ink::Muted, Anchor::Start),
        );
        canvas.close();
        return;
    };
    let x = Scale::new(first.0, last.0, plot.x, plot.right());
    let least = points.iter().map(|p| p.2).fold(f64::INFINITY, f64::min);
    let most = points.iter().map(|p| p.3).fold(0.0, f64::max);
    let step = nice_step(most - least, 5);
    // sink grows downwards, as the aeroplane goes
    let y = grid::rounded(least, most, step, plot.y, plot.bottom());
    grid::rows(canvas, plot, y, step, look);
    let step = nice_step(x.to - x.from, 6);
    grid::columns(canvas, plot, x, &grid::numbers(x, step), look);
    let band: Vec<Point> = points
        .iter()
        .map(|p| Point::new(x.at(p.0), y.at(p.2)))
        .chain(
            points
                .iter()
                .rev()
                .map(|p| Point::new(x.at(p.0), y.at(p.3))),
        )
        .collect();
    canvas.polygon(&band, Ink::Band, None);
    let line: Vec<Point> = points
        .iter()
        .map(|p| Point::new(x.at(p.0), y.at(p.1)))
        .collect();
    canvas.polyline(&line, Stroke::new(Ink::Track(7), 1.8));
    if let Some(best) = kind
        .best_glide_kcas
        .map(|kt| knots.of(kt))
        .filter(|kt| x.holds(*kt))
    {
        let at = x.at(best);
        canvas.line(
            Point::new(at, plot.y),
            Point::new(at, plot.bottom()),
            Stroke::new(Ink::Target, 1.2).dashed("5 3"),
        );
        let label = "best glide, handbook";
        let fits = at + 4.0 + text_width(label, look.small, false) <= plot.right();
        let (x, anchor) = if fits {
            (at + 4.0, Anchor::Start)
        } else {
            (at - 4.0, Anchor::End)
        };
        canvas.text(
            Point::new(x, plot.y + look.small),
            label,
            look.small(Ink::Target, anchor).halo(),
        );
    }
    canvas.text(
        Point::new(plot.x, plot.bottom() + 2.5 * look.small),
        &fit(
            &format!(
                "Sink, {}, against CAS, {}, in speeds flown",
                rate.unit, knots.unit
            ),
            look.small,
            false,
            plot.w,
        ),
        look.small(Ink::Muted, Anchor::Start),
    );
    canvas.close();
}

/// One airframe's months against its own glide ratio.
pub(super) fn history(
    canvas: &mut Canvas,
    area: Rect,
    index: usize,
    airframe: &Airframe,
    manner: &Manner,
    look: Look,
) {
    let name = &airframe.registration;
    canvas.open(
        &format!("history-{index}"),
        "img",
        &format!("History of {name}"),
        "Glide ratio month by month with 95 % intervals.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.small),
        &fit(name, look.small, true, area.w * 0.5),
        look.small(Ink::Text, Anchor::Start).bold(),
    );
    let note = history_note(airframe, manner);
    canvas.text(
        Point::new(area.right(), area.y + look.small),
        &fit(&note, look.small, false, area.w * 0.62),
        look.small(Ink::Muted, Anchor::End),
    );
    let plot = area.inset(2.0, look.small * 1.5, 2.0, look.small * 1.4);
    let middle = airframe.glide_ratio.value().unwrap_or(1.0);
    let y = Scale::new(-HISTORY_PERCENT, HISTORY_PERCENT, plot.bottom(), plot.y);
    canvas.rect(plot, Ink::Shade);
    canvas.line(
        Point::new(plot.x, y.at(0.0)),
        Point::new(plot.right(), y.at(0.0)),
        Stroke::new(Ink::Axis, 0.8),
    );
    let (Some(first), Some(last)) = (airframe.history.first(), airframe.history.last()) else {
        canvas.close();
        return;
    };
    let (from, to) = (month_number(&first.month), month_number(&last.month));
    let x = Scale::new(from - 0.6, to + 0.6, plot.x, plot.right());
    canvas.open_clipped(plot);
    let mut cuts = Vec::new();
    for month in &airframe.history {
        let Some((value, low, high)) = ends(&month.glide_ratio) else {
            continue;
        };
        let percent = |ratio: f64| 100.0 * (ratio / middle - 1.0);
        let at = |ratio: f64| y.at(percent(ratio));
        let px = x.at(month_number(&month.month));
        for (end, over) in [(percent(low), false), (percent(high), true)] {
            if end.abs() > HISTORY_PERCENT && (end > 0.0) == over {
                let value = format!("{}{UNIT_SPACE}%", number::number(end, 0));
                cuts.push(Cut { x: px, over, value });
            }
        }
        canvas.line(
            Point::new(px, at(low)),
            Point::new(px, at(high)),
            Stroke::new(Ink::Track(3), 1.2),
        );
        canvas.disc(Point::new(px, at(value)), 2.4, Ink::Track(8), Ink::Track(8));
    }
    canvas.close();
    cut::draw(canvas, plot, &cuts, look);
    let style = |anchor| look.small(Ink::Muted, anchor);
    let foot = area.bottom() - 1.0;
    canvas.text(Point::new(plot.x, foot), &first.month, style(Anchor::Start));
    if last.month != first.month {
        canvas.text(
            Point::new(plot.right(), foot),
            &last.month,
            style(Anchor::End),
        );
    }
    canvas.close();
}

fn history_note(airframe: &Airframe, manner: &Manner) -> String {
    if let Some(change) = &airframe.change {
        let size = change.percent.value().unwrap_or_default();
        return format!(
            "step of {} % from {}",
            number::number(size, 0),
            manner.iso_day(&change.utc)
        );
    }
    match ends(&airframe.trend_percent_per_year) {
        Some((_, low, high)) => {
            let figure = number::plain(&airframe.trend_percent_per_year, 0);
            if airframe.trend_found && (low > 0.0 || high < 0.0) {
                format!("{} % a year", with_interval(figure))
            } else {
                "no trend found".into()
            }
        }
        None => "too short for a trend".into(),
    }
}

/// Months since year 0.
fn month_number(month: &str) -> f64 {
    let part = |range: std::ops::Range<usize>| {
        month
            .get(range)
            .and_then(|text| text.parse::<f64>().ok())
            .unwrap_or(0.0)
    };
    12.0 * part(0..4) + part(5..7) - 1.0
}
