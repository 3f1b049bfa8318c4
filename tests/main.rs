//! Tests of behaviour, one binary; a folder for each part.

mod published;
mod report;
