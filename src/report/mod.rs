//! Stage 8: the document, drawn and written for people and for programs.
//!
//! Reads the [`document`](crate::debrief::document) and the catalogue of measures, and computes no
//! aviation: here are only layout, rounding and words. Text of the document reaches every output
//! escaped.

pub mod bounds;
pub mod checklist_words;
pub mod compare;
mod cut;
pub mod debrief_words;
pub mod exchange;
pub mod fleet;
pub mod geojson;
pub mod glossary;
mod grid;
pub mod headline;
pub mod in_hand_words;
pub mod json;
pub mod look;
pub mod number;
pub mod page;
pub mod panel;
pub mod picture;
pub mod progress;
mod rewriting;
mod rounding;
mod rounding_reach;
pub mod rows;
pub mod sheet;
pub mod spoken;
pub mod stage_check;
pub mod svg;
pub mod text;
pub mod verdicts;
pub mod wording;
pub mod words;

pub use geojson::geojson;
pub use json::{document_json, schema_json, schema_json_of};
pub use page::{page_html, page_html_in};
pub use sheet::{Paper, SheetOptions, no_attempt_svg, sheet_svg};
pub use stage_check::{stage_check_svg, stage_check_svg_in};
pub use text::{summary_table, summary_table_in};
pub use wording::{Manner, Units, Wording};
