//! What the track shows: each item with its verdict, and further down what that rests on; and what is to be marked by
//! hand.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Stroke, TextStyle, fit, text_width, wrap,
};
use super::super::verdicts;
use super::super::wording::Wording;
use super::super::words;
use super::{BODY, INK, SMALL, heading, rule};
use crate::debrief::document::{Attempt, CriterionGrade, Grade, HandLine, Verdict};
use crate::measures::catalogue;

/// Where the columns end or start: what is wanted, what was flown, the verdict.
const WANTED: f64 = INK.x + 330.0;
const FLOWN: f64 = INK.x + 450.0;

/// The criteria with their verdicts; gives where the next part starts.
pub(super) fn draw(
    canvas: &mut Canvas,
    (attempt, wording): (&Attempt, Wording),
    grade: &Grade,
    y: f64,
    bottom: f64,
) -> f64 {
    canvas.open(
        "verdicts",
        "group",
        "What the track shows",
        "Each criterion with what is wanted, what was flown and the verdict.",
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
        "verdict",
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

/// What each verdict rests on: how sure it is, whose measure, the source, and what would have settled it.
pub(super) struct Notes(Vec<Vec<String>>);

impl Notes {
    pub(super) fn of(grade: &Grade) -> Self {
        Notes(grade.criteria.iter().map(note).collect())
    }

    /// Height of all of them.
    pub(super) fn height(&self) -> f64 {
        let lines: usize = self.0.iter().map(Vec::len).sum();
        if lines == 0 {
            return 0.0;
        }
        NOTES_AROUND.0 + NOTES_AROUND.1 + NOTE_STEP * lines as f64 + NOTE_GAP * self.0.len() as f64
    }

    /// As many as there is room for; gives where the next part starts.
    pub(super) fn draw(&self, canvas: &mut Canvas, y: f64, bottom: f64) -> f64 {
        if self.0.is_empty() || y + NOTES_AROUND.0 + NOTE_STEP > bottom {
            return y;
        }
        canvas.open(
            "evidence",
            "group",
            "What the verdicts rest on",
            "For each criterion how sure the verdict is, the source, and what would have settled it.",
        );
        heading(canvas, y, "What the verdicts rest on");
        let muted = TextStyle::new(SMALL, Ink::Muted);
        let mut line = y + NOTES_AROUND.0;
        for (i, note) in self.0.iter().enumerate() {
            let last = i + 1 == self.0.len();
            let lines = note.len() + usize::from(!last);
            if line + NOTE_STEP * (lines as f64 - 1.0) > bottom {
                let left = self.0.len() - i;
                let more = format!("and {left} more: see the page or the document");
                canvas.text(Point::new(INK.x, line), &more, muted);
                line += NOTE_STEP;
                break;
            }
            for text in note {
                canvas.text(Point::new(INK.x, line), text, muted);
                line += NOTE_STEP;
            }
            line += NOTE_GAP;
        }
        canvas.close();
        line + NOTES_AROUND.1
    }
}

fn not_measured(criterion: &CriterionGrade) -> bool {
    criterion.verdict == Verdict::NotMeasured
}

/// `Name: inside with a chance of 44 %. Document, edition, task. Recorded airspeed would have settled it.`
fn note(criterion: &CriterionGrade) -> Vec<String> {
    let chance = |share| format!("inside with a chance of {}", number::chance(share));
    let share = criterion.share_inside.map(chance);
    let mark = verdicts::mark(criterion).map(str::to_owned);
    let sure: Vec<String> = mark.into_iter().chain(share).collect();
    let sure = Some(sure.join("; ")).filter(|sure| !sure.is_empty());
    // why there is no figure stands in its place
    let remark = criterion
        .remark
        .as_deref()
        .filter(|_| !not_measured(criterion));
    let remark = remark.map(words::sentence_case);
    let parts = [sure, Some(verdicts::source(criterion)), remark];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    let text = format!("{}: {}", criterion.name, parts.join(". "));
    wrap(&text, SMALL, false, INK.w)
}

/// Steps from line to line: of what is asked, of the notes further down.
const STEP: f64 = 13.5;
const NOTE_STEP: f64 = 12.0;
/// Between two notes.
const NOTE_GAP: f64 = 3.0;
/// From the heading of the notes to the first line, and below the last.
const NOTES_AROUND: (f64, f64) = (23.0, 6.0);

/// A criterion, broken into lines.
struct Row {
    name: Vec<String>,
    bounds: Vec<String>,
    /// Value with unit, and interval.
    flown: Option<(String, String)>,
    /// Why there is none.
    missing: Vec<String>,
    word: &'static str,
    /// How likely it was inside, where the verdict is too close to call.
    likely: Option<String>,
}

impl Row {
    fn of(attempt: &Attempt, criterion: &CriterionGrade, wording: Wording) -> Self {
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
        let word = verdicts::word(criterion.verdict);
        let room = INK.right() - FLOWN - text_width(word, BODY, true) - 16.0;
        let why = criterion
            .remark
            .as_deref()
            .filter(|_| figure.is_none() && not_measured(criterion));
        let why = wording.sentence(why.unwrap_or_default());
        Row {
            missing: wrap(&why, SMALL, false, room),
            name: wrap(&criterion.name, BODY, true, WANTED - INK.x - 8.0),
            bounds: wrap(
                &verdicts::bounds(criterion, wording),
                BODY,
                false,
                FLOWN - WANTED - 8.0,
            ),
            flown: figure.map(|(value, interval)| (value.trim().into(), interval.trim().into())),
            word,
            likely: criterion
                .share_inside
                .filter(|_| criterion.verdict == Verdict::TooCloseToCall)
                .map(|share| format!("{} likely inside", number::chance(share))),
        }
    }

    fn height(&self) -> f64 {
        let right = (1 + usize::from(self.likely.is_some())).max(self.missing.len());
        STEP * self.name.len().max(self.bounds.len()).max(right) as f64 + 2.5
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
        for (i, line) in self.missing.iter().enumerate() {
            let at = Point::new(FLOWN, y + STEP * i as f64);
            canvas.text(at, line, muted);
        }
        let bold = text.bold().anchor(Anchor::End);
        canvas.text(Point::new(right, y), self.word, bold);
        if let Some(likely) = &self.likely {
            let at = Point::new(right, y + STEP);
            canvas.text(at, likely, muted.anchor(Anchor::End));
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
        "What is not judged here, with boxes to mark.",
    );
    heading(canvas, y, "To be marked by the instructor: not judged here");
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
