//! Stage 6c: the values of all draws against a published standard → verdicts.
//!
//! A standard is data (TOML): each criterion is a measure, bounds and the place where they are
//! published. A verdict is the share of the draws inside the bounds and nothing else, so a recorder
//! too coarse for a tolerance says so instead of guessing. It is evidence: nothing here passes or
//! fails anybody.

mod error;
mod fields;
mod grade;
mod held;
mod library;
mod parse;
mod settle;
mod standard;

pub use error::{StandardError, StandardProblem};
pub use grade::{
    CriterionGrade, Evidence, Grade, HandLine, Recorder, References, Verdict, grade, inside,
    verdict,
};
pub use library::{embedded, find, unknown_id};
pub use parse::parse;
pub use standard::{About, Basis, ByHand, Criterion, Standard};
