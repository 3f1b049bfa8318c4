//! The ground within glide at the power reduction, with the aim, the fields of the briefing and the path.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, fit, nice_step, text_width,
};
use super::plan::{PlanFrame, bounds_of};
use super::{Subject, nothing_to_draw, told};
use crate::debrief::document::FieldWithin;

/// Draws the map as a panel of its own.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    canvas.open(
        "within-glide",
        "img",
        "Ground within glide at the power reduction",
        &told::with(
            "The ground that could be glided to from the power reduction, wind and first turn included, north up, with \
             the aim point, the path and the fields of the briefing.",
            &[told::figures(subject, &["height_in_hand_at_power_reduction_ft"])],
        ),
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Within glide at the power reduction",
        look.title(),
    );
    let plot = area.inset(0.0, look.title + 5.0, 0.0, look.small + 10.0);
    match map(plot, subject, 22.0) {
        Some(map) => {
            canvas.rect(plot, Ink::Shade);
            canvas.open_clipped(plot);
            ground(canvas, &map, subject);
            canvas.close();
            names(canvas, &map, subject);
            scale(canvas, &map, subject);
        }
        None => nothing_to_draw(canvas, plot, look, "not known: no aim point or no glide"),
    }
    canvas.close();
}

/// Draws the map small, in the corner of another drawing where it hides nothing; `false` where there
/// is no such corner.
pub(super) fn inset(
    canvas: &mut Canvas,
    plot: Rect,
    subject: &Subject<'_>,
    placer: &mut Placer,
) -> bool {
    let size = 0.28 * plot.w.min(plot.h);
    let (right, bottom) = (plot.right() - size, plot.bottom() - size);
    let room = [
        (right, bottom),
        (plot.x, bottom),
        (right, plot.y),
        (plot.x, plot.y),
    ]
    .into_iter()
    .map(|(x, y)| Rect::new(x, y, size, size))
    .find(|room| !placer.is_taken(*room) && placer.covered(*room) == 0);
    let (Some(room), false) = (room, subject.attempt.glide_ring_ft.is_empty()) else {
        return false;
    };
    let small = subject.look.small;
    let body = room.inset(0.0, 0.0, 0.0, small + 4.0);
    let Some(map) = map(body, subject, 5.0) else {
        return false;
    };
    placer.block(room);
    canvas.rect(room, Ink::Paper);
    canvas.open_clipped(room);
    ground(canvas, &map, subject);
    canvas.close();
    canvas.outline(room, Stroke::new(Ink::Axis, 0.8));
    let at = Point::new(room.x + 3.0, room.bottom() - 3.5);
    let style = TextStyle::new(small, Ink::Muted).halo();
    let text = fit("within glide at 1", small, false, size - 6.0);
    canvas.text(at, &text, style);
    true
}

fn map(plot: Rect, subject: &Subject<'_>, margin: f64) -> Option<PlanFrame> {
    let attempt = subject.attempt;
    if attempt.glide_ring_ft.is_empty() {
        return None;
    }
    let fields = attempt
        .in_hand
        .fields
        .iter()
        .map(|f| [f.east_ft, f.north_ft]);
    let places: Vec<[f64; 2]> = attempt
        .glide_ring_ft
        .iter()
        .copied()
        .chain([[0.0, 0.0]])
        .chain(fields.filter(|place| near(*place, &attempt.glide_ring_ft)))
        .collect();
    let places: Vec<Point> = places
        .iter()
        .map(|place| Point::new(place[0], place[1]))
        .filter(|p| p.is_finite())
        .collect();
    Some(PlanFrame::fitting(plot, bounds_of(&places)?, margin))
}

/// Whether a field is not so far out that the drawing would be of it.
fn near(place: [f64; 2], ring: &[[f64; 2]]) -> bool {
    let farthest = ring
        .iter()
        .map(|c| c[0].hypot(c[1]))
        .fold(0.0_f64, f64::max);
    place[0].hypot(place[1]) < 1.5 * farthest
}

