//! Text that may be a briefing.
#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| {
    match stillprop::briefing::parse(text, "fuzzed.toml") {
        Ok(briefing) => {
            let _ = briefing.air_resolved();
        }
        Err(error) => assert!(error.to_string().starts_with("fuzzed.toml")),
    }
    let _ = stillprop::briefing::parse_aim(text);
    let _ = stillprop::briefing::parse_runway(text);
});
