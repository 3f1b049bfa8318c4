//! Bytes that may be delimited text, read and cleaned.
#![no_main]

mod reading;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| reading::check(bytes, "fuzzed.csv"));
