//! Instants as text, and intervals of instants.

use jiff::Timestamp;

use crate::quantity::{Measured, from_draws};

/// RFC 3339 in UTC with milliseconds; empty for a time that no calendar holds.
pub fn rfc3339(utc_s: f64) -> String {
    let milliseconds = (utc_s * 1000.0).round();
    if !milliseconds.is_finite() || milliseconds.abs() > 8e15 {
        return String::new();
    }
    Timestamp::from_millisecond(milliseconds as i64).map_or_else(
        |_| String::new(),
        |t| t.strftime("%Y-%m-%dT%H:%M:%S%.3fZ").to_string(),
    )
}

/// Seconds since 1970 of an instant as text; none where it is no time.
pub fn utc_s(text: &str) -> Option<f64> {
    let instant: Timestamp = text.parse().ok()?;
    Some(instant.as_duration().as_secs_f64())
}

/// Median and interval of drawn instants as text; `offset_s` is the recording's clock zero.
pub fn measured(draws_s: &[f64], offset_s: f64, reason: &str) -> Measured<String> {
    match from_draws(draws_s, reason) {
        Measured::Known { value, low, high } => Measured::Known {
            value: rfc3339(offset_s + value),
            low: rfc3339(offset_s + low),
            high: rfc3339(offset_s + high),
        },
        Measured::Unknown { reason, .. } => Measured::unknown(reason),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_milliseconds_in_utc() {
        assert_eq!(rfc3339(1_777_803_700.25), "2026-05-03T10:21:40.250Z");
        assert_eq!(rfc3339(f64::NAN), "");
        assert_eq!(utc_s("2026-05-03T10:21:40.250Z"), Some(1_777_803_700.25));
        assert_eq!(utc_s("noon"), None);
    }
}
