//! The briefings of the sample recordings, each spoilt in one way that people have.

use super::{FEW, accusations, debriefed, sample, with};
use stillprop::briefing;

const ORBIT: &str = "one-orbit-landed-long.igc";
const AVIONICS: &str = "two-orbits-avionics.csv";
const GO_AROUND: &str = "go-around-500-ft.gpx";
const SLOW: &str = "low-slow-landed-short.gpx";
const CIRCUITS: &str = "three-attempts-circuits.csv";
const WIND: &str = "strong-wind-two-go-arounds.csv";

/// The one accusation about `file` with `key` of its briefing set to `value`.
#[track_caller]
fn accused(file: &str, key: &str, value: &str) -> String {
    let (bytes, notes) = sample(file);
    one(file, &bytes, &with(&notes, key, value))
}

#[track_caller]
fn one(file: &str, bytes: &[u8], notes: &str) -> String {
    let debrief = debriefed(bytes, file, notes, &FEW);
    let told = accusations(&debrief);
    assert_eq!(told.len(), 1, "{file}: {told:?}");
    told[0].to_owned()
}

/// `text` has all of these, in this order.
#[track_caller]
fn says(text: &str, parts: &[&str]) {
    let mut rest = text;
    for part in parts {
        let at = rest.find(part);
        assert!(at.is_some(), "{part:?} is not where it should be in {text}");
        rest = &rest[at.unwrap_or(0) + part.len()..];
    }
}

#[test]
fn elevation_in_metres() {
    for (file, metres, feet) in [
        (ORBIT, 436, 1430),
        (AVIONICS, 546, 1791),
        (GO_AROUND, 1672, 5486),
        (SLOW, 1672, 5486),
        (CIRCUITS, 544, 1785),
        (WIND, 1801, 5909),
    ] {
        let told = accused(file, "elevation_ft", &metres.to_string());
        says(
            &told,
            &[
                &format!("elevation_ft = {metres} puts "),
                " ft above the field",
                &format!("{metres} m is {feet} ft, which fits; write elevation_ft = {feet}"),
            ],
        );
    }
}

