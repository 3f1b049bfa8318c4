//! The stage-check form: one printable page for instructor and student.
//!
//! Upright, 210 mm by 279 mm: the smaller of A4 and US Letter in each direction. One unit is a
//! quarter of a millimetre. What the track shows is filled in with its evidence; what it cannot show
//! is left to be marked by hand, and so is every decision.

mod evidence;
mod foot;

use super::headline::headline;
use super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, text_width, wrap};
use super::{checklist_words, debrief_words, words};
use crate::debrief::document::{Attempt, Debrief, Grade};

/// Width and height of the page, in units.
const PAGE: (f64, f64) = (840.0, 1116.0);
/// Width and height of the page, mm.
const PAGE_MM: (f64, f64) = (210.0, 279.0);
/// What no ink leaves: 10 mm from each edge.
const INK: Rect = Rect {
    x: 40.0,
    y: 40.0,
    w: 760.0,
    h: 1036.0,
};
/// Sizes of text: notes, ordinary, headings.
const SMALL: f64 = 9.2;
const BODY: f64 = 11.5;
const HEADING: f64 = 13.0;
/// Height of signatures and footer.
const FOOT: f64 = 150.0;
/// Least height for remarks by hand.
const REMARKS: f64 = 70.0;

/// The form of one attempt, for printing; `None` where no standard was named.
pub fn stage_check_svg(debrief: &Debrief, attempt_index: usize) -> Option<String> {
    form(debrief, attempt_index, Some(PAGE_MM), "check-")
}

/// The same as a part of the page, as wide as it is given.
pub(super) fn in_page(debrief: &Debrief, attempt_index: usize) -> Option<String> {
    let prefix = format!("a{}-check-", attempt_index + 1);
    form(debrief, attempt_index, None, &prefix)
}

fn form(
    debrief: &Debrief,
    index: usize,
    millimetres: Option<(f64, f64)>,
    prefix: &str,
) -> Option<String> {
    let attempt = debrief.attempts.get(index)?;
    let grade = attempt.grade.as_ref()?;
    let mut canvas = Canvas::new(prefix);
    canvas.rect(Rect::new(0.0, 0.0, PAGE.0, PAGE.1), Ink::Paper);
    let mut y = head(&mut canvas, debrief, attempt, grade);
    let bottom = INK.bottom() - FOOT;
    let by_hand_least = 40.0 + 20.0 * grade.by_hand.len().min(8) as f64;
    y = evidence::draw(
        &mut canvas,
        attempt,
        grade,
        y,
        bottom - by_hand_least - REMARKS - 60.0,
    );
    y = in_words(
        &mut canvas,
        debrief,
        attempt,
        y,
        bottom - by_hand_least - REMARKS,
    );
    y = evidence::by_hand(&mut canvas, grade, y, bottom - REMARKS);
    foot::remarks(&mut canvas, y, bottom);
    foot::signatures(&mut canvas, debrief, bottom);
    foot::method(&mut canvas, debrief, grade);
    let title = format!(
        "Stage check, attempt {} of {}",
        attempt.number,
        debrief.attempts.len()
    );
    let view = Rect::new(0.0, 0.0, PAGE.0, PAGE.1);
    let paper = millimetres.map(|(w, h)| (w, h, "portrait"));
    let words = (title.as_str(), grade.name.as_str());
    Some(canvas.finish_view(view, paper, "stillprop stage-check", words))
}

