//! Stage 7: everything about one recording, as a document.

pub mod analyse;
mod air_chains;
pub mod assemble;
pub mod attempt;
mod checklist;
mod contact;
pub mod document;
pub mod drawing;
mod graded;
pub mod instants;
mod power_times;
mod reach;
pub mod reasons;
mod surface_air;

pub use analyse::{Analysis, DebriefError, Options, debrief};
pub use document::Debrief;
