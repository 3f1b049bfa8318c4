//! METAR groups, as coded by WMO No. 306, FM 15; the lines are invented.

use stillprop::briefing::metar::{Metar, MetarWind, read};

use super::expect;

#[test]
fn a_report_with_gusts_and_a_sector() {
    let metar = read("METAR ZZZZ 241020Z 27012G22KT 240V310 9999 FEW035 09/02 Q1003").unwrap();
    let wind = MetarWind {
        from_deg_true: Some(270.0),
        speed_kt: 12.0,
        gust_kt: Some(22.0),
        sector_deg_true: Some((240.0, 310.0)),
    };
    let expected = Metar {
        issued: Some((24, 10, 20)),
        wind: Some(wind),
        temperature_c: Some(9.0),
        qnh_hpa: Some(1003.0),
    };
    assert_eq!(metar, expected);
}

#[test]
fn variable_wind_and_frost() {
    let metar = read("ZZZZ 241020Z VRB03KT CAVOK M05/M07 Q1031").unwrap();
    let wind = metar.wind.unwrap();
    assert_eq!((wind.from_deg_true, wind.speed_kt), (None, 3.0));
    assert_eq!(metar.temperature_c, Some(-5.0));
}

#[test]
fn metres_per_second_and_inches_of_mercury() {
    const SOURCE: &str = "computed from 1 kt = 1852/3600 m/s and 1 inHg = 33.86389 hPa";
    let wind = read("ZZZZ 241020Z 04005MPS 05/M02").unwrap().wind.unwrap();
    assert_eq!(wind.from_deg_true, Some(40.0));
    expect(wind.speed_kt, 9.72, 0.005, "04005MPS", SOURCE);
    expect(
        read("A3012").unwrap().qnh_hpa.unwrap(),
        1019.98,
        0.005,
        "A3012",
        SOURCE,
    );
    expect(
        read("A2992").unwrap().qnh_hpa.unwrap(),
        1013.2,
        0.05,
        "A2992",
        SOURCE,
    );
}
