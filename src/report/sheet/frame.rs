//! Title, headline and cautions of a sheet.

use super::super::headline::Headline;
use super::super::look::Look;
use super::super::svg::{Anchor, Canvas, Ink, Point, Stroke, TextStyle, fit, text_width, wrap};
use super::super::wording::Wording;
use super::super::words;
use super::INK;
use crate::debrief::document::{Attempt, Debrief};

/// Size of the title line.
const TITLE: f64 = 10.4;

/// The title line: who, what, when, where, by what, which attempt.
pub(super) fn attempt_title(
    canvas: &mut Canvas,
    debrief: &Debrief,
    attempt: &Attempt,
    wording: Wording,
) {
    let right = format!(
        "Attempt {} of {}: {}",
        attempt.number,
        debrief.attempts.len(),
        words::ending(attempt.ending)
    );
    title_line(
        canvas,
        debrief,
        words::power_off(attempt).as_deref(),
        &right,
        wording,
    );
}

/// The title line with `right` at its end; `utc` is the power reduction.
pub(super) fn title_line(
    canvas: &mut Canvas,
    debrief: &Debrief,
    utc: Option<&str>,
    right: &str,
    wording: Wording,
) {
    let zone = wording.zone();
    let reference = &debrief.reference;
    let power_off = utc.is_some();
    let utc = utc.unwrap_or(&debrief.recording.start_utc);
    let when = match wording.day(utc) {
        day if day.is_empty() => utc.to_owned(),
        day if power_off => format!("{day}, power reduction {} {zone}", wording.time_of_day(utc)),
        day => format!("{day}, {} {zone}", wording.time_of_day(utc)),
    };
    let pilot = reference.pilot.as_ref().map(|p| format!("Pilot {p}"));
    let instructor = reference
        .instructor
        .as_ref()
        .map(|i| format!("instructor {i}"));
    let aim = reference.aim_name.as_ref().map(|a| format!("aim {a}"));
    let fields = [
        pilot,
        instructor,
        reference.registration.clone(),
        Some(when),
        aim,
    ]
    .into_iter()
    .flatten()
    .chain([words::recorder(debrief)]);
    let fields: Vec<String> = fields
        .map(|field| fit(&field, TITLE, false, 290.0))
        .collect();
    title(canvas, right, &fields.join("  ·  "));
}

/// The title line: what the sheet is at its right, what it is about and rests on at its left.
pub(in super::super) fn title(canvas: &mut Canvas, right: &str, facts: &str) {
    canvas.open(
        "title",
        "group",
        "Title",
        "What the sheet is about, and what it rests on.",
    );
    let style = TextStyle::new(TITLE, Ink::Text);
    let room = INK.w - text_width(right, TITLE, true) - 16.0;
    let text = fit(facts, TITLE, false, room);
    canvas.text(Point::new(INK.x, INK.y + 9.0), &text, style);
    let at = Point::new(INK.right(), INK.y + 9.0);
    canvas.text(at, right, style.bold().anchor(Anchor::End));
    let y = INK.y + 15.0;
    canvas.line(
        Point::new(INK.x, y),
        Point::new(INK.right(), y),
        Stroke::new(Ink::Text, 1.2),
    );
    canvas.close();
}

/// The outcome large, its detail beside or below it, and the facts on the next line.
pub(super) fn headline(canvas: &mut Canvas, headline: &Headline) {
    canvas.open(
        "headline",
        "group",
        "In short",
        "The attempt in one sentence.",
    );
    let size = 33.0;
    let outcome = fit(&headline.outcome, size, true, INK.w);
    let baseline = INK.y + 53.0;
    let at = Point::new(INK.x, baseline);
    let style = TextStyle::new(size, Ink::Text).bold();
    let detail = TextStyle::new(17.0, Ink::Muted);
    let room = INK.w - text_width(&outcome, size, true) - 0.35 * size;
    let mut below: Vec<String> = headline.facts.clone();
    if headline.detail.is_empty() || text_width(&headline.detail, detail.size, false) > room {
        canvas.text(at, &outcome, style);
        if !headline.detail.is_empty() {
            below.insert(0, words::sentence_case(&headline.detail));
        }
    } else {
        canvas.text_then(at, (&outcome, style), (&headline.detail, detail));
    }
    let (size, lines) = facts(&below);
    let (first, step) = match lines.len() {
        0 | 1 => (25.0, 0.0),
        2 => (20.0, 14.5),
        _ => (16.5, 13.0),
    };
    for (i, line) in lines.iter().enumerate() {
        let at = Point::new(INK.x, baseline + first + step * i as f64);
        canvas.text(at, line, TextStyle::new(size, Ink::Text));
    }
    canvas.close();
}

/// The facts on one line if they are still easy to read there, else on two or three; and their size.
fn facts(facts: &[String]) -> (f64, Vec<String>) {
    let most = [
        (16.0, 1),
        (14.5, 1),
        (13.0, 1),
        (12.5, 2),
        (11.5, 2),
        (11.0, 3),
        (10.0, 3),
    ];
    most.into_iter()
        .map(|(size, lines)| (size, lines, filled(facts, size)))
        .find(|(_, lines, filled)| filled.len() <= *lines)
        .map_or_else(
            || {
                let mut lines = filled(facts, 10.0);
                let rest = lines.split_off(2).join("  ·  ");
                lines.push(fit(&rest, 10.0, false, INK.w));
                (10.0, lines)
            },
            |(size, _, lines)| (size, lines),
        )
}

/// Whole facts in as few lines as they need; one wider than a line is broken at spaces.
fn filled(facts: &[String], size: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for fact in facts {
        let joined = lines.last().map(|line| format!("{line}  ·  {fact}"));
        match (joined, lines.last_mut()) {
            (Some(joined), Some(last)) if text_width(&joined, size, false) <= INK.w => {
                *last = joined;
            }
            _ => lines.extend(wrap(fact, size, false, INK.w)),
        }
    }
    lines
}

/// The cautions, at the foot.
pub(in super::super) fn cautions(canvas: &mut Canvas, cautions: &[String], program: &str) {
    canvas.open(
        "cautions",
        "group",
        "Cautions",
        "What this sheet is not for.",
    );
    let size = Look::SHEET.small;
    let top = INK.bottom() - 25.0;
    canvas.line(
        Point::new(INK.x, top),
        Point::new(INK.right(), top),
        Stroke::new(Ink::Text, 0.8),
    );
    let text = format!("{}  {program}", cautions.join(" "));
    let mut lines = wrap(&text, size, false, INK.w);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(fit(&rest, size, false, INK.w));
    }
    for (i, line) in lines.iter().enumerate() {
        let at = Point::new(INK.x, top + 11.0 + 11.0 * i as f64);
        canvas.text(at, line, TextStyle::new(size, Ink::Text));
    }
    canvas.close();
}
