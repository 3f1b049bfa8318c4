//! The instant of a row, from one column or several.

use super::layout::{Column, Layout};
use super::quantity::Quantity;
use super::unit::Unit;
use crate::reading::clock::{self, DateOrder, DayClock};
use crate::reading::note::Notes;
use crate::reading::number;

/// Numbers from here on count from 1970; smaller ones from the start of the recording.
const EPOCH_FROM_S: f64 = 3e8;

/// Turns time cells into instants.
#[derive(Debug)]
pub(super) struct Times {
    time: Column,
    date: Option<Column>,
    offset: Option<Column>,
    /// Of a clock that does not say its zone, from the column map, s east of UTC.
    mapped_offset_s: Option<f64>,
    order: DateOrder,
    decimal_comma: bool,
    clock: DayClock,
    /// The last date cell and its day, for most rows have the same.
    last_date: (Vec<u8>, Option<f64>),
}

/// The zone is not stated and was taken as UTC.
pub(super) const ZONELESS: &str = "time without a zone, read as UTC";

/// The same where the column is called local.
pub(super) const LOCAL: &str =
    "local time without an offset, read as UTC; give `utc_offset` in a column map to correct it";

/// Only a clock.
const NO_DATE: &str =
    "times of day without a date: the date is not known and 2000-01-01 stands for it";

/// Only seconds from the start.
const ELAPSED: &str = "times count from the start of the recording: date and clock are not known, 2000-01-01 00:00 stands for the start";

impl Times {
    pub(super) fn new(
        layout: &Layout,
        order: DateOrder,
        mapped_offset_s: Option<f64>,
    ) -> Option<Self> {
        Some(Self {
            time: layout.of(Quantity::Time)?,
            date: layout.of(Quantity::Date),
            offset: layout.of(Quantity::UtcOffset),
            mapped_offset_s,
            order,
            decimal_comma: layout.decimal_comma,
            clock: DayClock {
                day_s: clock::stand_in_day_s(),
                ..DayClock::default()
            },
            last_date: (Vec::new(), None),
        })
    }

    /// The column of the time.
    pub(super) fn index(&self) -> usize {
        self.time.index
    }

    /// Columns a row must have for its time.
    pub(super) fn furthest(&self) -> usize {
        self.time
            .index
            .max(self.date.map_or(0, |c| c.index))
            .max(self.offset.map_or(0, |c| c.index))
    }

    /// The instant of a row, seconds since 1970 UTC.
    pub(super) fn utc_s(&mut self, fields: &[&[u8]], line: u32, notes: &mut Notes) -> Option<f64> {
        let cell = fields.get(self.time.index)?.trim_ascii();
        if let Some(stamp) = clock::parse(cell) {
            return self.to_utc(stamp.utc_s, stamp.zoned, fields, line, notes);
        }
        let date = self
            .date
            .and_then(|c| fields.get(c.index))
            .filter(|d| !d.is_empty());
        if let Some(date) = date {
            let day_s = self.day_s(date)?;
            let time_s = clock::parse_time_of_day(cell).or_else(|| padded_time_of_day_s(cell))?;
            let zoned = cell.ends_with(b"Z") || cell.ends_with(b"z");
            return self.to_utc(day_s + time_s, zoned, fields, line, notes);
        }
        if self.date.is_some() {
            return None; // a date column with a blank: the recorder had no time yet
        }
        if cell.contains(&b':') {
            return self.without_iso_date(cell, fields, line, notes);
        }
        let value = number::parse_grouped(cell, self.decimal_comma)?;
        let seconds = match value {
            v if v >= 3e17 => v / 1e9,
            v if v >= 3e14 => v / 1e6,
            v if v >= 3e11 => v / 1e3,
            v => v,
        };
        if seconds >= EPOCH_FROM_S {
            return Some(seconds);
        }
        notes.remark(line, ELAPSED);
        let unit = self.time.unit.unwrap_or(Unit::Second);
        (value >= 0.0).then(|| clock::stand_in_day_s() + unit.convert(value))
    }

