//! Debriefs into the logbook, from several threads.

use std::env;
use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

use sha2::{Digest, Sha256};

use super::diagnostic::Diagnostic;
use super::flight::{Common, hexadecimal};
use crate::briefing::Briefing;
use crate::debrief::Debrief;
use crate::debrief::document::METHOD;
use crate::logbook::{Access, Kept, Logbook, LogbookError};

/// Which logbook a run keeps its debriefs in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Book {
    /// The one named.
    Named(PathBuf),
    /// The usual one, once it was started.
    Usual,
    /// None.
    No,
}

/// A logbook to keep debriefs in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct BookFile {
    path: PathBuf,
    named: bool,
}

impl Book {
    /// The file; none where nothing is to be kept.
    pub(super) fn file(&self) -> Option<BookFile> {
        match self {
            Book::Named(path) => Some(BookFile {
                path: path.clone(),
                named: true,
            }),
            Book::Usual => usual_path()
                .filter(|path| path.is_file())
                .map(|path| BookFile { path, named: false }),
            Book::No => None,
        }
    }
}

/// Where the logbook is when none is named: the platform's folder for a program's data.
pub(super) fn usual_path() -> Option<PathBuf> {
    let folder = |name: &str| {
        env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let data = if cfg!(windows) {
        folder("APPDATA")
    } else if cfg!(target_os = "macos") {
        folder("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        folder("XDG_DATA_HOME").or_else(|| folder("HOME").map(|home| home.join(".local/share")))
    };
    data.map(|data| data.join("stillprop/logbook.sqlite"))
}

/// The logbook of one run.
#[derive(Debug)]
pub(super) struct Keeping {
    logbook: Mutex<Logbook>,
    /// All of the inputs but recording and briefing.
    setting: String,
    /// Where it is, if nobody named it for this run.
    unasked: Option<PathBuf>,
    /// Whether what is kept unchanged is left alone.
    pub(super) skips: bool,
}

impl Keeping {
    /// Opens `book`, for debriefs made with what is common to the run, `of_folders` or of recordings named
    /// one by one.
    ///
    /// A recording named alone is wanted now: a logbook that was not named for it does not keep it from
    /// being debriefed again.
    pub(super) fn open(
        book: &BookFile,
        common: &Common,
        of_folders: bool,
    ) -> Result<Self, Diagnostic> {
        let logbook = Logbook::open(&book.path, Access::Write).map_err(|error| {
            if book.named {
                return told(&error);
            }
            let help = format!("{}; `--no-logbook` debriefs without it", error.help());
            told(&error).with_help(help)
        })?;
        Ok(Keeping {
            logbook: Mutex::new(logbook),
            unasked: (!book.named).then(|| book.path.clone()),
            skips: book.named || of_folders,
            setting: format!(
                "{:?} {:?} {}",
                common.options,
                common.reading,
                hexadecimal(&Sha256::digest(format!("{:?}", common.airfields)))
            ),
        })
    }

    /// What to say where the debriefs are kept though nobody asked for it this time.
    pub(super) fn unasked(&self) -> Option<Diagnostic> {
        let path = self.unasked.as_ref()?;
        Some(Diagnostic::progress(format!(
            "keeping in the logbook {}",
            path.display()
        )))
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
        hexadecimal(&Sha256::digest(format!("{} {briefing:?}", self.setting)))
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
