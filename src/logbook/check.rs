//! Looking a logbook over.

use super::error::LogbookError;
use super::open::Logbook;

/// Something worth knowing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Whether figures cannot be trusted because of it.
    pub damaged: bool,
    /// What it is, and what to do.
    pub what: String,
}

/// Most findings of one kind told.
const MOST: usize = 20;
/// Two recordings of one aircraft whose power reductions are nearer than this are of one flight, s.
const SAME_FLIGHT_S: f64 = 20.0;

impl Logbook {
    /// Whether the file is sound, older methods, and flights that were kept twice.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn check(&self, method: u32) -> Result<Vec<Finding>, LogbookError> {
        let mut findings = Vec::new();
        for (sql, damaged, before) in [
            ("PRAGMA integrity_check(20)", true, "damaged: "),
            (
                "SELECT 'a row of ' || \"table\" || ' belongs to nothing in ' || parent FROM pragma_foreign_key_check LIMIT 20",
                true,
                "damaged: ",
            ),
        ] {
            for what in self.texts(sql)?.into_iter().filter(|what| what != "ok") {
                findings.push(Finding {
                    damaged,
                    what: format!("{before}{what}"),
                });
            }
        }
        let older = self.texts(&format!(
            "SELECT count(*) || ' recordings were debriefed with methods of version ' || method ||
               ' (now {method}): debrief them again with `--logbook` to compare like with like'
             FROM recording WHERE method <> {method} GROUP BY method"
        ))?;
        findings.extend(older.into_iter().map(|what| Finding {
            damaged: false,
            what,
        }));
        findings.extend(self.recorded_twice()?);
        Ok(findings)
    }

    /// Flights that two recorders recorded: both are kept; `fleet` and `progress` count one.
    fn recorded_twice(&self) -> Result<Vec<Finding>, LogbookError> {
        let pairs = self.texts(&format!(
            "WITH flown AS (
               SELECT r.id AS recording, r.file AS file, r.aircraft_id AS aircraft,
                      (julianday(t.power_reduction_utc) * 86400.0) AS at_s
               FROM attempt t JOIN recording r ON r.id = t.recording_id
               WHERE r.aircraft_id IS NOT NULL),
             pairs AS (
               SELECT recording, file, at_s, aircraft,
                      lag(recording) OVER w AS other, lag(file) OVER w AS other_file, lag(at_s) OVER w AS other_at_s
               FROM flown WINDOW w AS (PARTITION BY aircraft ORDER BY at_s))
             SELECT DISTINCT '`' || other_file || '` and `' || file || '` hold the same attempt; it is counted once'
             FROM pairs WHERE other IS NOT NULL AND other <> recording AND at_s - other_at_s < {SAME_FLIGHT_S} LIMIT {MOST}"
        ))?;
        Ok(pairs
            .into_iter()
            .map(|what| Finding {
                damaged: false,
                what,
            })
            .collect())
    }

    fn texts(&self, sql: &str) -> Result<Vec<String>, LogbookError> {
        let found: rusqlite::Result<Vec<String>> = (|| {
            let mut statement = self.connection.prepare(sql)?;
            statement.query_map([], |row| row.get(0))?.collect()
        })();
        found.map_err(|error| self.failed(&error))
    }
}
