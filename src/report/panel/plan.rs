//! Plan view: equal scales, north up.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, nice_step, nice_ticks, text_width,
};
use super::marks::{Shade, draw_disc, shades};
use super::{Subject, nothing_to_draw};
use crate::units::{M_PER_FT, M_PER_NM};

/// Where the plan drew: a place `east`, `north` (ft) is at
/// `x = origin.x + east × units_per_ft`, `y = origin.y − north × units_per_ft`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanFrame {
    /// The plot.
    pub plot: Rect,
    /// Where the aim (or the reference point) is.
    pub origin: Point,
    /// Scale.
    pub units_per_ft: f64,
}

impl PlanFrame {
    /// The place of a point.
    pub fn at(&self, east_ft: f64, north_ft: f64) -> Point {
        Point::new(
            self.origin.x + east_ft * self.units_per_ft,
            self.origin.y - north_ft * self.units_per_ft,
        )
    }
}

/// Room left around the track, for labels.
const MARGIN: f64 = 30.0;
/// An aim farther away than this many times the size of the track is not drawn.
const FARTHEST_AIM: f64 = 8.0;

/// Draws the plan. `kilometres` makes the second bar of the scale one of kilometres.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    kilometres: bool,
) -> Option<PlanFrame> {
    let look = subject.look;
    canvas.open(
        "plan",
        "img",
        "Plan view",
        "The path over the ground, north up, darker and thicker with time, a tick every 30 seconds, \
         with numbered key points, the aim point and the landing direction.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Plan, north up",
        look.title(),
    );
    let foot = 2.0 * look.small + 12.0;
    let plot = area.inset(0.0, look.title + 5.0, 0.0, foot);
    let frame = fit_frame(plot, subject);
    if let Some((frame, aim_shown)) = frame {
        let mut placer = Placer::new(plot.inset(2.0, 2.0, 2.0, 2.0));
        canvas.rect(plot, Ink::Shade);
        canvas.open_clipped(plot);
        grid(canvas, &frame);
        if aim_shown {
            landing_direction(canvas, &frame, subject, &mut placer);
        }
        let track = track_points(&frame, subject);
        let runs = shades(subject.attempt, subject.marks);
        track_line(canvas, &track, &runs, subject);
        let ticks = ticks(canvas, &frame, subject);
        if aim_shown {
            aim(canvas, &frame, &mut placer);
        }
        canvas.close();
        placer.avoid(&dense(&track));
        key_points(canvas, &frame, subject, &mut placer);
        if aim_shown {
            aim_label(canvas, &frame, subject, &mut placer);
        }
        tick_labels(canvas, &ticks, subject, &mut placer);
        scale_bars(canvas, &frame, area, look.small, kilometres);
        if !aim_shown && subject.reference.aim_source != "none" {
            let at = Point::new(plot.x + 6.0, plot.y + look.small + 4.0);
            canvas.text(
                at,
                "the aim is far outside this drawing",
                look.small(Ink::Muted, Anchor::Start),
            );
        }
    } else {
        nothing_to_draw(canvas, plot, look, "no positions in this attempt");
    }
    canvas.close();
    frame.map(|(frame, _)| frame)
}

/// The frame that shows the track and, unless it is far away, the aim.
fn fit_frame(plot: Rect, subject: &Subject<'_>) -> Option<(PlanFrame, bool)> {
    let series = &subject.attempt.series;
    let places: Vec<Point> = series
        .east_ft
        .iter()
        .zip(&series.north_ft)
        .map(|(e, n)| Point::new(*e, *n))
        .filter(|p| p.is_finite())
        .collect();
    let mut bounds = bounds_of(&places)?;
    let size = bounds.w.max(bounds.h).max(1000.0);
    let origin = Point::default();
    let away =
        (bounds.x.abs().max(bounds.right().abs())).max(bounds.y.abs().max(bounds.bottom().abs()));
    let aim_shown = subject.reference.aim_source != "none" && away < FARTHEST_AIM * size;
    if aim_shown {
        bounds = bounds_of(&[
            Point::new(bounds.x, bounds.y),
            Point::new(bounds.right(), bounds.bottom()),
            origin,
        ])?;
    }
    let inner = plot.inset(MARGIN, MARGIN, MARGIN, MARGIN);
    let units_per_ft = (inner.w / bounds.w.max(500.0)).min(inner.h / bounds.h.max(500.0));
    let (middle, centre) = (bounds.centre(), inner.centre());
    let origin = Point::new(
        centre.x - middle.x * units_per_ft,
        centre.y + middle.y * units_per_ft,
    );
    Some((
        PlanFrame {
            plot,
            origin,
            units_per_ft,
        },
        aim_shown,
    ))
}

