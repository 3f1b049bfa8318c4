//! Stage 6a: one possible path in one possible wind → the instants that matter.
//!
//! Everything here is a function of one [`Flown`]: a draw. Intervals arise from running it on
//! many draws.

pub mod flown;
pub mod pattern;
pub mod touchdown;
pub mod turns;

pub use flown::{Flown, Instant};
pub use pattern::{KeyTimes, Known, find};
