//! Touchdown against the aim: the landing line seen from the side, with intervals.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, nice_step, nice_ticks, text_width,
};
use super::{Subject, nothing_to_draw, told};
use crate::measures::catalogue;
use crate::quantity::Measured;

/// The rows, top to bottom: measure, and its name in the drawing.
const ROWS: [(&str, &str); 3] = [
    ("touchdown_along_ft", "touchdown"),
    (
        "projected_touchdown_along_ft",
        "projected, last of the glide",
    ),
    (
        "projected_from_500ft_along_ft",
        "projected, judged at 500 ft",
    ),
];

/// A row that is known.
struct Known<'a> {
    id: &'static str,
    name: &'static str,
    measure: &'a Measured,
    value: f64,
    ends: (f64, f64),
}

/// Draws the rows that are known.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) {
    let look = subject.look;
    canvas.open(
        "aim",
        "img",
        "Touchdown against the aim",
        &told::with(
            "Distance of the touchdown, or of where it was heading, along the landing direction: short of the aim to \
             the left, beyond it to the right, with 95 % intervals.",
            &[told::figures(subject, &ROWS.map(|(id, _)| id))],
        ),
    );
    let shown = subject.wording.ft();
    let title = format!("Touchdown against the aim, {}", shown.unit);
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &title,
        look.title(),
    );
    let body = area.inset(0.0, look.title + 6.0, 0.0, 0.0);
    let known: Vec<Known<'_>> = ROWS
        .iter()
        .filter_map(|(id, name)| {
            let measure = subject.attempt.measures.get(*id)?;
            let (value, (low, high)) = (measure.value()?, measure.interval()?);
            let drawable = value.is_finite() && low.is_finite() && high.is_finite();
            drawable.then_some(Known {
                id,
                name,
                measure,
                value: shown.of(value),
                ends: (shown.of(low), shown.of(high)),
            })
        })
        .collect();
    if known.is_empty() || subject.reference.aim_source == "touchdown" {
        let text = if subject.reference.aim_source == "touchdown" {
            "no aim was given"
        } else {
            "no touchdown to measure"
        };
        nothing_to_draw(canvas, body, look, text);
        canvas.close();
        return;
    }
    let lowest = known.iter().map(|k| k.ends.0).fold(0.0, f64::min);
    let highest = known.iter().map(|k| k.ends.1).fold(0.0, f64::max);
    let room = (0.08 * (highest - lowest)).max(shown.of(50.0));
    let names = known
        .iter()
        .map(|k| text_width(&subject.wording.sentence(k.name), look.small, false))
        .fold(0.0, f64::max);
    let figures = text_width(number::CANNOT_TELL, look.small, true);
    let plot = body.inset(names + 8.0, 2.0, figures + 4.0, look.small + 6.0);
    let scale = Scale::new(lowest - room, highest + room, plot.x, plot.right());
    let step = nice_step(
        scale.to - scale.from,
        (plot.w / (look.small * 3.9)) as usize,
    );
    for tick in nice_ticks(scale.from, scale.to, step) {
        let x = scale.at(tick);
        let (top, bottom) = (Point::new(x, plot.y), Point::new(x, plot.bottom()));
        canvas.line(top, bottom, Stroke::new(Ink::Grid, 0.6));
        let text = if tick == 0.0 {
            "aim".to_owned()
        } else {
            number::number(tick, 0)
        };
        let at = Point::new(x, plot.bottom() + look.small + 2.0);
        canvas.text(at, &text, look.small(Ink::Muted, Anchor::Middle));
    }
    let aim = scale.at(0.0);
    canvas.line(
        Point::new(aim, plot.y),
        Point::new(aim, plot.bottom()),
        Stroke::new(Ink::Aim, 2.0),
    );
    let row_height = plot.h / known.len() as f64;
    for (i, row) in known.iter().enumerate() {
        let Known {
            id,
            name,
            measure,
            value,
            ends: (low, high),
        } = row;
        let y = plot.y + row_height * (i as f64 + 0.5);
        let baseline = y + look.small * 0.35;
        canvas.text(
            Point::new(plot.x - 5.0, baseline),
            &subject.wording.sentence(name),
            look.small(Ink::Text, Anchor::End),
        );
        let (from, to) = (
            Point::new(scale.at(*low), y),
            Point::new(scale.at(*high), y),
        );
        canvas.line(from, to, Stroke::new(Ink::Track(5), 2.0));
        for end in [from, to] {
            let (a, b) = (Point::new(end.x, y - 3.5), Point::new(end.x, y + 3.5));
            canvas.line(a, b, Stroke::new(Ink::Track(5), 1.2));
        }
        canvas.disc(
            Point::new(scale.at(*value), y),
            3.6,
            Ink::Track(8),
            Ink::Paper,
        );
        if let Some(figure) =
            catalogue::find(id).and_then(|info| subject.wording.figure(info, measure))
        {
            let at = Point::new(body.right(), baseline);
            canvas.text(
                at,
                figure.shown(),
                look.small(Ink::Text, Anchor::End).bold(),
            );
        }
    }
    canvas.close();
}
