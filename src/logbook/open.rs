//! Opening the file.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use super::error::LogbookError;
use super::schema;

/// How long another program may keep us waiting, s.
const WAIT_S: u64 = 10;
/// The write-ahead file is brought in when it has so many pages (16 MiB): the largest it grows to.
const CHECKPOINT_PAGES: u32 = 4096;

/// What the file is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// To look: the file must be there.
    Read,
    /// To keep or forget: it is made where it is missing.
    Write,
}

/// An open logbook.
#[derive(Debug)]
pub struct Logbook {
    pub(super) connection: Connection,
    path: PathBuf,
    wait_s: u64,
}

impl Logbook {
    /// Opens the logbook at `path`, waiting up to ten seconds for others.
    ///
    /// # Errors
    /// See [`LogbookError`]: each names the file and comes with what to do.
    pub fn open(path: &Path, access: Access) -> Result<Self, LogbookError> {
        Self::open_waiting(path, access, WAIT_S)
    }

    /// Opens the logbook at `path`, waiting up to `wait_s` seconds for others, then and later.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn open_waiting(path: &Path, access: Access, wait_s: u64) -> Result<Self, LogbookError> {
        if path.is_dir() {
            return Err(LogbookError::Foreign {
                path: path.to_owned(),
            });
        }
        let there = path.exists();
        match access {
            Access::Read if !there => Err(LogbookError::Missing {
                path: path.to_owned(),
            }),
            Access::Read => Self::to_read(path, wait_s),
            Access::Write => Self::to_write(path, wait_s),
        }
    }

    fn to_write(path: &Path, wait_s: u64) -> Result<Self, LogbookError> {
        let failed = |error: rusqlite::Error| match LogbookError::of(path, &error, wait_s) {
            // a folder that does not allow a new file
            LogbookError::Other { path, .. } if !path.exists() => LogbookError::ReadOnly { path },
            other => other,
        };
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(failed)?;
        let mut logbook = Logbook {
            connection,
            path: path.to_owned(),
            wait_s,
        };
        logbook.set_up().map_err(failed)?;
        let found = logbook.form()?;
        let short = found < schema::VERSION
            || !schema::missing_measures(&logbook.connection)
                .map_err(failed)?
                .is_empty();
        if short {
            // asked again inside: another program may have been faster
            let transaction = logbook.begin().map_err(failed)?;
            let now: i64 = transaction
                .pragma_query_value(None, "user_version", |row| row.get(0))
                .map_err(failed)?;
            schema::bring_up(&transaction, now).map_err(failed)?;
            transaction.commit().map_err(failed)?;
        }
        Ok(logbook)
    }

    fn to_read(path: &Path, wait_s: u64) -> Result<Self, LogbookError> {
        match Self::looking(path, wait_s, false) {
            // In a folder that allows no new file the write-ahead index cannot be made. Where nothing is
            // waiting in a write-ahead file, the file itself is all there is.
            Err(LogbookError::Other { .. } | LogbookError::ReadOnly { .. })
                if !waiting_beside(path) =>
            {
                Self::looking(path, wait_s, true)
            }
            other => other,
        }
    }

    fn looking(path: &Path, wait_s: u64, unchanging: bool) -> Result<Self, LogbookError> {
        let failed = |error: rusqlite::Error| LogbookError::of(path, &error, wait_s);
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
            | OpenFlags::SQLITE_OPEN_NO_MUTEX
            | OpenFlags::SQLITE_OPEN_URI;
        let connection = if unchanging {
            Connection::open_with_flags(format!("file:{}?immutable=1", in_uri(path)), flags)
        } else {
            Connection::open_with_flags(format!("file:{}", in_uri(path)), flags)
        }
        .map_err(failed)?;
        connection
            .busy_timeout(Duration::from_secs(wait_s))
            .map_err(failed)?;
        let logbook = Logbook {
            connection,
            path: path.to_owned(),
            wait_s,
        };
        let found = logbook.form()?;
        if found == 0 {
            return Err(LogbookError::Foreign {
                path: path.to_owned(),
            });
        }
        Ok(logbook)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn set_up(&self) -> rusqlite::Result<()> {
        let connection = &self.connection;
        connection.busy_timeout(Duration::from_secs(self.wait_s))?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "NORMAL")?;
        connection.pragma_update(None, "foreign_keys", true)?;
        // what is taken out is overwritten with zeros
        connection.pragma_update(None, "secure_delete", true)?;
        connection.pragma_update(None, "wal_autocheckpoint", CHECKPOINT_PAGES)
    }

    /// Form of the file: 0 for an empty one.
    fn form(&self) -> Result<i64, LogbookError> {
        let value = |name: &str| -> Result<i64, LogbookError> {
            self.connection
                .pragma_query_value(None, name, |row| row.get(0))
                .map_err(|error| self.failed(&error))
        };
        let (application, version) = (value("application_id")?, value("user_version")?);
        let tables: i64 = self
            .connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(|error| self.failed(&error))?;
        let path = || self.path.clone();
        if tables == 0 {
            return Ok(0);
        }
        if application != schema::APPLICATION_ID || version < 1 {
            return Err(LogbookError::Foreign { path: path() });
        }
        if version > schema::VERSION {
            return Err(LogbookError::Newer {
                path: path(),
                found: version,
                known: schema::VERSION,
            });
        }
        Ok(version)
    }

    /// Begins to write, waiting for others.
    pub(super) fn begin(&mut self) -> rusqlite::Result<Transaction<'_>> {
        self.connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
    }

    /// What a database error means.
    pub(super) fn failed(&self, error: &rusqlite::Error) -> LogbookError {
        LogbookError::of(&self.path, error, self.wait_s)
    }
}

/// Whether a write-ahead file holds something that is not in the file yet.
fn waiting_beside(path: &Path) -> bool {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    Path::new(&name).metadata().is_ok_and(|m| m.len() > 0)
}

/// The path as part of a URI.
fn in_uri(path: &Path) -> String {
    let mut out = String::new();
    for byte in path.to_string_lossy().bytes() {
        match byte {
            b'?' | b'#' | b'%' | b' ' => {
                let _ = write!(out, "%{byte:02x}");
            }
            _ => out.push(byte as char),
        }
    }
    out
}
