//! What can go wrong with a logbook, and what to do.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;
use thiserror::Error;

/// Why a logbook could not be used. Nothing was changed by what failed.
#[derive(Debug, Error)]
pub enum LogbookError {
    /// There is no such file.
    #[error("{}: no such logbook", path.display())]
    Missing {
        /// The file.
        path: PathBuf,
    },
    /// The folder or the file does not allow it.
    #[error("{}: may not be written (read-only file or folder)", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// Another program holds it for longer than we wait.
    #[error("{}: another program has been writing to the logbook for {waited_s} s", path.display())]
    Locked {
        /// The file.
        path: PathBuf,
        /// How long we waited, s.
        waited_s: u64,
    },
    /// The bytes are damaged.
    #[error("{}: the logbook is damaged: {detail}", path.display())]
    Corrupt {
        /// The file.
        path: PathBuf,
        /// The database's words.
        detail: String,
    },
    /// Some other file.
    #[error("{}: not a logbook of this program", path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// Made by a later version of this program.
    #[error("{}: a logbook of form {found}; this program knows forms up to {known}", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Form of the file.
        found: i64,
        /// Latest form known.
        known: i64,
    },
    /// No room.
    #[error("{}: no space left for the logbook", path.display())]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// Something else.
    #[error("{}: the logbook cannot be used: {detail}", path.display())]
    Other {
        /// The file.
        path: PathBuf,
        /// The database's words.
        detail: String,
    },
    /// An export could not be written.
    #[error("the export cannot be written: {0}")]
    Export(#[from] std::io::Error),
}

impl LogbookError {
    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            LogbookError::Missing { .. } => {
                "make one with `stillprop debrief FLIGHT... --logbook FILE`"
            }
            LogbookError::ReadOnly { .. } => "name a file in a folder of yours with `--logbook`",
            LogbookError::Locked { .. } => {
                "wait until it has finished, and start again: what is kept stays kept"
            }
            LogbookError::Corrupt { .. } => {
                "nothing was changed; put a copy of the file in its place, or name a new file and debrief the recordings again"
            }
            LogbookError::Foreign { .. } => "name another file with `--logbook`",
            LogbookError::Newer { .. } => {
                "use the newer version of stillprop, or name another file"
            }
            LogbookError::Full { .. } => "make room and start again: what is kept stays kept",
            LogbookError::Other { .. } | LogbookError::Export(_) => {
                "name another file, or see what else uses this one"
            }
        }
    }

    /// What a database error about `path` means.
    pub(super) fn of(path: &Path, error: &rusqlite::Error, waited_s: u64) -> Self {
        let path = path.to_owned();
        let detail = error.to_string();
        let (code, extended) = match error {
            rusqlite::Error::SqliteFailure(failure, _) => (failure.code, failure.extended_code),
            _ => return LogbookError::Other { path, detail },
        };
        match code {
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => {
                LogbookError::Locked { path, waited_s }
            }
            ErrorCode::DatabaseCorrupt => LogbookError::Corrupt { path, detail },
            ErrorCode::NotADatabase => LogbookError::Foreign { path },
            ErrorCode::DiskFull => LogbookError::Full { path },
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied => LogbookError::ReadOnly { path },
            // the write-ahead files' own ways of saying that there is no room or no right
            ErrorCode::SystemIoFailure if extended == rusqlite::ffi::SQLITE_IOERR_WRITE => {
                LogbookError::Full { path }
            }
            ErrorCode::SystemIoFailure if extended == rusqlite::ffi::SQLITE_IOERR_SHMSIZE => {
                LogbookError::Full { path }
            }
            _ => LogbookError::Other { path, detail },
        }
    }
}
