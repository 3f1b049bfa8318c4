//! Writing a logbook out as Parquet.
//!
//! The columns are those of every export. An instant is a timestamp in UTC, text that repeats is kept once
//! (dictionary pages), and pages are packed with Snappy, which every reader of the format knows.

use std::io::{self, Write};
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::{ParquetError, Result};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{Type, TypePtr};

use super::ask::Who;
use super::columns::{Cell, Column, Kind, cells, columns};
use super::error::LogbookError;
use super::open::Logbook;

/// Rows held until they are written: some 15 MB.
const ROWS_IN_A_GROUP: usize = 10_000;

impl Logbook {
    pub(super) fn export_parquet(
        &self,
        out: &mut (dyn Write + Send),
    ) -> std::result::Result<usize, LogbookError> {
        let columns = columns();
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_created_by(concat!("stillprop ", env!("CARGO_PKG_VERSION")).to_owned())
            .build();
        let schema = schema(&columns).map_err(failed)?;
        let mut file =
            SerializedFileWriter::new(out, schema, Arc::new(properties)).map_err(failed)?;
        let mut held: Vec<Held> = columns
            .iter()
            .map(|column| Held::new(column.kind))
            .collect();
        let (mut rows, mut count) = (0, 0);
        self.each_attempt(Who::All, |row| {
            for (held, cell) in held.iter_mut().zip(cells(&row)) {
                held.push(cell);
            }
            rows += 1;
            count += 1;
            if rows == ROWS_IN_A_GROUP {
                rows = 0;
                write_group(&mut file, &columns, &mut held).map_err(failed)?;
            }
            Ok(())
        })?;
        if rows > 0 {
            write_group(&mut file, &columns, &mut held).map_err(failed)?;
        }
        file.close().map_err(failed)?;
        Ok(count)
    }
}

/// The crate's error as that of an export; that of the file beneath as it was.
fn failed(error: ParquetError) -> LogbookError {
    LogbookError::Export(match error {
        ParquetError::External(cause) => match cause.downcast::<io::Error>() {
            Ok(error) => *error,
            Err(other) => io::Error::other(other),
        },
        other => io::Error::other(other),
    })
}

fn schema(columns: &[Column]) -> Result<TypePtr> {
    let fields = columns.iter().map(|column| {
        let (physical, logical) = match column.kind {
            Kind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            Kind::Whole => (Physical::INT64, None),
            Kind::Number => (Physical::DOUBLE, None),
            Kind::Instant => (
                Physical::INT64,
                Some(LogicalType::timestamp(true, TimeUnit::MILLIS)),
            ),
        };
        // an instant may be missing where a recording has no clock
        let repetition = if column.always && column.kind != Kind::Instant {
            Repetition::REQUIRED
        } else {
            Repetition::OPTIONAL
        };
        Type::primitive_type_builder(&column.name, physical)
            .with_logical_type(logical)
            .with_repetition(repetition)
            .build()
            .map(Arc::new)
    });
    Type::group_type_builder("attempt")
        .with_fields(fields.collect::<Result<_>>()?)
        .build()
        .map(Arc::new)
}

/// Values of one column that wait to be written, and for each row whether it has one (1) or not (0).
struct Held {
    values: Values,
    there: Vec<i16>,
}

enum Values {
    Text(Vec<ByteArray>),
    Whole(Vec<i64>),
    Number(Vec<f64>),
    /// Milliseconds since the start of 1970, UTC.
    Instant(Vec<i64>),
}

impl Held {
    fn new(kind: Kind) -> Self {
        let values = match kind {
            Kind::Text => Values::Text(Vec::new()),
            Kind::Whole => Values::Whole(Vec::new()),
            Kind::Number => Values::Number(Vec::new()),
            Kind::Instant => Values::Instant(Vec::new()),
        };
        Held {
            values,
            there: Vec::new(),
        }
    }

    fn push(&mut self, cell: Cell) {
        let there = match (&mut self.values, cell) {
            (Values::Text(all), Cell::Text(text)) => {
                all.push(text.into_bytes().into());
                true
            }
            (Values::Whole(all), Cell::Whole(number)) => {
                all.push(number);
                true
            }
            (Values::Number(all), Cell::Number(number)) => {
                all.push(number);
                true
            }
            (Values::Instant(all), Cell::Text(text)) => {
                let instant = text.parse::<jiff::Timestamp>();
                all.extend(instant.iter().map(|instant| instant.as_millisecond()));
                instant.is_ok()
            }
            _ => false,
        };
        self.there.push(i16::from(there));
    }
}

/// Writes what is held as one group of rows, and lets go of it.
fn write_group<W: Write + Send>(
    file: &mut SerializedFileWriter<W>,
    columns: &[Column],
    held: &mut [Held],
) -> Result<()> {
    let mut group = file.next_row_group()?;
    for (column, held) in columns.iter().zip(held) {
        let all = std::mem::replace(held, Held::new(column.kind));
        write_column(&mut group, &all)?;
    }
    group.close().map(drop)
}

fn write_column<W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    held: &Held,
) -> Result<()> {
    let Some(mut column) = group.next_column()? else {
        return Err(ParquetError::General("a column too many".into()));
    };
    let there = Some(held.there.as_slice());
    match &held.values {
        Values::Text(all) => column
            .typed::<ByteArrayType>()
            .write_batch(all, there, None)?,
        Values::Whole(all) | Values::Instant(all) => {
            column.typed::<Int64Type>().write_batch(all, there, None)?
        }
        Values::Number(all) => column.typed::<DoubleType>().write_batch(all, there, None)?,
    };
    column.close()
}