/// Title, who and what, and how the attempt ended; gives where the next part starts.
fn head(canvas: &mut Canvas, debrief: &Debrief, attempt: &Attempt, grade: &Grade) -> f64 {
    canvas.open(
        "title",
        "group",
        "Title",
        "Which standard, who flew what and when, and how it ended.",
    );
    let right = format!("Attempt {} of {}", attempt.number, debrief.attempts.len());
    let at = |y: f64| Point::new(INK.x, INK.y + y);
    let bold = |size: f64| TextStyle::new(size, Ink::Text).bold();
    let room = INK.w - text_width(&right, BODY, true) - 16.0;
    canvas.text(
        at(18.0),
        &fit(&format!("Stage check: {}", grade.name), 17.0, true, room),
        bold(17.0),
    );
    canvas.text(
        Point::new(INK.right(), INK.y + 18.0),
        &right,
        bold(BODY).anchor(Anchor::End),
    );
    let of = [grade.standard.as_str(), grade.authority.as_str()]
        .into_iter()
        .filter(|t| !t.is_empty())
        .collect::<Vec<_>>()
        .join("  ·  ");
    canvas.text(
        at(34.0),
        &fit(&of, SMALL, false, INK.w),
        TextStyle::new(SMALL, Ink::Muted),
    );
    rule(canvas, INK.y + 41.0, 1.2);
    let reference = &debrief.reference;
    let start = attempt
        .key_points
        .iter()
        .find(|p| p.kind == "power_reduction");
    let utc = start
        .and_then(|p| p.utc.value())
        .or(attempt.series.utc.first().cloned())
        .unwrap_or(debrief.recording.start_utc.clone());
    let fields = [
        reference.pilot.as_ref().map(|p| format!("Pilot {p}")),
        reference
            .instructor
            .as_ref()
            .map(|i| format!("Instructor {i}")),
        reference.registration.clone(),
        Some(words::day(&utc)).filter(|day| !day.is_empty()),
        Some(format!("power reduction {} UTC", words::time_of_day(&utc))),
        reference.aim_name.as_ref().map(|a| format!("Aim {a}")),
    ];
    let fields: Vec<String> = fields
        .into_iter()
        .flatten()
        .map(|f| fit(&f, BODY, false, 240.0))
        .collect();
    let text = fit(&fields.join("  ·  "), BODY, false, INK.w);
    canvas.text(at(58.0), &text, TextStyle::new(BODY, Ink::Text));
    let headline = headline(debrief, attempt);
    let outcome = fit(&headline.outcome, 20.0, true, INK.w);
    canvas.text(at(88.0), &outcome, bold(20.0));
    canvas.text(
        at(104.0),
        &fit(&words::sentence_case(&headline.detail), BODY, false, INK.w),
        TextStyle::new(BODY, Ink::Muted),
    );
    canvas.close();
    INK.y + 126.0
}

/// The debrief in words, as far as there is room; gives where the next part starts.
fn in_words(canvas: &mut Canvas, debrief: &Debrief, attempt: &Attempt, y: f64, bottom: f64) -> f64 {
    let mut sentences = debrief_words::sentences(debrief, attempt);
    sentences.extend(checklist_words::sentence(attempt));
    if sentences.is_empty() || y + 40.0 > bottom {
        return y;
    }
    canvas.open(
        "words",
        "group",
        "In words",
        "What mattered most, the most important first.",
    );
    heading(canvas, y, "In words");
    let step = BODY * 1.3;
    let mut line = y + 20.0 + BODY * 0.4;
    'all: for sentence in &sentences {
        for (i, text) in wrap(sentence, BODY, false, INK.w - 12.0).iter().enumerate() {
            if line > bottom - 8.0 {
                break 'all;
            }
            let style = TextStyle::new(BODY, Ink::Text);
            canvas.text(
                Point::new(INK.x, line),
                if i == 0 { "–" } else { "" },
                style,
            );
            canvas.text(Point::new(INK.x + 12.0, line), text, style);
            line += step;
        }
    }
    canvas.close();
    line + 8.0
}

/// A heading with its rule; text may start 20 units below.
fn heading(canvas: &mut Canvas, y: f64, text: &str) {
    canvas.text(
        Point::new(INK.x, y + 4.0),
        text,
        TextStyle::new(HEADING, Ink::Text).bold(),
    );
    rule(canvas, y + 9.0, 0.8);
}

fn rule(canvas: &mut Canvas, y: f64, width: f64) {
    canvas.line(
        Point::new(INK.x, y),
        Point::new(INK.right(), y),
        Stroke::new(Ink::Text, width),
    );
}
