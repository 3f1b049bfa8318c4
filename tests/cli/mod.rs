//! The program as people and scripts meet it: exit status, standard output, standard error.

mod across_flights;
mod bad_briefings;
mod bad_outputs;
mod bad_recordings;
mod batch;
mod debrief;
mod explain;
mod overview_looks;
pub(crate) mod program;
mod usage;

pub(crate) use program::{Folder, OWN_DATA, level_cruise, sample};
