//! Keeping a debrief.

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Transaction, params, params_from_iter};

use super::error::LogbookError;
use super::open::Logbook;
use super::schema::columns_of;
use crate::debrief::document::{Attempt, BEST_GLIDE_NEVER_HELD, Debrief, Ending, Verdict};
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::Measured;

/// A debrief to keep.
#[derive(Debug, Clone, Copy)]
pub struct Kept<'a> {
    /// The document.
    pub debrief: &'a Debrief,
    /// Version of the methods it was made with.
    pub method: u32,
    /// Hash of everything but the recording that went into it: briefing, events, options.
    pub inputs_sha256: &'a str,
}

impl Logbook {
    /// Keeps a debrief, in place of what was kept of the same recording.
    ///
    /// # Errors
    /// See [`LogbookError`]; the logbook is then as it was.
    pub fn keep(&mut self, kept: &Kept<'_>) -> Result<(), LogbookError> {
        self.keep_all(std::slice::from_ref(kept))
    }

    /// Keeps several debriefs, all of them or none.
    ///
    /// # Errors
    /// See [`LogbookError`]; the logbook is then as it was.
    pub fn keep_all(&mut self, all: &[Kept<'_>]) -> Result<(), LogbookError> {
        let kept = (|| {
            let transaction = self.begin()?;
            for kept in all {
                insert(&transaction, kept)?;
            }
            transaction.commit()
        })();
        kept.map_err(|error| self.failed(&error))
    }

    /// Number of attempts of a recording kept with this very content, method and inputs; none where it is not.
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn attempts_kept(
        &self,
        sha256: &str,
        method: u32,
        inputs_sha256: &str,
    ) -> Result<Option<usize>, LogbookError> {
        let found = (|| {
            self.connection
                .prepare_cached(
                    "SELECT attempts FROM recording
                     WHERE sha256 = ?1 AND method = ?2 AND inputs_sha256 = ?3",
                )?
                .query_row(params![sha256, method, inputs_sha256], |row| {
                    row.get::<_, i64>(0)
                })
                .optional()
        })();
        found
            .map(|n| n.map(|n| n.max(0) as usize))
            .map_err(|error| self.failed(&error))
    }
}

fn insert(transaction: &Transaction<'_>, kept: &Kept<'_>) -> rusqlite::Result<()> {
    let document = kept.debrief;
    let (recording, reference) = (&document.recording, &document.reference);
    let person = |code: &Option<String>| {
        code.as_ref()
            .map(|code| id_of(transaction, ("person", "code"), code))
            .transpose()
    };
    let aircraft = reference
        .registration
        .as_ref()
        .map(|registration| id_of(transaction, ("aircraft", "registration"), registration))
        .transpose()?;
    if let (Some(id), Some(kind)) = (aircraft, &reference.aircraft_type) {
        transaction
            .prepare_cached("UPDATE aircraft SET type = ?2 WHERE id = ?1 AND type IS NOT ?2")?
            .execute(params![id, kind])?;
    }
    transaction
        .prepare_cached("DELETE FROM recording WHERE sha256 = ?1")?
        .execute(params![recording.sha256])?;
    transaction
        .prepare_cached(
            "INSERT INTO recording (sha256, method, inputs_sha256, program, file, format, fixes,
               rate_hz, start_utc, end_utc, aircraft_id, pilot_id, instructor_id, aim_name,
               aim_latitude_deg, aim_longitude_deg, landing_true_deg, best_glide_kcas,
               handbook_best_glide_kcas, handbook_glide_ratio, reference_weight_lb, weight_lb,
               abeam_target_ft, attempts)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18,
               ?19, ?20, ?21, ?22, ?23, ?24)",
        )?
        .execute(params![
            recording.sha256,
            kept.method,
            kept.inputs_sha256,
            document.program,
            recording.file,
            recording.format,
            recording.fixes as i64,
            recording.rate_hz,
            recording.start_utc,
            recording.end_utc,
            aircraft,
            person(&reference.pilot)?,
            person(&reference.instructor)?,
            reference.aim_name,
            reference.aim_latitude_deg,
            reference.aim_longitude_deg,
            reference.landing_true_deg,
            reference.best_glide_kcas,
            reference.handbook_best_glide_kcas,
            reference.handbook_glide_ratio,
            reference.reference_weight_lb,
            reference.weight_lb,
            reference.abeam_target_ft,
            document.attempts.len() as i64,
        ])?;
    let recording_id = transaction.last_insert_rowid();
    for attempt in &document.attempts {
        insert_attempt(transaction, recording_id, attempt)?;
    }
    Ok(())
}

