//! The program around the library: arguments in, files and text out.
//!
//! ```text
//! args (as typed) -> plan (what it means) -> run -> batch -> flight -> exit status
//! ```
//!
//! Only this module opens files, prints, or reads the environment. Results go to
//! standard output, everything else to standard error.

mod args;
mod batch;
mod brief;
mod compare;
mod diagnostic;
mod exit;
mod explain;
mod files;
mod fleet;
mod flight;
mod keeping;
mod logbook;
mod manual;
mod memory;
mod misuse;
mod overview;
mod overview_args;
mod plan;
mod reports;
mod progress;
mod run;
mod standards;
mod summary;
mod terminal;
mod walk;

pub use exit::Exit;
pub use run::run;
