//! Text that may be a METAR.
#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Ok(metar) = stillprop::briefing::metar::read(text) {
        assert!(metar.qnh_hpa.is_none_or(f64::is_finite));
        assert!(metar.temperature_c.is_none_or(f64::is_finite));
        assert!(metar.wind.is_none_or(|wind| wind.speed_kt >= 0.0));
    }
});