/// What the advice says the elevation should be, ft.
fn advised_ft(told: &str) -> f64 {
    let (_, after) = told.rsplit_once("elevation_ft = ").unwrap();
    let digits: String = after.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

#[test]
fn elevation_with_a_slipped_digit_where_the_aeroplane_stood_on_the_field() {
    for (file, written_ft, true_ft) in [
        (ORBIT, 1732, 1432.0),
        (AVIONICS, 1492, 1792.0),
        (GO_AROUND, 5785, 5485.0),
        (CIRCUITS, 784, 1784.0),
    ] {
        let told = accused(file, "elevation_ft", &written_ft.to_string());
        says(&told, &["the ground the aeroplane stood on", "would fit"]);
        let off_ft = advised_ft(&told) - true_ft;
        assert!(off_ft.abs() < 30.0, "{told}");
    }
}

#[test]
fn elevation_above_where_the_aeroplane_flew() {
    for file in [SLOW, WIND] {
        let (_, notes) = sample(file);
        let written_ft = if notes.contains("elevation_ft = 5485") {
            5785
        } else {
            6210
        };
        let told = accused(file, "elevation_ft", &written_ft.to_string());
        says(
            &told,
            &[
                "its lowest point near the aim",
                "below the field",
                "it can be at most about",
            ],
        );
    }
}

#[test]
fn elevation_too_low_by_what_a_high_go_around_explains_is_let_be() {
    let (bytes, notes) = sample(WIND);
    let low = with(&notes, "elevation_ft", "5610.0");
    assert!(accusations(&debriefed(&bytes, WIND, &low, &FEW)).is_empty());
}

#[test]
fn qnh_off_by_tens_of_hectopascals() {
    for (file, written, fits) in [
        (ORBIT, "998.0", "qnh_hpa = 1018 would fit"),
        (AVIONICS, "997.0", "qnh_hpa = 1008 would fit"),
        (
            CIRCUITS,
            "997.0",
            "the METAR's 1017 hPa fits; write qnh_hpa = 1017",
        ),
    ] {
        let told = accused(file, "qnh_hpa", written);
        says(&told, &[" ft below the field they were recorded on"]);
        says(&told, &[fits]);
    }
}

#[test]
fn qnh_without_pressure_altitude_is_no_matter() {
    let (bytes, notes) = sample(SLOW);
    let spoilt = with(&notes, "qnh_hpa", "996.0");
    assert!(accusations(&debriefed(&bytes, SLOW, &spoilt, &FEW)).is_empty());
}

#[test]
fn qnh_in_inches_is_told_before_anything_is_computed() {
    let (_, notes) = sample(ORBIT);
    let error = briefing::parse(&with(&notes, "qnh_hpa", "30.06"), "b.toml").unwrap_err();
    says(&error.to_string(), &["30.06"]);
    says(&format!("{error:?}"), &["likely inches of mercury: 1017"]);
}

#[test]
fn the_pressure_at_the_field_in_place_of_qnh() {
    // 1432 ft is 50 hPa
    let told = accused(ORBIT, "qnh_hpa", "966.0");
    says(
        &told,
        &["qnh_hpa = 966 puts", "(QFE) it fits; write qnh_hpa = 101"],
    );
}

#[test]
fn altitudes_of_another_datum_than_the_recorder_says() {
    // the sample's recorder measures from the ellipsoid and does not say so; here it says "mean sea level"
    let (bytes, notes) = sample(CIRCUITS);
    let text = String::from_utf8(bytes).unwrap();
    let spoilt = text.replacen("GNSS altitude (m)", "Altitude MSL (m)", 1);
    assert_ne!(spoilt, text);
    let told = one(CIRCUITS, spoilt.as_bytes(), &notes);
    says(
        &told,
        &[
            "above mean sea level, but they fit the ellipsoid better",
            "the recorder's word is kept",
        ],
    );
}

#[test]
fn signs_of_the_aim() {
    for (file, key, value, right) in [
        (
            ORBIT,
            "latitude_deg",
            "37.410741",
            "latitude_deg = -37.410741, longitude_deg = 144.190702",
        ),
        (
            SLOW,
            "longitude_deg",
            "104.194422",
            "latitude_deg = 39.129935, longitude_deg = -104.194422",
        ),
        (
            WIND,
            "longitude_deg",
            "-36.964485",
            "latitude_deg = -0.004, longitude_deg = 36.964485",
        ),
    ] {
        let told = accused(file, key, value);
        says(
            &told,
            &[
                " NM from the nearest fix of the recording: with another sign",
                &format!("it fits; write {right}"),
            ],
        );
    }
}

#[test]
fn latitude_and_longitude_exchanged() {
    let (bytes, notes) = sample(WIND);
    let exchanged = with(
        &with(&notes, "latitude_deg", "36.964485"),
        "longitude_deg",
        "-0.004",
    );
    let told = one(WIND, &bytes, &exchanged);
    says(
        &told,
        &[
            "latitude and longitude exchanged, it fits; write latitude_deg = -0.004, longitude_deg = 36.964485",
        ],
    );
}

#[test]
fn an_aim_of_another_field() {
    let (bytes, notes) = sample(AVIONICS);
    let other = with(
        &with(&notes, "latitude_deg", "40.9013"),
        "longitude_deg",
        "-97.6181",
    );
    let told = one(AVIONICS, &bytes, &other);
    says(
        &told,
        &["the briefing and the recording are of different fields, or a figure slipped"],
    );
}

#[test]
fn landing_direction_reciprocal() {
    for (file, written, right) in [
        (ORBIT, "180.0", 0),
        (AVIONICS, "218.0", 38),
        (SLOW, "178.0", 358),
        (CIRCUITS, "152.0", 332),
        (WIND, "302.0", 122),
    ] {
        let told = accused(file, "landing_true_deg", written);
        says(
            &told,
            &[&format!(
                "it is the reciprocal; write landing_true_deg = {right}"
            )],
        );
    }
}

#[test]
fn landing_direction_magnetic() {
    // the magnetic variation at this place in 2026 is 11° east
    let told = accused(ORBIT, "landing_true_deg", "349.0");
    says(
        &told,
        &[
            "349° magnetic is",
            "(variation 11° east), which fits; write landing_true_deg = 0",
        ],
    );
}

#[test]
fn landing_direction_of_another_runway() {
    let told = accused(AVIONICS, "landing_true_deg", "90.0");
    says(
        &told,
        &["another runway, or a figure slipped; landing_true_deg = 39 would fit"],
    );
}

#[test]
fn events_of_another_day_and_in_local_time() {
    let (bytes, notes) = sample(ORBIT);
    let told = one(ORBIT, &bytes, &notes.replace("2026-05-03T", "2026-05-04T"));
    says(
        &told,
        &[
            "the date is 1 day off",
            "write utc = \"2026-05-03T01:20:38Z\"",
        ],
    );
    let told = one(ORBIT, &bytes, &notes.replace("T01:20", "T11:20"));
    says(
        &told,
        &[
            "-10:00 h: local time in place of UTC",
            "write utc = \"2026-05-03T01:20:38Z\"",
        ],
    );
}

#[test]
fn the_recorder_s_date_against_the_briefing_s() {
    // a receiver whose week number overflowed writes a date 1024 weeks ago
    let (bytes, notes) = sample(ORBIT);
    let text = String::from_utf8(bytes).unwrap();
    let old = text.replacen("030526", "170906", 1);
    assert_ne!(old, text);
    let told = one(ORBIT, old.as_bytes(), &notes);
    says(
        &told,
        &["1024 weeks apart", "take the recorder's date as wrong"],
    );
}

#[test]
fn a_metar_of_another_day() {
    let (bytes, notes) = sample(CIRCUITS);
    let told = one(CIRCUITS, &bytes, &notes.replace("061355Z", "051355Z"));
    says(
        &told,
        &[
            "issued on day 05 at 13:55 UTC",
            "24 hours",
            "give the METAR of the flight",
        ],
    );
}

/// The figures are those of the briefing as written: what is suspected is told and not applied.
#[test]
fn nothing_is_applied() {
    let (bytes, notes) = sample(AVIONICS);
    let spoilt = with(&notes, "landing_true_deg", "218.0");
    let debrief = debriefed(&bytes, AVIONICS, &spoilt, &FEW);
    assert_eq!(debrief.reference.landing_true_deg, Some(218.0));
    let spoilt = with(&notes, "elevation_ft", "546.0");
    let debrief = debriefed(&bytes, AVIONICS, &spoilt, &FEW);
    assert_eq!(debrief.reference.aim_elevation_ft, Some(546.0));
}

#[test]
fn glide_ratio_of_another_aeroplane() {
    let told = accused(AVIONICS, "glide_ratio", "17.0");
    says(&told, &["glide_ratio = 17", "was flown"]);
}

#[test]
fn wind_given_as_where_it_blows_to() {
    let told = accused(WIND, "wind_from_deg_true", "300.0");
    says(&told, &["comes from 300°", "where it comes from"]);
}
