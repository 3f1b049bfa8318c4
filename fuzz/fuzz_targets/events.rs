//! Text that may be a table of events.
#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| {
    match stillprop::briefing::parse_events(text, "fuzzed.csv") {
        Ok(events) => assert!(events.after_reduction.iter().all(|event| event.seconds.is_finite())),
        Err(error) => assert!(error.to_string().starts_with("fuzzed.csv")),
    }
});
