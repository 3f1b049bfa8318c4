//! Remarks, warnings, and what the heights rest on.

use super::super::look::Look;
use super::super::spoken::spoken;
use super::super::svg::{Canvas, Ink, Point, Rect, TextStyle, wrap};
use super::super::wording::Wording;
use super::super::words;
use crate::debrief::document::{Attempt, Debrief};

/// Draws what fits; what does not is counted.
pub(super) fn draw(
    canvas: &mut Canvas,
    area: Rect,
    debrief: &Debrief,
    attempt: Option<&Attempt>,
    wording: Wording,
) {
    let look = Look::SHEET;
    canvas.open(
        "notes",
        "group",
        "Remarks",
        "What the heights rest on, and what to know before trusting the figures.",
    );
    canvas.text(
        Point::new(area.x, area.y + look.title),
        "Remarks, and what this rests on",
        look.title(),
    );
    let said = attempt.map(|attempt| spoken(debrief, attempt, wording));
    let mut notes: Vec<String> =
        said.map_or_else(Vec::new, |said| said.beside_figures().cloned().collect());
    notes.extend(attempt.and_then(|_| words::best_glide(&debrief.reference, wording)));
    notes.push(words::heights_rest_on(debrief));
    let about = |w: &&String| attempt.is_none_or(|a| words::concerns(a, w));
    let warnings = debrief.warnings.iter().filter(about);
    notes.extend(warnings.map(|w| wording.sentence(w)));
    let size = look.small;
    let step = size * 1.2;
    let fits = ((area.h - look.title - 3.0) / step).floor() as usize;
    let wrapped: Vec<Vec<String>> = notes
        .iter()
        .map(|n| wrap(&words::sentence_case(n), size, false, area.w - 9.0))
        .collect();
    let all: usize = wrapped.iter().map(Vec::len).sum();
    // half a remark says the wrong thing: whole ones, and a line that counts the rest
    let room = if all > fits {
        fits.saturating_sub(1)
    } else {
        fits
    };
    // a letter in the drawing must be explained: room for marks is kept
    let is_mark = |lines: &[String]| lines.first().is_some_and(|l| l.starts_with("Mark "));
    let mut kept: usize = wrapped.iter().filter(|n| is_mark(n)).map(Vec::len).sum();
    let (mut line, mut left_out) = (0, 0);
    for note in wrapped {
        if is_mark(&note) {
            kept -= note.len();
        }
        if line + note.len() + kept > room {
            left_out += 1;
            continue;
        }
        for (k, text) in note.iter().enumerate() {
            let bullet = if k == 0 { "–" } else { "" };
            write(canvas, area, look, line, bullet, text);
            line += 1;
        }
    }
    if left_out > 0 {
        let more = if left_out == 1 { "remark" } else { "remarks" };
        let text = format!("and {left_out} more {more}: see the page or the document");
        write(canvas, area, look, line, "", &text);
    }
    canvas.close();
}

fn write(canvas: &mut Canvas, area: Rect, look: Look, line: usize, bullet: &str, text: &str) {
    let style = TextStyle::new(look.small, Ink::Text);
    let y = area.y + look.title + 3.0 + look.small * (1.2 * line as f64 + 1.0);
    canvas.text(Point::new(area.x, y), bullet, style);
    canvas.text(Point::new(area.x + 9.0, y), text, style);
}
