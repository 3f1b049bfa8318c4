//! The last mile from the side: height against distance to the aim along the landing direction.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Scale, Stroke, TextStyle, nice_step, nice_ticks,
    text_width,
};
use super::marks::{discs_beside, end_s, shades};
use super::{Subject, nothing_over_time};
use crate::units::{M_PER_FT, M_PER_NM};

/// How far short of the aim it begins, ft.
const FROM_FT: f64 = -1.08 * M_PER_NM / M_PER_FT;
/// How far beyond the aim it shows at the least, ft.
const BEYOND_FT: f64 = 600.0;

/// What it shows, and in which unit.
fn title(subject: &Subject<'_>) -> String {
    format!("Last mile from the side, {}", subject.wording.ft().unit)
}

/// The path seen from the side: distance beyond the aim, and the steps of the series it is known for.
struct Path {
    along_ft: Vec<f64>,
    shown: Vec<bool>,
}

/// Draws the path from the base turn on, with its band, the aim and the line of the glide ratio in still air.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    canvas.open(
        "last-mile",
        "img",
        "Last mile from the side",
        "Height above the aim against distance along the landing direction, short of the aim to the left, with \
         the 95 % band of the height and the line of the glide ratio in still air that meets the aim.",
    );
    match seen_from_the_side(subject) {
        Some(path) => draw_path(canvas, area, subject, &path),
        None => nothing_over_time(
            canvas,
            area,
            subject.look,
            &title(subject),
            "the last mile was not flown, or no aim and landing direction were given",
        ),
    }
    canvas.close();
}

fn seen_from_the_side(subject: &Subject<'_>) -> Option<Path> {
    let (sin, cos) = (subject.reference.aim_source != "none")
        .then_some(subject.reference.landing_true_deg)??
        .to_radians()
        .sin_cos();
    let series = &subject.attempt.series;
    let time_of = |kind: &str| {
        let mark = subject.marks.iter().find(|m| m.kind == kind)?;
        Some(mark.elapsed_s)
    };
    let from_s = time_of("base_turn").or(time_of("on_final"))?;
    let end = end_s(subject.attempt, subject.marks) + 8.0;
    let along_ft: Vec<f64> = series
        .east_ft
        .iter()
        .zip(&series.north_ft)
        .map(|(east, north)| east * sin + north * cos)
        .collect();
    let shown: Vec<bool> = along_ft
        .iter()
        .zip(series.elapsed_s.iter().zip(&series.height_ft))
        .map(|(along, (t, height))| {
            (from_s..=end).contains(t) && (FROM_FT..-FROM_FT).contains(along) && height.is_finite()
        })
        .collect();
    let enough = shown.iter().filter(|s| **s).count() > 3;
    enough.then_some(Path { along_ft, shown })
}

fn draw_path(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>, path: &Path) {
    let (look, series) = (subject.look, &subject.attempt.series);
    let of = |list: &[f64]| -> Vec<f64> {
        list.iter()
            .zip(&path.shown)
            .map(|(v, shown)| if *shown { *v } else { f64::NAN })
            .collect()
    };
    let (along, height) = (of(&path.along_ft), of(&series.height_ft));
    let (low, high) = (of(&series.height_low_ft), of(&series.height_high_ft));
    let ends = |list: &[f64]| {
        list.iter()
            .filter(|v| v.is_finite())
            .fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(*v), h.max(*v)))
    };
    let (nearest, farthest) = ends(&along);
    let top = ends(&height).1.max(100.0);
    let small = look.small;
    // the highest tick may stand at the very top
    let body = area.inset(0.0, look.title + 6.0 + 0.45 * small, 0.0, small + 7.0);
    let left = text_width("0000", small, false) + 6.0;
    let plot = body.inset(left, 0.0, 6.0, 0.0);
    let x = Scale::new(
        nearest - 150.0,
        farthest.max(BEYOND_FT) + 100.0,
        plot.x,
        plot.right(),
    );
    let y = Scale::new(-0.06 * top, 1.1 * top, plot.bottom(), plot.y);
    let at = |along: f64, height: f64| Point::new(x.at(along), y.at(height));
    axes(canvas, plot, subject, (area, x, y));
    canvas.open_clipped(plot);
    let points = |heights: &[f64]| -> Vec<Point> {
        along
            .iter()
            .zip(heights)
            .map(|(a, h)| at(*a, *h))
            .filter(|p| p.is_finite())
            .collect()
    };
    let mut corners = points(&high);
    corners.extend(points(&low).into_iter().rev());
    canvas.polygon(&corners, Ink::Band, None);
    canvas.line(
        Point::new(plot.x, y.at(0.0)),
        Point::new(plot.right(), y.at(0.0)),
        Stroke::new(Ink::Aim, 1.4),
    );
    let glide = still_air_ratio(subject);
    if let Some((ratio, _)) = glide {
        let far = at(x.from, -x.from / ratio);
        canvas.line(
            far,
            at(0.0, 0.0),
            Stroke::new(Ink::Target, 1.0).dashed("6 2.5"),
        );
    }
    for shade in shades(subject.attempt, subject.marks) {
        let line: Vec<Point> = shade
            .steps
            .filter_map(|i| Some(at(*along.get(i)?, *height.get(i)?)))
            .collect();
        let stroke = shade.tone.map_or_else(
            || Stroke::new(Ink::Axis, 0.8).dashed("2 1.6"),
            |tone| Stroke::new(Ink::Track(tone), look.track).round(),
        );
        canvas.polyline(&line, stroke);
    }
    canvas.disc(at(0.0, 0.0), 3.0, Ink::Paper, Ink::Aim);
    canvas.close();
    let mut placer = Placer::new(plot.inset(1.0, 1.0, 1.0, 1.0));
    placer.avoid(&points(&height));
    placer.block(Rect::around(at(0.0, 0.0), 4.0, 4.0));
    let points: Vec<(usize, Point)> = subject
        .marks
        .iter()
        .filter_map(|mark| {
            let place = height_at(&series.elapsed_s, &along, &height, mark.elapsed_s)?;
            Some((mark.number, at(place.0, place.1)))
        })
        .collect();
    discs_beside(canvas, &points, look, &mut placer, 120.0);
    if let Some((ratio, name)) = glide {
        let line: Vec<Point> = (0..=80)
            .map(|i| x.from * f64::from(i) / 80.0)
            .map(|along| at(along, -along / ratio))
            .collect();
        placer.avoid(&line);
        let ground: Vec<Point> = (0..=80)
            .map(|i| at(x.from * f64::from(i) / 80.0, 0.0))
            .collect();
        placer.avoid(&ground);
        let text = format!("{} to 1 {name}", number::number(ratio, 1));
        let width = text_width(&text, small, false);
        // on the line, as far out as the plot goes
        let out = (0.92 * top * ratio).min(-0.75 * x.from);
        if let Some(label) = placer.place_clear(at(-out, out / ratio), width, small, 3.0, 60.0) {
            let at = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(at, &text, look.small(Ink::Target, Anchor::Start).halo());
        }
    }
}

