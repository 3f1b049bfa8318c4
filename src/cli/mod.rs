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
mod diagnostic;
mod exit;
mod explain;
mod files;
mod flight;
mod misuse;
mod plan;
mod reports;
mod run;
mod standards;
mod terminal;

pub use exit::Exit;
pub use run::run;
