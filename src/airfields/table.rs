//! Text → the table of runways.

use thiserror::Error;

use super::{Airfields, End, Runway};

/// What is wrong with a table of runways, and in which line.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{line}: expected {expected}, found {found}")]
pub struct TableProblem {
    /// Line, from 1.
    pub line: usize,
    /// What belongs there.
    pub expected: String,
    /// What is there.
    pub found: String,
}

/// Fields of a line.
const FIELDS: usize = 14;

impl Airfields {
    /// Reads a table.
    ///
    /// # Definition
    /// One runway a line, fields between tabs: airfield, its other codes (with commas), first end, second
    /// end, length ft, published direction from the first end in degrees true; then for the first and the
    /// second end latitude, longitude (decimal degrees), elevation ft, displaced threshold ft. Codes,
    /// direction, elevations and displacements may be empty. Lines that start with `#` are remarks;
    /// `# source:` and `# date:` are kept.
    ///
    /// # Errors
    /// The first line that is not so.
    pub fn read(text: &str) -> Result<Airfields, TableProblem> {
        let mut out = Airfields::default();
        for (i, line) in text.lines().enumerate() {
            let line = line.trim_end_matches('\r');
            if let Some(remark) = line.strip_prefix('#') {
                if let Some(source) = remark.trim().strip_prefix("source:") {
                    source.trim().clone_into(&mut out.source);
                } else if let Some(date) = remark.trim().strip_prefix("date:") {
                    date.trim().clone_into(&mut out.date);
                }
            } else if !line.trim().is_empty() {
                let read = runway(line).map_err(|(expected, found)| TableProblem {
                    line: i + 1,
                    expected,
                    found,
                })?;
                out.runways.push(read);
            }
        }
        // by airfield, each with its runways together
        out.runways.sort_by(|a, b| a.airfield.cmp(&b.airfield));
        Ok(out)
    }
}

fn runway(line: &str) -> Result<Runway, (String, String)> {
    let fields: Vec<&str> = line.split('\t').map(str::trim).collect();
    if fields.len() != FIELDS {
        let expected = format!("{FIELDS} fields between tabs");
        return Err((expected, fields.len().to_string()));
    }
    let text = |at: usize, what: &str| -> Result<String, (String, String)> {
        match fields[at] {
            "" => Err((what.to_owned(), "nothing".to_owned())),
            text => Ok(text.to_ascii_uppercase()),
        }
    };
    let number = |at: usize, what: &str, low: f64, high: f64| match fields[at] {
        "" => Ok(None),
        text => match text.parse::<f64>() {
            Ok(value) if (low..=high).contains(&value) => Ok(Some(value)),
            _ => Err((
                format!("{what} from {low} to {high}"),
                format!("`{}`", text.chars().take(30).collect::<String>()),
            )),
        },
    };
    let needed = |at: usize, what: &str, low: f64, high: f64| {
        number(at, what, low, high)?.ok_or_else(|| (what.to_owned(), "nothing".to_owned()))
    };
    let end = |name: usize, first: usize| -> Result<End, (String, String)> {
        Ok(End {
            name: text(name, "the name of an end, as 09")?,
            latitude_deg: needed(first, "a latitude", -90.0, 90.0)?,
            longitude_deg: needed(first + 1, "a longitude", -180.0, 180.0)?,
            elevation_ft: number(first + 2, "an elevation in ft", -1500.0, 16_000.0)?,
            displaced_ft: number(first + 3, "a displaced threshold in ft", 0.0, 10_000.0)?
                .unwrap_or(0.0),
        })
    };
    let ends = [end(2, 6)?, end(3, 10)?];
    if ends[0].latitude_deg == ends[1].latitude_deg
        && ends[0].longitude_deg == ends[1].longitude_deg
    {
        return Err((
            "two ends apart".to_owned(),
            "both ends at one place".to_owned(),
        ));
    }
    Ok(Runway {
        airfield: text(0, "an airfield")?,
        codes: fields[1]
            .split(',')
            .map(|code| code.trim().to_ascii_uppercase())
            .filter(|code| !code.is_empty())
            .collect(),
        ends,
        length_ft: needed(4, "a length in ft", 1.0, 30_000.0)?,
        published_true_deg: number(5, "a direction in degrees true", 0.0, 360.0)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str = "ZZLA\t\t09\t27\t2600\t\t51\t-2\t310\t\t51\t-1.9887\t\t";

    #[test]
    fn what_is_empty_is_unknown() {
        let runway = &Airfields::read(LINE).unwrap().runways[0];
        assert_eq!(runway.ends[0].elevation_ft, Some(310.0));
        assert_eq!(runway.ends[1].elevation_ft, None);
        assert_eq!(
            (runway.ends[1].displaced_ft, runway.published_true_deg),
            (0.0, None)
        );
    }

    #[test]
    fn a_bad_line_is_named() {
        for (line, expected) in [
            ("ZZLA\t09", "2: expected 14 fields between tabs, found 2"),
            (
                &LINE.replace("51\t-2\t", "91\t-2\t"),
                "2: expected a latitude from -90 to 90, found `91`",
            ),
            (
                &LINE.replace("2600", ""),
                "2: expected a length in ft, found nothing",
            ),
            (
                &LINE.replace("-1.9887", "-2"),
                "2: expected two ends apart, found both ends at one place",
            ),
        ] {
            let error = Airfields::read(&format!("# source: x\n{line}\n")).unwrap_err();
            assert_eq!(error.to_string(), expected);
        }
    }
}
