//! What became of whole folders of recordings, in a few lines.

use std::fmt;
use std::path::PathBuf;

use super::diagnostic::{Diagnostic, Level};
use super::flight::Outcome;
use crate::quantity::counted;

/// Counts over a run.
#[derive(Debug, Default)]
pub(super) struct Summary {
    pub(super) recordings: usize,
    /// Where the reports are written.
    pub(super) folder: Option<PathBuf>,
    debriefed: usize,
    unchanged: usize,
    without_attempt: usize,
    attempts: usize,
    warnings: usize,
    failures: usize,
    /// First errors of the recordings that failed, in the order met, and how often each.
    failed: Vec<(String, usize)>,
}

impl Summary {
    pub(super) fn add(&mut self, outcome: &Outcome) {
        self.recordings += 1;
        let of = |level: Level| outcome.told.iter().filter(move |d| d.level == level);
        if outcome.failed {
            // one line each: what else there is to say stands where the recording is debriefed alone
            if let Some(first) = of(Level::Error).next() {
                let text = first.text.lines().next().unwrap_or_default();
                match self.failed.iter_mut().find(|(told, _)| told == text) {
                    Some((_, times)) => *times += 1,
                    None => self.failed.push((text.to_owned(), 1)),
                }
            }
            self.failures += 1;
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

impl Summary {
    /// A line for each recording that failed; one for all that failed for the same reason.
    pub(super) fn failures(&self) -> impl Iterator<Item = Diagnostic> {
        self.failed.iter().map(|(text, times)| {
            Diagnostic::error(match times {
                1 => text.clone(),
                n => format!("{text} ({n} recordings)"),
            })
        })
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
        if self.failures > 0 {
            writeln!(f, "  {:>6} could not be debriefed", self.failures)?;
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
        if let Some(folder) = self.folder.as_ref().filter(|_| self.debriefed > 0) {
            writeln!(f, "  Reports are in {}", folder.display())?;
        }
        Ok(())
    }
}
