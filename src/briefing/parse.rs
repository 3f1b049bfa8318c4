//! Briefing text → [`Briefing`], or everything that is wrong with it.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::{BriefingError, Complaint, Problem};
use super::limits::{LONGEST_METAR, LONGEST_TEXT};
use super::values::describe;
use super::{Air, Aircraft, Briefing, Event, People, Targets, runway_number};

/// Every key, by table.
pub(super) const KEYS: &[(&str, &[&str])] = &[
    ("aim", super::aim::KEYS),
    (
        "air",
        &[
            "metar",
            "qnh_hpa",
            "temperature_c",
            "wind_from_deg_true",
            "wind_kt",
        ],
    ),
    (
        "aircraft",
        &[
            "registration",
            "type",
            "best_glide_kcas",
            "reference_weight_lb",
            "weight_lb",
            "glide_ratio",
            "full_flap_glide_ratio",
            "approach_kcas",
            "stall_clean_kcas",
            "stall_landing_kcas",
        ],
    ),
    (
        "targets",
        &["abeam_height_ft", "bank_limit_deg", "glide_kcas"],
    ),
    ("people", &["pilot", "instructor"]),
    ("event", &["utc", "what"]),
    ("field", super::fields::KEYS),
];

/// Reads a briefing.
///
/// # Definition
/// Unknown keys, wrong types and values out of range are errors; so are values
/// that contradict each other. Empty text counts as no text. All problems are
/// reported at once, in file order.
///
/// # Errors
/// Each problem with file, line and column, what was expected, what was found
/// and, where one can be guessed, what was likely meant.
///
/// # Example
/// ```
/// let briefing = stillprop::briefing::parse("[air]\nqnh_hpa = 1018", "a.briefing.toml").unwrap();
/// assert_eq!(briefing.air.qnh_hpa, Some(1018.0));
///
/// let error = stillprop::briefing::parse("[air]\nqnh_hpa = 101.8", "a.briefing.toml").unwrap_err();
/// assert_eq!(error.to_string(), "\
/// a.briefing.toml:2:11: expected `qnh_hpa` from 870 to 1085 hPa, found `101.8`
///   |
/// 2 | qnh_hpa = 101.8
///   |           ^^^^^
/// help: likely 1018 hPa: kilopascals, or the point slipped");
/// ```
pub fn parse(toml_text: &str, file_name: &str) -> Result<Briefing, BriefingError> {
    let text = toml_text.strip_prefix('\u{feff}').unwrap_or(toml_text);
    let mut reader = Reader {
        text,
        file_name,
        problems: Vec::new(),
    };
    let briefing = match DeTable::parse(text) {
        Ok(document) => reader.briefing(document.get_ref()),
        Err(error) => {
            reader.syntax(&error);
            Briefing::default()
        }
    };
    if reader.problems.is_empty() {
        return Ok(briefing);
    }
    reader.problems.sort_by_key(|(start, _)| *start);
    Err(BriefingError {
        problems: reader
            .problems
            .into_iter()
            .map(|(_, problem)| problem)
            .collect(),
    })
}

/// A value and where it stands.
pub(super) type Value<'a> = &'a Spanned<DeValue<'a>>;

pub(super) struct Reader<'t> {
    pub(super) text: &'t str,
    pub(super) file_name: &'t str,
    /// With the byte each starts at.
    pub(super) problems: Vec<(usize, Problem)>,
}

/// One table of the file, with its name.
#[derive(Clone, Copy)]
pub(super) struct Section<'a> {
    pub(super) name: &'static str,
    pub(super) table: Option<&'a DeTable<'a>>,
}

impl<'a> Section<'a> {
    pub(super) fn get(&self, key: &str) -> Option<Value<'a>> {
        self.table?.get(key)
    }
}

