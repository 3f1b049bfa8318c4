//! Stage 5: path and air → practice forced landings, and what merely looks like one.

pub mod candidates;
pub mod change_point;
pub mod clearing;
pub mod engine;
mod judging;
mod levels;
pub mod power;
pub mod segments;
mod step_columns;
pub mod throttle;

pub use candidates::{Candidate, CandidateEnd, find};
pub use change_point::ChangePoint;
