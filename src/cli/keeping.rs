//! Debriefs into the logbook, from several threads.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use sha2::{Digest, Sha256};

use super::diagnostic::Diagnostic;
use crate::briefing::Briefing;
use crate::debrief::document::METHOD;
use crate::debrief::{Debrief, Options};
use crate::logbook::{Access, Kept, Logbook, LogbookError};
use crate::reading::ReadOptions;

/// The logbook of one run.
#[derive(Debug)]
pub(super) struct Keeping {
    logbook: Mutex<Logbook>,
    /// All of the inputs but recording and briefing.
    setting: String,
}

impl Keeping {
    /// Opens `path`, for debriefs made with these options.
    pub(super) fn open(
        path: &Path,
        options: &Options,
        reading: &ReadOptions,
    ) -> Result<Self, Diagnostic> {
        let logbook = Logbook::open(path, Access::Write).map_err(|error| told(&error))?;
        Ok(Keeping {
            logbook: Mutex::new(logbook),
            setting: format!("{options:?} {reading:?}"),
        })
    }

    /// Number of attempts, where this recording is kept with this briefing and the present methods.
    pub(super) fn attempts_kept(
        &self,
        sha256: &str,
        briefing: &Briefing,
    ) -> Result<Option<usize>, Diagnostic> {
        self.locked()
            .attempts_kept(sha256, METHOD, &self.inputs_sha256(briefing))
            .map_err(|error| told(&error))
    }

    /// Keeps a debrief.
    pub(super) fn keep(&self, debrief: &Debrief, briefing: &Briefing) -> Result<(), Diagnostic> {
        let inputs_sha256 = self.inputs_sha256(briefing);
        let kept = Kept {
            debrief,
            method: METHOD,
            inputs_sha256: &inputs_sha256,
        };
        self.locked().keep(&kept).map_err(|error| told(&error))
    }

    fn inputs_sha256(&self, briefing: &Briefing) -> String {
        let inputs = format!("{} {briefing:?}", self.setting);
        Sha256::digest(inputs)
            .iter()
            .fold(String::new(), |mut out, byte| {
                let _ = write!(out, "{byte:02x}");
                out
            })
    }

    fn locked(&self) -> MutexGuard<'_, Logbook> {
        // a transaction that was broken off is rolled back: the logbook is sound whatever happened
        self.logbook.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What went wrong, and what to do.
pub(super) fn told(error: &LogbookError) -> Diagnostic {
    Diagnostic::error(error.to_string()).with_help(error.help())
}
