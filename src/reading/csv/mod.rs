//! Delimited text from avionics, loggers and phones: columns by their names and units.

mod angle;
mod column_map;
mod dialect;
mod guess;
mod layout;
mod quantity;
mod times;
mod unit;

pub use self::column_map::ColumnMap;

use self::dialect::{comment, split};
use self::layout::{Column, Layout};
use self::quantity::Quantity;
use self::times::{Times, date_order};
use self::unit::Unit;
use super::collect::{Collector, Part};
use super::error::{Located, ReadProblem};
use super::place::Place;
use super::text::lines;
use super::{Fix, number};

/// Longest row looked at, bytes.
const MAX_LINE: usize = 64 << 10;

/// Quantities that go straight into a channel of the fix.
const CHANNELS: [Quantity; 13] = [
    Quantity::GnssAltitude,
    Quantity::PressureAltitude,
    Quantity::GroundSpeed,
    Quantity::Track,
    Quantity::VerticalSpeed,
    Quantity::Tas,
    Quantity::Ias,
    Quantity::EngineRpm,
    Quantity::EngineNoise,
    Quantity::Flap,
    Quantity::Oat,
    Quantity::Bank,
    Quantity::Accuracy,
];

fn channel(quantity: Quantity, fix: &mut Fix) -> Option<&mut Option<f32>> {
    Some(match quantity {
        Quantity::GnssAltitude => &mut fix.gnss_altitude_m,
        Quantity::PressureAltitude => &mut fix.pressure_altitude_m,
        Quantity::GroundSpeed => &mut fix.ground_speed_mps,
        Quantity::Track => &mut fix.track_deg_true,
        Quantity::VerticalSpeed => &mut fix.vertical_speed_mps,
        Quantity::Tas => &mut fix.tas_mps,
        Quantity::Ias => &mut fix.ias_mps,
        Quantity::EngineRpm => &mut fix.engine_rpm,
        Quantity::EngineNoise => &mut fix.engine_noise,
        Quantity::Flap => &mut fix.flap_deg,
        Quantity::Oat => &mut fix.oat_c,
        Quantity::Bank => &mut fix.bank_deg,
        Quantity::Accuracy => &mut fix.accuracy_m,
        _ => return None,
    })
}

/// Reads a delimited text.
pub(crate) fn read(text: &str, map: &ColumnMap, collector: &mut Collector) -> Result<(), Located> {
    let layout = layout::find(text, map)?;
    let (order, certain) = map
        .date_order
        .map_or_else(|| find_date_order(text, &layout), |order| (order, true));
    if !certain {
        collector.notes.remark(0, "dates do not tell day from month; read as day, month, year: give `date_order` in a column map to correct it");
    }
    let (Some(latitude), Some(longitude), Some(times)) = (
        layout.of(Quantity::Latitude),
        layout.of(Quantity::Longitude),
        Times::new(&layout, order, map.utc_offset_s),
    ) else {
        let found = "a table without position and time".to_owned();
        return Err(ReadProblem::NoFixes { found }.into());
    };
    let feet = layout
        .unitless
        .iter()
        .any(|(_, q)| *q == Quantity::GnssAltitude)
        && prefers_feet(&layout);
    let mut reader = Rows {
        furthest: latitude.index.max(longitude.index).max(times.furthest()),
        latitude,
        longitude,
        times,
        layout,
        feet,
        collector,
    };
    reader.say_assumed_units();
    reader.read(text);
    if let Some(column) = reader.layout.of(Quantity::GnssAltitude) {
        reader.collector.gnss_datum = column.datum;
    }
    reader.finish_vertical_speed();
    if reader.collector.offered == 0 {
        let found = "a line of column names without rows behind it".to_owned();
        let place = Place::line_start(reader.layout.header_line);
        return Err(ReadProblem::NoFixes { found }.at(place));
    }
    Ok(())
}

/// Heights without a unit are in feet where other columns are in feet or knots.
fn prefers_feet(layout: &Layout) -> bool {
    CHANNELS
        .iter()
        .filter_map(|q| layout.of(*q))
        .any(|c| matches!(c.unit, Some(Unit::Foot | Unit::Knot | Unit::FootPerMinute)))
}

