//! Several attempts in one drawing: from above, from the side, by speed.

use super::super::look::Look;
use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, nice_step, nice_ticks};
use crate::compare::Side;

/// Ink and dashes of each attempt: told apart in grey, too, and by the number at the line's end.
const LINES: [(Ink, Option<&str>); 8] = [
    (Ink::Text, None),
    (Ink::Target, None),
    (Ink::Wind, None),
    (Ink::Track(3), None),
    (Ink::Text, Some("6 3")),
    (Ink::Target, Some("6 3")),
    (Ink::Wind, Some("6 3")),
    (Ink::Track(3), Some("6 3")),
];

/// The stroke of attempt `index`.
pub(super) fn stroke(index: usize) -> Stroke {
    let (ink, dash) = LINES[index % LINES.len()];
    let stroke = Stroke::new(ink, 1.5);
    dash.map_or(stroke, |dash| stroke.dashed(dash))
}

fn ink(index: usize) -> Ink {
    LINES[index % LINES.len()].0
}

/// The steps of an attempt from the power reduction to its end.
fn steps(side: &Side<'_>) -> impl Iterator<Item = usize> {
    let series = &side.attempt.series;
    let end = side
        .attempt
        .key_points
        .iter()
        .rev()
        .find(|p| p.kind == "touchdown" || p.kind == "go_around")
        .and_then(|p| p.utc.value());
    let n = series.elapsed_s.len();
    let last = end
        .and_then(|utc| series.utc.iter().position(|t| *t >= utc))
        .unwrap_or(n);
    let elapsed: Vec<f64> = series.elapsed_s.clone();
    (0..n).filter(move |i| *i <= last && elapsed[*i] >= 0.0)
}

/// A number in a disc at a line's end.
fn tag(canvas: &mut Canvas, at: Point, index: usize, look: Look) {
    canvas.disc(at, 0.85 * look.disc, Ink::Paper, ink(index));
    canvas.text(
        Point::new(at.x, at.y + 0.34 * look.small),
        &(index + 1).to_string(),
        look.small(Ink::Text, Anchor::Middle).bold(),
    );
}

/// From above: north up where all have one aim, else the landing direction up.
pub(super) fn plan(
    canvas: &mut Canvas,
    area: Rect,
    sides: &[Side<'_>],
    same_aim: bool,
    look: Look,
) {
    canvas.open(
        "plan",
        "img",
        "Plan",
        "The ways over the ground of all attempts, from the aim.",
    );
    let title = if same_aim {
        "Plan, north up"
    } else {
        "Plan, landing direction up, each from its own aim"
    };
    canvas.text(Point::new(area.x, area.y + look.title), title, look.title());
    let room = area.inset(4.0, look.title * 1.8, 4.0, look.small * 2.2);
    let lines: Vec<Vec<(f64, f64)>> = sides
        .iter()
        .map(|side| {
            let turn = if same_aim {
                0.0
            } else {
                side.debrief
                    .reference
                    .landing_true_deg
                    .unwrap_or(0.0)
                    .to_radians()
            };
            let (sin, cos) = turn.sin_cos();
            let series = &side.attempt.series;
            steps(side)
                .map(|i| (series.east_ft[i], series.north_ft[i]))
                .map(|(east, north)| (east * cos - north * sin, east * sin + north * cos))
                .collect()
        })
        .collect();
    let all = || lines.iter().flatten().copied().chain([(0.0, 0.0)]);
    let range = |of: &dyn Fn((f64, f64)) -> f64| {
        all()
            .map(of)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                (low.min(v), high.max(v))
            })
    };
    let (west, east) = range(&|p| p.0);
    let (south, north) = range(&|p| p.1);
    let per_ft = ((room.w - 16.0) / (east - west).max(500.0))
        .min((room.h - 16.0) / (north - south).max(500.0));
    let middle = room.centre();
    let at = |(x, y): (f64, f64)| {
        Point::new(
            middle.x + (x - 0.5 * (west + east)) * per_ft,
            middle.y - (y - 0.5 * (south + north)) * per_ft,
        )
    };
    let aim = at((0.0, 0.0));
    let landing = if same_aim {
        sides[0].debrief.reference.landing_true_deg
    } else {
        Some(0.0)
    };
    if let Some(deg) = landing {
        let (sin, cos) = deg.to_radians().sin_cos();
        let ends = [-0.5, 0.2].map(|s: f64| {
            let length = s * 0.3 * room.h / per_ft;
            at((length * sin, length * cos))
        });
        canvas.line(ends[0], ends[1], Stroke::new(Ink::Aim, 0.9).dashed("2 3"));
    }
    canvas.disc(aim, 4.0, Ink::Paper, Ink::Aim);
    canvas.disc(aim, 1.2, Ink::Aim, Ink::Aim);
    for (i, line) in lines.iter().enumerate() {
        let points: Vec<Point> = line.iter().map(|p| at(*p)).collect();
        canvas.polyline(&points, stroke(i).round());
    }
    for (i, line) in lines.iter().enumerate() {
        if let Some(first) = line.first() {
            tag(canvas, at(*first), i, look);
        }
    }
    let step = nice_step(0.4 * room.w / per_ft, 1);
    let (y, x) = (area.bottom() - look.small * 0.5, area.x + 4.0);
    canvas.line(
        Point::new(x, y),
        Point::new(x + step * per_ft, y),
        Stroke::new(Ink::Text, 1.4),
    );
    canvas.text(
        Point::new(x + step * per_ft + 6.0, y + 3.0),
        &format!("{} ft", number::number(step, 0)),
        look.small(Ink::Text, Anchor::Start),
    );
    canvas.close();
}

