//! What the track shows, and what is to be marked by hand.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, text_width, wrap,
};
use super::super::verdicts;
use super::super::wording::Wording;
use super::super::words;
use super::{BODY, INK, SMALL, heading, rule};
use crate::debrief::document::{Attempt, CriterionGrade, Grade, HandLine};
use crate::measures::catalogue;

/// Where the columns end or start: what is wanted, what was flown, the verdict.
const WANTED: f64 = INK.x + 330.0;
const FLOWN: f64 = INK.x + 450.0;

/// The criteria with their evidence; gives where the next part starts.
pub(super) fn draw(
    canvas: &mut Canvas,
    (attempt, wording): (&Attempt, Wording),
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
    if let Some(words) = verdicts::another_manoeuvre(attempt) {
        for text in wrap(words, BODY, true, INK.w) {
            let style = TextStyle::new(BODY, Ink::Text).bold();
            canvas.text(Point::new(INK.x, line), &text, style);
            line += 15.0;
        }
        line += 4.0;
    }
    for (i, criterion) in grade.criteria.iter().enumerate() {
        let row = Row::of(attempt, criterion, wording);
        if line + row.height() > bottom {
            let left = grade.criteria.len() - i;
            canvas.text(
                Point::new(INK.x, line),
                &format!("and {left} more: see the page or the document"),
                muted,
            );
            line += 16.0;
            break;
        }
        row.draw(canvas, line);
        line += row.height();
        rule(canvas, line - 9.5, 0.3);
        line += 4.0;
    }
    canvas.close();
    line + 6.0
}

/// Steps from line to line: of what is asked, of the notes below it.
const STEP: f64 = 13.5;
const NOTE_STEP: f64 = 12.0;

/// A criterion, broken into lines.
struct Row {
    name: Vec<String>,
    bounds: Vec<String>,
    /// Value with unit, and interval.
    flown: Option<(String, String)>,
    word: &'static str,
    /// Under the verdict: whose it is, and how sure.
    beneath: String,
    source: Vec<String>,
    remark: Vec<String>,
}

impl Row {
    fn of(attempt: &Attempt, criterion: &CriterionGrade, wording: Wording) -> Self {
        let share = criterion.share_inside.map(|share| {
            let per_cent = number::number(100.0 * share, 0);
            format!("inside with a chance of {per_cent} %")
        });
        let mark = verdicts::mark(criterion).map(str::to_owned);
        let beneath = [mark, share].into_iter().flatten().collect::<Vec<_>>();
        let beneath = beneath.join("; ");
        let source_room = INK.w - text_width(&beneath, SMALL, false) - 12.0;
        let info = catalogue::find(&criterion.measure);
        let figure = info.and_then(|info| {
            let figure = wording.figure(info, attempt.measures.get(info.id)?)?;
            let (unit, side) = (wording.unit(info), verdicts::side(criterion.verdict));
            let interval = figure.interval();
            Some(if figure.told {
                (format!("{} {unit}", figure.value), interval)
            } else {
                let shown = verdicts::shown(&figure, side).to_owned();
                (shown, format!("{interval} {unit}"))
            })
        });
        let remark = criterion.remark.as_deref().map(words::sentence_case);
        Row {
            name: wrap(&criterion.name, BODY, true, WANTED - INK.x - 8.0),
            bounds: wrap(
                &verdicts::bounds(criterion, wording),
                BODY,
                false,
                FLOWN - WANTED - 8.0,
            ),
            flown: figure.map(|(value, interval)| (value.trim().into(), interval.trim().into())),
            word: verdicts::word(criterion.verdict),
            beneath,
            source: wrap(&verdicts::source(criterion), SMALL, false, source_room),
            remark: wrap(&remark.unwrap_or_default(), SMALL, false, INK.w),
        }
    }

    /// From the first line to the notes.
    fn asked(&self) -> f64 {
        STEP * self.name.len().max(self.bounds.len()).max(1) as f64
    }

    fn height(&self) -> f64 {
        let notes = self.source.len().max(1) + self.remark.len();
        self.asked() + NOTE_STEP * notes as f64 + 2.5
    }

    fn draw(&self, canvas: &mut Canvas, y: f64) {
        let text = TextStyle::new(BODY, Ink::Text);
        let muted = TextStyle::new(SMALL, Ink::Muted);
        for (i, line) in self.name.iter().enumerate() {
            let at = Point::new(INK.x, y + STEP * i as f64);
            canvas.text(at, line, text.bold());
        }
        for (i, line) in self.bounds.iter().enumerate() {
            let at = Point::new(WANTED, y + STEP * i as f64);
            canvas.text(at, line, text);
        }
        let right = INK.right();
        if let Some((value, interval)) = &self.flown {
            let value = fit(value, BODY, true, 90.0);
            let used = text_width(&value, BODY, true) + text_width(self.word, BODY, true);
            let interval = fit(interval, SMALL, false, right - FLOWN - used - 24.0);
            canvas.text_then(
                Point::new(FLOWN, y),
                (&value, text.bold()),
                (&interval, muted),
            );
        }
        let bold = text.bold().anchor(Anchor::End);
        canvas.text(Point::new(right, y), self.word, bold);
        let notes = y + self.asked() - 0.5;
        canvas.text(
            Point::new(right, notes),
            &self.beneath,
            muted.anchor(Anchor::End),
        );
        for (i, line) in self.source.iter().chain(&self.remark).enumerate() {
            let at = Point::new(INK.x, notes + NOTE_STEP * i as f64);
            canvas.text(at, line, muted);
        }
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
        let lines = hand_lines(hand);
        if line + HAND_STEP * (lines.len() as f64 - 1.0) + 8.0 > bottom {
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
            canvas.outline(
                Rect::new(x, line - 9.0, 10.0, 10.0),
                Stroke::new(Ink::Text, 0.8),
            );
        }
        for (j, (what, source)) in lines.iter().enumerate() {
            canvas.text_then(
                Point::new(INK.x, line + HAND_STEP * j as f64),
                (what, TextStyle::new(BODY, Ink::Text)),
                (source, muted),
            );
        }
        line += hand_height(&lines);
    }
    canvas.close();
    line + 8.0
}

/// Step from line to line of one entry.
const HAND_STEP: f64 = 13.5;
/// Width of the words of an entry.
const HAND_ROOM: f64 = INK.w - 142.0;

/// Height of all lines to be marked by hand.
pub(super) fn by_hand_height(grade: &Grade) -> f64 {
    let lines: f64 = grade
        .by_hand
        .iter()
        .map(|h| hand_height(&hand_lines(h)))
        .sum();
    if grade.by_hand.is_empty() {
        0.0
    } else {
        40.0 + lines
    }
}

fn hand_height(lines: &[(String, String)]) -> f64 {
    HAND_STEP * lines.len() as f64 + 5.5
}

/// What is to be marked, and after it, or below where there is no room, where it is asked.
fn hand_lines(hand: &HandLine) -> Vec<(String, String)> {
    let what = wrap(&hand.what, BODY, false, HAND_ROOM);
    let mut lines: Vec<(String, String)> = what.into_iter().map(|w| (w, String::new())).collect();
    let width = |text: &str, size| text_width(text, size, false);
    match lines.last_mut() {
        Some((last, source))
            if width(last, BODY) + width(&hand.source, SMALL) + 8.0 <= HAND_ROOM =>
        {
            source.clone_from(&hand.source);
        }
        _ => lines.extend(
            wrap(&hand.source, SMALL, false, HAND_ROOM)
                .into_iter()
                .map(|s| (String::new(), s)),
        ),
    }
    lines
}