/// Ticks, grid and title, which says how much height is stretched.
fn axes(
    canvas: &mut Canvas,
    plot: Rect,
    subject: &Subject<'_>,
    (area, x, y): (Rect, Scale, Scale),
) {
    let (small, style) = (subject.look.small, subject.look.title());
    let muted = TextStyle::new(small, Ink::Muted);
    let unit = subject.wording.ft().of(1.0);
    canvas.text(
        Point::new(area.x, area.y + style.size),
        &title(subject),
        style,
    );
    let stretched = (plot.h / (y.to - y.from)) / (plot.w / (x.to - x.from));
    let text = format!("height stretched {} times", number::number(stretched, 1));
    let at = Point::new(area.right(), area.y + style.size);
    canvas.text(at, &text, muted.anchor(Anchor::End));
    let step = nice_step(
        unit * (y.to - y.from),
        ((plot.h / (small * 1.3)) as usize).clamp(2, 6),
    );
    for tick in nice_ticks(unit * y.from, unit * y.to, step) {
        let level = y.at(tick / unit);
        let (a, b) = (Point::new(plot.x, level), Point::new(plot.right(), level));
        canvas.line(a, b, Stroke::new(Ink::Grid, 0.6));
        let at = Point::new(plot.x - 4.0, level + 0.35 * small);
        canvas.text(at, &number::number(tick, 0), muted.anchor(Anchor::End));
    }
    let step = nice_step(
        unit * (x.to - x.from),
        ((plot.w / (small * 4.5)) as usize).max(2),
    );
    for tick in nice_ticks(unit * x.from, unit * x.to, step) {
        let place = x.at(tick / unit);
        let (top, bottom) = (Point::new(place, plot.y), Point::new(place, plot.bottom()));
        canvas.line(top, bottom, Stroke::new(Ink::Grid, 0.6));
        let text = if tick == 0.0 {
            "aim".to_owned()
        } else {
            number::number(tick, 0)
        };
        let width = text_width(&text, small, false);
        let middle = place.clamp(area.x + 0.5 * width, area.right() - 0.5 * width);
        let at = Point::new(middle, plot.bottom() + small + 3.0);
        canvas.text(at, &text, muted.anchor(Anchor::Middle));
    }
}

/// The handbook's glide ratio, or the one flown where the briefing has none, and what to call it.
fn still_air_ratio(subject: &Subject<'_>) -> Option<(f64, &'static str)> {
    let sensible = |ratio: &f64| ratio.is_finite() && *ratio > 1.0;
    let handbook = subject.reference.handbook_glide_ratio.filter(sensible);
    let flown = || {
        let measure = subject.attempt.measures.get("glide_ratio_air")?;
        measure.value().filter(sensible)
    };
    handbook
        .map(|ratio| (ratio, "in still air, handbook"))
        .or_else(|| flown().map(|ratio| (ratio, "in still air, as glided")))
}

/// Where the series is at a time, between its steps.
fn height_at(elapsed: &[f64], along: &[f64], height: &[f64], t: f64) -> Option<(f64, f64)> {
    let i = elapsed.iter().position(|e| *e >= t)?;
    let before = i.checked_sub(1)?;
    let share = (t - elapsed[before]) / (elapsed[i] - elapsed[before]).max(1e-9);
    let between = |list: &[f64]| {
        let (a, b) = (*list.get(before)?, *list.get(i)?);
        Some(a + share * (b - a))
    };
    Some((between(along)?, between(height)?)).filter(|(a, h)| a.is_finite() && h.is_finite())
}
