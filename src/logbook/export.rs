//! Writing a logbook out for other programs.

use std::io::Write;

use serde_json::{Map, Value, json};

use super::ask::Who;
use super::columns::{Cell, Kind, cells, columns};
use super::error::LogbookError;
use super::open::Logbook;

/// The name of the schema of a line of an export in JSON lines.
pub const LINE_SCHEMA: &str = "stillprop.logbook_attempt.v1";

/// Whether this program can write Parquet.
pub const PARQUET_BUILT: bool = cfg!(feature = "parquet");

/// Shape of an export: a row for each attempt in each of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Comma-separated, names in the first line.
    Csv,
    /// One JSON object a line.
    JsonLines,
    /// Apache Parquet, for analytical engines; with the feature `parquet` only.
    Parquet,
}

impl Logbook {
    /// Writes every attempt with its figures; gives their number.
    ///
    /// A measure has three columns: its id, and with `__low` and `__high` the ends of its 95 % interval. What
    /// was not measured is empty (CSV), left out (JSON) or null (Parquet).
    ///
    /// # Errors
    /// See [`LogbookError`]; [`Shape::Parquet`] always where [`PARQUET_BUILT`] is false.
    pub fn export(
        &self,
        shape: Shape,
        out: &mut (dyn Write + Send),
    ) -> Result<usize, LogbookError> {
        match shape {
            Shape::Csv => self.export_csv(out),
            Shape::JsonLines => self.export_json_lines(out),
            #[cfg(feature = "parquet")]
            Shape::Parquet => self.export_parquet(out),
            #[cfg(not(feature = "parquet"))]
            Shape::Parquet => Err(LogbookError::Export(std::io::Error::other(
                "this program was built without `parquet`",
            ))),
        }
    }

    fn export_csv(&self, out: &mut dyn Write) -> Result<usize, LogbookError> {
        let mut count = 0;
        let mut table = csv::Writer::from_writer(out);
        write_row(&mut table, columns().into_iter().map(|column| column.name))?;
        self.each_attempt(Who::All, |row| {
            count += 1;
            let fields = cells(&row).map(|cell| match cell {
                Cell::None => String::new(),
                Cell::Text(text) => text,
                Cell::Whole(number) => number.to_string(),
                Cell::Number(number) => number.to_string(),
            });
            write_row(&mut table, fields)
        })?;
        table.flush()?;
        Ok(count)
    }

    fn export_json_lines(&self, out: &mut dyn Write) -> Result<usize, LogbookError> {
        let columns = columns();
        let mut count = 0;
        self.each_attempt(Who::All, |row| {
            count += 1;
            let mut line = Map::new();
            for (column, cell) in columns.iter().zip(cells(&row)) {
                let value = match cell {
                    Cell::None => continue,
                    Cell::Text(text) => json!(text),
                    Cell::Whole(number) => json!(number),
                    Cell::Number(number) => json!(number),
                };
                line.insert(column.name.clone(), value);
            }
            writeln!(out, "{}", Value::Object(line)).map_err(LogbookError::from)
        })?;
        out.flush()?;
        Ok(count)
    }
}

/// The JSON schema of a line of an export in JSON lines, made from the table of its columns.
pub fn line_schema_json() -> String {
    let columns = columns();
    let properties: Map<String, Value> = columns
        .iter()
        .map(|column| {
            let kind = match column.kind {
                Kind::Text | Kind::Instant => "string",
                Kind::Whole => "integer",
                Kind::Number => "number",
            };
            let mut property = json!({"description": column.what, "type": kind});
            if column.kind == Kind::Instant {
                property["format"] = json!("date-time");
            }
            (column.name.clone(), property)
        })
        .collect();
    let required: Vec<&str> = columns
        .iter()
        .filter(|column| column.always)
        .map(|column| column.name.as_str())
        .collect();
    let schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": LINE_SCHEMA,
        "description": "An attempt, as a line of `stillprop logbook export --format jsonl`; what was not measured is left out.",
        "type": "object",
        "properties": properties,
        "required": required,
    });
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

fn write_row(
    table: &mut csv::Writer<&mut dyn Write>,
    fields: impl Iterator<Item = String>,
) -> Result<(), LogbookError> {
    table
        .write_record(fields)
        .map_err(|error| LogbookError::Export(std::io::Error::other(error)))
}
