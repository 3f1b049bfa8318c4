//! The square grid, the scale, the north arrow, and what the lines mean.

use super::super::super::look::Look;
use super::super::super::number;
use super::super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, nice_step, nice_ticks, wrap,
};
use super::super::super::wording::Shown;
use super::super::Subject;
use super::PlanFrame;
use super::landing::{TouchdownBox, touchdown_box};
use crate::units::{M_PER_FT, M_PER_NM};

/// A square grid as wide as the first bar of the scale.
pub(super) fn grid(canvas: &mut Canvas, frame: &PlanFrame, shown: Shown) {
    let step = grid_width(frame, shown) / shown.factor * frame.units_per_ft;
    let plot = frame.plot;
    for x in nice_ticks(plot.x - frame.origin.x, plot.right() - frame.origin.x, step) {
        let x = frame.origin.x + x;
        let (top, bottom) = (Point::new(x, plot.y), Point::new(x, plot.bottom()));
        canvas.line(top, bottom, Stroke::new(Ink::Grid, 0.6));
    }
    for y in nice_ticks(
        plot.y - frame.origin.y,
        plot.bottom() - frame.origin.y,
        step,
    ) {
        let y = frame.origin.y + y;
        let (left, right) = (Point::new(plot.x, y), Point::new(plot.right(), y));
        canvas.line(left, right, Stroke::new(Ink::Grid, 0.6));
    }
}

/// The width of the grid, in the unit shown.
fn grid_width(frame: &PlanFrame, shown: Shown) -> f64 {
    let across_ft = frame.plot.w.min(frame.plot.h) / frame.units_per_ft;
    nice_step(shown.of(across_ft), 8)
}

/// Two bars below the plot, in feet (or metres) and in nautical miles or kilometres, what the lines mean, and
/// the north arrow.
pub(super) fn foot(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    area: Rect,
    subject: &Subject<'_>,
    kilometres: bool,
) {
    let (small, shown) = (subject.look.small, subject.wording.ft());
    let (unit, unit_ft) = if kilometres || shown.unit == "m" {
        ("km", 1000.0 / M_PER_FT)
    } else {
        ("NM", M_PER_NM / M_PER_FT)
    };
    let width = grid_width(frame, shown);
    let longest_ft = 0.3 * frame.plot.w / frame.units_per_ft;
    let other = largest_round(longest_ft / unit_ft);
    let style = TextStyle::new(small, Ink::Text);
    let top = frame.plot.bottom() + small;
    for (i, (length_ft, text)) in [
        (
            width / shown.factor,
            format!("{} {}", number::number(width, 0), shown.unit),
        ),
        (
            other * unit_ft,
            format!("{} {unit}", number::number(other, decimals_of(other))),
        ),
    ]
    .into_iter()
    .enumerate()
    {
        // in metres both bars are often one
        if i > 0 && (length_ft - width / shown.factor).abs() < 0.02 * length_ft {
            continue;
        }
        let y = top + i as f64 * (small + 4.0);
        let (left, right) = (area.x + 1.0, area.x + 1.0 + length_ft * frame.units_per_ft);
        for (from, to) in [
            (Point::new(left, y), Point::new(right, y)),
            (Point::new(left, y - 3.0), Point::new(left, y + 3.0)),
            (Point::new(right, y - 3.0), Point::new(right, y + 3.0)),
        ] {
            canvas.line(from, to, Stroke::new(Ink::Text, 1.1));
        }
        canvas.text(Point::new(right + 5.0, y + small * 0.35), &text, style);
    }
    let north_x = area.right() - 8.0;
    north(canvas, Point::new(north_x, top + 3.0), small);
    let muted = TextStyle::new(small, Ink::Muted);
    let first = top + 2.0 * (small + 4.0) + small * 0.35;
    for (i, line) in wrap(&key(subject, Some(frame)), small, false, area.w)
        .iter()
        .enumerate()
    {
        let y = first + i as f64 * 1.2 * small;
        canvas.text(Point::new(area.x, y), line, muted);
    }
}

/// What the lines of the plan mean.
const KEY: &str = "Line stronger and thicker with time, a tick every 30 s; dashed before and after; \
                   dash-dotted: the landing line; discs: key points; letters: marks of the remarks; green: wind at heights";
/// And of the squares in the ground within glide.
const FIELDS: &str = "; squares: fields, filled within reach";

/// `frame` is none before it is chosen: the key may then be longer than it will be.
fn key(subject: &Subject<'_>, frame: Option<&PlanFrame>) -> String {
    let fields = !subject.attempt.in_hand.fields.is_empty() && subject.look == Look::SHEET;
    let gaps = !subject.attempt.series.bridged_s.is_empty();
    let key = if gaps {
        KEY.replace(
            "dashed before and after",
            "dashed before, after and in gaps",
        )
    } else {
        KEY.to_owned()
    };
    let landed = subject.attempt.measures.get("touchdown_along_ft");
    let landed = landed.is_some_and(|along| along.value().is_some());
    let within = |to: &TouchdownBox| frame.is_none_or(|frame| to.is_within(frame));
    let marked = match touchdown_box(subject).as_ref().is_some_and(within) {
        true if landed => "; pale box: 95 % of the touchdown",
        true => "; pale box: 95 % of where it was heading",
        false => "",
    };
    format!("{key}{marked}{}.", if fields { FIELDS } else { "" })
}

/// Room below the plot for the scale and the key, in a panel of this width.
pub(super) fn foot_height(width: f64, subject: &Subject<'_>) -> f64 {
    let small = subject.look.small;
    let lines = wrap(&key(subject, None), small, false, width).len() as f64;
    2.0 * small + 12.0 + lines * 1.2 * small
}

/// The largest of 1, 2, 5, 10 … (and the like below one) that is no more than `limit`.
fn largest_round(limit: f64) -> f64 {
    if !limit.is_finite() || limit <= 0.0 {
        return 1.0;
    }
    let power = 10_f64.powf(limit.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .find(|d| d * power <= limit)
        .unwrap_or(1.0)
        * power
}

/// How many decimals a bar's length needs.
fn decimals_of(length: f64) -> usize {
    if length >= 1.0 {
        0
    } else {
        (-length.log10().floor()).clamp(1.0, 4.0) as usize
    }
}

/// An arrow that points up, and its letter.
fn north(canvas: &mut Canvas, centre: Point, small: f64) {
    let (top, bottom) = (centre.y - small, centre.y + small);
    let stroke = Stroke::new(Ink::Text, 1.2);
    canvas.line(
        Point::new(centre.x, bottom),
        Point::new(centre.x, top + 3.0),
        stroke,
    );
    let head = [
        Point::new(centre.x, top),
        Point::new(centre.x - 3.6, top + 8.0),
        Point::new(centre.x + 3.6, top + 8.0),
    ];
    canvas.polygon(&head, Ink::Text, None);
    let at = Point::new(centre.x - 6.0, centre.y + small * 0.8);
    canvas.text(
        at,
        "N",
        TextStyle::new(small * 1.15, Ink::Text)
            .bold()
            .anchor(Anchor::End),
    );
}