/// The order of day and month, from the date column, or from dates within the time column.
fn find_date_order(text: &str, layout: &Layout) -> (super::clock::DateOrder, bool) {
    let Some(column) = layout.of(Quantity::Date).or(layout.of(Quantity::Time)) else {
        return (super::clock::DateOrder::YearMonthDay, true);
    };
    let is_time = layout.of(Quantity::Date).is_none();
    let mut fields = Vec::new();
    let dates = lines(text)
        .filter(|(number, _)| *number > layout.header_line)
        .filter_map(|(_, line)| {
            split(line, layout.delimiter, &mut fields);
            let cell = *fields.get(column.index)?;
            let end = cell
                .iter()
                .position(|b| matches!(b, b' ' | b'T'))
                .unwrap_or(cell.len());
            let date = &cell[..end];
            // A clock or a count of seconds is no date.
            let is_date =
                !date.is_empty() && (!is_time || (end < cell.len() && !date.contains(&b':')));
            is_date.then_some(date)
        });
    // Plain clocks and counts have no dates to look for through the whole file.
    if is_time {
        date_order(dates.take(1))
    } else {
        date_order(dates)
    }
}

struct Rows<'c> {
    layout: Layout,
    latitude: Column,
    longitude: Column,
    times: Times,
    /// Last column that a row must have.
    furthest: usize,
    /// Altitudes without a unit are in feet.
    feet: bool,
    collector: &'c mut Collector,
}

