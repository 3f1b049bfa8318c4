//! Stage 4: path → wind by height and airspeed, with their doubt.
//!
//! Wind and airspeed are fitted together to the ground velocity (|v − w| = TAS) and, where the
//! engine idles, to the energy balance: with a wrong wind the energy swings once per orbit.

pub mod drag;
pub mod fit;
pub mod noise_chain;
pub mod wind;

pub use fit::{AirDraw, AirFit, Chain, ChainKind, FitOptions, Sample, fit};
pub use wind::WindProfile;
