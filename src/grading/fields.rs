//! The fields of a standard file, each of the kind it should be, or a problem with its line.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::StandardProblem;
use crate::briefing::spelling::nearest;

/// The longest text that fits a form.
const LONGEST_TEXT: usize = 400;

/// A table with the place it starts at.
pub(super) struct Table<'a> {
    pub(super) entries: &'a DeTable<'a>,
    pub(super) at: Range<usize>,
    pub(super) what: &'static str,
}

/// Reads fields, and keeps what is wrong with them.
pub(super) struct Reader<'t> {
    pub(super) text: &'t str,
    pub(super) file_name: &'t str,
    pub(super) problems: Vec<StandardProblem>,
}

impl Table<'_> {
    /// Where the value of `key` stands, or the table without it.
    pub(super) fn span_of(&self, key: &str) -> Range<usize> {
        self.entries.get(key).map_or(self.at.clone(), Spanned::span)
    }
}

impl Reader<'_> {
    pub(super) fn unknown_keys(&mut self, table: &Table<'_>, known: &[&str]) {
        for key in table.entries.keys() {
            let name = key.get_ref().as_ref();
            if !known.contains(&name) {
                let help = nearest(name, known.iter().copied()).map_or_else(
                    || format!("known are {}", known.join(", ")),
                    |near| format!("did you mean `{near}`?"),
                );
                self.report(
                    key.span(),
                    format!("unknown key `{name}` in {}", table.what),
                    Some(help),
                );
            }
        }
    }

    pub(super) fn tables_of<'a>(&mut self, top: &Table<'a>, key: &'static str) -> Vec<Table<'a>> {
        let Some(value) = top.entries.get(key) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            self.report(
                value.span(),
                format!("expected `[[{key}]]`, with two brackets, above each"),
                None,
            );
            return Vec::new();
        };
        let mut tables = Vec::new();
        for entry in list {
            match entry.get_ref().as_table() {
                Some(table) => tables.push(Table {
                    entries: table,
                    at: entry.span(),
                    what: key,
                }),
                None => self.report(entry.span(), format!("expected a table, `[[{key}]]`"), None),
            }
        }
        tables
    }

    pub(super) fn text_of(&mut self, table: &Table<'_>, key: &str) -> Option<String> {
        let value = table.entries.get(key)?;
        self.text_in(value, key)
    }

    pub(super) fn text_in(&mut self, value: &Spanned<DeValue<'_>>, key: &str) -> Option<String> {
        match value.get_ref().as_str().map(str::trim) {
            None => self.report(
                value.span(),
                format!("expected `{key}` as text between quotes"),
                None,
            ),
            Some("") => self.report(value.span(), format!("`{key}` is empty"), None),
            Some(text) if text.chars().count() > LONGEST_TEXT => {
                self.report(
                    value.span(),
                    format!("`{key}` is longer than {LONGEST_TEXT} characters"),
                    None,
                );
            }
            Some(text) => return Some(text.to_owned()),
        }
        None
    }

    pub(super) fn required_text(&mut self, table: &Table<'_>, key: &str) -> Option<String> {
        if table.entries.get(key).is_none() {
            self.report(
                table.at.clone(),
                format!("`{key}` is missing in {}", table.what),
                None,
            );
        }
        self.text_of(table, key)
    }

    pub(super) fn texts_of(&mut self, table: &Table<'_>, key: &str) -> Vec<(String, Range<usize>)> {
        let Some(value) = table.entries.get(key) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            self.report(
                value.span(),
                format!("expected `{key}` as a list of texts, `[\"…\"]`"),
                None,
            );
            return Vec::new();
        };
        list.iter()
            .filter_map(|entry| Some((self.text_in(entry, key)?, entry.span())))
            .collect()
    }

    pub(super) fn word_of<T: Copy>(
        &mut self,
        table: &Table<'_>,
        key: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let text = self.text_of(table, key)?;
        let found = words
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, value)| *value);
        if found.is_none() {
            let known: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
            self.report(
                table.span_of(key),
                format!("unknown `{key}`, `{text}`"),
                Some(format!("one of {}", known.join(", "))),
            );
        }
        found
    }

    /// `true` or `false`; false where the key is not there.
    pub(super) fn truth_of(&mut self, table: &Table<'_>, key: &str) -> bool {
        let Some(value) = table.entries.get(key) else {
            return false;
        };
        let truth = value.get_ref().as_bool();
        if truth.is_none() {
            self.report(
                value.span(),
                format!("expected `{key}` as true or false, without quotes"),
                None,
            );
        }
        truth.unwrap_or(false)
    }

    pub(super) fn number_of(
        &mut self,
        table: &Table<'_>,
        key: &str,
    ) -> Option<(f64, Range<usize>)> {
        let value = table.entries.get(key)?;
        let number = match value.get_ref() {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse::<f64>().ok(),
            DeValue::Float(f) => f.as_str().parse::<f64>().ok(),
            _ => None,
        };
        let number = number.filter(|n| n.is_finite() && n.abs() < 1e6);
        if number.is_none() {
            self.report(value.span(), format!("expected `{key}` as a number"), None);
        }
        Some((number?, value.span()))
    }

    pub(super) fn report(&mut self, span: Range<usize>, what: String, help: Option<String>) {
        let before = self
            .text
            .get(..span.start.min(self.text.len()))
            .unwrap_or("");
        self.problems.push(StandardProblem {
            file_name: self.file_name.to_owned(),
            line: before.matches('\n').count() + 1,
            what,
            help,
        });
    }
}
