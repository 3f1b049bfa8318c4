use super::*;
use crate::briefing::parse;

fn problem(aim: &str) -> String {
    let text = parse(&format!("[aim]\n{aim}"), "f.toml")
        .unwrap_err()
        .to_string();
    // without the line and the carets
    let mut lines = text.lines();
    let first = lines.next().unwrap().to_owned();
    let help = lines.find(|line| line.starts_with("help"));
    help.map_or(first.clone(), |help| format!("{first} / {help}"))
}

#[test]
fn a_runway_keeps_where_it_was_written() {
    let text = "[aim]\nairfield = \"ZZLA\"\nrunway = \"09\"\npast_threshold_ft = 500\n";
    let aim = parse(text, "f.toml").unwrap().aim;
    let runway = aim.runway.unwrap();
    assert_eq!(runway.airfield.value, "ZZLA");
    assert_eq!(runway.past_threshold_ft.unwrap().value, 500.0);
    let Place::File { line, column, .. } = runway.runway.unwrap().place else {
        panic!("not in a file");
    };
    assert_eq!((line, column), (3, 10));
}

#[test]
fn what_is_given_twice_or_by_half_is_refused() {
    for (aim, expected) in [
        (
            "airfield = \"ZZLA\"\nrunway = \"09\"\nlatitude_deg = 51\nlongitude_deg = -2",
            "f.toml:2:12: `airfield` and `latitude_deg` both say where the aim is / help: leave out `airfield` and `runway`, or `latitude_deg` and `longitude_deg`",
        ),
        (
            "landing_true_deg = 92\nlanding_magnetic_deg = 90",
            "f.toml:3:24: `landing_magnetic_deg` and `landing_true_deg` both say the direction of landing / help: leave one of them out",
        ),
        (
            "runway = \"09\"",
            "f.toml:2:10: `runway` without `airfield`",
        ),
        (
            "past_threshold_ft = 500",
            "f.toml:2:21: `past_threshold_ft` without `airfield`",
        ),
        (
            "airfield = \"ZZLA\"\nrunway = \"09\"\npast_threshold_ft = 50000",
            "f.toml:4:21: expected `past_threshold_ft` from -2000 to 12000 ft, found `50000`",
        ),
    ] {
        assert_eq!(problem(aim), expected);
    }
}

#[test]
fn coordinates_may_be_text() {
    let text = "[aim]\nlatitude_deg = \"51°30'N\"\nlongitude_deg = \"002 15 00 W\"\n\
        [[field]]\nname = \"Meadow\"\nlatitude_deg = \"51:30:36\"\nlongitude_deg = -2.3\n";
    let briefing = parse(text, "f.toml").unwrap();
    assert_eq!(briefing.aim.latitude_deg, Some(51.5));
    assert_eq!(briefing.aim.longitude_deg, Some(-2.25));
    assert_eq!(briefing.fields[0].latitude_deg, 51.51);
}

#[test]
fn text_that_is_no_coordinate_is_named() {
    assert_eq!(
        problem("latitude_deg = \"51°75'N\"\nlongitude_deg = -2"),
        "f.toml:2:16: expected `latitude_deg` as decimal degrees, degrees and minutes, or degrees, minutes and seconds, found text `\"51°75'N\"`: minutes run from 0 to 59, found 75 / help: as latitude_deg = \"51°30'15\\\"N\", or decimal degrees without quotes"
    );
    assert!(
        problem("latitude_deg = \"2°W\"\nlongitude_deg = \"51 N\"").contains("expected N or S")
    );
    assert_eq!(
        problem("latitude_deg = \"95 10 N\"\nlongitude_deg = -2"),
        "f.toml:2:16: expected `latitude_deg` from -90 to 90 degrees, found `95 10 N` / help: likely a longitude: latitude and longitude are exchanged"
    );
}

#[test]
fn aim_flag_is_two_coordinates() {
    for text in [
        " 51.5, -2.25",
        "51°30'N,2°15'W",
        "N51 30 W2 15",
        "51 30,-2 15",
    ] {
        assert_eq!(parse_aim(text), Ok((51.5, -2.25)), "{text}");
    }
    for text in [
        "51.0",
        "51.0;-2.0",
        "51.0,-2.0,310",
        "W2,N51",
        "",
        "910,0",
        "nan,0",
    ] {
        assert!(parse_aim(text).is_err(), "{text}");
    }
}

#[test]
fn runway_flag_is_airfield_runway_and_feet() {
    let runway = parse_runway("zzla/09L+500").unwrap();
    assert_eq!(runway.airfield.value, "ZZLA");
    assert_eq!(runway.runway.unwrap().value, "09L");
    assert_eq!(runway.past_threshold_ft.unwrap().value, 500.0);
    let runway = parse_runway("US-1234/N-50ft").unwrap();
    assert_eq!(
        (
            runway.airfield.value,
            runway.past_threshold_ft.unwrap().value
        ),
        ("US-1234".to_owned(), -50.0)
    );
    assert_eq!(parse_runway("ZZLA/9").unwrap().past_threshold_ft, None);
    for text in [
        "ZZLA",
        "ZZLA/",
        "/09",
        "ZZLA/09+",
        "ZZLA/09+x",
        "ZZ LA/09",
        "ZZLA/09+99999",
    ] {
        assert!(parse_runway(text).is_err(), "{text}");
    }
    let error = parse_runway("ZZLA 09").unwrap_err().to_string();
    assert!(error.starts_with("--runway: expected `AIRFIELD/RUNWAY` as an airfield"));
}
