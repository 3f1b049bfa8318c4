//! The stage-check form: one printable page for instructor and student.
//!
//! Upright, 210 mm by 279 mm: the smaller of A4 and US Letter in each direction. One unit is a
//! quarter of a millimetre. What the track shows is filled in with its evidence; what it cannot show
//! is left to be marked by hand, and so is every decision.

mod evidence;
mod foot;
mod said;

use super::headline::headline;
use super::svg::{Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, text_width, wrap};
use super::wording::Wording;
use super::words;
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
const SMALL: f64 = 9.6;
const BODY: f64 = 11.5;
const HEADING: f64 = 13.0;
/// Height of signatures and footer.
const FOOT: f64 = 176.0;
/// Least height for remarks by hand.
const REMARKS: f64 = 70.0;
/// Height that the lines to be marked by hand have before anything else, where they need it.
const BY_HAND_LEAST: f64 = 200.0;
/// The most lines of a title, an outcome or a name before it is cut.
const MOST_LINES: usize = 4;

/// The form of one attempt, for printing; `None` where no standard was named.
pub fn stage_check_svg(debrief: &Debrief, attempt_index: usize) -> Option<String> {
    stage_check_svg_in(debrief, attempt_index, Wording::default())
}

/// The same in the units and the time of `wording`.
pub fn stage_check_svg_in(
    debrief: &Debrief,
    attempt_index: usize,
    wording: Wording,
) -> Option<String> {
    form(debrief, attempt_index, Some(PAGE_MM), "check-", wording)
}

/// The same as a part of the page, as wide as it is given.
pub(super) fn in_page(debrief: &Debrief, attempt_index: usize, wording: Wording) -> Option<String> {
    let prefix = format!("a{}-check-", attempt_index + 1);
    form(debrief, attempt_index, None, &prefix, wording)
}

fn form(
    debrief: &Debrief,
    index: usize,
    millimetres: Option<(f64, f64)>,
    prefix: &str,
    wording: Wording,
) -> Option<String> {
    let attempt = debrief.attempts.get(index)?;
    let grade = attempt.grade.as_ref()?;
    let mut canvas = Canvas::new(prefix);
    canvas.rect(Rect::new(0.0, 0.0, PAGE.0, PAGE.1), Ink::Paper);
    let mut y = head(&mut canvas, debrief, attempt, grade, wording);
    let bottom = INK.bottom() - FOOT;
    let said = said::Said::of(debrief, attempt, wording);
    let for_words = bottom - REMARKS - evidence::by_hand_height(grade).min(BY_HAND_LEAST);
    let for_verdicts = for_words - said.least_height(for_words - y);
    y = evidence::draw(&mut canvas, (attempt, wording), grade, y, for_verdicts);
    // what the verdicts rest on comes after the words, and has its room before those that may be left out
    let notes = evidence::Notes::of(grade);
    let spare = for_words - y - said.least_height(for_words - y);
    y = said.draw(
        &mut canvas,
        y,
        for_words - notes.height().min(spare).max(0.0),
    );
    y = notes.draw(&mut canvas, y, for_words);
    y = evidence::by_hand(&mut canvas, grade, y, bottom - REMARKS);
    foot::remarks(&mut canvas, y, bottom);
    foot::signatures(&mut canvas, debrief, bottom);
    foot::method(&mut canvas, debrief, grade);
    let title = format!(
        "Stage check, attempt {} of {}",
        attempt.number,
        debrief.attempts.len()
    );
    // a page has margins of its own
    let view = if millimetres.is_some() {
        Rect::new(0.0, 0.0, PAGE.0, PAGE.1)
    } else {
        INK.inset(-2.0, -2.0, -2.0, -2.0)
    };
    let paper = millimetres.map(|(w, h)| (w, h, "portrait"));
    let words = (title.as_str(), grade.name.as_str());
    Some(canvas.finish_view(view, paper, "stillprop stage-check", words))
}

/// Title, who and what, and how the attempt ended; gives where the next part starts.
fn head(
    canvas: &mut Canvas,
    debrief: &Debrief,
    attempt: &Attempt,
    grade: &Grade,
    wording: Wording,
) -> f64 {
    canvas.open(
        "title",
        "group",
        "Title",
        "Which standard, who flew what and when, and how it ended.",
    );
    let right = format!("Attempt {} of {}", attempt.number, debrief.attempts.len());
    let bold = |size: f64| TextStyle::new(size, Ink::Text).bold();
    let muted = |size: f64| TextStyle::new(size, Ink::Muted);
    let room = INK.w - text_width(&right, BODY, true) - 16.0;
    canvas.text(
        Point::new(INK.right(), INK.y + 18.0),
        &right,
        bold(BODY).anchor(Anchor::End),
    );
    let title = format!("Stage check: {}", grade.name);
    let mut y = INK.y + 18.0;
    y = lines(canvas, y, &title, bold(17.0), room) + 16.0;
    let of = [grade.standard.as_str(), grade.authority.as_str()]
        .into_iter()
        .filter(|t| !t.is_empty())
        .collect::<Vec<_>>()
        .join("  ·  ");
    y = lines(canvas, y, &of, muted(SMALL), INK.w) + 7.0;
    rule(canvas, y, 1.2);
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
        Some(wording.day(&utc)).filter(|day| !day.is_empty()),
        Some(format!(
            "power reduction {} {}",
            wording.time_of_day(&utc),
            wording.zone()
        )),
        reference.aim_name.as_ref().map(|a| format!("Aim {a}")),
    ];
    let fields: Vec<String> = fields.into_iter().flatten().collect();
    let text = TextStyle::new(BODY, Ink::Text);
    y = lines(canvas, y + 17.0, &fields.join("  ·  "), text, INK.w);
    let headline = headline(debrief, attempt, wording);
    y = lines(canvas, y + 30.0, &headline.outcome, bold(20.0), INK.w);
    let detail = words::sentence_case(&headline.detail);
    y = lines(canvas, y + 16.0, &detail, muted(BODY), INK.w);
    canvas.close();
    y + 22.0
}

/// A text in as many lines as it needs; gives the baseline of the last.
fn lines(canvas: &mut Canvas, y: f64, text: &str, style: TextStyle, width: f64) -> f64 {
    let mut all = wrap(text, style.size, style.bold, width);
    if all.len() > MOST_LINES {
        let rest = all.split_off(MOST_LINES - 1).join(" ");
        all.push(fit(&rest, style.size, style.bold, width));
    }
    let step = style.size * 1.25;
    for (i, line) in all.iter().enumerate() {
        canvas.text(Point::new(INK.x, y + step * i as f64), line, style);
    }
    y + step * all.len().saturating_sub(1) as f64
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