/// What is drawn against the time since the power reduction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Against {
    Height,
    Speed,
}

/// Height or airspeed against the time since the power reduction.
pub(super) fn by_time(
    canvas: &mut Canvas,
    area: Rect,
    sides: &[Side<'_>],
    what: Against,
    look: Look,
) {
    let (name, title) = match what {
        Against::Height => ("height", "Height above the aim, ft"),
        Against::Speed => ("speed", "CAS, kt"),
    };
    canvas.open(
        name,
        "img",
        title,
        "All attempts against the time since the power reduction.",
    );
    canvas.text(Point::new(area.x, area.y + look.title), title, look.title());
    let plot = area.inset(look.small * 3.8, look.title * 1.8, 14.0, look.small * 2.8);
    let lines: Vec<Vec<(f64, f64)>> = sides
        .iter()
        .map(|side| {
            let series = &side.attempt.series;
            let of = match what {
                Against::Height => &series.height_ft,
                Against::Speed => &series.cas_kt,
            };
            steps(side).map(|i| (series.elapsed_s[i], of[i])).collect()
        })
        .collect();
    let all = || lines.iter().flatten();
    let most_s = all().map(|p| p.0).fold(1.0, f64::max);
    let low = all().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let high = all().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    if !low.is_finite() || !high.is_finite() {
        canvas.close();
        return;
    }
    let low = if what == Against::Height {
        low.min(0.0)
    } else {
        low
    };
    let step = nice_step(high - low, 6);
    let y = Scale::new(
        (low / step).floor() * step,
        (high / step).ceil() * step,
        plot.bottom(),
        plot.y,
    );
    let x = Scale::new(0.0, most_s, plot.x, plot.right());
    for tick in nice_ticks(y.from, y.to, step) {
        let at = y.at(tick);
        canvas.line(
            Point::new(plot.x, at),
            Point::new(plot.right(), at),
            Stroke::new(Ink::Grid, 0.7),
        );
        canvas.text(
            Point::new(plot.x - 4.0, at + 0.35 * look.small),
            &number::number(tick, 0),
            look.small(Ink::Muted, Anchor::End),
        );
    }
    for tick in nice_ticks(0.0, most_s, super::super::svg::nice_time_step(most_s, 6)) {
        canvas.text(
            Point::new(x.at(tick), plot.bottom() + 1.2 * look.small),
            &number::clock(tick),
            look.small(Ink::Muted, Anchor::Middle),
        );
    }
    for (i, line) in lines.iter().enumerate() {
        let points: Vec<Point> = line
            .iter()
            .map(|p| Point::new(x.at(p.0), y.at(p.1)))
            .collect();
        canvas.polyline(&points, stroke(i));
    }
    for (i, line) in lines.iter().enumerate() {
        if let Some(last) = line.last() {
            tag(canvas, Point::new(x.at(last.0), y.at(last.1)), i, look);
        }
    }
    canvas.text(
        Point::new(plot.x, plot.bottom() + 2.4 * look.small),
        "minutes since the power reduction",
        look.small(Ink::Muted, Anchor::Start),
    );
    canvas.close();
}
