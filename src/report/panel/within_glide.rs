//! The ground within glide at the power reduction, with the aim, the fields of the briefing and the path.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, fit, nice_step, text_width,
};
use super::{Subject, nothing_to_draw};
use crate::debrief::document::FieldWithin;

/// Where a map drew: as [`PlanFrame`](super::plan::PlanFrame), for bounds of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Map {
    plot: Rect,
    origin: Point,
    units_per_ft: f64,
}

impl Map {
    /// The map that shows all of `places` (east, north, ft).
    fn of(plot: Rect, places: &[[f64; 2]], margin: f64) -> Option<Self> {
        let ends = |axis: usize| -> Option<(f64, f64)> {
            let (low, high) = places
                .iter()
                .map(|p| p[axis])
                .filter(|v| v.is_finite())
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                    (low.min(v), high.max(v))
                });
            (low <= high).then_some((low, high))
        };
        let ((west, east), (south, north)) = (ends(0)?, ends(1)?);
        let inner = plot.inset(margin, margin, margin, margin);
        let (wide, high) = ((east - west).max(500.0), (north - south).max(500.0));
        let units_per_ft = (inner.w / wide).min(inner.h / high);
        let centre = inner.centre();
        Some(Map {
            plot,
            origin: Point::new(
                centre.x - 0.5 * (west + east) * units_per_ft,
                centre.y + 0.5 * (south + north) * units_per_ft,
            ),
            units_per_ft,
        })
    }

    fn at(&self, east_ft: f64, north_ft: f64) -> Point {
        Point::new(
            self.origin.x + east_ft * self.units_per_ft,
            self.origin.y - north_ft * self.units_per_ft,
        )
    }
}

/// Draws the map as a panel of its own.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    canvas.open(
        "within-glide",
        "img",
        "Ground within glide at the power reduction",
        "The ground that could be glided to from the power reduction, wind and first turn included, \
         north up, with the aim point, the path and the fields of the briefing.",
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
    let corners = [
        Point::new(room.x, room.y),
        Point::new(room.right(), room.y),
        Point::new(room.right(), room.bottom()),
        Point::new(room.x, room.bottom()),
        Point::new(room.x, room.y),
    ];
    canvas.polyline(&corners, Stroke::new(Ink::Axis, 0.8));
    let at = Point::new(room.x + 3.0, room.bottom() - 3.5);
    let style = TextStyle::new(small, Ink::Muted).halo();
    canvas.text(
        at,
        &fit("within glide at 1", small, false, size - 6.0),
        style,
    );
    true
}

fn map(plot: Rect, subject: &Subject<'_>, margin: f64) -> Option<Map> {
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
    Map::of(plot, &places, margin)
}

/// Whether a field is not so far out that the drawing would be of it.
fn near(place: [f64; 2], ring: &[[f64; 2]]) -> bool {
    let farthest = ring
        .iter()
        .map(|c| c[0].hypot(c[1]))
        .fold(0.0_f64, f64::max);
    place[0].hypot(place[1]) < 1.5 * farthest
}

fn ground(canvas: &mut Canvas, map: &Map, subject: &Subject<'_>) {
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
    let corners = [
        Point::new(at.x - half, at.y - half),
        Point::new(at.x + half, at.y - half),
        Point::new(at.x + half, at.y + half),
        Point::new(at.x - half, at.y + half),
    ];
    let within = field.probability.is_some_and(|p| p >= 0.5);
    let fill = if within { Ink::Wind } else { Ink::Paper };
    canvas.polygon(&corners, fill, Some(Stroke::new(Ink::Wind, 1.0)));
}

/// Names of aim, power reduction and fields, where there is room.
fn names(canvas: &mut Canvas, map: &Map, subject: &Subject<'_>) {
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
fn scale(canvas: &mut Canvas, map: &Map, subject: &Subject<'_>) {
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
