//! Tests of behaviour, one binary; a folder for each part.
#![allow(clippy::unwrap_used, reason = "the helpers of tests fail like tests")]

mod aim;
mod architecture;
mod cli;
mod compatibility;
mod coverage;
mod detective;
mod damaged;
mod engine_clearing;
mod fleet;
mod grading;
mod hostile;
mod in_hand;
mod logbook;
mod progress;
mod properties;
mod published;
mod reach;
mod reading;
mod readme;
pub(crate) mod report;
mod samples;
mod scoring;
#[allow(
    dead_code,
    unreachable_pub,
    clippy::pedantic,
    reason = "the simulator and the scoring are shared with benches, which use other parts of them"
)]
mod truth;
