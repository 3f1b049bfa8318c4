//! `flight.events.csv`: what an instructor clicked or spoke during the flight.
//!
//! A header line and a line an event: `utc,what` with RFC 3339 times, or `seconds,what` with
//! seconds since the power reduction of the first attempt, or both columns.

use super::Event;
use super::error::{BriefingError, Complaint, Place, Problem};
use super::limits::LONGEST_TEXT;
use super::spelling::nearest;

/// An event whose time counts from the power reduction of the first attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct EventAfterReduction {
    /// Seconds since the power reduction, negative before it.
    pub seconds: f64,
    /// What.
    pub what: String,
}

/// The events of a file, in its order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EventsFile {
    /// Those with a time of day.
    pub at_utc: Vec<Event>,
    /// Those counted from the power reduction.
    pub after_reduction: Vec<EventAfterReduction>,
}

const COLUMNS: [&str; 3] = ["utc", "seconds", "what"];
/// No flight is longer, s.
const LONGEST_FLIGHT_S: f64 = 86_400.0;
/// More clicks than any flight has.
const MOST_EVENTS: usize = 10_000;

/// Reads an events file.
///
/// # Errors
/// Every line that cannot be used, with what was expected and found.
pub fn parse_events(text: &str, file_name: &str) -> Result<EventsFile, BriefingError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut problems = Vec::new();
    let mut report = |line: u64, complaint: Complaint, help: Option<String>| {
        let line = usize::try_from(line).unwrap_or(1).max(1);
        let text = text.lines().nth(line - 1).unwrap_or_default();
        problems.push(Problem {
            place: Place::File {
                file_name: file_name.to_owned(),
                line,
                column: 1,
                width: text.chars().count().max(1),
                text: text.to_owned(),
            },
            complaint,
            help,
        });
    };
    let header: Vec<String> = reader
        .headers()
        .map_or(Vec::new(), |h| h.iter().map(str::to_lowercase).collect());
    for name in header.iter().filter(|n| !COLUMNS.contains(&n.as_str())) {
        let help = nearest(name, COLUMNS).map_or_else(
            || "the columns are `utc` or `seconds`, and `what`".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let complaint = Complaint::Unknown {
            what: "column",
            key: name.clone(),
            place: "in an events file".into(),
        };
        report(1, complaint, Some(help));
    }
    let column = |name: &str| header.iter().position(|h| h == name);
    let (utc, seconds, what) = (column("utc"), column("seconds"), column("what"));
    for (found, missing) in [(what.is_none(), "what"), (utc.or(seconds).is_none(), "utc")] {
        if found {
            let complaint = Complaint::Incomplete {
                found: header.join(","),
                missing: missing.into(),
            };
            report(
                1,
                complaint,
                Some("start the file with `utc,what` or `seconds,what`".into()),
            );
        }
    }
    let mut events = EventsFile::default();
    for (i, record) in reader.records().enumerate() {
        let Ok(record) = record else { continue };
        let line = record.position().map_or(i as u64 + 2, csv::Position::line);
        let cell = |column: Option<usize>| {
            column
                .and_then(|c| record.get(c))
                .filter(|cell| !cell.is_empty())
        };
        let said = cell(what).map(|w| w.chars().take(LONGEST_TEXT).collect::<String>());
        let Some(said) = said else {
            let complaint = Complaint::WrongType {
                key: "what".into(),
                expected: "some words".into(),
                found: "nothing".into(),
            };
            report(line, complaint, None);
            continue;
        };
        if i >= MOST_EVENTS {
            let complaint = Complaint::Contradiction(format!("more than {MOST_EVENTS} events"));
            report(line, complaint, None);
            break;
        }
        match (cell(utc), cell(seconds)) {
            (Some(utc), _) if utc.parse::<jiff::Timestamp>().is_ok() => events.at_utc.push(Event {
                utc: utc.to_owned(),
                what: said,
            }),
            (Some(found), _) => report(
                line,
                Complaint::Time {
                    key: "utc".into(),
                    found: format!("`{found}`"),
                },
                None,
            ),
            (None, Some(found)) => match found.parse::<f64>() {
                Ok(s) if s.abs() <= LONGEST_FLIGHT_S => {
                    events.after_reduction.push(EventAfterReduction {
                        seconds: s,
                        what: said,
                    });
                }
                _ => report(
                    line,
                    Complaint::WrongType {
                        key: "seconds".into(),
                        expected: "seconds since the power reduction".into(),
                        found: format!("`{found}`"),
                    },
                    None,
                ),
            },
            (None, None) => report(
                line,
                Complaint::Time {
                    key: "utc".into(),
                    found: "nothing".into(),
                },
                None,
            ),
        }
    }
    if problems.is_empty() {
        Ok(events)
    } else {
        Err(BriefingError { problems })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_of_telling_the_time() {
        let text =
            "utc,seconds,what\n2026-05-03T10:21:40Z,,checklist start\n,35.5,\"fuel, pump\"\n";
        let events = parse_events(text, "e.csv").unwrap();
        assert_eq!(events.at_utc[0].what, "checklist start");
        assert_eq!(
            events.after_reduction,
            [EventAfterReduction {
                seconds: 35.5,
                what: "fuel, pump".into()
            }]
        );
    }

    #[test]
    fn lines_that_cannot_be_used_are_told() {
        let text = "utc,wat\n10:21,fuel\n";
        let error = parse_events(text, "e.csv").unwrap_err().to_string();
        assert!(
            error.contains("e.csv:1:1: unknown column `wat` in an events file"),
            "{error}"
        );
        assert!(error.contains("did you mean `what`?"), "{error}");
        let error = parse_events("seconds,what\nsoon,fuel\n12,\n", "e.csv").unwrap_err();
        assert_eq!(error.problems.len(), 2);
        assert!(
            error.to_string().contains("e.csv:2:1: expected `seconds`"),
            "{error}"
        );
        let error = parse_events("utc,what\n10:21,fuel\n", "e.csv").unwrap_err();
        assert!(error.to_string().contains("e.csv:2:1"), "{error}");
        assert!(parse_events("", "e.csv").is_err());
    }
}
