//! Plan view: equal scales, north up.

mod ground;
mod landing;
mod view;
mod wind;

pub use view::PlanFrame;
pub(super) use view::bounds_of;

use super::super::look::Look;
use super::super::number;
use super::super::svg::{Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, dense, text_width};
use super::marks::{Shade, discs_beside, shades};
use super::moments::lettered;
use super::way::between;
use super::{Subject, nothing_to_draw, told};
use crate::report::svg::Anchor;
use view::View;

/// How far from its point a disc may stand.
const DISC_REACH: f64 = 160.0;

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
        &told::with(
            "The path over the ground, north up, stronger and thicker with time, a tick every 30 seconds, with numbered \
             key points, the aim point and the landing direction.",
            &[told::key_points(subject), told::figures(subject, &["orbits", "abeam_distance_ft"])],
        ),
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Plan, north up",
        look.title(),
    );
    let foot = ground::foot_height(area.w, subject);
    let plot = area.inset(0.0, look.title + 5.0, 0.0, foot);
    let view = view::choose(plot, subject);
    match &view {
        Some(view) => draw_view(canvas, view, area, subject, kilometres),
        None => nothing_to_draw(canvas, plot, look, "no positions in this attempt"),
    }
    canvas.close();
    view.map(|view| view.frame)
}

