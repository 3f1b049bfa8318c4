//! Stage 9: what the attempts of a logbook say about the people.
//!
//! Each measure that can be flown better or worse is followed over the flights: a straight line and the
//! last flights against the first, with the doubt of each figure and the spread from one flight to the
//! next. Nobody is passed or failed.

pub mod document;
mod flights;
mod follow;
mod scale;
pub mod statistics;
mod yardsticks;

pub use document::{MeasureProgress, Overview, PilotLine, ProgressReport};
pub use follow::{overview, pilot};
