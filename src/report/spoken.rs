//! What there is to say about an attempt, put together once, in one order, for every report: dangers, then
//! remarks, then what mattered most, then the moments of reach, then the checklist.

use super::wording::Wording;
use super::{checklist_words, debrief_words, in_hand_words, words};
use crate::debrief::document::{Attempt, Debrief};

/// The sentences of an attempt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// Dangers on the slow side.
    pub dangers: Vec<String>,
    /// Remarks on the attempt and on how far its figures can be trusted.
    pub remarks: Vec<String>,
    /// What mattered most, without what a danger says already.
    pub mattered: Vec<String>,
    /// The moments at which reach was lost or won, lettered as in the side view.
    pub moments: Vec<String>,
    /// The checklist.
    pub checklist: Option<String>,
}

/// What there is to say about `attempt`.
pub fn spoken(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Spoken {
    let dangers: Vec<String> = attempt
        .in_hand
        .dangers
        .iter()
        .map(|one| in_hand_words::danger(one, wording))
        .collect();
    let mattered = debrief_words::sentences(debrief, attempt, wording)
        .into_iter()
        .filter(|said| !dangers.iter().any(|danger| says_again(said, danger)))
        .collect();
    Spoken {
        dangers,
        remarks: words::remarks(attempt, wording),
        mattered,
        moments: in_hand_words::moments_in_words(attempt, wording),
        checklist: checklist_words::sentence(attempt, wording),
    }
}

impl Spoken {
    /// All of it in order, a moment only where nothing before it says the same.
    pub fn in_order(&self) -> Vec<String> {
        let unsaid = self.moments.iter().filter(|moment| {
            let before = self.dangers.iter().chain(&self.mattered);
            !before.into_iter().any(|said| says_again(said, moment))
        });
        let first = self.dangers.iter().chain(&self.remarks);
        let rest = self.mattered.iter().chain(unsaid).chain(&self.checklist);
        first.chain(rest).map(|s| words::sentence_case(s)).collect()
    }
}

/// Whether a sentence says, after its time and height, what another says already.
fn says_again(said: &str, other: &str) -> bool {
    said.split_once(": ").is_some_and(|(_, words)| {
        let words = words.trim_end_matches('.');
        !words.is_empty() && other.contains(words)
    })
}
