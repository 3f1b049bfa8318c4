//! How accurate the figures are, and whether their intervals hold the truth.
//!
//! ```text
//! cargo bench --bench accuracy -- --reference            # the reference flights; writes docs/accuracy.md
//!     --only flight-07                                   #   those of this name only, shown and not written
//! cargo bench --bench accuracy -- --verdicts             # the same graded; writes docs/verdicts.md
//! cargo bench --bench accuracy -- --seeds 400 --page     # simulated flights; writes docs/intervals.md
//! cargo bench --bench accuracy -- --seeds 40 [--first 1] #   shown and not written
//!     --missed                                           #   attempts missed, and false ones
//! cargo bench --bench accuracy -- --explain 7,12         # what was flown and found in simulated flights
//! cargo bench --bench accuracy -- --seeds 4 --dump DIR   # writes simulated recordings and briefings
//! ```
//!
//! `--worst touchdown_along_ft,abeam_height_ft` shows the largest errors of these figures.

#![allow(clippy::print_stdout, clippy::print_stderr)]
#![allow(
    dead_code,
    unreachable_pub,
    clippy::pedantic,
    reason = "the simulator is shared with tests, which use other parts of it"
)]

#[path = "../../tests/truth/mod.rs"]
mod truth;

mod classes;
mod page;
mod reference;
mod simulated;
mod verdicts;

use std::fs;
use std::path::Path;

use stillprop::briefing;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};
use stillprop::report::document_json;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let value = |name: &str| {
        let at = arguments.iter().position(|a| a == name)?;
        arguments.get(at + 1).map(String::as_str)
    };
    let there = |name: &str| arguments.iter().any(|a| a == name);
    let number = |name: &str| value(name).and_then(|v| v.parse::<u64>().ok());
    let worst: Vec<&str> = value("--worst").map_or(Vec::new(), |v| v.split(',').collect());
    let first = number("--first").unwrap_or(1);
    let seeds = first..first + number("--seeds").unwrap_or(40);
    if there("--reference") {
        reference::run(value("--only"), &worst);
    } else if there("--verdicts") {
        verdicts::run(value("--only"));
    } else if let Some(list) = value("--explain") {
        list.split(',')
            .filter_map(|seed| seed.parse().ok())
            .for_each(simulated::explain);
    } else if let Some(folder) = value("--dump") {
        simulated::dump(seeds, Path::new(folder));
    } else {
        simulated::run(seeds, there("--page"), there("--missed"), &worst);
    }
}

/// What the program says about a recording, as it would write it.
fn debriefed(bytes: &[u8], file_name: &str, briefing: &str) -> Result<serde_json::Value, String> {
    debriefed_with(bytes, file_name, briefing, &Options::default())
}

/// The same with options.
fn debriefed_with(
    bytes: &[u8],
    file_name: &str,
    briefing: &str,
    options: &Options,
) -> Result<serde_json::Value, String> {
    let recording = read(bytes, file_name, &ReadOptions::default()).map_err(|e| e.to_string())?;
    let briefing = briefing::parse(briefing, file_name).map_err(|e| e.to_string())?;
    let debrief = debrief(&recording, &briefing, "", options).map_err(|e| e.to_string())?;
    serde_json::from_str(&document_json(&debrief)).map_err(|e| e.to_string())
}

/// Writes a page of the documentation.
fn write(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("docs")
        .join(name);
    match fs::write(&path, text) {
        Ok(()) => println!("wrote {}", path.display()),
        Err(problem) => eprintln!("{}: {problem}", path.display()),
    }
}
