//! The numbered key points as a table: it is the legend of every drawing.

use super::super::number;
use super::super::panel::Subject;
use super::super::panel::marks::draw_disc;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, fit, text_width};
use super::super::words;

/// Draws the table.
/// Returns where it ends.
pub(super) fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) -> f64 {
    let look = subject.look;
    canvas.open(
        "key-points",
        "group",
        "Key points",
        "Number, name, time since the power reduction, height above the aim and airspeed of each \
         key point, with 95 % intervals.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Key points",
        look.title(),
    );
    let small = look.small;
    let right = |share: f64| area.x + share * area.w;
    let (time, height, speed) = (right(0.43), right(0.55), right(0.83));
    let head = area.y + look.title;
    let (heights, speeds) = (subject.wording.ft().unit, subject.wording.kt().unit);
    let before = subject.attempt.key_points.iter().any(|point| {
        let utc = point.utc.value();
        let elapsed = utc.and_then(|utc| words::elapsed_s(subject.attempt, &utc));
        elapsed.is_some_and(|s| !words::power_still_on(s).is_empty())
    });
    let of_time = if before {
        "time, \u{2212} with power on"
    } else {
        "time"
    };
    for (x, text) in [
        (time, of_time.to_owned()),
        (height, format!("height, {heights}")),
        (speed, format!("CAS, {speeds}")),
    ] {
        canvas.text(
            Point::new(x, head),
            &text,
            look.small(Ink::Muted, Anchor::End),
        );
    }
    let first = area.y + look.title + 4.0;
    let count = subject.attempt.key_points.len().max(1) as f64;
    let row = ((area.h - look.title - 4.0) / count).min(2.0 * look.disc + 2.2);
    let fits = ((area.h - look.title - 4.0) / row.max(small * 1.2)).floor() as usize;
    for (i, point) in subject.attempt.key_points.iter().take(fits).enumerate() {
        let middle = first + row.max(small * 1.2) * (i as f64 + 0.5);
        let baseline = middle + small * 0.35;
        let elapsed = point
            .utc
            .value()
            .and_then(|utc| words::elapsed_s(subject.attempt, &utc));
        let mark = elapsed.and_then(|t| {
            subject
                .marks
                .iter()
                .find(|m| m.kind == point.kind && (m.elapsed_s - t).abs() < 1e-6)
        });
        if let Some(mark) = mark {
            draw_disc(
                canvas,
                Point::new(area.x + look.disc + 1.0, middle),
                mark.number,
                look,
            );
        }
        let left = area.x + 2.0 * look.disc + 6.0;
        let mut name = words::key_point_name(point);
        let room = time - 30.0 - left;
        if text_width(&name, small, false) > room {
            // what is doubted about it matters more than the verb
            name = name.replace(" reached,", ",");
        }
        let name = fit(&name, small, false, room);
        let at = Point::new(left, baseline);
        canvas.text(at, &name, look.small(Ink::Text, Anchor::Start));
        let Some(elapsed) = elapsed else {
            let reason = format!(
                "not measured: {}",
                subject
                    .wording
                    .sentence(point.utc.reason().unwrap_or("time unknown"))
            );
            let text = fit(&reason, small, false, area.right() - time - 24.0);
            canvas.text(
                Point::new(time - 24.0, baseline),
                &text,
                look.small(Ink::Muted, Anchor::Start),
            );
            continue;
        };
        let text = number::clock(elapsed);
        canvas.text(
            Point::new(time, baseline),
            &text,
            look.small(Ink::Text, Anchor::End),
        );
        for (x, figure, end) in [
            (
                height,
                subject.wording.height(&point.height_ft),
                speed - 40.0,
            ),
            (speed, subject.wording.speed(&point.cas_kt), area.right()),
        ] {
            if let Some(figure) = figure {
                let style = if figure.told {
                    look.small(Ink::Text, Anchor::End).bold()
                } else {
                    look.small(Ink::Muted, Anchor::End)
                };
                canvas.text(Point::new(x, baseline), figure.shown(), style);
                let text = fit(&figure.interval(), small, false, end - x - 5.0);
                let at = Point::new(x + 5.0, baseline);
                canvas.text(at, &text, look.small(Ink::Muted, Anchor::Start));
            } else {
                canvas.text(
                    Point::new(x, baseline),
                    "–",
                    look.small(Ink::Muted, Anchor::End),
                );
            }
        }
    }
    canvas.close();
    let rows = subject.attempt.key_points.len().min(fits).max(1) as f64;
    first + row.max(small * 1.2) * rows
}