    /// `03/05/2026 10:21:40`, or a clock alone.
    fn without_iso_date(
        &mut self,
        cell: &[u8],
        fields: &[&[u8]],
        line: u32,
        notes: &mut Notes,
    ) -> Option<f64> {
        if let Some(time_s) = clock::parse_time_of_day(cell) {
            notes.remark(line, NO_DATE);
            let utc_s = self.clock.utc_s(time_s);
            return self.to_utc(utc_s, cell.ends_with(b"Z"), fields, line, notes);
        }
        let blank = cell.iter().position(|b| matches!(b, b' ' | b'T'))?;
        let day_s = self.day_s(&cell[..blank])?;
        let time_s = clock::parse_time_of_day(cell[blank + 1..].trim_ascii())?;
        self.to_utc(day_s + time_s, cell.ends_with(b"Z"), fields, line, notes)
    }

    fn day_s(&mut self, date: &[u8]) -> Option<f64> {
        if self.last_date.0 != date {
            let order = if is_year_first(date) {
                DateOrder::YearMonthDay
            } else {
                self.order
            };
            self.last_date = (
                date.to_vec(),
                clock::date_parts(date).and_then(|p| clock::ordered_date_s(p, order)),
            );
        }
        self.last_date.1
    }

    /// Takes the offset of a clock off, from the row, from the map, or none.
    fn to_utc(
        &self,
        clock_s: f64,
        zoned: bool,
        fields: &[&[u8]],
        line: u32,
        notes: &mut Notes,
    ) -> Option<f64> {
        if zoned || self.time.is_utc {
            return Some(clock_s);
        }
        if let Some(column) = self.offset {
            let (offset_s, stated) = clock::zone_offset_s(fields.get(column.index)?)
                .or_else(|| bare_hours(fields[column.index]))?;
            if stated {
                return Some(clock_s - offset_s);
            }
        }
        if let Some(offset_s) = self.mapped_offset_s {
            return Some(clock_s - offset_s);
        }
        notes.remark(line, if self.time.is_local { LOCAL } else { ZONELESS });
        Some(clock_s)
    }
}

/// `93015` for 09:30:15 beside a date column: leading zeros lost on the way.
fn padded_time_of_day_s(cell: &[u8]) -> Option<f64> {
    let split = cell.iter().position(|b| *b == b'.').unwrap_or(cell.len());
    let whole = number::whole(&cell[..split])?;
    let fraction_s = if split < cell.len() {
        number::parse(&cell[split..])?
    } else {
        0.0
    };
    Some(clock::time_of_day_s(whole / 10_000, whole / 100 % 100, whole % 100)? + fraction_s)
}

/// An offset written as hours: `2`, `-5`, `5.5`.
fn bare_hours(cell: &[u8]) -> Option<(f64, bool)> {
    let hours = number::parse(cell)?;
    (hours.abs() <= 18.0).then_some((hours * 3600.0, true))
}

fn is_year_first(date: &[u8]) -> bool {
    date.len() >= 4 && date[..4].iter().all(u8::is_ascii_digit)
}

/// The order of day and month in a column of dates, as far as the dates themselves tell; whether it is certain.
pub(super) fn date_order<'a>(dates: impl Iterator<Item = &'a [u8]>) -> (DateOrder, bool) {
    let mut last: &[u8] = b"";
    for date in dates {
        if date == last {
            continue;
        }
        last = date;
        if is_year_first(date) {
            return (DateOrder::YearMonthDay, true);
        }
        match clock::date_parts(date) {
            Some([13..=31, _, _]) => return (DateOrder::DayMonthYear, true),
            Some([_, 13..=31, _]) => return (DateOrder::MonthDayYear, true),
            Some(_) if date.contains(&b'.') => return (DateOrder::DayMonthYear, true),
            _ => {}
        }
    }
    (DateOrder::DayMonthYear, last.is_empty())
}