impl Reader<'_> {
    fn briefing<'a>(&mut self, root: &'a DeTable<'a>) -> Briefing {
        for (key, value) in root {
            let name = key.get_ref().as_ref();
            if !KEYS.iter().any(|(section, _)| *section == name) {
                self.unknown_at_top(key, value);
            }
        }
        let aim = self.section(root, "aim");
        let air = self.section(root, "air");
        let aircraft = self.section(root, "aircraft");
        let targets = self.section(root, "targets");
        let people = self.section(root, "people");
        let briefing = Briefing {
            aim: self.aim(aim),
            air: Air {
                metar: self.text_of(air, "metar", LONGEST_METAR),
                qnh_hpa: self.number_of(air, "qnh_hpa"),
                temperature_c: self.number_of(air, "temperature_c"),
                wind_from_deg_true: self.number_of(air, "wind_from_deg_true"),
                wind_kt: self.number_of(air, "wind_kt"),
            },
            aircraft: Aircraft {
                registration: self.text_of(aircraft, "registration", LONGEST_TEXT),
                kind: self.text_of(aircraft, "type", LONGEST_TEXT),
                best_glide_kcas: self.number_of(aircraft, "best_glide_kcas"),
                reference_weight_lb: self.number_of(aircraft, "reference_weight_lb"),
                weight_lb: self.number_of(aircraft, "weight_lb"),
                glide_ratio: self.number_of(aircraft, "glide_ratio"),
                full_flap_glide_ratio: self.number_of(aircraft, "full_flap_glide_ratio"),
                approach_kcas: self.number_of(aircraft, "approach_kcas"),
                stall_clean_kcas: self.number_of(aircraft, "stall_clean_kcas"),
                stall_landing_kcas: self.number_of(aircraft, "stall_landing_kcas"),
            },
            targets: Targets {
                abeam_height_ft: self.number_of(targets, "abeam_height_ft"),
                bank_limit_deg: self.number_of(targets, "bank_limit_deg"),
                glide_kcas: self.number_of(targets, "glide_kcas"),
            },
            people: People {
                pilot: self.text_of(people, "pilot", LONGEST_TEXT),
                instructor: self.text_of(people, "instructor", LONGEST_TEXT),
            },
            events: self.events(root),
            events_after_reduction: Vec::new(),
            fields: self.fields(root),
        };
        self.air_holds_together(air, &briefing.air);
        self.aircraft_holds_together(aircraft, &briefing.aircraft);
        self.targets_hold_together(targets, &briefing.targets, &briefing.aircraft);
        briefing
    }

    // Tables.

    fn section<'a>(&mut self, root: &'a DeTable<'a>, name: &'static str) -> Section<'a> {
        let table = root.get(name).and_then(|value| {
            let table = value.get_ref().as_table();
            if table.is_none() {
                let found = describe(value.get_ref());
                let complaint = Complaint::WrongType {
                    key: name.into(),
                    expected: format!("a table, `[{name}]`, with keys below it"),
                    found,
                };
                self.report(value.span(), complaint, None);
            }
            table
        });
        if let Some(table) = table {
            self.unknown_keys(name, table);
        }
        Section { name, table }
    }

    fn events<'a>(&mut self, root: &'a DeTable<'a>) -> Vec<Event> {
        const NAME: &str = "event";
        let Some(value) = root.get(NAME) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            let complaint = Complaint::WrongType {
                key: NAME.into(),
                expected: "a list of tables, `[[event]]`".into(),
                found: describe(value.get_ref()),
            };
            let help = "write `[[event]]`, with two brackets, above the keys of each event";
            self.report(value.span(), complaint, Some(help.into()));
            return Vec::new();
        };
        list.iter().filter_map(|entry| self.event(entry)).collect()
    }

    fn event(&mut self, entry: Value<'_>) -> Option<Event> {
        let Some(table) = entry.get_ref().as_table() else {
            let complaint = Complaint::WrongType {
                key: "event".into(),
                expected: "a table with `utc` and `what`".into(),
                found: describe(entry.get_ref()),
            };
            self.report(entry.span(), complaint, None);
            return None;
        };
        self.unknown_keys("event", table);
        for (found, missing) in [("[[event]]", "utc"), ("[[event]]", "what")] {
            if table.get(missing).is_none() {
                let complaint = Complaint::Incomplete {
                    found: found.into(),
                    missing: missing.into(),
                };
                self.report(self.first_line_of(entry.span()), complaint, None);
            }
        }
        let section = Section {
            name: "event",
            table: Some(table),
        };
        let utc = self.instant_of(section, "utc");
        let what = self.text_of(section, "what", LONGEST_TEXT);
        Some(Event {
            utc: utc?,
            what: what?,
        })
    }

    fn syntax(&mut self, error: &toml::de::Error) {
        let span = error.span().unwrap_or(0..0);
        let line = self.line_at(span.start).2;
        let (key, value) = line
            .split_once('=')
            .map_or(("", ""), |(key, value)| (key.trim(), value.trim()));
        let help = if let Some(help) = runway_number::in_place_of_direction(key, value) {
            Some(help)
        } else if value.split_once(',').is_some_and(|(whole, tenths)| {
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
            digits(whole.trim_start_matches('-')) && digits(tenths.trim())
        }) {
            Some("write decimals with a point, not a comma".to_owned())
        } else if value.starts_with(|c: char| c.is_alphabetic()) {
            Some("text stands between quotes: \"…\"".to_owned())
        } else if value.starts_with(|c: char| c.is_ascii_digit() || c == '-')
            && value.ends_with(|c: char| c.is_alphabetic() || c == '°')
        {
            Some("write the number alone: its unit is in the name of the key".to_owned())
        } else {
            line.split_once(':')
                .filter(|_| !line.contains('='))
                .map(|(key, _)| format!("write `{} = …`", key.trim()))
        };
        let message = error.message().lines().collect::<Vec<_>>().join("; ");
        self.report(span, Complaint::Syntax { message }, help);
    }

    pub(super) fn first_line_of(&self, span: Range<usize>) -> Range<usize> {
        let (_, start, line) = self.line_at(span.start);
        span.start..span.end.min(start + line.len()).max(span.start)
    }

    /// Line number from 1, byte it starts at, and the line holding a byte.
    pub(super) fn line_at(&self, byte: usize) -> (usize, usize, &str) {
        let byte = byte.min(self.text.len());
        let before = self.text.get(..byte).unwrap_or("");
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = self
            .text
            .get(start..)
            .unwrap_or("")
            .lines()
            .next()
            .unwrap_or("");
        (before.matches('\n').count() + 1, start, line)
    }

    pub(super) fn raw(&self, span: Range<usize>) -> String {
        self.text.get(span).unwrap_or("").to_owned()
    }
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
