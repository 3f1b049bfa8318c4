//! What stops a recording from being used, in words that say what to do about it.

use thiserror::Error;

/// A recording that cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{file_name}: {problem}\nhelp: {}", self.help())]
pub struct CleanError {
    /// Name of the file, for messages.
    pub file_name: String,
    /// What is wrong.
    pub problem: CleanProblem,
}

impl CleanError {
    /// What to do about it, one line.
    pub fn help(&self) -> &'static str {
        match self.problem {
            CleanProblem::OneFix { .. } => {
                "check that the recorder was recording, not only marking a place, and that the whole file was copied"
            }
            CleanProblem::NeverMoved { .. } => {
                "this may be the recording of another day or a part of one, or the recorder had no reception after it was switched on"
            }
        }
    }
}

/// What is wrong with a recording.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CleanProblem {
    /// A single fix, or none, is left.
    #[error("{fixes} usable fix; a flight cannot be told from less than two")]
    OneFix {
        /// Fixes left.
        fixes: u32,
    },
    /// All fixes are at one place.
    #[error("the recorder never moved: {fixes} fixes within {extent_m:.0} m, over {span_s:.0} s")]
    NeverMoved {
        /// Fixes.
        fixes: u32,
        /// Greatest distance from the first fix, m.
        extent_m: f64,
        /// Time from first to last, s.
        span_s: f64,
    },
}
