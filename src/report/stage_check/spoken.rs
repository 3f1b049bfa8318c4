//! The debrief in words on the form: dangers and remarks first, none left out, then what mattered most.

use super::super::svg::{Canvas, Ink, Point, TextStyle, wrap};
use super::super::{checklist_words, debrief_words, in_hand_words, verdicts, words};
use super::{BODY, INK, SMALL, heading};
use crate::debrief::document::{Attempt, Debrief};

/// Step from line to line.
const STEP: f64 = BODY * 1.3;
/// From the top to the first line, and below the last.
const AROUND: (f64, f64) = (20.0 + BODY * 0.4, 8.0);
/// The largest share of the room that dangers take before anything else.
const MOST_OF_ROOM: f64 = 0.7;

/// Sentences, broken into lines.
pub(super) struct Spoken {
    sentences: Vec<Vec<String>>,
    /// How many of them may not be left out.
    needed: usize,
}

impl Spoken {
    /// Dangers and remarks; then the sentences that do not say the same again, and the checklist.
    pub(super) fn of(debrief: &Debrief, attempt: &Attempt) -> Self {
        let dangers = in_hand_words::remarks(attempt);
        let dangers = dangers.into_iter().take(attempt.in_hand.dangers.len());
        let mut all: Vec<String> = dangers.chain(words::remarks(attempt)).collect();
        let needed = all.len();
        let another = verdicts::another_manoeuvre(attempt);
        let rest = debrief_words::sentences(debrief, attempt)
            .into_iter()
            // the form has that one above its criteria
            .filter(|said| another.as_ref() != Some(said))
            .filter(|said| !all[..needed].iter().any(|danger| says_again(said, danger)))
            .chain(checklist_words::sentence(attempt))
            .collect::<Vec<_>>();
        all.extend(rest);
        let lines = |text: &String| {
            let text = words::sentence_case(text);
            wrap(&text, BODY, false, INK.w - 12.0)
        };
        Spoken {
            sentences: all.iter().map(lines).collect(),
            needed,
        }
    }

    /// Height of the sentences that may not be left out, or of the first where there are none.
    pub(super) fn least_height(&self, room: f64) -> f64 {
        let kept = self.sentences.iter().take(self.needed.max(1));
        let lines: usize = kept.map(Vec::len).sum();
        if lines == 0 {
            return 0.0;
        }
        let height = AROUND.0 + AROUND.1 + STEP * (lines as f64 + 1.0);
        height.min(MOST_OF_ROOM * room)
    }

    /// As many whole sentences as there is room for, and how many there is none for; gives where the
    /// next part starts.
    pub(super) fn draw(&self, canvas: &mut Canvas, y: f64, bottom: f64) -> f64 {
        if self.sentences.is_empty() || y + 40.0 > bottom {
            return y;
        }
        canvas.open(
            "words",
            "group",
            "In words",
            "Dangers and remarks, then what mattered most, the most important first.",
        );
        heading(canvas, y, "In words");
        let style = TextStyle::new(BODY, Ink::Text);
        let mut line = y + AROUND.0;
        for (i, sentence) in self.sentences.iter().enumerate() {
            let last = i + 1 == self.sentences.len();
            let lines = sentence.len() + usize::from(!last);
            if line + STEP * (lines as f64 - 1.0) > bottom - AROUND.1 {
                let left = self.sentences.len() - i;
                let note = format!("and {left} more: see the page or the document");
                let muted = TextStyle::new(SMALL, Ink::Muted);
                canvas.text(Point::new(INK.x, line), &note, muted);
                line += STEP;
                break;
            }
            canvas.text(Point::new(INK.x, line), "–", style);
            for text in sentence {
                canvas.text(Point::new(INK.x + 12.0, line), text, style);
                line += STEP;
            }
        }
        canvas.close();
        line + AROUND.1
    }
}

/// Whether a sentence says, after its time and height, what a danger says already.
fn says_again(said: &str, danger: &str) -> bool {
    said.split_once(": ").is_some_and(|(_, words)| {
        let words = words.trim_end_matches('.');
        !words.is_empty() && danger.contains(words)
    })
}
