//! The columns of an export: one table for every shape of it.

use super::ask::AttemptRow;
use super::schema::columns_of;
use crate::measures::catalogue::CATALOGUE;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// An instant, RFC 3339 in UTC.
    Instant,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Column {
    pub(super) name: String,
    pub(super) kind: Kind,
    /// Whether every row has it.
    pub(super) always: bool,
    pub(super) what: String,
}

/// The value of one row in one column.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    None,
    Text(String),
    Whole(i64),
    Number(f64),
}

/// What comes before the figures.
const ABOUT: [(&str, Kind, bool, &str); 9] = [
    ("recording", Kind::Text, true, "File name of the recording."),
    (
        "attempt",
        Kind::Whole,
        true,
        "Number of the attempt in its recording, from 1.",
    ),
    (
        "power_reduction_utc",
        Kind::Instant,
        true,
        "When the power came off.",
    ),
    (
        "registration",
        Kind::Text,
        false,
        "Registration or school code of the aircraft.",
    ),
    ("pilot", Kind::Text, false, "Code of the pilot."),
    ("aim", Kind::Text, false, "Name of the aim."),
    (
        "ending",
        Kind::Text,
        true,
        "How it ended: `touchdown`, `go_around` or `end_of_recording`.",
    ),
    (
        "confidence",
        Kind::Number,
        true,
        "Probability that it is an attempt, 0 to 1.",
    ),
    (
        "abeam_target_ft",
        Kind::Number,
        false,
        "Height wanted abeam, ft above the aim.",
    ),
];

/// All columns in their order: what the attempt was, then three for each measure of the catalogue.
pub(super) fn columns() -> Vec<Column> {
    let about = ABOUT.iter().map(|(name, kind, always, what)| Column {
        name: (*name).to_owned(),
        kind: *kind,
        always: *always,
        what: (*what).to_owned(),
    });
    let figures = CATALOGUE.iter().flat_map(|info| {
        let label = if info.unit.is_empty() {
            info.label.to_owned()
        } else {
            format!("{}, {}", info.label, info.unit)
        };
        let ends = [
            format!("{label}. {}", info.definition),
            format!("{label}: lower end of the 95 % interval."),
            format!("{label}: upper end of the 95 % interval."),
        ];
        columns_of(info.id)
            .into_iter()
            .zip(ends)
            .map(|(name, what)| Column {
                name,
                kind: Kind::Number,
                always: false,
                what,
            })
    });
    about.chain(figures).collect()
}

/// The values of a row, in the order of [`columns`].
pub(super) fn cells(row: &AttemptRow) -> impl Iterator<Item = Cell> {
    let text = |value: &str| Cell::Text(value.to_owned());
    let code = |value: &Option<String>| value.clone().map_or(Cell::None, Cell::Text);
    let about = [
        text(&row.recording),
        Cell::Whole(row.number.into()),
        text(&row.utc),
        code(&row.registration),
        code(&row.pilot),
        code(&row.aim),
        text(&row.ending),
        Cell::Number(row.confidence),
        row.abeam_target_ft.map_or(Cell::None, Cell::Number),
    ];
    let figures = CATALOGUE
        .iter()
        .flat_map(|info| match row.figures.get(info.id) {
            Some(figure) => figure.map(Cell::Number),
            None => [Cell::None, Cell::None, Cell::None],
        });
    about.into_iter().chain(figures)
}
