//! Tests of `metar.rs`.

use super::*;
use proptest::prelude::*;

fn wind_of(text: &str) -> MetarWind {
    read(text).unwrap().wind.unwrap()
}

#[test]
fn reads_an_automatic_report_with_missing_groups() {
    let metar = read("ZZZZ 241020Z AUTO /////KT //// // ////// 05/M07 Q////").unwrap();
    assert_eq!(
        metar,
        Metar {
            issued: Some((24, 10, 20)),
            temperature_c: Some(5.0),
            ..Metar::default()
        }
    );
    let metar = read("ZZZZ 241020Z AUTO 27012KT //// // ////// ///// Q1003").unwrap();
    assert_eq!((metar.temperature_c, metar.qnh_hpa), (None, Some(1003.0)));
    assert_eq!(
        read("ZZZZ 241020Z AUTO 27012KT 09/// Q1003")
            .unwrap()
            .temperature_c,
        Some(9.0)
    );
}

#[test]
fn reads_what_a_pilot_jots_down() {
    let metar = read("27012kt 09/02 q1003=").unwrap();
    assert_eq!(
        (metar.temperature_c, metar.qnh_hpa),
        (Some(9.0), Some(1003.0))
    );
    assert_eq!(read("Q1018").unwrap().qnh_hpa, Some(1018.0));
}

#[test]
fn calm_and_variable_winds_have_no_direction() {
    assert_eq!(wind_of("00000KT").from_deg_true, None);
    assert_eq!(wind_of("00000KT").speed_kt, 0.0);
    assert_eq!(wind_of("VRB03KT").speed_kt, 3.0);
    assert_eq!(wind_of("36010KT").from_deg_true, Some(360.0));
}

#[test]
fn speeds_come_in_three_units() {
    assert!((wind_of("27020KMH").speed_kt - 10.799).abs() < 0.001);
    assert!((wind_of("04005MPS").speed_kt - 9.719).abs() < 0.001);
    assert_eq!(wind_of("27012G25KT").gust_kt, Some(25.0));
}

#[test]
fn remarks_and_trends_are_not_the_report() {
    let metar = read(
        "METAR COR ZZZZ 241020Z 04005KT 1 1/2SM R09/1200FT BR OVC005 05/05 A2992 RMK AO2 PK WND 04025/1005 SLP195 T00501050",
    );
    // A visibility in halves of a mile is told apart by its unit.
    assert_eq!(metar.unwrap().wind.unwrap().speed_kt, 5.0);
    let metar = read("ZZZZ 241020Z 04005KT 15/10 Q1018 BECMG 27025KT Q0990 RMK T01541100").unwrap();
    assert_eq!(
        (metar.wind.unwrap().speed_kt, metar.qnh_hpa),
        (5.0, Some(1018.0))
    );
    assert_eq!(metar.temperature_c, Some(15.4));
    let two = read("METAR ZZZZ 241020Z 04005KT METAR ZZZZ 241050Z 27025KT Q0990").unwrap();
    assert_eq!((two.wind.unwrap().speed_kt, two.qnh_hpa), (5.0, None));
}

#[test]
fn says_which_group_is_wrong() {
    for (text, group) in [
        ("ZZZZ 241020Z 27O12KT 09/02 Q1003", "27O12KT"),
        ("ZZZZ 241020Z 40012KT 09/02 Q1003", "40012KT"),
        ("ZZZZ 241020Z 27012 09/02 Q1003", "27012"),
        ("ZZZZ 241020Z 270/12KT 09/02 Q1003", "270/12KT"),
        ("ZZZZ 241020Z 27012G05KT 09/02 Q1003", "27012G05KT"),
        ("ZZZZ 241020Z 2KT 09/02 Q1003", "2KT"),
        ("ZZZZ 242520Z 27012KT 09/02 Q1003", "242520Z"),
        ("ZZZZ 241020Z 27012KT 9/2 Q1003", "9/2"),
        ("ZZZZ 241020Z 27012KT 02/09 Q1003", "02/09"),
        ("ZZZZ 241020Z 27012KT 09/02 Q998", "Q998"),
        ("ZZZZ 241020Z 27012KT 09/02 Q2992", "Q2992"),
        ("ZZZZ 241020Z 27012KT 09/02 A30.12", "A30.12"),
        ("ZZZZ 241020Z 27012KT 240V400 Q1003", "240V400"),
        ("TAF ZZZZ 241020Z 2411/2511 27012KT", "TAF"),
        ("fine, sunny", "fine, sunny"),
        ("", ""),
    ] {
        let error = read(text).unwrap_err();
        assert_eq!(error.group, group, "{text}: {error}");
    }
}

proptest! {
    #[test]
    fn never_panics(text in "[ 0-9A-Z/VGKTMPQé=]{0,60}") {
        let _ = read(&text);
    }
}
