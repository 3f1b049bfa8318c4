//! Stage 9: what the glides of a logbook say about the aeroplanes.
//!
//! ```text
//! logbook -> glides (energy balances) -> model (draws) -> findings, history -> document
//! ```
//!
//! The glides of one type share a drag polar, each aeroplane has its own parasite drag, and each flight
//! its own air. Aeroplanes with few glides are drawn towards the others of their type as far as those
//! are alike: partial pooling. What is said is a share of draws, but for the intervals, which are to hold for each aeroplane
//! and not only on the average (`interval`).

mod analyse;
pub mod document;
mod glides;
pub mod history;
pub mod interval;
pub mod model;

pub use analyse::{Options, analyse};
pub use document::FleetReport;
pub use glides::By;