/// The rectangle that holds all points.
fn bounds_of(points: &[Point]) -> Option<Rect> {
    let first = points.first()?;
    let (mut low, mut high) = (*first, *first);
    for p in points {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    Some(Rect::new(low.x, low.y, high.x - low.x, high.y - low.y))
}

fn track_points(frame: &PlanFrame, subject: &Subject<'_>) -> Vec<Point> {
    let series = &subject.attempt.series;
    series
        .east_ft
        .iter()
        .zip(&series.north_ft)
        .map(|(e, n)| frame.at(*e, *n))
        .collect()
}

/// The track with points no more than a few units apart, for keeping labels clear of it.
fn dense(track: &[Point]) -> Vec<Point> {
    let mut out = Vec::new();
    for pair in track.windows(2) {
        let parts = (pair[0].distance(pair[1]) / 3.0).clamp(1.0, 200.0) as u32;
        for i in 0..parts {
            let share = f64::from(i) / f64::from(parts);
            out.push(Point::new(
                pair[0].x + share * (pair[1].x - pair[0].x),
                pair[0].y + share * (pair[1].y - pair[0].y),
            ));
        }
    }
    out
}

/// A square grid as wide as the first bar of the scale.
fn grid(canvas: &mut Canvas, frame: &PlanFrame) {
    let step = grid_ft(frame) * frame.units_per_ft;
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

/// The width of the grid, ft.
fn grid_ft(frame: &PlanFrame) -> f64 {
    nice_step(frame.plot.w.min(frame.plot.h) / frame.units_per_ft, 6)
}

/// The line on which the landing lies, and an arrow along it beyond the aim.
fn landing_direction(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let Some(landing) = subject.reference.landing_true_deg.filter(|d| d.is_finite()) else {
        return;
    };
    let (sin, cos) = landing.to_radians().sin_cos();
    let place = |d: f64| Point::new(frame.origin.x + d * sin, frame.origin.y - d * cos);
    let thin = Stroke::new(Ink::Aim, 0.7).dashed("7 3 1.5 3");
    canvas.line(place(-2000.0), place(2000.0), thin);
    let inner = frame.plot.inset(6.0, 6.0, 6.0, 6.0);
    let start = if inner.holds(place(86.0)) {
        44.0
    } else {
        -86.0
    };
    canvas.line(
        place(start),
        place(start + 32.0),
        Stroke::new(Ink::Aim, 3.2),
    );
    let side = |w: f64| {
        let p = place(start + 30.0);
        Point::new(p.x + w * cos, p.y + w * sin)
    };
    canvas.polygon(
        &[place(start + 42.0), side(6.0), side(-6.0)],
        Ink::Aim,
        None,
    );
    for d in [0.0, 10.0, 20.0, 30.0, 40.0] {
        placer.block(Rect::around(place(start + d), 9.0, 9.0));
    }
    let text = format!("land {}° true", number::direction(landing));
    let small = subject.look.small;
    let width = text_width(&text, small, false);
    if let Some(label) = placer.place(place(start + 20.0), width, small, 6.0, 60.0) {
        let at = Point::new(label.room.x, label.room.y + 0.78 * small);
        canvas.text(at, &text, TextStyle::new(small, Ink::Aim).halo());
    }
}

/// The track, each shade over a rim of paper, so that later parts pass over earlier ones.
fn track_line(canvas: &mut Canvas, track: &[Point], runs: &[Shade], subject: &Subject<'_>) {
    for run in runs {
        let line = &track[run.steps.start.min(track.len())..run.steps.end.min(track.len())];
        match run.tone {
            Some(tone) => {
                let width = 1.35 * (subject.look.track + 0.14 * f64::from(tone));
                canvas.polyline(line, Stroke::new(Ink::Shade, width + 2.4));
                canvas.polyline(line, Stroke::new(Ink::Track(tone), width).round());
            }
            None => canvas.polyline(line, Stroke::new(Ink::Axis, 1.0).dashed("2.5 2")),
        }
    }
}

/// A tick across the track every 30 seconds; returns those at whole minutes.
fn ticks(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>) -> Vec<(f64, Point)> {
    let series = &subject.attempt.series;
    let elapsed = &series.elapsed_s;
    let length = elapsed
        .len()
        .min(series.east_ft.len())
        .min(series.north_ft.len());
    let mut minutes = Vec::new();
    for i in 1..length {
        let (before, now) = (elapsed[i - 1], elapsed[i]);
        let tick = (before / 30.0).floor() * 30.0 + 30.0;
        if !(tick > before && tick <= now) || tick <= 0.0 || now - before > 30.0 {
            continue;
        }
        let a = frame.at(series.east_ft[i - 1], series.north_ft[i - 1]);
        let b = frame.at(series.east_ft[i], series.north_ft[i]);
        let length = a.distance(b);
        if !length.is_finite() || length < 1e-6 {
            continue;
        }
        let share = (tick - before) / (now - before);
        let p = Point::new(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y));
        let whole = tick % 60.0 == 0.0;
        let half = if whole { 5.0 } else { 3.2 };
        let (nx, ny) = (-(b.y - a.y) / length * half, (b.x - a.x) / length * half);
        let (from, to) = (
            Point::new(p.x - nx, p.y - ny),
            Point::new(p.x + nx, p.y + ny),
        );
        canvas.line(from, to, Stroke::new(Ink::Text, 1.0));
        if whole {
            minutes.push((tick, p));
        }
    }
    minutes
}

/// The aim: a ring with a cross.
fn aim(canvas: &mut Canvas, frame: &PlanFrame, placer: &mut Placer) {
    let at = frame.origin;
    canvas.disc(at, 5.0, Ink::Paper, Ink::Aim);
    let stroke = Stroke::new(Ink::Aim, 1.2);
    canvas.line(
        Point::new(at.x - 8.0, at.y),
        Point::new(at.x + 8.0, at.y),
        stroke,
    );
    canvas.line(
        Point::new(at.x, at.y - 8.0),
        Point::new(at.x, at.y + 8.0),
        stroke,
    );
    placer.block(Rect::around(at, 12.0, 12.0));
}

fn aim_label(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>, placer: &mut Placer) {
    let style = subject.look.body(Ink::Aim, Anchor::Start).bold().halo();
    let text = if subject.reference.aim_source == "touchdown" {
        "touchdown = aim"
    } else {
        "aim"
    };
    let width = text_width(text, style.size, true);
    if let Some(label) = placer.place(frame.origin, width, style.size, 9.0, 80.0) {
        canvas.text(
            Point::new(label.room.x, label.room.y + 0.78 * style.size),
            text,
            style,
        );
    }
}

/// Numbered discs beside their points, with leader lines.
fn key_points(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>, placer: &mut Placer) {
    let points: Vec<(usize, Point)> = subject
        .marks
        .iter()
        .map(|m| (m.number, frame.at(m.east_ft, m.north_ft)))
        .filter(|(_, p)| frame.plot.holds(*p))
        .collect();
    for (_, p) in &points {
        placer.block(Rect::around(*p, 5.0, 5.0));
    }
    let size = 2.0 * subject.look.disc + 1.0;
    for (number, p) in points {
        canvas.disc(p, 2.6, Ink::Paper, Ink::Text);
        if let Some(label) = placer.place(p, size, size, 5.0, 160.0) {
            let centre = label.room.centre();
            let length = p.distance(centre);
            let share = |d: f64| {
                Point::new(
                    p.x + (centre.x - p.x) * d / length,
                    p.y + (centre.y - p.y) * d / length,
                )
            };
            canvas.line(
                share(2.6),
                share(length - subject.look.disc),
                Stroke::new(Ink::Text, 0.8),
            );
            draw_disc(canvas, centre, number, subject.look);
        }
    }
}

/// Minutes beside their ticks, where there is room near enough.
fn tick_labels(
    canvas: &mut Canvas,
    ticks: &[(f64, Point)],
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let small = subject.look.small;
    for (elapsed, p) in ticks {
        let text = number::clock(*elapsed);
        let width = text_width(&text, small, false);
        if let Some(label) = placer.place(*p, width, small, 4.0, 9.0) {
            let at = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(at, &text, TextStyle::new(small, Ink::Muted));
        }
    }
}

/// Two bars below the plot, in feet and in nautical miles or kilometres, and the north arrow.
fn scale_bars(canvas: &mut Canvas, frame: &PlanFrame, area: Rect, small: f64, kilometres: bool) {
    let (unit, unit_ft) = if kilometres {
        ("km", 1000.0 / M_PER_FT)
    } else {
        ("NM", M_PER_NM / M_PER_FT)
    };
    let feet = grid_ft(frame);
    let longest_ft = 0.42 * frame.plot.w / frame.units_per_ft;
    let other = nice_step(longest_ft / unit_ft, 1) / 2.0;
    let other = if other * unit_ft > longest_ft {
        other / 2.0
    } else {
        other
    };
    let style = TextStyle::new(small, Ink::Text);
    let mut y = frame.plot.bottom() + small;
    for (length_ft, text) in [
        (feet, format!("{} ft, one square", number::number(feet, 0))),
        (
            other * unit_ft,
            format!("{} {unit}", number::number(other, decimals_of(other))),
        ),
    ] {
        let (left, right) = (area.x + 1.0, area.x + 1.0 + length_ft * frame.units_per_ft);
        for (from, to) in [
            (Point::new(left, y), Point::new(right, y)),
            (Point::new(left, y - 3.0), Point::new(left, y + 3.0)),
            (Point::new(right, y - 3.0), Point::new(right, y + 3.0)),
        ] {
            canvas.line(from, to, Stroke::new(Ink::Text, 1.1));
        }
        canvas.text(Point::new(right + 5.0, y + small * 0.35), &text, style);
        y += small + 4.0;
    }
    north(
        canvas,
        Point::new(area.right() - 8.0, frame.plot.bottom() + small + 3.0),
        small,
    );
}

/// How many decimals a bar's length needs.
fn decimals_of(length: f64) -> usize {
    [0, 1, 2]
        .into_iter()
        .find(|d| {
            let scaled = length * 10_f64.powi(*d);
            (scaled - scaled.round()).abs() < 1e-6
        })
        .map_or(3, |d| d as usize)
}

/// An arrow that points up, and its letter.
fn north(canvas: &mut Canvas, centre: Point, small: f64) {
    let (top, bottom) = (centre.y - small, centre.y + small);
    canvas.line(
        Point::new(centre.x, bottom),
        Point::new(centre.x, top + 3.0),
        Stroke::new(Ink::Text, 1.2),
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
