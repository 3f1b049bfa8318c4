//! Stage 7: everything about one recording, as a document.

mod aim;
pub mod analyse;
mod air_chains;
pub mod assemble;
pub mod attempt;
mod checklist;
mod contact;
pub mod detective;
mod dive;
pub mod document;
mod draft;
pub mod drawing;
mod graded;
mod gaps;
pub mod glide_energy;
pub mod instants;
mod key_points;
mod known_flap;
mod legs;
mod manoeuvre;
mod power_times;
mod reach;
pub mod reach_document;
pub mod reasons;
pub mod remarks;
mod recorded_speed;
pub mod runway_used;
mod series;
mod sources;
mod steady_glide;
mod surface_air;
mod winds;

pub use analyse::{Analysis, DebriefError, Options, debrief, debrief_among};
pub use document::Debrief;
pub use draft::draft;
pub use manoeuvre::another_manoeuvre;
