//! What there is to say about an attempt, put together once, in one order, for every report: dangers, the gravest
//! first, then the lettered moments of reach, then what was noted or recorded, then remarks, then what mattered most,
//! then the checklist.

use super::wording::Wording;
use super::{checklist_words, debrief_words, in_hand_words, words};
use crate::debrief::document::{Attempt, Debrief};

/// The sentences of an attempt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// Dangers on the slow side, the gravest first.
    pub dangers: Vec<String>,
    /// The moments at which reach was lost or won, lettered as in the side view.
    pub moments: Vec<String>,
    /// Flap and other events, as noted or recorded, with what they meant for reach.
    pub noted: Vec<String>,
    /// Remarks on the attempt and on how far its figures can be trusted.
    pub remarks: Vec<String>,
    /// What mattered most, without what a danger says already.
    pub mattered: Vec<String>,
    /// The checklist.
    pub checklist: Option<String>,
}

/// What there is to say about `attempt`.
pub fn spoken(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Spoken {
    let dangers: Vec<String> = in_hand_words::gravest_first(attempt)
        .into_iter()
        .map(|one| in_hand_words::danger(one, wording))
        .collect();
    let mattered = debrief_words::sentences(debrief, attempt, wording)
        .into_iter()
        .filter(|said| !dangers.iter().any(|danger| says_again(said, danger)))
        .collect();
    Spoken {
        dangers,
        moments: in_hand_words::moments_in_words(attempt, wording),
        noted: in_hand_words::noted(attempt, wording),
        remarks: words::remarks(attempt, wording),
        mattered,
        checklist: checklist_words::sentence(attempt, wording),
    }
}

impl Spoken {
    /// All of it in order, what mattered only where no moment says the same.
    pub fn in_order(&self) -> Vec<String> {
        let unsaid = |said: &&String| !self.moments.iter().any(|moment| says_again(said, moment));
        let mattered = self.mattered.iter().filter(unsaid);
        let all = self.beside_figures().chain(mattered);
        all.chain(&self.checklist)
            .map(|said| words::sentence_case(said))
            .collect()
    }

    /// The beginning of the same: all but what mattered most, which the headline and the verdicts of a sheet show, and
    /// the checklist.
    pub fn beside_figures(&self) -> impl Iterator<Item = &String> {
        let first = self.dangers.iter().chain(&self.moments);
        first.chain(&self.noted).chain(&self.remarks)
    }
}

/// Whether a sentence says, after its time and height, what another says already.
fn says_again(said: &str, other: &str) -> bool {
    said.split_once(": ").is_some_and(|(_, words)| {
        let words = words.trim_end_matches('.');
        !words.is_empty() && other.contains(words)
    })
}
