//! Tests of `guess.rs`.

use super::*;
use AltitudeDatum::{Ellipsoid, MeanSeaLevel, Unstated};
use Quantity as Q;

#[test]
fn understands_the_names_in_use() {
    for (name, quantity, unit, datum) in [
        ("utc", Q::Time, None, Unstated),
        ("lat_deg", Q::Latitude, Some(Unit::Degree), Unstated),
        (
            "alt_msl_ft",
            Q::GnssAltitude,
            Some(Unit::Foot),
            MeanSeaLevel,
        ),
        ("gs_kt", Q::GroundSpeed, Some(Unit::Knot), Unstated),
        ("trk_deg", Q::Track, Some(Unit::Degree), Unstated),
        ("ias_kt", Q::Ias, Some(Unit::Knot), Unstated),
        ("rpm", Q::EngineRpm, None, Unstated),
        ("Timestamp (ms)", Q::Time, Some(Unit::Millisecond), Unstated),
        (
            "GNSS altitude (m)",
            Q::GnssAltitude,
            Some(Unit::Metre),
            Unstated,
        ),
        (
            "Pressure altitude (ft)",
            Q::PressureAltitude,
            Some(Unit::Foot),
            Unstated,
        ),
        (
            "Speed (m/s)",
            Q::GroundSpeed,
            Some(Unit::MetrePerSecond),
            Unstated,
        ),
        ("Course (deg)", Q::Track, Some(Unit::Degree), Unstated),
        (
            "Vertical speed (m/s)",
            Q::VerticalSpeed,
            Some(Unit::MetrePerSecond),
            Unstated,
        ),
        (
            "Horizontal accuracy (m)",
            Q::Accuracy,
            Some(Unit::Metre),
            Unstated,
        ),
        ("date", Q::Date, None, Unstated),
        ("time_utc", Q::Time, None, Unstated),
        ("alt_gps_ft", Q::GnssAltitude, Some(Unit::Foot), Unstated),
        (
            "alt_press_ft",
            Q::PressureAltitude,
            Some(Unit::Foot),
            Unstated,
        ),
        ("tas_kt", Q::Tas, Some(Unit::Knot), Unstated),
        ("trk_true_deg", Q::Track, Some(Unit::Degree), Unstated),
        ("roll_deg", Q::Bank, Some(Unit::Degree), Unstated),
        ("flap_deg", Q::Flap, Some(Unit::Degree), Unstated),
        ("oat_c", Q::Oat, Some(Unit::Celsius), Unstated),
        ("epoch_s", Q::Time, Some(Unit::Second), Unstated),
        ("height_m", Q::GnssAltitude, Some(Unit::Metre), Unstated),
        (
            "speed_kmh",
            Q::GroundSpeed,
            Some(Unit::KilometrePerHour),
            Unstated,
        ),
        ("Lcl Date", Q::Date, None, Unstated),
        ("Lcl Time", Q::Time, None, Unstated),
        ("UTCOfst", Q::UtcOffset, None, Unstated),
        ("utcoffset", Q::UtcOffset, None, Unstated),
        (
            "AltMSL (ft msl)",
            Q::GnssAltitude,
            Some(Unit::Foot),
            MeanSeaLevel,
        ),
        (
            "AltGPS (ft wgs)",
            Q::GnssAltitude,
            Some(Unit::Foot),
            Ellipsoid,
        ),
        ("GndSpd (kt)", Q::GroundSpeed, Some(Unit::Knot), Unstated),
        (
            "VSpd (fpm)",
            Q::VerticalSpeed,
            Some(Unit::FootPerMinute),
            Unstated,
        ),
        (
            "E1 RPM (rpm)",
            Q::EngineRpm,
            Some(Unit::PerMinute),
            Unstated,
        ),
        ("OAT (deg C)", Q::Oat, Some(Unit::Celsius), Unstated),
        ("Roll (deg)", Q::Bank, Some(Unit::Degree), Unstated),
        (
            "rate of climb (ft/min)",
            Q::VerticalSpeed,
            Some(Unit::FootPerMinute),
            Unstated,
        ),
        (
            "altitude_ellipsoid_m",
            Q::GnssAltitude,
            Some(Unit::Metre),
            Ellipsoid,
        ),
        ("groundSpeed", Q::GroundSpeed, None, Unstated),
        ("locationTimestamp", Q::Time, None, Unstated),
        ("n/s", Q::LatitudeSide, None, Unstated),
    ] {
        let got = guess(name).unwrap_or_else(|| panic!("{name} is not understood"));
        assert_eq!(
            (got.quantity, got.unit, got.datum),
            (quantity, unit, datum),
            "{name}"
        );
    }
}

#[test]
fn leaves_alone_what_is_something_else() {
    for name in [
        "pitch_deg",
        "AltB (ft Baro)",
        "alt_ind_ft",
        "height_agl_ft",
        "WndSpd (kt)",
        "HDG (deg)",
        "heading",
        "vertical accuracy (m)",
        "max speed",
        "E1 OilT (deg F)",
        "roll rate (deg/s)",
        "geoid separation (m)",
        "AtvWpt",
        "WptBrg",
        "course accuracy",
        "flaps (%)",
        "altitude (deg)",
        "",
        "GPSfix",
    ] {
        assert_eq!(guess(name), None, "{name}");
    }
}

#[test]
fn the_better_of_two_columns_has_the_higher_rank() {
    let rank = |name| guess(name).map_or(0, |g| g.rank);
    assert!(rank("time_utc") > rank("time") && rank("time") > rank("local time"));
    assert!(rank("alt_msl_ft") > rank("alt_gps_ft") && rank("alt_gps_ft") > rank("altitude"));
    assert!(rank("ias_kt") > rank("cas_kt"));
}
