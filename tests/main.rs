//! Tests of behaviour, one binary; a folder for each part.
#![allow(clippy::unwrap_used, reason = "the helpers of tests fail like tests")]

mod architecture;
mod cli;
mod engine_clearing;
mod published;
mod reading;
mod reach;
mod readme;
mod report;
mod samples;
#[allow(
    dead_code,
    clippy::pedantic,
    reason = "the simulator is shared with the accuracy bench, which uses other parts of it"
)]
mod truth;
