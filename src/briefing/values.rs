//! Single values of a briefing: numbers within their limits, texts, instants.

use std::ops::Range;

use toml::de::DeValue;

use super::error::{Complaint, Place, Problem};
use super::limits;
use super::parse::{Reader, Section, Value};
use super::runway_number;

impl Reader<'_> {
    pub(super) fn number_of(&mut self, section: Section<'_>, key: &'static str) -> Option<f64> {
        let value = section.get(key)?;
        let limit = limits::limit(&format!("{}.{key}", section.name))?;
        let number = match value.get_ref() {
            DeValue::Integer(integer) if integer.radix() == 10 => {
                integer.as_str().parse::<f64>().ok()
            }
            DeValue::Float(float) => float.as_str().parse::<f64>().ok(),
            _ => None,
        };
        let Some(number) = number else {
            let complaint = Complaint::WrongType {
                key: key.into(),
                expected: format!("a number, {}", limit.unit),
                found: self.describe_with_text(value),
            };
            let text = value.get_ref().as_str();
            let help = text
                .and_then(|text| runway_number::in_place_of_direction(key, text))
                .or_else(|| {
                    text.and_then(leading_number)
                        .map(|n| format!("write {key} = {n}"))
                });
            self.report(value.span(), complaint, help);
            return None;
        };
        if !limit.holds(number) {
            let complaint = Complaint::OutOfRange {
                key: key.into(),
                low: limit.low,
                high: limit.high,
                unit: limit.unit,
                found: self.raw(value.span()),
            };
            self.report(value.span(), complaint, limit.likely_meaning(number));
            return None;
        }
        Some(number)
    }

    pub(super) fn text_of(
        &mut self,
        section: Section<'_>,
        key: &'static str,
        most: usize,
    ) -> Option<String> {
        let value = section.get(key)?;
        let Some(text) = value.get_ref().as_str() else {
            let complaint = Complaint::WrongType {
                key: key.into(),
                expected: "text between quotes".into(),
                found: self.describe_with_text(value),
            };
            let is_number = value.get_ref().is_integer() || value.get_ref().is_float();
            let help = is_number.then(|| format!("write {key} = \"{}\"", self.raw(value.span())));
            self.report(value.span(), complaint, help);
            return None;
        };
        let found = text.chars().count();
        if found > most {
            self.report(
                value.span(),
                Complaint::TooLong {
                    key: key.into(),
                    most,
                    found,
                },
                None,
            );
            return None;
        }
        let trimmed = text.trim();
        // An event must say something; elsewhere an empty text is a form not filled in.
        if trimmed.is_empty() && section.name == "event" {
            let complaint = Complaint::WrongType {
                key: key.into(),
                expected: "some words".into(),
                found: "empty text".into(),
            };
            self.report(value.span(), complaint, None);
        }
        (!trimmed.is_empty()).then(|| trimmed.to_owned())
    }

    pub(super) fn instant_of(&mut self, section: Section<'_>, key: &'static str) -> Option<String> {
        let value = section.get(key)?;
        // TOML has times of its own, without quotes: as good.
        let text = match value.get_ref() {
            DeValue::String(text) => text.trim().to_owned(),
            DeValue::Datetime(_) => self.raw(value.span()),
            _ => {
                let complaint = Complaint::Time {
                    key: key.into(),
                    found: self.describe_with_text(value),
                };
                self.report(value.span(), complaint, None);
                return None;
            }
        };
        if text.parse::<jiff::Timestamp>().is_ok() {
            return Some(text);
        }
        let help = if text.parse::<jiff::civil::DateTime>().is_ok() && text.contains(':') {
            Some(format!("say which time it is: `{text}Z` if it is UTC"))
        } else if text.parse::<jiff::civil::Time>().is_ok() {
            Some("put the date in front".to_owned())
        } else {
            None
        };
        self.report(
            value.span(),
            Complaint::Time {
                key: key.into(),
                found: format!("`{text}`"),
            },
            help,
        );
        None
    }

    // Where things stand.

    pub(super) fn describe_with_text(&self, value: Value<'_>) -> String {
        const MOST: usize = 40;
        let raw = self.raw(value.span());
        if raw.chars().count() > MOST || raw.contains('\n') {
            describe(value.get_ref())
        } else {
            format!("{} `{raw}`", describe(value.get_ref()))
        }
    }

    pub(super) fn report(
        &mut self,
        span: Range<usize>,
        complaint: Complaint,
        help: Option<String>,
    ) {
        let place = self.place_of(span.clone());
        self.problems.push((
            span.start,
            Problem {
                place,
                complaint,
                help,
            },
        ));
    }

    /// Where some bytes stand.
    pub(super) fn place_of(&self, span: Range<usize>) -> Place {
        let (line, start, text) = self.line_at(span.start);
        let chars =
            |from: usize, to: usize| self.text.get(from..to).map_or(0, |t| t.chars().count());
        let end_of_line = start + text.len();
        Place::File {
            file_name: self.file_name.to_owned(),
            line,
            column: chars(start, span.start) + 1,
            width: chars(span.start, span.end.min(end_of_line)).max(1),
            text: text.to_owned(),
        }
    }
}

/// The kind of a value, in words.
pub(super) fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "the number",
        DeValue::Boolean(_) => "true or false,",
        DeValue::Datetime(_) => "a time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
    .to_owned()
}

/// The number a text starts with, as written.
fn leading_number(text: &str) -> Option<&str> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(text.len());
    let number = &text[..end];
    number.parse::<f64>().ok().map(|_| number)
}
