//! Tests of behaviour, one binary; a folder for each part.

mod architecture;
mod cli;
mod published;
mod readme;
mod report;
mod samples;
