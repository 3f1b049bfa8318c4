//! Bytes that may be an IGC file, read and cleaned.
#![no_main]

mod reading;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| reading::check(bytes, "fuzzed.igc"));
