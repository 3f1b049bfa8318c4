//! Known truth: simulated flights, debriefed and held against what was flown.

pub mod scoring;
pub mod simulator;
pub mod summary;
