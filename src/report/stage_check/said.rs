//! The debrief in words on the form: dangers and remarks first, none left out, then what mattered most.

use super::super::spoken::spoken;
use super::super::svg::{Canvas, Ink, Point, TextStyle, wrap};
use super::super::wording::Wording;
use super::super::{verdicts, words};
use super::{BODY, INK, SMALL, heading};
use crate::debrief::document::{Attempt, Debrief};

/// Step from line to line.
const STEP: f64 = BODY * 1.3;
/// From the top to the first line, and below the last.
const AROUND: (f64, f64) = (20.0 + BODY * 0.4, 8.0);
/// The largest share of the room that dangers take before anything else.
const MOST_OF_ROOM: f64 = 0.7;

/// Sentences, broken into lines.
pub(super) struct Said {
    sentences: Vec<Vec<String>>,
    /// How many of them may not be left out.
    needed: usize,
}

impl Said {
    /// Dangers and remarks; then the sentences that do not say the same again, and the checklist. The
    /// moments are lettered in the drawings of the sheet, and stay there.
    pub(super) fn of(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Self {
        let spoken = spoken(debrief, attempt, wording);
        let needed = spoken.dangers.len() + spoken.remarks.len();
        // the form has that one above its criteria
        let another = verdicts::another_manoeuvre(attempt);
        let mattered = spoken.mattered.into_iter();
        let mattered = mattered.filter(|said| another != Some(said.as_str()));
        let lines = |text: String| {
            let text = words::sentence_case(&text);
            wrap(&text, BODY, false, INK.w - 12.0)
        };
        Said {
            sentences: spoken
                .dangers
                .into_iter()
                .chain(spoken.remarks)
                .chain(mattered)
                .chain(spoken.checklist)
                .map(lines)
                .collect(),
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
