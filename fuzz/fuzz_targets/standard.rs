//! Text that may be a standard.
#![no_main]

use stillprop::grading::{embedded, parse};

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Err(error) = parse(text, "fuzzed.toml", embedded()) {
        assert!(error.to_string().starts_with("fuzzed.toml"));
    }
});
