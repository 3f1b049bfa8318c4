//! The `[[field]]` tables of a briefing: other places to land.

use toml::de::DeTable;

use super::Field;
use super::error::Complaint;
use super::limits::LONGEST_TEXT;
use super::parse::{Reader, Section, Value};
use super::values::describe;

/// Name of the table.
const NAME: &str = "field";

/// Keys of the table.
pub(super) const KEYS: &[&str] = &[
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_ft",
    "landing_true_deg",
];

/// More fields than this are not looked at: nobody chooses among more.
const MOST: usize = 24;

impl Reader<'_> {
    pub(super) fn fields<'a>(&mut self, root: &'a DeTable<'a>) -> Vec<Field> {
        let Some(value) = root.get(NAME) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            self.not_a_table(value, "a list of tables, `[[field]]`");
            return Vec::new();
        };
        if list.len() > MOST {
            let complaint = Complaint::WrongType {
                key: NAME.into(),
                expected: format!("at most {MOST} fields"),
                found: format!("{}", list.len()),
            };
            self.report(self.first_line_of(value.span()), complaint, None);
            return Vec::new();
        }
        list.iter().filter_map(|entry| self.field(entry)).collect()
    }

    fn field(&mut self, entry: Value<'_>) -> Option<Field> {
        let Some(table) = entry.get_ref().as_table() else {
            self.not_a_table(
                entry,
                "a table with `name`, `latitude_deg` and `longitude_deg`",
            );
            return None;
        };
        self.unknown_keys(NAME, table);
        let section = Section {
            name: NAME,
            table: Some(table),
        };
        for missing in ["name", "latitude_deg", "longitude_deg"] {
            if table.get(missing).is_none() && !section.misspells(missing) {
                let complaint = Complaint::Incomplete {
                    found: "[[field]]".into(),
                    missing: missing.into(),
                };
                self.report(self.first_line_of(entry.span()), complaint, None);
            }
        }
        let name = self.text_of(section, "name", LONGEST_TEXT);
        let latitude_deg = self.coordinate_of(section, "latitude_deg");
        let longitude_deg = self.coordinate_of(section, "longitude_deg");
        let elevation_ft = self.number_of(section, "elevation_ft");
        let landing_true_deg = self.number_of(section, "landing_true_deg");
        Some(Field {
            name: name?,
            latitude_deg: latitude_deg?,
            longitude_deg: longitude_deg?,
            elevation_ft,
            landing_true_deg,
        })
    }

    fn not_a_table(&mut self, value: Value<'_>, expected: &str) {
        let complaint = Complaint::WrongType {
            key: NAME.into(),
            expected: expected.into(),
            found: describe(value.get_ref()),
        };
        let help = "write `[[field]]`, with two brackets, above the keys of each field";
        self.report(value.span(), complaint, Some(help.into()));
    }
}

#[cfg(test)]
mod tests {
    use crate::briefing::parse;

    #[test]
    fn fields_are_read_and_what_is_wrong_is_said() {
        let text = "[[field]]\nname = \"Long meadow\"\nlatitude_deg = 51.0\nlongitude_deg = -2.0\n\
                    elevation_ft = 300\nlanding_true_deg = 250\n[[field]]\nname = \"Stubble\"\n\
                    latitude_deg = 51.02\nlongitude_deg = -2.1\n";
        let fields = parse(text, "a").unwrap().fields;
        assert_eq!(fields.len(), 2);
        assert_eq!(fields[0].landing_true_deg, Some(250.0));
        assert_eq!(
            (fields[1].elevation_ft, fields[1].landing_true_deg),
            (None, None)
        );

        let error = parse(
            "[[field]]\nname = \"Stubble\"\nlatitude_deg = 51.02\nheading = 3\n",
            "a",
        )
        .unwrap_err()
        .to_string();
        assert!(
            error.contains("`heading`") && error.contains("longitude_deg"),
            "{error}"
        );
        let error = parse("[field]\nname = \"Stubble\"\n", "a")
            .unwrap_err()
            .to_string();
        assert!(error.contains("[[field]]"), "{error}");
    }

    #[test]
    fn a_slip_of_the_keys_is_guessed() {
        let error = parse(
            "[[field]]\nname = \"Stubble\"\nlatitude_deg = 5102.4\nlongitude_deg = 0\n",
            "a",
        )
        .unwrap_err()
        .to_string();
        assert!(error.contains("51.040000"), "{error}");
    }
}