fn ground(canvas: &mut Canvas, map: &PlanFrame, subject: &Subject<'_>) {
    let attempt = subject.attempt;
    let ring: Vec<Point> = attempt
        .glide_ring_ft
        .iter()
        .map(|c| map.at(c[0], c[1]))
        .filter(|p| p.is_finite())
        .collect();
    canvas.polygon(&ring, Ink::Tolerance, Some(Stroke::new(Ink::Target, 0.9)));
    let series = &attempt.series;
    let path: Vec<Point> = series
        .elapsed_s
        .iter()
        .zip(series.east_ft.iter().zip(&series.north_ft))
        .filter(|(t, _)| **t >= 0.0)
        .map(|(_, (e, n))| map.at(*e, *n))
        .filter(|p| p.is_finite())
        .collect();
    canvas.polyline(&path, Stroke::new(Ink::Track(6), 1.0).round());
    canvas.disc(map.at(0.0, 0.0), 2.6, Ink::Paper, Ink::Aim);
    for field in &attempt.in_hand.fields {
        field_mark(canvas, map.at(field.east_ft, field.north_ft), field, 2.6);
    }
    if let Some(start) = path.first() {
        canvas.disc(*start, 2.2, Ink::Text, Ink::Text);
    }
}

/// A square, filled where the field was within reach.
fn field_mark(canvas: &mut Canvas, at: Point, field: &FieldWithin, half: f64) {
    let corners = Rect::around(at, 2.0 * half, 2.0 * half).corners();
    let within = field.probability.is_some_and(|p| p >= 0.5);
    let fill = if within { Ink::Wind } else { Ink::Paper };
    canvas.polygon(&corners, fill, Some(Stroke::new(Ink::Wind, 1.0)));
}

/// Names of aim, power reduction and fields, where there is room.
fn names(canvas: &mut Canvas, map: &PlanFrame, subject: &Subject<'_>) {
    let small = subject.look.small;
    let mut placer = Placer::new(map.plot.inset(2.0, 2.0, 2.0, 2.0));
    let series = &subject.attempt.series;
    let start = series.elapsed_s.iter().position(|t| *t >= 0.0);
    let path: Vec<Point> = series
        .east_ft
        .iter()
        .zip(&series.north_ft)
        .skip(start.unwrap_or(0))
        .map(|(e, n)| map.at(*e, *n))
        .collect();
    placer.avoid(&path);
    let mut points = vec![(
        "aim".to_owned(),
        Point::new(map.origin.x, map.origin.y),
        Ink::Aim,
    )];
    points.extend(
        path.first()
            .map(|p| ("power reduction".to_owned(), *p, Ink::Text)),
    );
    for field in &subject.attempt.in_hand.fields {
        let at = map.at(field.east_ft, field.north_ft);
        if map.plot.holds(at) {
            points.push((fit(&field.name, small, false, 150.0), at, Ink::Wind));
        }
    }
    for (_, at, _) in &points {
        placer.block(Rect::around(*at, 7.0, 7.0));
    }
    for (name, at, ink) in points {
        let width = text_width(&name, small, false);
        if let Some(label) = placer.place(at, width, small, 5.0, 90.0) {
            let baseline = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(baseline, &name, TextStyle::new(small, ink).halo());
        }
    }
}

/// One bar below the plot, and what the squares mean.
fn scale(canvas: &mut Canvas, map: &PlanFrame, subject: &Subject<'_>) {
    let small = subject.look.small;
    let shown = subject.wording.ft();
    let length = nice_step(shown.of(map.plot.w / map.units_per_ft), 5);
    let y = map.plot.bottom() + 0.6 * small + 2.0;
    let (left, right) = (
        map.plot.x + 1.0,
        map.plot.x + 1.0 + length / shown.factor * map.units_per_ft,
    );
    for (from, to) in [
        (Point::new(left, y), Point::new(right, y)),
        (Point::new(left, y - 3.0), Point::new(left, y + 3.0)),
        (Point::new(right, y - 3.0), Point::new(right, y + 3.0)),
    ] {
        canvas.line(from, to, Stroke::new(Ink::Text, 1.1));
    }
    let text = format!("{} {}", number::number(length, 0), shown.unit);
    let baseline = y + 0.35 * small;
    canvas.text(
        Point::new(right + 5.0, baseline),
        &text,
        TextStyle::new(small, Ink::Text),
    );
    let used = right + 11.0 + text_width(&text, small, false);
    let key = "squares: fields, filled within reach";
    if !subject.attempt.in_hand.fields.is_empty()
        && used + text_width(key, small, false) < map.plot.right()
    {
        let style = TextStyle::new(small, Ink::Muted).anchor(Anchor::End);
        canvas.text(Point::new(map.plot.right(), baseline), key, style);
    }
}
