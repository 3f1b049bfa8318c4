//! The form of the file, and the steps from older forms.

use rusqlite::{Connection, Transaction};

use crate::measures::catalogue::CATALOGUE;

/// Marks the file as a logbook of this program (`PRAGMA application_id`): "stpl".
pub(super) const APPLICATION_ID: i64 = 0x7374_706c;

/// Form of the file (`PRAGMA user_version`).
pub const VERSION: i64 = STEPS.len() as i64;

/// Step `n` makes form `n + 1` of form `n`; an empty file has form 0. Steps that were published never change.
const STEPS: &[&str] = &[
    "
CREATE TABLE aircraft (
  id INTEGER PRIMARY KEY,
  registration TEXT NOT NULL UNIQUE,
  type TEXT
);
CREATE TABLE person (
  id INTEGER PRIMARY KEY,
  code TEXT NOT NULL UNIQUE
);
CREATE TABLE standard (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
);
CREATE TABLE recording (
  id INTEGER PRIMARY KEY,
  sha256 TEXT NOT NULL UNIQUE,
  method INTEGER NOT NULL,
  inputs_sha256 TEXT NOT NULL,
  program TEXT NOT NULL,
  file TEXT NOT NULL,
  format TEXT NOT NULL,
  fixes INTEGER NOT NULL,
  rate_hz REAL NOT NULL,
  start_utc TEXT NOT NULL,
  end_utc TEXT NOT NULL,
  aircraft_id INTEGER REFERENCES aircraft(id),
  pilot_id INTEGER REFERENCES person(id),
  instructor_id INTEGER REFERENCES person(id),
  aim_name TEXT,
  aim_latitude_deg REAL,
  aim_longitude_deg REAL,
  landing_true_deg REAL,
  best_glide_kcas REAL,
  handbook_best_glide_kcas REAL,
  handbook_glide_ratio REAL,
  reference_weight_lb REAL,
  weight_lb REAL,
  abeam_target_ft REAL,
  attempts INTEGER NOT NULL
);
CREATE INDEX recording_by_aircraft ON recording(aircraft_id, start_utc);
CREATE INDEX recording_by_pilot ON recording(pilot_id, start_utc);
CREATE INDEX recording_by_instructor ON recording(instructor_id);
CREATE TABLE attempt (
  id INTEGER PRIMARY KEY,
  recording_id INTEGER NOT NULL REFERENCES recording(id) ON DELETE CASCADE,
  number INTEGER NOT NULL,
  confidence REAL NOT NULL,
  ending TEXT NOT NULL,
  power_reduction_utc TEXT NOT NULL,
  standard_id INTEGER REFERENCES standard(id),
  UNIQUE (recording_id, number)
);
CREATE TABLE figure (
  attempt_id INTEGER PRIMARY KEY REFERENCES attempt(id) ON DELETE CASCADE
);
CREATE TABLE verdict (
  attempt_id INTEGER NOT NULL REFERENCES attempt(id) ON DELETE CASCADE,
  criterion TEXT NOT NULL,
  verdict TEXT NOT NULL,
  share_inside REAL,
  PRIMARY KEY (attempt_id, criterion)
) WITHOUT ROWID;
CREATE TABLE glide (
  attempt_id INTEGER NOT NULL REFERENCES attempt(id) ON DELETE CASCADE,
  flap TEXT NOT NULL,
  seconds REAL NOT NULL,
  lost_ft REAL NOT NULL,
  parasite_ft REAL NOT NULL,
  induced_ft REAL NOT NULL,
  turning_ft REAL NOT NULL,
  distance_ft REAL NOT NULL,
  sd_ft REAL NOT NULL,
  tas_over_cas REAL NOT NULL,
  PRIMARY KEY (attempt_id, flap)
) WITHOUT ROWID;
",
    "
ALTER TABLE attempt ADD COLUMN not_achieved TEXT;
",
];

/// Brings the file to the latest form.
pub(super) fn bring_up(transaction: &Transaction<'_>, from: i64) -> rusqlite::Result<()> {
    for step in STEPS.iter().skip(from.max(0) as usize) {
        transaction.execute_batch(step)?;
    }
    add_measures(transaction)?;
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", VERSION)
}

/// Columns of the table `figure`: value, 2.5 % and 97.5 % point of every measure.
pub(super) fn columns_of(measure: &str) -> [String; 3] {
    [
        measure.to_owned(),
        format!("{measure}__low"),
        format!("{measure}__high"),
    ]
}

/// Measures that the file has no columns for.
pub(super) fn missing_measures(connection: &Connection) -> rusqlite::Result<Vec<&'static str>> {
    let mut statement = connection.prepare("SELECT name FROM pragma_table_info('figure')")?;
    let there: Vec<String> = statement
        .query_map([], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    Ok(CATALOGUE
        .iter()
        .map(|info| info.id)
        .filter(|id| !there.iter().any(|name| name == id))
        .collect())
}

/// Whether the file says what was not achieved: it does from form 2 on.
pub(super) fn tells_not_achieved(connection: &Connection) -> rusqlite::Result<bool> {
    connection.query_row(
        "SELECT count(*) > 0 FROM pragma_table_info('attempt') WHERE name = 'not_achieved'",
        [],
        |row| row.get(0),
    )
}

/// A measure new in the catalogue gets its columns; older rows have none of it.
fn add_measures(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    for measure in missing_measures(transaction)? {
        for column in columns_of(measure) {
            transaction.execute_batch(&format!("ALTER TABLE figure ADD COLUMN {column} REAL"))?;
        }
    }
    Ok(())
}
