//! What was really flown in a practice forced landing, from a recording of it.
//!
//! ```text
//! bytes -> reading -> cleaning -> flight_path (posterior) -> draws
//!                     briefing --------^                       |
//!          for each attempt, for each draw:  air -> key_points -> measures
//!          over the draws: value = median, interval = 2.5 %..97.5 %
//! -> debrief (document) -> report (sheet, page, table, JSON)
//! ```
//!
//! Data flows downward only: the modules below are in pipeline order, and none
//! imports a later one (held by `tests/architecture.rs`).

// Ground: imported by every stage, imports no stage.
pub mod atmosphere;
pub mod geodesy;
pub mod geoid;
pub mod geomagnetism;
pub mod linear_algebra;
pub mod quantity;
pub mod random;
pub mod units;

// What the user knows.
pub mod briefing;
pub mod airfields;

// The pipeline.
pub mod reading;
pub mod cleaning;
pub mod flight_path;
pub mod air;
pub mod attempts;
pub mod key_points;
pub mod reach;
pub mod measures;
pub mod grading;
pub mod debrief;
pub mod report;

// The program around it.
pub mod cli;
