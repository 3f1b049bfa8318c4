//! Known truth: flights debriefed and held against what was flown.

pub mod goals;
pub mod reference;
pub mod rows;
pub mod scoring;
pub mod simulator;
pub mod summary;

/// A foot, in metres.
const FT: f64 = 0.3048;
/// A knot, in metres per second.
const KT: f64 = 1852.0 / 3600.0;
/// Standard gravity.
const G0_MPS2: f64 = 9.80665;