fn draw_view(
    canvas: &mut Canvas,
    view: &View,
    area: Rect,
    subject: &Subject<'_>,
    kilometres: bool,
) {
    let (frame, look) = (&view.frame, subject.look);
    let plot = frame.plot;
    let track = track_points(frame, subject);
    let runs = shades(subject.attempt, subject.marks);
    let mut placer = Placer::new(plot.inset(2.0, 2.0, 2.0, 2.0));
    placer.avoid(&dense(&track, plot));
    let far = (!view.aim_shown && subject.reference.aim_source != "none").then(|| {
        let at = Point::new(plot.x + 6.0, plot.y + look.small + 4.0);
        let text = "the aim is far outside this drawing";
        let width = text_width(text, look.small, false);
        placer.block(Rect::new(at.x, plot.y + 2.0, width, 1.5 * look.small));
        (at, text)
    });
    canvas.rect(plot, Ink::Shade);
    canvas.open_clipped(plot);
    ground::grid(canvas, frame, subject.wording.ft());
    if view.aim_shown {
        landing::line(canvas, frame, subject);
    }
    track_line(canvas, &track, &runs, 1.35 * look.track);
    let minutes = ticks(canvas, frame, subject);
    if view.aim_shown {
        landing::touchdown(canvas, frame, subject);
        landing::aim(canvas, frame, &mut placer);
    }
    canvas.close();
    if let Some(whole) = view.whole {
        overview(canvas, view, whole, subject, &runs, &mut placer);
    }
    block_points(frame, subject, &mut placer);
    if look == Look::SHEET {
        super::within_glide::inset(canvas, plot, subject, &mut placer);
    }
    if view.aim_shown {
        landing::arrow(canvas, frame, subject, &mut placer);
        landing::label(canvas, frame, subject, &mut placer);
    }
    key_points(canvas, frame, subject, &mut placer);
    moment_letters(canvas, frame, subject, &mut placer);
    tick_labels(canvas, &minutes, subject, &mut placer);
    wind::along(canvas, frame, subject, &mut placer);
    ground::foot(canvas, frame, area, subject, kilometres);
    if let Some((at, text)) = far {
        let style = look.small(Ink::Muted, Anchor::Start).halo();
        canvas.text(at, text, style);
    }
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

/// The track, each shade over a rim of ground, so that later parts pass over earlier ones.
fn track_line(canvas: &mut Canvas, track: &[Point], runs: &[Shade], first_width: f64) {
    for run in runs {
        let line = &track[run.steps.start.min(track.len())..run.steps.end.min(track.len())];
        match run.tone {
            Some(tone) => {
                let width = first_width * (1.0 + 0.1 * f64::from(tone));
                canvas.polyline(line, Stroke::new(Ink::Shade, width + 2.4));
                canvas.polyline(line, run.stroke(width));
            }
            None => canvas.polyline(line, Stroke::new(Ink::Axis, 1.0).dashed("2.5 2")),
        }
    }
}

/// What the small drawing of the whole glide is called.
const CAPTION: &str = "whole glide";

/// The whole glide, small, in the corner where it hides least.
fn overview(
    canvas: &mut Canvas,
    view: &View,
    whole: Rect,
    subject: &Subject<'_>,
    runs: &[Shade],
    placer: &mut Placer,
) {
    let plot = view.frame.plot;
    let size = 0.28 * plot.w.min(plot.h);
    let corners = [
        (plot.x, plot.y),
        (plot.right() - size, plot.y),
        (plot.x, plot.bottom() - size),
        (plot.right() - size, plot.bottom() - size),
    ];
    let room = corners
        .into_iter()
        .map(|(x, y)| Rect::new(x, y, size, size))
        .min_by_key(|room| (placer.is_taken(*room), placer.covered(*room)))
        .unwrap_or(plot);
    placer.block(room);
    let frame = view::inset(room, whole);
    canvas.rect(room, Ink::Paper);
    canvas.open_clipped(room);
    track_line(canvas, &track_points(&frame, subject), runs, 1.0);
    canvas.disc(frame.origin, 2.4, Ink::Paper, Ink::Aim);
    canvas.close();
    let small = subject.look.small;
    let mut inside = Placer::new(room.inset(1.0, 1.0, 1.0, 1.0));
    inside.avoid(&dense(&track_points(&frame, subject), room));
    let width = text_width(CAPTION, small, false) + 2.0;
    let caption = [
        (room.x + 2.0, room.bottom() - small - 4.0),
        (room.x + 2.0, room.y + 1.0),
        (room.right() - width - 2.0, room.bottom() - small - 4.0),
        (room.right() - width - 2.0, room.y + 1.0),
    ]
    .map(|(x, y)| Rect::new(x, y, width, small + 3.0))
    .into_iter()
    .min_by_key(|place| inside.covered(*place))
    .unwrap_or(room);
    inside.block(caption);
    let elsewhere: Vec<(usize, Point)> = subject
        .marks
        .iter()
        .filter(|m| !plot.holds(view.frame.at(m.east_ft, m.north_ft)))
        .map(|m| (m.number, frame.at(m.east_ft, m.north_ft)))
        .filter(|(_, p)| room.holds(*p))
        .collect();
    discs_beside(canvas, &elsewhere, subject.look, &mut inside, DISC_REACH);
    let scale = frame.units_per_ft / view.frame.units_per_ft;
    let shown = Rect::new(
        frame.origin.x + (plot.x - view.frame.origin.x) * scale,
        frame.origin.y + (plot.y - view.frame.origin.y) * scale,
        plot.w * scale,
        plot.h * scale,
    );
    canvas.open_clipped(room);
    canvas.outline(shown, Stroke::new(Ink::Text, 0.7).dashed("2 1.5"));
    canvas.close();
    canvas.outline(room, Stroke::new(Ink::Axis, 0.8));
    let at = Point::new(caption.x + 1.0, caption.y + small + 0.5);
    canvas.text(at, CAPTION, TextStyle::new(small, Ink::Muted).halo());
}

/// A tick across the track every 30 seconds; returns those at whole minutes.
fn ticks(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>) -> Vec<(f64, Point)> {
    let series = &subject.attempt.series;
    let elapsed = &series.elapsed_s;
    let length = elapsed
        .len()
        .min(series.east_ft.len())
        .min(series.north_ft.len());
    let end = super::marks::end_s(subject.attempt, subject.marks);
    let mut minutes = Vec::new();
    for i in 1..length {
        let (before, now) = (elapsed[i - 1], elapsed[i]);
        let tick = (before / 30.0).floor() * 30.0 + 30.0;
        let within = tick > before && tick <= now && tick > 0.0 && tick < end;
        if !within || now - before > 30.0 {
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
        let half = if whole { 5.5 } else { 3.6 };
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

/// The key points that the plot holds.
fn points_shown(frame: &PlanFrame, subject: &Subject<'_>) -> Vec<(usize, Point)> {
    subject
        .marks
        .iter()
        .map(|m| (m.number, frame.at(m.east_ft, m.north_ft)))
        .filter(|(_, p)| frame.plot.holds(*p))
        .collect()
}

fn block_points(frame: &PlanFrame, subject: &Subject<'_>, placer: &mut Placer) {
    for (_, p) in points_shown(frame, subject) {
        placer.block(Rect::around(p, 5.0, 5.0));
    }
}

/// Numbered discs beside their points, with leader lines.
fn key_points(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>, placer: &mut Placer) {
    let points = points_shown(frame, subject);
    discs_beside(canvas, &points, subject.look, placer, DISC_REACH);
}

/// A triangle that points to the path at each moment, with its letter where there is room.
fn moment_letters(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let (series, small) = (&subject.attempt.series, subject.look.small);
    for moment in lettered(subject.attempt) {
        let of = |list: &[f64]| between(&series.elapsed_s, list, moment.elapsed_s);
        let place = of(&series.east_ft).zip(of(&series.north_ft));
        let at = place.map(|(east, north)| frame.at(east, north));
        let Some(at) = at.filter(|at| at.is_finite() && frame.plot.holds(*at)) else {
            continue;
        };
        let text = moment.letter.to_string();
        let width = text_width(&text, small, true);
        let Some(label) = placer.place(at, width, small, 6.0, 40.0) else {
            continue;
        };
        let centre = label.room.centre();
        let length = at.distance(centre).max(1e-6);
        let (x, y) = ((centre.x - at.x) / length, (centre.y - at.y) / length);
        let triangle = [
            at,
            Point::new(at.x + 6.0 * x - 3.2 * y, at.y + 6.0 * y + 3.2 * x),
            Point::new(at.x + 6.0 * x + 3.2 * y, at.y + 6.0 * y - 3.2 * x),
        ];
        if label.wants_leader {
            let end = label.room.nearest(at);
            canvas.line(at, end, Stroke::new(Ink::Target, 0.8));
        }
        canvas.polygon(&triangle, Ink::Target, Some(Stroke::new(Ink::Paper, 0.6)));
        let baseline = Point::new(label.room.x, label.room.y + 0.78 * small);
        let style = TextStyle::new(small, Ink::Target).bold().halo();
        canvas.text(baseline, &text, style);
    }
}

/// Minutes beside their ticks, where there is free room near enough.
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
        if let Some(label) = placer.place_clear(*p, width, small, 7.0, 13.0) {
            let at = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(at, &text, TextStyle::new(small, Ink::Muted));
        }
    }
}
