//! Asking a logbook.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use super::error::LogbookError;
use super::open::Logbook;
use super::schema::columns_of;
use crate::measures::catalogue::CATALOGUE;

/// A recording as kept.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordingRow {
    /// Number in this logbook.
    pub id: i64,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// File name.
    pub file: String,
    /// First fix, RFC 3339.
    pub start_utc: String,
    /// Registration.
    pub registration: Option<String>,
    /// Pilot's code.
    pub pilot: Option<String>,
    /// Instructor's code.
    pub instructor: Option<String>,
    /// Version of the methods.
    pub method: u32,
    /// Attempts in it.
    pub attempts: u32,
}

/// An attempt as kept, with its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct AttemptRow {
    /// Number in this logbook.
    pub id: i64,
    /// Number of the recording it is in.
    pub recording_id: i64,
    /// File name of that recording.
    pub recording: String,
    /// Its number there.
    pub number: u32,
    /// When the power came off, RFC 3339.
    pub utc: String,
    /// Registration.
    pub registration: Option<String>,
    /// Pilot's code.
    pub pilot: Option<String>,
    /// Name of the aim.
    pub aim: Option<String>,
    /// How it ended: `touchdown`, `go_around` or `end_of_recording`.
    pub ending: String,
    /// Probability that it is one.
    pub confidence: f64,
    /// Height wanted abeam, ft.
    pub abeam_target_ft: Option<f64>,
    /// Value and 95 % interval by measure; those not measured are left out.
    pub figures: BTreeMap<&'static str, [f64; 3]>,
    /// Ids of those that have no figure because it was not achieved, as best glide that was never held.
    pub not_achieved: Vec<String>,
}

/// A glide as kept, with what is needed to compare aircraft.
#[derive(Debug, Clone, PartialEq)]
pub struct GlideRow {
    /// Number of the attempt in this logbook.
    pub attempt: i64,
    /// Number of the recording.
    pub recording: i64,
    /// When the power came off, RFC 3339.
    pub utc: String,
    /// Registration.
    pub registration: String,
    /// Type, where the briefing has it.
    pub kind: Option<String>,
    /// Pilot's code.
    pub pilot: Option<String>,
    /// Probability that it is an attempt.
    pub confidence: f64,
    /// Best glide of the handbook, kt calibrated, at the reference weight.
    pub handbook_best_glide_kcas: Option<f64>,
    /// Best glide used, at the weight flown.
    pub best_glide_kcas: Option<f64>,
    /// Handbook's glide ratio.
    pub handbook_glide_ratio: Option<f64>,
    /// Weight the handbook's speed is for, lb.
    pub reference_weight_lb: Option<f64>,
    /// Height wanted abeam, ft.
    pub abeam_target_ft: Option<f64>,
    /// Height abeam and its 95 % interval, ft.
    pub abeam_height_ft: Option<[f64; 3]>,
    /// Touchdown beyond the aim, flown or projected, and its 95 % interval, ft.
    pub along_ft: Option<[f64; 3]>,
    /// `clean` or the flap setting.
    pub flap: String,
    /// Energy lost, parasite, induced and turning terms, distance and standard deviation, ft.
    pub terms_ft: [f64; 6],
    /// Duration, s.
    pub seconds: f64,
    /// True over calibrated airspeed.
    pub tas_over_cas: f64,
}

/// Whose attempts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who<'a> {
    /// Everybody's.
    All,
    /// Those of one pilot.
    Pilot(&'a str),
    /// Those of one recording, by its number.
    Recording(i64),
}

