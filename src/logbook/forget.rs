//! Forgetting a person.

use rusqlite::{OptionalExtension, params};

use super::error::LogbookError;
use super::open::Logbook;

/// What was removed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Forgotten {
    /// Recordings flown, removed with everything about them.
    pub recordings: usize,
    /// Recordings instructed, which stay without the instructor.
    pub instructed: usize,
}

impl Logbook {
    /// Removes a person: the recordings flown, the code, and every trace of them in the bytes of the file.
    /// None where the logbook holds no such code.
    ///
    /// Pages are overwritten, the file is written anew and the write-ahead file emptied: nothing of it can
    /// be read back from these files. Reports that were written elsewhere are not touched.
    ///
    /// # Errors
    /// See [`LogbookError`]. Where another program is reading, the rows are gone but the file could not be
    /// written anew: the error says so by being `Locked`, and forgetting again finishes it.
    pub fn forget(&mut self, code: &str) -> Result<Option<Forgotten>, LogbookError> {
        let removed = self.remove(code).map_err(|error| self.failed(&error))?;
        self.leave_no_trace().map_err(|error| self.failed(&error))?;
        Ok(removed)
    }

    fn remove(&mut self, code: &str) -> rusqlite::Result<Option<Forgotten>> {
        let transaction = self.begin()?;
        let id: Option<i64> = transaction
            .query_row("SELECT id FROM person WHERE code = ?1", [code], |row| {
                row.get(0)
            })
            .optional()?;
        let Some(id) = id else {
            return Ok(None);
        };
        let recordings =
            transaction.execute("DELETE FROM recording WHERE pilot_id = ?1", params![id])?;
        let instructed = transaction.execute(
            "UPDATE recording SET instructor_id = NULL WHERE instructor_id = ?1",
            params![id],
        )?;
        transaction.execute("DELETE FROM person WHERE id = ?1", params![id])?;
        transaction.commit()?;
        Ok(Some(Forgotten {
            recordings,
            instructed,
        }))
    }

    fn leave_no_trace(&self) -> rusqlite::Result<()> {
        self.bring_in()?;
        self.connection.execute_batch("VACUUM")?;
        self.bring_in()
    }

    /// Brings the write-ahead file in and empties it; busy where another program reads.
    fn bring_in(&self) -> rusqlite::Result<()> {
        let busy: i64 =
            self.connection
                .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
        if busy == 0 {
            return Ok(());
        }
        Err(rusqlite::Error::SqliteFailure(
            rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_BUSY),
            None,
        ))
    }
}
