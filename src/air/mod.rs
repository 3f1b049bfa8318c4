//! Stage 4: path → wind by height and airspeed, with their doubt.
//!
//! Wind and airspeed are fitted together to the ground velocity (|v − w| = TAS) and, where the
//! engine idles, to the energy balance: with a wrong wind the energy swings once per orbit.

pub mod drag;
mod energy_rows;
pub mod fit;
mod habits;
pub mod noise_chain;
mod prepared;
mod priors;
mod rows;
#[cfg(test)]
mod rows_tests;
pub mod samples;
mod speed_rows;
mod unknowns;
pub mod wind;

pub use fit::{AirDraw, AirFit, fit};
pub use samples::{Chain, ChainKind, FitOptions, Sample};
pub use wind::WindProfile;
