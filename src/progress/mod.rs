//! Stage 9: what the attempts of a logbook say about the people.
//!
//! Each measure that can be flown better or worse is followed over the attempts: a straight line and the
//! last attempts against the first, with the doubt of each figure and the spread from one attempt to the
//! next. Nobody is passed or failed.

pub mod document;
mod follow;
pub mod statistics;
mod yardsticks;

pub use document::{MeasureProgress, Overview, PilotLine, ProgressReport};
pub use follow::{overview, pilot};
