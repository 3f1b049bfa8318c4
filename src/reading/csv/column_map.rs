//! The column map a user may give: which column holds what, as a small TOML table.

use super::quantity::Quantity;
use super::unit::Unit;
use crate::reading::AltitudeDatum;
use crate::reading::clock::{self, DateOrder};
use crate::reading::error::ColumnMapError;

/// Where a column is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wanted {
    Name(String),
    /// From 0.
    Number(usize),
    /// The channel is not to be read, whatever the names say.
    Nowhere,
}

/// One line of the `[columns]` table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mapped {
    pub(super) quantity: Quantity,
    pub(super) place: Wanted,
    pub(super) unit: Option<Unit>,
    pub(super) datum: Option<AltitudeDatum>,
}

/// Which columns of a delimited text hold what, where the names do not say so themselves.
///
/// # Example
///
/// ```
/// use stillprop::reading::ColumnMap;
/// let map = ColumnMap::from_toml(r#"
///     utc_offset = "+02:00"          # of a clock that does not say its zone
///     date_order = "dmy"             # or "ymd", "mdy"
///     delimiter = ";"
///     decimal_comma = true
///     [columns]
///     time = "Zeit"                  # by name, or by number from 1
///     latitude = 2
///     longitude = 3
///     gnss_altitude = { column = "H", unit = "ft", datum = "mean_sea_level" }
///     ias = false                    # do not read it
/// "#);
/// assert!(map.is_ok());
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ColumnMap {
    pub(super) columns: Vec<Mapped>,
    pub(super) delimiter: Option<u8>,
    pub(super) decimal_comma: Option<bool>,
    pub(super) date_order: Option<DateOrder>,
    /// Seconds east of UTC.
    pub(super) utc_offset_s: Option<f64>,
}

/// Keys outside `[columns]`.
const SETTINGS: [&str; 5] = [
    "columns",
    "delimiter",
    "decimal_comma",
    "date_order",
    "utc_offset",
];

impl ColumnMap {
    /// Reads a column map.
    ///
    /// # Errors
    ///
    /// Text that is not TOML, unknown keys (the nearest known one is named), unknown units.
    pub fn from_toml(text: &str) -> Result<Self, ColumnMapError> {
        let table: toml::Table = text.parse().map_err(|e: toml::de::Error| {
            let line = e.span().map_or(1, |s| {
                1 + text.get(..s.start).unwrap_or("").matches('\n').count()
            });
            error(
                format!("column map, line {line}: {}", e.message()),
                "a column map is TOML: `[columns]`, then lines such as `latitude = \"my column\"`",
            )
        })?;
        let mut map = Self::default();
        for (key, value) in &table {
            match key.as_str() {
                "columns" => {
                    let columns = value
                        .as_table()
                        .ok_or_else(|| expected("columns", "a table", value))?;
                    for (name, value) in columns {
                        map.columns.push(column(name, value)?);
                    }
                }
                "delimiter" => {
                    let text = value
                        .as_str()
                        .ok_or_else(|| expected(key, "one character", value))?;
                    let [byte] = text.as_bytes() else {
                        return Err(expected(key, "one character", value));
                    };
                    map.delimiter = Some(*byte);
                }
                "decimal_comma" => {
                    map.decimal_comma = Some(
                        value
                            .as_bool()
                            .ok_or_else(|| expected(key, "true or false", value))?,
                    );
                }
                "date_order" => {
                    map.date_order = Some(match value.as_str() {
                        Some("ymd") => DateOrder::YearMonthDay,
                        Some("dmy") => DateOrder::DayMonthYear,
                        Some("mdy") => DateOrder::MonthDayYear,
                        _ => return Err(expected(key, "\"ymd\", \"dmy\" or \"mdy\"", value)),
                    });
                }
                "utc_offset" => {
                    let offset = value
                        .as_str()
                        .and_then(|t| clock::zone_offset_s(t.as_bytes()));
                    match offset {
                        Some((seconds, true)) => map.utc_offset_s = Some(seconds),
                        _ => return Err(expected(key, "an offset such as \"+02:00\"", value)),
                    }
                }
                unknown => return Err(unknown_key(unknown, &SETTINGS, "at the top")),
            }
        }
        Ok(map)
    }

    pub(super) fn of(&self, quantity: Quantity) -> Option<&Mapped> {
        self.columns.iter().find(|c| c.quantity == quantity)
    }
}

