//! What was noted or recorded, flap above all, as marks with names on the flown line of the side view.

use super::super::svg::{
    Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, dense, fit, text_width,
};
use super::Subject;
use super::frame::Frame;
use super::way::{Way, between};

/// Marks nearer than this share one name.
const ONE_NAME: f64 = 30.0;
/// The widest name.
const WIDEST: f64 = 120.0;
/// Half the size of a mark.
const HALF: f64 = 2.6;

/// An upright square on the flown line at each event, with its name where the lines leave room.
pub(super) fn marks(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject<'_>,
    way: &Way,
    placer: &mut Placer,
) {
    let (series, shown) = (&subject.attempt.series, subject.wording.ft());
    let mut named: Vec<(Point, String)> = Vec::new();
    for event in &subject.attempt.in_hand.at_events {
        let at = event.elapsed_s.value().and_then(|elapsed_s| {
            let height = between(&series.elapsed_s, &series.height_ft, elapsed_s)?;
            Some(frame.at(way.at(elapsed_s)?, shown.of(height)))
        });
        let Some(at) = at.filter(|at| at.is_finite() && frame.plot.holds(*at)) else {
            continue;
        };
        let room = Rect::around(at, 2.0 * HALF, 2.0 * HALF);
        canvas.rect(room, Ink::Paper);
        canvas.outline(room, Stroke::new(Ink::Text, 1.1));
        placer.block(room);
        match named.last_mut() {
            Some((first, name)) if at.x - first.x < ONE_NAME => {
                let short = event
                    .what
                    .strip_prefix("flap ")
                    .filter(|_| name.starts_with("flap "));
                name.push_str(", ");
                name.push_str(short.unwrap_or(&event.what));
            }
            _ => named.push((at, event.what.clone())),
        }
    }
    let small = frame.look.small;
    let ground = [frame.across.from, frame.across.to].map(|x| frame.at(x, 0.0));
    placer.avoid(&dense(&ground, frame.plot));
    for (at, name) in named {
        let name = fit(&name, small, false, WIDEST);
        let width = text_width(&name, small, false);
        let label = placer
            .place_clear(at, width, small, 4.0, 40.0)
            .or_else(|| placer.place(at, width, small, 4.0, 70.0));
        if let Some(label) = label {
            let leader = Stroke::new(Ink::Axis, 0.6);
            if label.wants_leader {
                let centre = label.room.centre();
                let end = Point::new(
                    at.x.clamp(label.room.x, label.room.right()),
                    if centre.y < at.y {
                        label.room.bottom()
                    } else {
                        label.room.y
                    },
                );
                canvas.line(at, end, leader);
            }
            let baseline = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(baseline, &name, TextStyle::new(small, Ink::Text).halo());
        }
    }
}
