//! What became of whole folders of recordings, in a few lines.

use std::fmt;

use super::diagnostic::{Diagnostic, Level};
use super::flight::Outcome;

/// Counts over a run.
#[derive(Debug, Default)]
pub(super) struct Summary {
    pub(super) recordings: usize,
    debriefed: usize,
    unchanged: usize,
    without_attempt: usize,
    attempts: usize,
    warnings: usize,
    /// The first error of each recording that failed.
    pub(super) failed: Vec<Diagnostic>,
}

impl Summary {
    pub(super) fn add(&mut self, outcome: &Outcome) {
        self.recordings += 1;
        let of = |level: Level| outcome.told.iter().filter(move |d| d.level == level);
        if outcome.failed {
            // one line each: what else there is to say stands where the recording is debriefed alone
            if let Some(first) = of(Level::Error).next() {
                let text = first.text.lines().next().unwrap_or_default();
                self.failed.push(Diagnostic::error(text));
            }
            return;
        }
        if outcome.unchanged {
            self.unchanged += 1;
        } else {
            self.debriefed += 1;
        }
        self.attempts += outcome.attempts;
        self.without_attempt += usize::from(outcome.without_attempt);
        self.warnings += of(Level::Warning).count();
    }
}

impl fmt::Display for Summary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{} in all", counted(self.recordings, "recording"))?;
        writeln!(f, "  {:>6} debriefed", self.debriefed)?;
        if self.unchanged > 0 {
            writeln!(
                f,
                "  {:>6} in the logbook already and unchanged, not debriefed again",
                self.unchanged
            )?;
        }
        if !self.failed.is_empty() {
            writeln!(f, "  {:>6} could not be debriefed", self.failed.len())?;
        }
        writeln!(
            f,
            "  {} found; {} without any",
            counted(self.attempts, "attempt"),
            counted(self.without_attempt, "recording")
        )?;
        if self.warnings > 0 {
            writeln!(
                f,
                "  {}, which stand in the reports",
                counted(self.warnings, "warning")
            )?;
        }
        Ok(())
    }
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
