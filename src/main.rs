//! The program: see [`stillprop::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    stillprop::cli::run(std::env::args_os())
}
