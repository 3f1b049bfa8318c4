//! What was really flown in a practice forced landing, from a recording of it.
//!
//! ```text
//! bytes -> reading -> cleaning -> flight_path (posterior) -> draws
//!                     briefing --------^                       |
//!          for each attempt, for each draw:  air -> key_points -> measures
//!          over the draws: value = median, interval = 2.5 %..97.5 %
//! -> debrief (document) -> report (sheet, page, table, JSON)
//!                      -> logbook (many debriefs)
//! ```
//!
//! From bytes to a debrief:
//!
//! ```
//! use stillprop::{briefing, debrief, reading, report};
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let bytes = std::fs::read("sample-tracks/go-around-500-ft.gpx")?;
//! let known = std::fs::read_to_string("sample-tracks/go-around-500-ft.briefing.toml")?;
//! let recording = reading::read(&bytes, "go-around.gpx", &reading::ReadOptions::default())?;
//! let briefing = briefing::parse(&known, "go-around.briefing.toml")?;
//! let options = debrief::Options { draws: 40, ..debrief::Options::default() };
//! let debrief = debrief::debrief(&recording, &briefing, "", &options)?;
//! let lowest = &debrief.attempts[0].measures["go_around_height_ft"];
//! let (low, high) = lowest.interval().ok_or("not measured")?;
//! assert!(low < 501.0 && 501.0 < high); // it was flown to 501 ft
//! print!("{}", report::summary_table(&debrief));
//! # Ok(())
//! # }
//! ```
//!
//! Debriefs answer with [`Measured`](quantity::Measured): a value and its 95 % interval, or the reason why there is
//! none. A figure is looked up by its id in the [catalogue](measures::catalogue); what stands behind it is in
//! [`explained`](measures::explained). The empty text is where the SHA-256 of the bytes goes, for
//! whoever keeps debriefs.
//!
//! Data flows downward only: the modules below are in pipeline order, and none
//! imports a later one (held by `tests/architecture.rs`).

// Ground: imported by every stage, imports no stage.
pub mod atmosphere;
pub mod findings;
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
pub mod logbook;
pub mod fleet;
pub mod progress;
pub mod compare;
pub mod report;

// The program around it.
pub mod cli;
