//! The sheet of a recording that holds no attempt: what came nearest, and why it is not one.

use super::super::headline::Headline;
use super::super::look::Look;
use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, wrap};
use super::super::wording::Wording;
use super::super::words;
use super::{INK, SheetOptions, frame, notes};
use crate::debrief::document::Debrief;

/// A sheet that says that no attempt was found, with the nearest candidates and the reasons.
pub fn no_attempt_svg(debrief: &Debrief, options: &SheetOptions) -> String {
    let mut canvas = Canvas::new("sheet-").dark(options.dark);
    canvas.rect(options.paper.view(), Ink::Paper);
    let wording = options.wording;
    frame::title_line(&mut canvas, debrief, None, "No attempt", wording);
    let count = debrief.not_attempts.len();
    let detail = match count {
        0 if !debrief.holds_altitude() => "the recording holds no altitude".to_owned(),
        0 => "the power never came off long enough, high enough".to_owned(),
        1 => "one power reduction was looked at".to_owned(),
        n => format!("{n} power reductions were looked at"),
    };
    let text = Headline {
        outcome: "No practice forced landing found".to_owned(),
        detail,
        facts: vec![wording.sentence(
            "An attempt starts at a power reduction from about 500 ft or more and glides to a \
                 touchdown or a go-around",
        )],
    };
    frame::headline(&mut canvas, &text);
    candidates(
        &mut canvas,
        Rect::new(INK.x, 150.0, INK.w, 500.0),
        debrief,
        wording,
    );
    notes::draw(
        &mut canvas,
        Rect::new(INK.x, 664.0, INK.w, 118.0),
        debrief,
        None,
        wording,
    );
    frame::cautions(&mut canvas, &debrief.cautions, &debrief.program);
    let description = format!("{}: {}.", text.outcome, text.detail);
    options
        .paper
        .finish(canvas, "No practice forced landing", &description)
}

/// The candidates as a table, likeliest first.
fn candidates(canvas: &mut Canvas, area: Rect, debrief: &Debrief, wording: Wording) {
    let (zone, heights) = (wording.zone(), format!("height, {}", wording.ft().unit));
    canvas.open(
        "candidates",
        "group",
        "Nearest candidates",
        "Power reductions that are not attempts, likeliest first: time, height, probability that it \
         was one after all, and why it is not counted.",
    );
    let look = Look::SHEET;
    let size = 12.0;
    canvas.text(
        Point::new(area.x, area.y + 14.0),
        "Nearest candidates",
        TextStyle::new(15.0, Ink::Text).bold(),
    );
    let mut list: Vec<_> = debrief.not_attempts.iter().collect();
    list.sort_by(|a, b| {
        b.confidence
            .total_cmp(&a.confidence)
            .then_with(|| a.utc.cmp(&b.utc))
    });
    let (time, height, chance, why) = (
        area.x + 64.0,
        area.x + 150.0,
        area.x + 260.0,
        area.x + 284.0,
    );
    let head = area.y + 36.0;
    let muted = TextStyle::new(look.body, Ink::Muted);
    for (x, text) in [
        (time, zone.as_str()),
        (height, heights.as_str()),
        (chance, "chance it was, %"),
    ] {
        canvas.text(Point::new(x, head), text, muted.anchor(Anchor::End));
    }
    canvas.text(Point::new(why, head), "why it is not counted", muted);
    let rule = head + 5.0;
    canvas.line(
        Point::new(area.x, rule),
        Point::new(area.right(), rule),
        Stroke::new(Ink::Axis, 0.6),
    );
    let style = TextStyle::new(size, Ink::Text);
    let mut y = rule + 17.0;
    for (i, candidate) in list.iter().enumerate() {
        let lines = wrap(
            &words::sentence_case(&wording.sentence(&candidate.reason)),
            size,
            false,
            area.right() - why,
        );
        let lines = &lines[..lines.len().min(3)];
        let room = lines.len().max(1) as f64 * 15.0 + 5.0;
        if y + room > area.bottom() - 16.0 && i + 1 < list.len() {
            let text = format!("and {} more", list.len() - i);
            canvas.text(Point::new(area.x, y), &text, style);
            break;
        }
        for (x, text) in [
            (time, wording.time_of_day(&candidate.utc)),
            (height, wording.ft().tens(candidate.height_ft)),
            (chance, number::number(100.0 * candidate.confidence, 0)),
        ] {
            canvas.text(Point::new(x, y), &text, style.anchor(Anchor::End));
        }
        for (k, line) in lines.iter().enumerate() {
            canvas.text(Point::new(why, y + 15.0 * k as f64), line, style);
        }
        y += room;
    }
    if list.is_empty() {
        canvas.text(Point::new(area.x, y), "none", style);
    }
    canvas.close();
}