impl Logbook {
    /// The recordings, in the order of their times.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn recordings(&self) -> Result<Vec<RecordingRow>, LogbookError> {
        self.all(
            "SELECT r.id, r.sha256, r.file, r.start_utc, a.registration, p.code, i.code, r.method, r.attempts
             FROM recording r
             LEFT JOIN aircraft a ON a.id = r.aircraft_id
             LEFT JOIN person p ON p.id = r.pilot_id
             LEFT JOIN person i ON i.id = r.instructor_id
             ORDER BY r.start_utc, r.id",
            |row| {
                Ok(RecordingRow {
                    id: row.get(0)?,
                    sha256: row.get(1)?,
                    file: row.get(2)?,
                    start_utc: row.get(3)?,
                    registration: row.get(4)?,
                    pilot: row.get(5)?,
                    instructor: row.get(6)?,
                    method: row.get(7)?,
                    attempts: row.get(8)?,
                })
            },
        )
    }

    /// The codes of all pilots with attempts, in order.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn pilots(&self) -> Result<Vec<String>, LogbookError> {
        self.all(
            "SELECT DISTINCT p.code FROM person p JOIN recording r ON r.pilot_id = p.id
             WHERE r.attempts > 0 ORDER BY p.code",
            |row| row.get(0),
        )
    }

    /// Attempts with all their figures, in the order of their times.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn attempts(&self, who: Who<'_>) -> Result<Vec<AttemptRow>, LogbookError> {
        let mut out = Vec::new();
        self.each_attempt(who, |row| {
            out.push(row);
            Ok(())
        })?;
        Ok(out)
    }

    /// Each attempt in turn, without holding all of them.
    ///
    /// # Errors
    /// See [`LogbookError`]; what `each` fails with ends it.
    pub(super) fn each_attempt(
        &self,
        who: Who<'_>,
        mut each: impl FnMut(AttemptRow) -> Result<(), LogbookError>,
    ) -> Result<(), LogbookError> {
        // a file of an older form may lack the newest measures
        let missing = super::schema::missing_measures(&self.connection)
            .map_err(|error| self.failed(&error))?;
        let known: Vec<&'static str> = CATALOGUE
            .iter()
            .map(|info| info.id)
            .filter(|id| !missing.contains(id))
            .collect();
        let columns: Vec<String> = known
            .iter()
            .flat_map(|id| columns_of(id))
            .map(|column| format!("f.{column}"))
            .collect();
        let not_achieved = match super::schema::tells_not_achieved(&self.connection) {
            Ok(true) => "t.not_achieved",
            Ok(false) => "NULL",
            Err(error) => return Err(self.failed(&error)),
        };
        let (filter, parameter): (&str, rusqlite::types::Value) = match who {
            Who::All => ("", rusqlite::types::Value::Null),
            Who::Pilot(code) => ("WHERE p.code = ?1", code.to_owned().into()),
            Who::Recording(id) => ("WHERE r.id = ?1", id.into()),
        };
        let sql = format!(
            "SELECT t.id, r.file, t.number, t.power_reduction_utc, a.registration, p.code, r.aim_name,
                    t.ending, t.confidence, r.abeam_target_ft, r.id, {not_achieved}, {}
             FROM attempt t
             JOIN recording r ON r.id = t.recording_id
             JOIN figure f ON f.attempt_id = t.id
             LEFT JOIN aircraft a ON a.id = r.aircraft_id
             LEFT JOIN person p ON p.id = r.pilot_id
             {filter} ORDER BY t.power_reduction_utc, t.id",
            columns.join(", ")
        );
        let failed = |error: rusqlite::Error| self.failed(&error);
        let mut statement = self.connection.prepare_cached(&sql).map_err(failed)?;
        let mut rows = if filter.is_empty() {
            statement.query([])
        } else {
            statement.query(params![parameter])
        }
        .map_err(failed)?;
        while let Some(row) = rows.next().map_err(failed)? {
            each(attempt_of(row, &known).map_err(failed)?)?;
        }
        Ok(())
    }

    /// How many attempts have no clean glide to compare, by registration; the first of them, with an empty one, are
    /// those of recordings without a registration, all of them.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn without_clean_glide(&self) -> Result<Vec<(String, u32)>, LogbookError> {
        self.all(
            "SELECT coalesce(a.registration, '') AS registration, count(*)
             FROM attempt t
             JOIN recording r ON r.id = t.recording_id
             LEFT JOIN aircraft a ON a.id = r.aircraft_id
             WHERE a.registration IS NULL
                OR NOT EXISTS (SELECT 1 FROM glide g WHERE g.attempt_id = t.id AND g.flap = 'clean')
             GROUP BY 1 ORDER BY 1",
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
    }

    /// Glides of aircraft that have a registration, in the order of their times.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn glides(&self) -> Result<Vec<GlideRow>, LogbookError> {
        self.all(
            "SELECT t.id, r.id, t.power_reduction_utc, a.registration, a.type, p.code, t.confidence,
                    r.handbook_best_glide_kcas, r.best_glide_kcas, r.handbook_glide_ratio,
                    r.reference_weight_lb, r.abeam_target_ft,
                    f.abeam_height_ft, f.abeam_height_ft__low, f.abeam_height_ft__high,
                    coalesce(f.touchdown_along_ft, f.projected_touchdown_along_ft),
                    coalesce(f.touchdown_along_ft__low, f.projected_touchdown_along_ft__low),
                    coalesce(f.touchdown_along_ft__high, f.projected_touchdown_along_ft__high),
                    g.flap, g.lost_ft, g.parasite_ft, g.induced_ft, g.turning_ft, g.distance_ft, g.sd_ft,
                    g.seconds, g.tas_over_cas
             FROM glide g
             JOIN attempt t ON t.id = g.attempt_id
             JOIN recording r ON r.id = t.recording_id
             JOIN figure f ON f.attempt_id = t.id
             JOIN aircraft a ON a.id = r.aircraft_id
             LEFT JOIN person p ON p.id = r.pilot_id
             ORDER BY t.power_reduction_utc, t.id, g.flap",
            |row| {
                Ok(GlideRow {
                    attempt: row.get(0)?,
                    recording: row.get(1)?,
                    utc: row.get(2)?,
                    registration: row.get(3)?,
                    kind: row.get(4)?,
                    pilot: row.get(5)?,
                    confidence: row.get(6)?,
                    handbook_best_glide_kcas: row.get(7)?,
                    best_glide_kcas: row.get(8)?,
                    handbook_glide_ratio: row.get(9)?,
                    reference_weight_lb: row.get(10)?,
                    abeam_target_ft: row.get(11)?,
                    abeam_height_ft: figure_at(row, 12)?,
                    along_ft: figure_at(row, 15)?,
                    flap: row.get(18)?,
                    terms_ft: [
                        row.get(19)?,
                        row.get(20)?,
                        row.get(21)?,
                        row.get(22)?,
                        row.get(23)?,
                        row.get(24)?,
                    ],
                    seconds: row.get(25)?,
                    tas_over_cas: row.get(26)?,
                })
            },
        )
    }

    fn all<T>(
        &self,
        sql: &str,
        of: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, LogbookError> {
        let found: rusqlite::Result<Vec<T>> = (|| {
            let mut statement = self.connection.prepare_cached(sql)?;
            statement.query_map([], of)?.collect()
        })();
        found.map_err(|error| self.failed(&error))
    }
}

