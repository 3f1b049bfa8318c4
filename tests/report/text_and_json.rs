//! The short table, the document as JSON, and its schema.

use stillprop::debrief::document::Debrief;
use stillprop::report::{document_json, schema_json, summary_table};

use super::variants;

#[test]
fn a_terminal_of_eighty_columns_shows_the_table_without_wrapping() {
    for (name, debrief) in variants::all() {
        for line in summary_table(&debrief).lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
            assert!(!line.chars().any(char::is_control), "{name}: {line:?}");
        }
    }
}

#[test]
fn the_table_begins_with_what_matters() {
    let table = summary_table(&super::documents::two_orbits_to_touchdown());
    assert!(
        table
            .replace('\u{a0}', " ")
            .contains("Attempt 1 of 1: Touchdown 310 ft beyond the aim")
    );
    let none = summary_table(&variants::no_attempts());
    assert!(none.contains("No practice forced landing found."));
    assert!(none.contains("levelled off after 40 s"));
}

#[test]
fn a_written_document_reads_back_as_it_was_written() {
    for (name, debrief) in variants::all() {
        if name == "extreme values" {
            continue; // what is not a number has no JSON
        }
        let json = document_json(&debrief);
        let back: Debrief = serde_json::from_str(&json).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(document_json(&back), json, "{name}");
        assert!(json.starts_with("{\n  \"schema\": \"stillprop.debrief.v1\""));
    }
}

#[test]
fn numbers_are_rounded_and_lists_take_a_line() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    debrief.attempts[0].series.cas_kt[0] = 71.123_456_789;
    let json = document_json(&debrief);
    assert!(json.contains("\"cas_kt\": [71.12, "));
    assert!(!json.contains("-0.0,"));
}

#[test]
fn the_schema_names_every_part() {
    let schema: serde_json::Value = serde_json::from_str(&schema_json()).unwrap();
    for part in ["recording", "attempts", "height_reference", "warnings"] {
        assert!(schema["properties"].get(part).is_some(), "{part}");
    }
}