fn column(key: &str, value: &toml::Value) -> Result<Mapped, ColumnMapError> {
    let Some(quantity) = Quantity::ALL.into_iter().find(|q| q.key() == key) else {
        return Err(unknown_key(
            key,
            &Quantity::ALL.map(Quantity::key),
            "in `[columns]`",
        ));
    };
    let mut mapped = Mapped {
        quantity,
        place: Wanted::Nowhere,
        unit: None,
        datum: None,
    };
    let place = |value: &toml::Value| match value {
        toml::Value::String(name) => Ok(Wanted::Name(name.trim().to_owned())),
        toml::Value::Integer(number @ 1..=512) => Ok(Wanted::Number(*number as usize - 1)),
        toml::Value::Boolean(false) => Ok(Wanted::Nowhere),
        other => Err(expected(
            key,
            "a column name, a number from 1, or false",
            other,
        )),
    };
    let toml::Value::Table(table) = value else {
        mapped.place = place(value)?;
        return Ok(mapped);
    };
    for (name, value) in table {
        match name.as_str() {
            "column" => mapped.place = place(value)?,
            "unit" => {
                let unit = value
                    .as_str()
                    .and_then(Unit::of_name)
                    .filter(|u| quantity.takes(*u));
                mapped.unit = Some(unit.ok_or_else(|| expected(&format!("{key}.unit"), "a unit that fits (`m`, `ft`, `m/s`, `kt`, `km/h`, `mph`, `fpm`, `deg`, `rad`, `s`, `ms`, `C`, `F`)", value))?);
            }
            "datum" => {
                mapped.datum = Some(match value.as_str() {
                    Some("mean_sea_level") => AltitudeDatum::MeanSeaLevel,
                    Some("ellipsoid") => AltitudeDatum::Ellipsoid,
                    Some("unstated") => AltitudeDatum::Unstated,
                    _ => {
                        return Err(expected(
                            &format!("{key}.datum"),
                            "\"mean_sea_level\", \"ellipsoid\" or \"unstated\"",
                            value,
                        ));
                    }
                });
            }
            unknown => {
                return Err(unknown_key(
                    unknown,
                    &["column", "unit", "datum"],
                    &format!("in `{key}`"),
                ));
            }
        }
    }
    if mapped.place == Wanted::Nowhere {
        return Err(error(
            format!("column map: `{key}` does not say which column"),
            "add `column = \"name\"` or `column = 3`",
        ));
    }
    Ok(mapped)
}

fn error(message: String, help: &str) -> ColumnMapError {
    ColumnMapError {
        message,
        help: help.to_owned(),
    }
}

fn expected(key: &str, what: &str, found: &toml::Value) -> ColumnMapError {
    error(
        format!("column map: expected {what} for `{key}`, found `{found}`"),
        "correct that line of the column map",
    )
}

fn unknown_key(key: &str, known: &[&str], place: &str) -> ColumnMapError {
    let nearest = known
        .iter()
        .min_by_key(|k| distance(k, key))
        .copied()
        .unwrap_or("");
    ColumnMapError {
        message: format!("column map: unknown key `{key}` {place}"),
        help: format!("did you mean `{nearest}`? known are {}", known.join(", ")),
    }
}

/// Letters to change, add or leave out to get from one word to the other (Levenshtein 1966).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().take(64).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().take(64).enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = change.min(corner + 1).min(row[j] + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_names_numbers_units_and_datum() {
        let map = ColumnMap::from_toml("utc_offset = \"-05:00\"\n[columns]\ntime = 1\nlatitude = \"Breite\"\ngnss_altitude = { column = \"h\", unit = \"ft\", datum = \"ellipsoid\" }\nias = false\n").unwrap();
        assert_eq!(map.utc_offset_s, Some(-18_000.0));
        assert_eq!(map.of(Quantity::Time).unwrap().place, Wanted::Number(0));
        assert_eq!(map.of(Quantity::Ias).unwrap().place, Wanted::Nowhere);
        let altitude = map.of(Quantity::GnssAltitude).unwrap();
        assert_eq!(
            (altitude.unit, altitude.datum),
            (Some(Unit::Foot), Some(AltitudeDatum::Ellipsoid))
        );
    }

    #[test]
    fn says_what_is_wrong_and_what_to_do() {
        for (text, message, help) in [
            (
                "[columns]\nlatitud = 2",
                "unknown key `latitud`",
                "did you mean `latitude`?",
            ),
            (
                "colums = 1",
                "unknown key `colums`",
                "did you mean `columns`?",
            ),
            (
                "[columns]\nias = { column = 3, unit = \"ft\" }",
                "a unit that fits",
                "correct",
            ),
            (
                "[columns]\nias = { unit = \"kt\" }",
                "does not say which column",
                "add `column",
            ),
            ("[columns\n", "line 1", "TOML"),
            ("utc_offset = \"two\"", "an offset", "correct"),
            ("[columns]\ntime = 0", "a number from 1", "correct"),
        ] {
            let error = ColumnMap::from_toml(text).unwrap_err();
            assert!(error.message.contains(message), "{text}: {error}");
            assert!(error.help.contains(help), "{text}: {error}");
        }
    }
}
