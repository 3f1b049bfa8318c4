//! What the track shows, and what is to be marked by hand.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit};
use super::super::verdicts;
use super::super::words;
use super::{BODY, INK, SMALL, heading, rule};
use crate::debrief::document::{Attempt, CriterionGrade, Grade};
use crate::measures::catalogue;

/// Where the columns end or start: what is wanted, what was flown, the verdict.
const WANTED: f64 = INK.x + 330.0;
const FLOWN: f64 = INK.x + 450.0;

/// The criteria with their evidence; gives where the next part starts.
pub(super) fn draw(
    canvas: &mut Canvas,
    attempt: &Attempt,
    grade: &Grade,
    y: f64,
    bottom: f64,
) -> f64 {
    canvas.open(
        "evidence",
        "group",
        "What the track shows",
        "Each criterion with what is wanted, what was flown, the verdict and the source.",
    );
    heading(canvas, y, "What the track shows");
    let muted = TextStyle::new(SMALL, Ink::Muted);
    canvas.text(Point::new(WANTED, y + 4.0), "wanted", muted);
    canvas.text(
        Point::new(FLOWN, y + 4.0),
        "flown, with 95 % interval",
        muted,
    );
    canvas.text(
        Point::new(INK.right(), y + 4.0),
        "evidence",
        muted.anchor(Anchor::End),
    );
    let mut line = y + 25.0;
    for (i, criterion) in grade.criteria.iter().enumerate() {
        let height = 2.0 * 14.0 + f64::from(u8::from(criterion.remark.is_some())) * 12.0;
        if line + height > bottom {
            let left = grade.criteria.len() - i;
            canvas.text(
                Point::new(INK.x, line),
                &format!("and {left} more: see the page or the document"),
                muted,
            );
            line += 16.0;
            break;
        }
        row(canvas, attempt, criterion, line);
        line += height;
        rule(canvas, line - 9.5, 0.3);
        line += 4.0;
    }
    canvas.close();
    line + 6.0
}

fn row(canvas: &mut Canvas, attempt: &Attempt, criterion: &CriterionGrade, y: f64) {
    let text = TextStyle::new(BODY, Ink::Text);
    let muted = TextStyle::new(SMALL, Ink::Muted);
    let at = |x: f64, dy: f64| Point::new(x, y + dy);
    let name = fit(&criterion.name, BODY, true, WANTED - INK.x - 8.0);
    canvas.text(at(INK.x, 0.0), &name, text.bold());
    let bounds = fit(
        &verdicts::bounds(criterion),
        BODY,
        false,
        FLOWN - WANTED - 8.0,
    );
    canvas.text(at(WANTED, 0.0), &bounds, text);
    let info = catalogue::find(&criterion.measure);
    let figure =
        info.and_then(|info| Some((info, number::figure(info, attempt.measures.get(info.id)?)?)));
    if let Some((info, figure)) = figure {
        let unit = number::unit(info);
        let value = format!("{} {unit}", figure.value);
        let room = INK.right() - FLOWN - 120.0;
        let interval = fit(&figure.interval(), SMALL, false, room - 80.0);
        canvas.text_then(
            at(FLOWN, 0.0),
            (&fit(value.trim(), BODY, true, 90.0), text.bold()),
            (&interval, muted),
        );
    }
    let word = verdicts::word(criterion.verdict);
    canvas.text(at(INK.right(), 0.0), word, text.bold().anchor(Anchor::End));
    let source = fit(&verdicts::source(criterion), SMALL, false, INK.w - 130.0);
    canvas.text(at(INK.x, 13.0), &source, muted);
    if let Some(share) = criterion.share_inside {
        let share = format!(
            "inside with a chance of {} %",
            number::number(100.0 * share, 0)
        );
        canvas.text(at(INK.right(), 13.0), &share, muted.anchor(Anchor::End));
    }
    if let Some(remark) = &criterion.remark {
        let remark = fit(&words::sentence_case(remark), SMALL, false, INK.w);
        canvas.text(at(INK.x, 25.0), &remark, muted);
    }
}

/// The lines to be marked by hand; gives where the next part starts.
pub(super) fn by_hand(canvas: &mut Canvas, grade: &Grade, y: f64, bottom: f64) -> f64 {
    if grade.by_hand.is_empty() {
        return y;
    }
    canvas.open(
        "by-hand",
        "group",
        "To be marked by the instructor",
        "What a track cannot show, with boxes to mark.",
    );
    heading(
        canvas,
        y,
        "To be marked by the instructor: a track does not show it",
    );
    let muted = TextStyle::new(SMALL, Ink::Muted);
    let columns = [INK.right() - 130.0, INK.right() - 84.0, INK.right() - 32.0];
    for (x, name) in columns.iter().zip(["seen", "not seen", "n/a"]) {
        canvas.text(
            Point::new(x + 5.0, y + 4.0),
            name,
            muted.anchor(Anchor::Middle),
        );
    }
    let mut line = y + 26.0;
    for (i, hand) in grade.by_hand.iter().enumerate() {
        if line + 8.0 > bottom {
            let left = grade.by_hand.len() - i;
            canvas.text(
                Point::new(INK.x, line),
                &format!("and {left} more lines of the standard"),
                muted,
            );
            line += 16.0;
            break;
        }
        for x in columns {
            frame(canvas, Rect::new(x, line - 9.0, 10.0, 10.0));
        }
        let room = columns[0] - INK.x - 12.0;
        let what = fit(&hand.what, BODY, false, room);
        let left = room - super::text_width(&what, BODY, false) - 8.0;
        let source = if left > 60.0 {
            fit(&hand.source, SMALL, false, left)
        } else {
            String::new()
        };
        canvas.text_then(
            Point::new(INK.x, line),
            (&what, TextStyle::new(BODY, Ink::Text)),
            (&source, muted),
        );
        line += 19.0;
    }
    canvas.close();
    line + 8.0
}

fn frame(canvas: &mut Canvas, room: Rect) {
    let (left, top, right, bottom) = (room.x, room.y, room.right(), room.bottom());
    let corners = [
        Point::new(left, top),
        Point::new(right, top),
        Point::new(right, bottom),
        Point::new(left, bottom),
    ];
    canvas.polygon(&corners, Ink::Paper, Some(Stroke::new(Ink::Text, 0.8)));
}
