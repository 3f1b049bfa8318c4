//! Which column holds what: header line, delimiter, decimal comma.

use super::column_map::{ColumnMap, Mapped, Wanted};
use super::dialect::{DELIMITERS, comment, looks_like_data, split};
use super::guess::{Guess, guess};
use super::quantity::Quantity;
use super::unit::Unit;
use crate::reading::error::{Located, ReadProblem};
use crate::reading::place::Place;
use crate::reading::{AltitudeDatum, text};

/// How many lines a header may be down.
const HEADER_WITHIN: usize = 60;

/// Most headers named in a message.
const NAMED: usize = 24;

/// Where a quantity is in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) unit: Option<Unit>,
    pub(super) datum: AltitudeDatum,
    pub(super) is_utc: bool,
    pub(super) is_local: bool,
}

/// The shape of one delimited text.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) delimiter: u8,
    pub(super) decimal_comma: bool,
    /// Line of the header, from 1; rows are behind it. 0 where there is none.
    pub(super) header_line: u32,
    /// The header itself, to know it when it comes again.
    pub(super) header: Vec<u8>,
    /// It stands in a comment line.
    header_is_comment: bool,
    /// Fields of a full row.
    pub(super) width: usize,
    columns: [Option<Column>; Quantity::ALL.len()],
    /// Names of columns read without a stated unit, with the unit assumed.
    pub(super) unitless: Vec<(String, Quantity)>,
}

impl Layout {
    pub(super) fn of(&self, quantity: Quantity) -> Option<Column> {
        self.columns[quantity as usize]
    }
}

/// A line that may be the header.
struct Candidate<'a> {
    number: u32,
    line: &'a [u8],
    is_comment: bool,
}

/// Finds the shape of a text, by its names and by the user's map.
pub(super) fn find(text: &str, map: &ColumnMap) -> Result<Layout, Located> {
    let candidates: Vec<Candidate<'_>> = text::lines(text)
        .filter(|(_, line)| !line.trim_ascii().is_empty())
        .take(HEADER_WITHIN)
        .map(|(number, line)| {
            let stripped = comment(line);
            Candidate {
                number,
                line: stripped.unwrap_or(line),
                is_comment: stripped.is_some(),
            }
        })
        .collect();
    let mut best: Option<(u32, Layout)> = None;
    for candidate in &candidates {
        for delimiter in delimiters(map) {
            let Some(layout) = try_header(candidate, delimiter, map, &candidates) else {
                continue;
            };
            let score = score(&layout);
            // The same names as a comment and plain: the plain line is nearer to the data.
            let better = best.as_ref().is_none_or(|(most, held)| {
                score > *most || (score == *most && held.header_is_comment && !candidate.is_comment)
            });
            if better {
                best = Some((score, layout));
            }
        }
    }
    let mut layout = match best {
        Some((_, layout)) if is_complete(&layout) => layout,
        best => match by_numbers(&candidates, map) {
            Some(layout) => layout,
            None => return Err(complaint(&candidates, best.map(|(_, layout)| layout), map)),
        },
    };
    check_map(&layout, map)?;
    layout.decimal_comma = map
        .decimal_comma
        .unwrap_or_else(|| has_decimal_comma(text, &layout));
    Ok(layout)
}

fn delimiters(map: &ColumnMap) -> Vec<u8> {
    map.delimiter
        .map_or_else(|| DELIMITERS.to_vec(), |d| vec![d])
}

/// Position and time are what nothing goes without; further columns decide between equals.
fn score(layout: &Layout) -> u32 {
    let essential = [Quantity::Latitude, Quantity::Longitude, Quantity::Time];
    let found = essential
        .iter()
        .filter(|q| layout.of(**q).is_some())
        .count() as u32;
    let all = layout.columns.iter().flatten().count() as u32;
    found * 100 + all
}

fn is_complete(layout: &Layout) -> bool {
    [Quantity::Latitude, Quantity::Longitude, Quantity::Time]
        .iter()
        .all(|q| layout.of(*q).is_some())
}

