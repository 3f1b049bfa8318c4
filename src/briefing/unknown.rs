//! Keys and tables that a briefing does not have: what was likely meant.

use toml::Spanned;
use toml::de::DeTable;

use super::error::Complaint;
use super::parse::{KEYS, Reader, Section, Value};
use super::spelling::{abbreviated, nearest};

/// Other words for a key, where no spelling of it is near.
const OTHER_WORDS: &[(&str, &[&str])] = &[
    (
        "elevation_ft",
        &[
            "alt",
            "alt_ft",
            "altitude",
            "altitude_ft",
            "altitude_m",
            "height",
            "height_ft",
        ],
    ),
    (
        "landing_true_deg",
        &[
            "bearing",
            "course",
            "direction",
            "hdg",
            "heading",
            "heading_deg",
            "qfu",
        ],
    ),
    ("registration", &["callsign", "tail", "tail_number"]),
    ("glide_ratio", &["l_d", "ld", "lift_drag"]),
];

/// The key of a table that was likely meant by one that it does not have.
fn meant(section: &str, name: &str) -> Option<&'static str> {
    let (_, known) = KEYS.iter().find(|(key, _)| *key == section)?;
    let lower = name.to_ascii_lowercase();
    let other_word = OTHER_WORDS
        .iter()
        .find(|(key, words)| known.contains(key) && words.contains(&lower.as_str()))
        .map(|(key, _)| *key);
    other_word
        .or_else(|| nearest(name, known.iter().copied()))
        .or_else(|| abbreviated(name, known.iter().copied()))
}

impl Section<'_> {
    /// Whether a key that is not there was likely meant by one that is unknown.
    pub(super) fn misspells(&self, missing: &str) -> bool {
        let Some(table) = self.table else {
            return false;
        };
        !table.contains_key(missing)
            && table.keys().any(|key| {
                meant(self.name, key.get_ref().as_ref()) == Some(missing)
                    && !is_known(key.get_ref())
            })
    }
}

/// Whether any table has this key.
fn is_known(name: &str) -> bool {
    KEYS.iter().any(|(_, keys)| keys.contains(&name))
}

impl Reader<'_> {
    pub(super) fn unknown_at_top(
        &mut self,
        key: &Spanned<std::borrow::Cow<'_, str>>,
        value: Value<'_>,
    ) {
        let name = key.get_ref().as_ref();
        let is_table = value.get_ref().as_table().is_some() || value.get_ref().as_array().is_some();
        let tables = KEYS.iter().map(|(section, _)| *section);
        let help = if is_table {
            nearest(name, tables.clone()).map_or_else(
                || {
                    format!(
                        "a briefing has the tables {}",
                        tables
                            .map(|t| format!("`[{t}]`"))
                            .collect::<Vec<_>>()
                            .join(", ")
                    )
                },
                |table| format!("did you mean `[{table}]`?"),
            )
        } else {
            let place = |(section, keys): &(&'static str, &'static [&'static str])| {
                nearest(name, keys.iter().copied()).map(|key| (*section, key))
            };
            let candidates: Vec<_> = KEYS.iter().filter_map(place).collect();
            nearest(name, candidates.iter().map(|(_, key)| *key))
                .and_then(|near| candidates.iter().find(|(_, key)| *key == near))
                .map_or_else(
                    || "every key stands below a table such as `[aim]`".to_owned(),
                    |(section, key)| format!("did you mean `{key}`, below `[{section}]`?"),
                )
        };
        let (what, place) = if is_table {
            ("table", "in a briefing")
        } else {
            ("key", "at the top of the file")
        };
        let complaint = Complaint::Unknown {
            what,
            key: name.to_owned(),
            place: place.into(),
        };
        self.report(key.span(), complaint, Some(help));
    }

    pub(super) fn unknown_keys(&mut self, section: &'static str, table: &DeTable<'_>) {
        let known = KEYS
            .iter()
            .find(|(name, _)| *name == section)
            .map_or(&[][..], |(_, keys)| *keys);
        for key in table.keys() {
            let name = key.get_ref().as_ref();
            if known.contains(&name) {
                continue;
            }
            let elsewhere = KEYS.iter().find(|(_, keys)| keys.contains(&name));
            let help = if let Some((elsewhere, _)) = elsewhere {
                format!("`{name}` belongs below `[{elsewhere}]`")
            } else if let Some(near) = meant(section, name) {
                format!("did you mean `{near}`?")
            } else {
                format!(
                    "`[{section}]` has {}",
                    known
                        .iter()
                        .map(|k| format!("`{k}`"))
                        .collect::<Vec<_>>()
                        .join(", ")
                )
            };
            let complaint = Complaint::Unknown {
                what: "key",
                key: name.to_owned(),
                place: format!("in `[{section}]`"),
            };
            self.report(key.span(), complaint, Some(help));
        }
    }
}