impl Rows<'_> {
    fn say_assumed_units(&mut self) {
        for (name, quantity) in &self.layout.unitless {
            let assumed = match (quantity, self.feet) {
                (Quantity::GnssAltitude | Quantity::PressureAltitude, true) => {
                    "feet, as other columns are"
                }
                (Quantity::GnssAltitude | Quantity::PressureAltitude, false) => "metres",
                (Quantity::VerticalSpeed, _) => {
                    "metres per second, or feet per minute if too large for that"
                }
                (Quantity::GroundSpeed, _) => "the unit that fits the positions",
                _ => "the unit that fits the ground speeds",
            };
            let what = format!(
                "no unit in the column name `{}`: taken as {assumed}",
                name.chars().take(60).collect::<String>()
            );
            self.collector.notes.remark(self.layout.header_line, &what);
        }
    }

    fn read(&mut self, text: &str) {
        let columns: Vec<(Quantity, Column)> = CHANNELS
            .iter()
            .filter_map(|q| Some((*q, self.layout.of(*q)?)))
            .collect();
        let mut fields: Vec<&[u8]> = Vec::with_capacity(self.layout.width);
        let is_cut = !text.ends_with(['\n', '\r']);
        let mut rows = lines(text).peekable();
        while let Some((line, row)) = rows.next() {
            if line <= self.layout.header_line || row.is_empty() {
                continue;
            }
            if row.len() > MAX_LINE {
                self.collector
                    .notes
                    .remark(line, "a line longer than 65,536 characters, passed over");
                continue;
            }
            if comment(row).is_some()
                || (row[0] == self.layout.header.first().copied().unwrap_or(0)
                    && row == self.layout.header.as_slice())
            {
                continue;
            }
            split(row, self.layout.delimiter, &mut fields);
            let is_short = fields.len() < self.layout.width;
            let is_last = rows.peek().is_none();
            // A cut row ends within a field: that field is not to be trusted.
            let whole = if is_short {
                fields.len().saturating_sub(1)
            } else {
                fields.len()
            };
            if whole <= self.furthest || (is_short && is_last && is_cut) {
                self.short(line, row, &fields);
                continue;
            }
            self.row(line, row, &fields[..whole], &columns);
        }
    }

    fn short(&mut self, line: u32, row: &[u8], fields: &[&[u8]]) {
        if fields.iter().all(|f| f.is_empty()) {
            return;
        }
        self.collector
            .refuse("row with fewer fields than there are column names", || {
                Place::in_line(line, row, row.len())
            });
    }

    fn row(&mut self, line: u32, row: &[u8], fields: &[&[u8]], columns: &[(Quantity, Column)]) {
        let place = |index: usize| Place::of_part(line, row, fields[index]);
        let (latitude, longitude) = (fields[self.latitude.index], fields[self.longitude.index]);
        if latitude.is_empty() || longitude.is_empty() {
            // A row of units, or blanks at the end of a table.
            if fields.iter().any(|f| !f.is_empty()) {
                let column = if latitude.is_empty() {
                    self.latitude
                } else {
                    self.longitude
                };
                self.collector
                    .refuse("row without a position", || place(column.index));
            }
            return;
        }
        let latitude_deg = self.angle_deg(latitude, self.latitude, Quantity::LatitudeSide, fields);
        let longitude_deg =
            self.angle_deg(longitude, self.longitude, Quantity::LongitudeSide, fields);
        let (Some(latitude_deg), Some(longitude_deg)) = (latitude_deg, longitude_deg) else {
            let is_units = line == self.layout.header_line + 1
                && fields.iter().all(|f| number::parse(f).is_none());
            if !is_units && (self.layout.header_line > 0 || line > 1) {
                let column = if latitude_deg.is_none() {
                    self.latitude
                } else {
                    self.longitude
                };
                self.collector
                    .refuse("latitude or longitude is not a number", || {
                        place(column.index)
                    });
            }
            return;
        };
        let Some(utc_s) = self.times.utc_s(fields, line, &mut self.collector.notes) else {
            self.collector
                .refuse("a time that cannot be read", || place(self.times.index()));
            return;
        };
        let mut fix = Fix {
            utc_s,
            line,
            latitude_deg,
            longitude_deg,
            ..Fix::default()
        };
        for (quantity, column) in columns {
            let Some(cell) = fields.get(column.index).filter(|c| !c.is_empty()) else {
                continue;
            };
            let Some(slot) = channel(*quantity, &mut fix) else {
                continue;
            };
            match number::parse_grouped(cell, self.layout.decimal_comma) {
                Some(value) => *slot = Some(self.convert(value, *quantity, *column) as f32),
                None if is_blank_word(cell) => {}
                None => self.collector.notes.remark(
                    line,
                    &format!(
                        "a value of {} that is not a number, left out",
                        quantity.key()
                    ),
                ),
            }
        }
        self.collector.offer_from(&fix, |part| {
            place(match part {
                Part::Latitude => self.latitude.index,
                Part::Longitude => self.longitude.index,
                Part::Time => self.times.index(),
            })
        });
    }

    fn convert(&self, value: f64, quantity: Quantity, column: Column) -> f64 {
        match (column.unit, quantity) {
            (Some(unit), _) => unit.convert(value),
            (None, Quantity::GnssAltitude | Quantity::PressureAltitude) if self.feet => {
                Unit::Foot.convert(value)
            }
            (None, Quantity::Tas | Quantity::Ias) => Unit::Knot.convert(value),
            _ => value,
        }
    }

    fn angle_deg(
        &self,
        cell: &[u8],
        column: Column,
        side: Quantity,
        fields: &[&[u8]],
    ) -> Option<f64> {
        let plain = number::parse_grouped(cell, self.layout.decimal_comma)
            .map(|v| column.unit.map_or(v, |u| u.convert(v)));
        let value = plain.or_else(|| angle::parse_deg(cell, self.layout.decimal_comma))?;
        let side = self
            .layout
            .of(side)
            .and_then(|c| fields.get(c.index))
            .and_then(|s| s.first());
        Some(if matches!(side, Some(b'S' | b's' | b'W' | b'w')) {
            -value.abs()
        } else {
            value
        })
    }

    /// A vertical speed without a unit that is beyond any in m/s was in feet per minute.
    fn finish_vertical_speed(&mut self) {
        const BEYOND_MPS: f32 = 60.0;
        if self
            .layout
            .of(Quantity::VerticalSpeed)
            .is_none_or(|c| c.unit.is_some())
        {
            return;
        }
        let fixes = &mut self.collector.fixes;
        if fixes
            .iter()
            .filter_map(|f| f.vertical_speed_mps)
            .any(|v| v.abs() > BEYOND_MPS)
        {
            for speed in fixes
                .iter_mut()
                .filter_map(|f| f.vertical_speed_mps.as_mut())
            {
                *speed = Unit::FootPerMinute.convert(f64::from(*speed)) as f32;
            }
        }
    }
}

/// Ways to write that there is no value.
fn is_blank_word(cell: &[u8]) -> bool {
    matches!(
        cell.to_ascii_lowercase().as_slice(),
        b"nan"
            | b"null"
            | b"none"
            | b"na"
            | b"n/a"
            | b"-"
            | b"--"
            | b"---"
            | b"inf"
            | b"-inf"
            | b"invalid"
    )
}

#[cfg(test)]
mod tests;