/// Value and interval in three columns from `at` on.
fn figure_at(row: &Row<'_>, at: usize) -> rusqlite::Result<Option<[f64; 3]>> {
    let value: Option<f64> = row.get(at)?;
    let low: Option<f64> = row.get(at + 1)?;
    let high: Option<f64> = row.get(at + 2)?;
    Ok(value.zip(low).zip(high).map(|((v, l), h)| [v, l, h]))
}

fn attempt_of(row: &Row<'_>, known: &[&'static str]) -> rusqlite::Result<AttemptRow> {
    let mut figures = BTreeMap::new();
    for (i, id) in known.iter().enumerate() {
        if let Some(figure) = figure_at(row, 12 + 3 * i)? {
            figures.insert(*id, figure);
        }
    }
    Ok(AttemptRow {
        id: row.get(0)?,
        recording_id: row.get(10)?,
        recording: row.get(1)?,
        number: row.get(2)?,
        utc: row.get(3)?,
        registration: row.get(4)?,
        pilot: row.get(5)?,
        aim: row.get(6)?,
        ending: row.get(7)?,
        confidence: row.get(8)?,
        abeam_target_ft: row.get(9)?,
        figures,
        not_achieved: row
            .get::<_, Option<String>>(11)?
            .map(|ids| ids.split(',').map(str::to_owned).collect())
            .unwrap_or_default(),
    })
}
