//! Slipped units and signs, recognised.

use super::*;

#[test]
fn every_range_is_a_range_and_named_once() {
    for (i, limit) in LIMITS.iter().enumerate() {
        assert!(limit.low < limit.high, "{}", limit.key);
        assert!(
            !LIMITS[..i].iter().any(|earlier| earlier.key == limit.key),
            "{}",
            limit.key
        );
        assert!(!limit.holds(f64::NAN) && !limit.holds(f64::INFINITY));
        assert_eq!(limit.likely_meaning(f64::NAN), None);
    }
}

#[test]
fn slipped_units_are_recognised() {
    for (key, value, expected) in [
        (
            "air.qnh_hpa",
            101.8,
            "likely 1018 hPa: kilopascals, or the point slipped",
        ),
        ("air.qnh_hpa", 29.92, "likely inches of mercury: 1013.2 hPa"),
        (
            "air.qnh_hpa",
            2992.0,
            "likely inches of mercury without the point: 1013.2 hPa",
        ),
        ("air.qnh_hpa", 101800.0, "likely pascals: 1018 hPa"),
        ("air.qnh_hpa", 10180.0, "likely 1018 hPa: the point slipped"),
        (
            "air.qnh_hpa",
            760.0,
            "likely millimetres of mercury: 1013.3 hPa",
        ),
        (
            "air.temperature_c",
            59.0,
            "likely degrees Fahrenheit: 15.0 °C",
        ),
        ("air.temperature_c", 288.15, "likely kelvin: 15.0 °C"),
        (
            "air.wind_from_deg_true",
            -90.0,
            "directions run from 0 to 360: likely 270",
        ),
        (
            "aim.latitude_deg",
            5130.25,
            "if it is degrees and minutes, write decimal degrees: 51.504167",
        ),
        (
            "aim.latitude_deg",
            -98.343329,
            "likely a longitude: latitude and longitude are exchanged",
        ),
        (
            "aim.longitude_deg",
            269.779,
            "west is negative: likely -90.221",
        ),
        (
            "aircraft.glide_ratio",
            0.111,
            "likely height over distance: distance over height is 9.0",
        ),
        (
            "targets.abeam_height_ft",
            150.0,
            "if it is metres, that is 492 ft",
        ),
    ] {
        assert_eq!(
            limit(key).unwrap().likely_meaning(value).as_deref(),
            Some(expected),
            "{key} {value}"
        );
    }
}

#[test]
fn nothing_is_guessed_where_nothing_is_near() {
    assert_eq!(limit("air.qnh_hpa").unwrap().likely_meaning(0.0), None);
    assert_eq!(
        limit("aim.landing_true_deg").unwrap().likely_meaning(400.0),
        None
    );
    assert!(limit("aim.name").is_none());
}
