//! Writing a logbook out for other programs.

use std::io::Write;

use serde_json::{Map, Value, json};

use super::ask::{AttemptRow, Who};
use super::error::LogbookError;
use super::open::Logbook;
use super::schema::columns_of;
use crate::measures::catalogue::CATALOGUE;

/// Shape of an export: a row for each attempt either way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Comma-separated, names in the first line.
    Csv,
    /// One JSON object a line.
    JsonLines,
}

/// What comes before the figures.
const ABOUT: [&str; 9] = [
    "recording",
    "attempt",
    "power_reduction_utc",
    "registration",
    "pilot",
    "aim",
    "ending",
    "confidence",
    "abeam_target_ft",
];

impl Logbook {
    /// Writes every attempt with its figures; gives their number.
    ///
    /// A measure has three columns: its id, and with `__low` and `__high` the ends of its 95 % interval. What
    /// was not measured is empty (CSV) or left out (JSON).
    ///
    /// # Errors
    /// See [`LogbookError`].
    pub fn export(&self, shape: Shape, out: &mut dyn Write) -> Result<usize, LogbookError> {
        let mut count = 0;
        match shape {
            Shape::Csv => {
                let mut table = csv::Writer::from_writer(out);
                let names = ABOUT.iter().map(|name| (*name).to_owned());
                let figures = CATALOGUE.iter().flat_map(|info| columns_of(info.id));
                write_row(&mut table, names.chain(figures))?;
                self.each_attempt(Who::All, |row| {
                    count += 1;
                    write_row(&mut table, csv_fields(&row))
                })?;
                table.flush()?;
            }
            Shape::JsonLines => {
                self.each_attempt(Who::All, |row| {
                    count += 1;
                    let line = Value::Object(json_fields(&row));
                    writeln!(out, "{line}").map_err(LogbookError::from)
                })?;
                out.flush()?;
            }
        }
        Ok(count)
    }
}

fn write_row(
    table: &mut csv::Writer<&mut dyn Write>,
    fields: impl Iterator<Item = String>,
) -> Result<(), LogbookError> {
    table
        .write_record(fields)
        .map_err(|error| LogbookError::Export(std::io::Error::other(error)))
}

fn csv_fields(row: &AttemptRow) -> impl Iterator<Item = String> {
    let text = |value: &Option<String>| value.clone().unwrap_or_default();
    let about = [
        row.recording.clone(),
        row.number.to_string(),
        row.utc.clone(),
        text(&row.registration),
        text(&row.pilot),
        text(&row.aim),
        row.ending.clone(),
        row.confidence.to_string(),
        row.abeam_target_ft
            .map_or_else(String::new, |v| v.to_string()),
    ];
    let figures = CATALOGUE
        .iter()
        .flat_map(|info| match row.figures.get(info.id) {
            Some(figure) => figure.map(|v| v.to_string()),
            None => Default::default(),
        });
    about.into_iter().chain(figures)
}

fn json_fields(row: &AttemptRow) -> Map<String, Value> {
    let about = [
        json!(row.recording),
        json!(row.number),
        json!(row.utc),
        json!(row.registration),
        json!(row.pilot),
        json!(row.aim),
        json!(row.ending),
        json!(row.confidence),
        json!(row.abeam_target_ft),
    ];
    let mut out: Map<String, Value> = ABOUT.iter().map(|n| (*n).to_owned()).zip(about).collect();
    for (id, figure) in &row.figures {
        for (column, value) in columns_of(id).into_iter().zip(figure) {
            out.insert(column, json!(value));
        }
    }
    out
}