/// Ids, separated by commas, of the measures without a figure because it was not achieved; null where there are none.
fn not_achieved(attempt: &Attempt) -> Option<String> {
    let ids: Vec<&str> = attempt
        .measures
        .iter()
        .filter(|(_, measured)| measured.reason() == Some(BEST_GLIDE_NEVER_HELD))
        .map(|(id, _)| id.as_str())
        .collect();
    (!ids.is_empty()).then(|| ids.join(","))
}

fn insert_attempt(
    transaction: &Transaction<'_>,
    recording_id: i64,
    attempt: &Attempt,
) -> rusqlite::Result<()> {
    let standard = attempt
        .grade
        .as_ref()
        .map(|grade| id_of(transaction, ("standard", "name"), &grade.standard))
        .transpose()?;
    let utc = attempt
        .key_points
        .iter()
        .find(|point| point.kind == "power_reduction")
        .and_then(|point| point.utc.value())
        .unwrap_or_default();
    transaction
        .prepare_cached(
            "INSERT INTO attempt (recording_id, number, confidence, ending, power_reduction_utc, standard_id,
               not_achieved)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?
        .execute(params![
            recording_id,
            attempt.number,
            attempt.confidence,
            ending(attempt.ending),
            utc,
            standard,
            not_achieved(attempt),
        ])?;
    let id = transaction.last_insert_rowid();
    insert_figures(transaction, id, attempt)?;
    for glide in &attempt.glide_energy {
        transaction
            .prepare_cached(
                "INSERT OR REPLACE INTO glide VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            )?
            .execute(params![
                id,
                glide.flap,
                glide.seconds,
                glide.lost_ft,
                glide.parasite_ft,
                glide.induced_ft,
                glide.turning_ft,
                glide.distance_ft,
                glide.sd_ft,
                glide.tas_over_cas,
            ])?;
    }
    for criterion in attempt.grade.iter().flat_map(|grade| &grade.criteria) {
        transaction
            .prepare_cached("INSERT OR REPLACE INTO verdict VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![
                id,
                criterion.id,
                verdict(criterion.verdict),
                criterion.share_inside
            ])?;
    }
    Ok(())
}

fn insert_figures(
    transaction: &Transaction<'_>,
    id: i64,
    attempt: &Attempt,
) -> rusqlite::Result<()> {
    let mut values = vec![Value::Integer(id)];
    for info in CATALOGUE {
        let measured = attempt.measures.get(info.id);
        let value = measured.and_then(Measured::value);
        let interval = measured.and_then(Measured::interval);
        let real = |v: Option<f64>| v.map_or(Value::Null, Value::Real);
        values.extend([
            real(value),
            real(interval.map(|i| i.0)),
            real(interval.map(|i| i.1)),
        ]);
    }
    transaction
        .prepare_cached(figures_statement())?
        .execute(params_from_iter(values))?;
    Ok(())
}

/// The one long statement, made once.
fn figures_statement() -> &'static str {
    static STATEMENT: std::sync::OnceLock<String> = std::sync::OnceLock::new();
    STATEMENT.get_or_init(|| {
        let columns: Vec<String> = CATALOGUE
            .iter()
            .flat_map(|info| columns_of(info.id))
            .collect();
        let places = vec!["?"; columns.len() + 1].join(", ");
        format!(
            "INSERT INTO figure (attempt_id, {}) VALUES ({places})",
            columns.join(", ")
        )
    })
}

/// The id of a code, which gets one where it has none.
fn id_of(
    transaction: &Transaction<'_>,
    (table, column): (&str, &str),
    code: &str,
) -> rusqlite::Result<i64> {
    let known = transaction
        .prepare_cached(&format!("SELECT id FROM {table} WHERE {column} = ?1"))?
        .query_row(params![code], |row| row.get(0))
        .optional()?;
    if let Some(id) = known {
        return Ok(id);
    }
    transaction
        .prepare_cached(&format!("INSERT INTO {table} ({column}) VALUES (?1)"))?
        .execute(params![code])?;
    Ok(transaction.last_insert_rowid())
}

fn ending(ending: Ending) -> &'static str {
    match ending {
        Ending::Touchdown => "touchdown",
        Ending::GoAround => "go_around",
        Ending::EndOfRecording => "end_of_recording",
    }
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::NotMet => "not_met",
        Verdict::TooCloseToCall => "too_close_to_call",
        Verdict::NotMeasured => "not_measured",
    }
}