/// The layout that follows if this line is the header.
fn try_header(
    candidate: &Candidate<'_>,
    delimiter: u8,
    map: &ColumnMap,
    all: &[Candidate<'_>],
) -> Option<Layout> {
    let mut fields = Vec::new();
    split(candidate.line, delimiter, &mut fields);
    if fields.len() < 2 || looks_like_data(&fields) {
        return None;
    }
    let names: Vec<String> = fields
        .iter()
        .map(|f| {
            String::from_utf8_lossy(f)
                .trim_start_matches('#')
                .trim()
                .to_owned()
        })
        .collect();
    let units = units_row(candidate.number, names.len(), delimiter, all);
    let mut layout = Layout {
        delimiter,
        decimal_comma: false,
        header_line: candidate.number,
        header: candidate.line.to_vec(),
        header_is_comment: candidate.is_comment,
        width: names.len(),
        columns: [None; Quantity::ALL.len()],
        unitless: Vec::new(),
    };
    let mut ranks = [0_u8; Quantity::ALL.len()];
    for (index, name) in names.iter().enumerate() {
        let Some(found) = guess_with_unit(name, units.as_ref().and_then(|u| u.get(index))) else {
            continue;
        };
        let slot = found.quantity as usize;
        if map.of(found.quantity).is_none() && found.rank > ranks[slot] {
            ranks[slot] = found.rank;
            layout.columns[slot] = Some(Column {
                index,
                unit: found.unit,
                datum: found.datum,
                is_utc: found.is_utc,
                is_local: found.is_local,
            });
        }
    }
    for mapped in &map.columns {
        place(&mut layout, mapped, &names, units.as_deref());
    }
    layout.unitless = layout
        .columns
        .iter()
        .zip(Quantity::ALL)
        .filter_map(|(column, quantity)| {
            let column = (*column)?;
            let needs = matches!(
                quantity,
                Quantity::GnssAltitude
                    | Quantity::PressureAltitude
                    | Quantity::GroundSpeed
                    | Quantity::VerticalSpeed
                    | Quantity::Tas
                    | Quantity::Ias
            );
            (needs && column.unit.is_none()).then(|| {
                (
                    names.get(column.index).cloned().unwrap_or_default(),
                    quantity,
                )
            })
        })
        .collect();
    Some(layout)
}

/// A row of units beside the header: the comment just before it, or the row just behind it.
fn units_row(
    header: u32,
    width: usize,
    delimiter: u8,
    all: &[Candidate<'_>],
) -> Option<Vec<String>> {
    let at = all.iter().position(|c| c.number == header)?;
    let before = at
        .checked_sub(1)
        .and_then(|i| all.get(i))
        .filter(|c| c.is_comment);
    let behind = all.get(at + 1);
    [before, behind]
        .into_iter()
        .flatten()
        .find_map(|candidate| {
            let mut fields = Vec::new();
            split(candidate.line, delimiter, &mut fields);
            let cells: Vec<String> = fields
                .iter()
                .map(|f| String::from_utf8_lossy(f).trim().to_owned())
                .collect();
            let units = cells.iter().filter(|c| unit_cell(c).is_some()).count();
            (cells.len() == width && units >= 2 && !looks_like_data(&fields)).then_some(cells)
        })
}

fn unit_cell(cell: &str) -> Option<Unit> {
    super::unit::Named::parse(&format!("x ({cell})")).unit
}

/// What a column is, its unit standing in the name or in a row of units.
fn guess_with_unit(name: &str, unit: Option<&String>) -> Option<Guess> {
    let plain = guess(name)?;
    match unit {
        Some(unit) if plain.unit.is_none() && unit_cell(unit).is_some() => {
            guess(&format!("{name} ({unit})"))
        }
        _ => Some(plain),
    }
}

/// Puts a mapped column in its place, with the unit of the map, or of the name.
fn place(layout: &mut Layout, mapped: &Mapped, names: &[String], units: Option<&[String]>) {
    let index = match &mapped.place {
        Wanted::Name(wanted) => names
            .iter()
            .position(|n| n.to_lowercase() == wanted.to_lowercase()),
        Wanted::Number(index) => (*index < names.len()).then_some(*index),
        Wanted::Nowhere => None,
    };
    layout.columns[mapped.quantity as usize] = index.map(|index| {
        let name = super::unit::Named::parse(&names[index]);
        let unit = name
            .unit
            .or_else(|| units.and_then(|u| unit_cell(u.get(index)?)));
        Column {
            index,
            unit: mapped.unit.or(unit).filter(|u| mapped.quantity.takes(*u)),
            datum: mapped.datum.unwrap_or(AltitudeDatum::Unstated),
            is_utc: name.has(&["utc", "gmt", "epoch"]),
            is_local: name.has(&["local", "lcl"]),
        }
    });
}

/// A text without any header, whose columns the map gives by number.
fn by_numbers(candidates: &[Candidate<'_>], map: &ColumnMap) -> Option<Layout> {
    let index = |q| match map.of(q)?.place {
        Wanted::Number(index) => Some(index),
        _ => None,
    };
    let furthest = index(Quantity::Latitude)?
        .max(index(Quantity::Longitude)?)
        .max(index(Quantity::Time)?);
    let row = candidates.iter().find(|c| !c.is_comment)?;
    let mut fields = Vec::new();
    let delimiter = delimiters(map).into_iter().find(|d| {
        split(row.line, *d, &mut fields);
        fields.len() > furthest
    })?;
    split(row.line, delimiter, &mut fields);
    let mut layout = Layout {
        delimiter,
        decimal_comma: false,
        header_line: 0,
        header: Vec::new(),
        header_is_comment: false,
        width: fields.len(),
        columns: [None; Quantity::ALL.len()],
        unitless: Vec::new(),
    };
    let names = vec![String::new(); fields.len()];
    for mapped in &map.columns {
        place(&mut layout, mapped, &names, None);
    }
    is_complete(&layout).then_some(layout)
}

/// A map that names what is not there is an error: the user meant something by it.
fn check_map(layout: &Layout, map: &ColumnMap) -> Result<(), Located> {
    for mapped in &map.columns {
        let wanted = match &mapped.place {
            Wanted::Name(name) => name.clone(),
            Wanted::Number(index) => (index + 1).to_string(),
            Wanted::Nowhere => continue,
        };
        if layout.of(mapped.quantity).is_none() {
            let found = headers(&layout.header, layout.delimiter);
            let problem = ReadProblem::MappedColumnMissing {
                channel: mapped.quantity.key(),
                wanted,
                found,
            };
            return Err(problem.at(Place::line_start(layout.header_line)));
        }
    }
    Ok(())
}

/// Why no layout was found, in words.
fn complaint(candidates: &[Candidate<'_>], best: Option<Layout>, map: &ColumnMap) -> Located {
    let Some(layout) = best else {
        let first = candidates
            .iter()
            .find(|c| !c.is_comment)
            .or(candidates.first());
        let found = first
            .map(|c| {
                String::from_utf8_lossy(c.line)
                    .chars()
                    .take(60)
                    .collect::<String>()
            })
            .unwrap_or_default();
        let found = found.trim().to_owned();
        return ReadProblem::NoHeader { found }
            .at(Place::line_start(first.map_or(0, |c| c.number)));
    };
    if let Err(problem) = check_map(&layout, map) {
        return problem;
    }
    let missing = [Quantity::Latitude, Quantity::Longitude, Quantity::Time]
        .into_iter()
        .find(|q| layout.of(*q).is_none());
    ReadProblem::MissingColumn {
        missing: missing.map_or("time", Quantity::key),
        found: headers(&layout.header, layout.delimiter),
    }
    .at(Place::line_start(layout.header_line))
}

/// The names of a header in backticks, not too many.
fn headers(header: &[u8], delimiter: u8) -> String {
    let mut fields = Vec::new();
    split(header, delimiter, &mut fields);
    let mut named: Vec<String> = fields
        .iter()
        .take(NAMED)
        .map(|f| {
            format!(
                "`{}`",
                String::from_utf8_lossy(f)
                    .chars()
                    .take(40)
                    .collect::<String>()
            )
        })
        .collect();
    if fields.len() > NAMED {
        named.push(format!("and {} more", fields.len() - NAMED));
    }
    named.join(", ")
}

/// Do latitudes have a comma for the decimal point?
fn has_decimal_comma(text: &str, layout: &Layout) -> bool {
    let Some(column) = layout.of(Quantity::Latitude) else {
        return false;
    };
    let mut fields = Vec::new();
    text::lines(text)
        .filter(|(number, _)| *number > layout.header_line)
        .filter_map(|(_, line)| {
            split(line, layout.delimiter, &mut fields);
            fields
                .get(column.index)
                .map(|f| (f.contains(&b','), f.contains(&b'.')))
        })
        .find(|(comma, point)| *comma || *point)
        .is_some_and(|(comma, point)| comma && !point)
}
