//! Whole tables, as avionics, loggers and phones write them, and damage.

use super::super::note::Notes;
use super::super::plausible;
use super::*;
use crate::reading::AltitudeDatum;
use proptest::prelude::*;

/// 2026-05-03T10:21:40Z.
const UTC_S: f64 = 1_777_803_700.0;

fn read_with(text: &str, map: &str) -> (Result<(), ReadProblem>, Collector) {
    let map = ColumnMap::from_toml(map).unwrap();
    let mut collector = Collector::new(Notes::default(), 0);
    let outcome = read(text, &map, &mut collector).map_err(|located| located.problem);
    plausible::check(&mut collector);
    (outcome, collector)
}

fn collected(text: &str) -> Collector {
    let (outcome, collector) = read_with(text, "");
    outcome.unwrap();
    collector
}

fn first(text: &str) -> Fix {
    collected(text).fixes[0]
}

fn near(value: Option<f32>, want: f64) {
    let value = f64::from(value.unwrap());
    assert!(
        (value - want).abs() < 1e-3 * want.abs().max(1.0),
        "{value} is not {want}"
    );
}

#[test]
fn a_logger_in_feet_and_knots() {
    let collector = collected(
        "utc,lat_deg,lon_deg,alt_msl_ft,gs_kt,trk_deg,ias_kt,rpm\n2026-05-03T10:21:40.25Z,40.205922,-98.342956,1776,60.1,229,63,1400\n",
    );
    let fix = collector.fixes[0];
    assert_eq!(fix.utc_s, UTC_S + 0.25);
    assert_eq!(
        (fix.latitude_deg, fix.longitude_deg, fix.line),
        (40.205922, -98.342956, 2)
    );
    near(fix.gnss_altitude_m, 1776.0 * 0.3048);
    near(fix.ground_speed_mps, 60.1 * 1852.0 / 3600.0);
    near(fix.ias_mps, 63.0 * 1852.0 / 3600.0);
    assert_eq!(
        (fix.track_deg_true, fix.engine_rpm),
        (Some(229.0), Some(1400.0))
    );
    assert_eq!(collector.gnss_datum, AltitudeDatum::MeanSeaLevel);
    assert!(collector.notes.into_list().is_empty());
}

#[test]
fn a_phone() {
    let collector = collected(
        "Timestamp (ms),Latitude (deg),Longitude (deg),GNSS altitude (m),Pressure altitude (ft),Speed (m/s),Course (deg),Vertical speed (m/s),Horizontal accuracy (m)\n1777803700390,40.2059029,-98.3429432,520.41,1693,30.02,182.6,-0.47,4.2\n",
    );
    let fix = collector.fixes[0];
    assert!((fix.utc_s - UTC_S - 0.39).abs() < 1e-6);
    near(fix.gnss_altitude_m, 520.41);
    near(fix.pressure_altitude_m, 1693.0 * 0.3048);
    near(fix.ground_speed_mps, 30.02);
    near(fix.vertical_speed_mps, -0.47);
    near(fix.accuracy_m, 4.2);
    assert_eq!(collector.gnss_datum, AltitudeDatum::Unstated);
}

#[test]
fn avionics_with_a_comment_line_and_two_time_columns() {
    let collector = collected(
        "# avionics log\ndate,time_utc,lat,lon,alt_gps_ft,alt_press_ft,ias_kt,tas_kt,gs_kt,trk_true_deg,roll_deg,pitch_deg,rpm,flap_deg,oat_c\n2026-05-03,10:21:40,-34.128775,19.624322,876,705,67.6,66.8,60.1,215.7,-12.5,-0.5,1399,10,18.0\n",
    );
    let fix = collector.fixes[0];
    assert_eq!((fix.utc_s, fix.line), (UTC_S, 3));
    near(fix.gnss_altitude_m, 876.0 * 0.3048);
    near(fix.pressure_altitude_m, 705.0 * 0.3048);
    near(fix.tas_mps, 66.8 * 1852.0 / 3600.0);
    near(fix.bank_deg, -12.5);
    near(fix.flap_deg, 10.0);
    near(fix.oat_c, 18.0);
    assert!(collector.notes.into_list().is_empty());
}

#[test]
fn semicolons_and_seconds_of_the_epoch() {
    let fix = first(
        "epoch_s;latitude;longitude;height_m;speed_kmh;course_deg\n1777803700.62;-34.1288056;19.6243671;270.5;126;228.2\n",
    );
    assert!((fix.utc_s - UTC_S - 0.62).abs() < 1e-6);
    near(fix.ground_speed_mps, 35.0);
    near(fix.gnss_altitude_m, 270.5);
}

#[test]
fn decimal_commas() {
    let fix = first(
        "Time;Latitude;Longitude;Altitude (m)\n2026-05-03T10:21:40Z;51,5042;-0,4625;1.305,5\n",
    );
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (51.5042, -0.4625));
    near(fix.gnss_altitude_m, 1305.5);
    let clock = first("time;lat;lon\n2026-05-03T10:21:40,5Z;51,5042;-0,4625\n");
    assert_eq!(clock.utc_s, UTC_S + 0.5);
    let epoch = first("epoch (s);lat;lon\n1777803700,5;51,5042;-0,4625\n");
    assert_eq!(epoch.utc_s, UTC_S + 0.5);
    let quoted =
        first("time,lat,lon,alt_m\n2026-05-03T10:21:40Z,\"51,5042\",\"-0,4625\",\"305,5\"\n");
    near(quoted.gnss_altitude_m, 305.5);
    let thousands = first("time,lat,lon,alt_ft\n2026-05-03T10:21:40Z,51.5042,-0.4625,\"1,305\"\n");
    near(thousands.gnss_altitude_m, 1305.0 * 0.3048);
}

#[test]
fn units_in_a_row_of_their_own_and_a_local_clock_with_its_offset() {
    let text = "#system, version 1.00\n\
        #yyyy-mm-dd, hh:mm:ss, hh:mm, degrees, degrees, ft Baro, inch, ft msl, deg C, kt, kt, fpm, ft wgs\n\
        Lcl Date, Lcl Time, UTCOfst, Latitude, Longitude, AltB, BaroA, AltMSL, OAT, IAS, GndSpd, VSpd, AltGPS\n\
        2026-05-03, 05:21:40, -05:00, +40.2059, -098.3429, 1690.0, 29.92, 1712.5, 15.0, 71.2, 64.4, -812.5, 1640.0\n\
        2026-05-03, 05:21:41, -05:00, , , , 29.92, , 15.0, 71.2, 64.4, -812.5,\n";
    let collector = collected(text);
    let fix = collector.fixes[0];
    assert_eq!(fix.utc_s, UTC_S);
    near(fix.gnss_altitude_m, 1712.5 * 0.3048);
    near(fix.vertical_speed_mps, -812.5 * 0.3048 / 60.0);
    assert_eq!(
        (collector.gnss_datum, fix.pressure_altitude_m),
        (AltitudeDatum::MeanSeaLevel, None)
    );
    let notes = collector.notes.into_list();
    assert_eq!(notes.len(), 1, "{notes:?}");
    assert!(notes[0].what.contains("without a position"));
    // The same with the units below the names.
    let below = "time,lat,lon,alt\n(utc),deg,deg,ft\n2026-05-03T10:21:40Z,51.5,-0.4,1000\n";
    let collector = collected(below);
    near(collector.fixes[0].gnss_altitude_m, 304.8);
    assert!(collector.notes.into_list().is_empty());
}

#[test]
fn a_header_in_a_comment() {
    assert_eq!(
        first("#time,lat,lon,alt_m\n2026-05-03T10:21:40Z,51.5,-0.4,300\n").utc_s,
        UTC_S
    );
}

#[test]
fn dates_and_clocks_in_many_forms() {
    for (head, cells) in [
        ("date,time", "03.05.2026,10:21:40"),
        ("date,time", "05/13/2026,10:21:40"),
        ("date,time", "20260503,102140"),
        ("date,time", "2026-05-03,10:21:40 AM"),
        ("time", "03.05.2026 10:21:40"),
        ("datetime", "2026-05-03 10:21:40"),
        ("local time", "2026-05-03T12:21:40+02:00"),
        ("time,tz", "2026-05-03 12:21:40,+02:00"),
        ("time,utc offset", "2026-05-03 12:21:40,2"),
        ("time,utcoffset", "2026-05-03 15:51:40,+05:30"),
        ("date,time,UTCOfst", "2026-05-04,00:21:40,+14:00"),
        ("time", "2026-05-03T12:21:40.000+02:00"),
        ("unix time (s)", "1777803700"),
        ("timestamp", "1777803700000"),
        ("timestamp", "1777803700000000"),
        ("time_ms", "1777803700000"),
    ] {
        let got = first(&format!("{head},lat,lon\n{cells},51.5,-0.4\n")).utc_s;
        let want = if cells.contains("13/") {
            UTC_S + 10.0 * 86_400.0
        } else {
            UTC_S
        };
        assert_eq!(got, want, "{head}: {cells}");
    }
}

#[test]
fn what_is_not_stated_about_time_is_said() {
    let said = |text: &str, words: &str| {
        let notes = collected(text).notes.into_list();
        assert!(
            notes.iter().any(|n| n.what.contains(words)),
            "{text}: {notes:?}"
        );
    };
    said(
        "time,lat,lon\n2026-05-03 10:21:40,51.5,-0.4\n",
        "without a zone",
    );
    said(
        "local time,lat,lon\n2026-05-03 10:21:40,51.5,-0.4\n",
        "local time without an offset",
    );
    said("time,lat,lon\n10:21:40,51.5,-0.4\n", "without a date");
    said("elapsed (s),lat,lon\n12.5,51.5,-0.4\n", "from the start");
    said(
        "date,time,lat,lon\n03/05/2026,10:21:40,51.5,-0.4\n",
        "day from month",
    );
    said(
        "time,lat,lon,altitude\n2026-05-03T10:21:40Z,51.5,-0.4,300\n",
        "no unit",
    );
    let utc = collected("time_utc,lat,lon\n2026-05-03 10:21:40,51.5,-0.4\n");
    assert!(utc.notes.into_list().is_empty());
}

#[test]
fn a_clock_alone_passes_midnight() {
    let fixes = collected("time,lat,lon\n23:59:59,51.5,-0.4\n00:00:01,51.5,-0.4\n").fixes;
    assert_eq!(fixes[1].utc_s - fixes[0].utc_s, 2.0);
}

#[test]
fn heights_without_a_unit_follow_the_other_columns() {
    near(
        first("utc,lat,lon,altitude,gs_kt\n2026-05-03T10:21:40Z,51.5,-0.4,1000,60\n")
            .gnss_altitude_m,
        304.8,
    );
    near(
        first("utc,lat,lon,altitude,speed_kmh\n2026-05-03T10:21:40Z,51.5,-0.4,1000,60\n")
            .gnss_altitude_m,
        1000.0,
    );
}

#[test]
fn hemispheres_in_letters() {
    let fix = first("utc,lat,n/s,lon,e/w\n2026-05-03T10:21:40Z,34.5,S,19.25,E\n");
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (-34.5, 19.25));
    let fix = first("utc,latitude,longitude\n2026-05-03T10:21:40Z,34 30.0S,19 15.0W\n");
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (-34.5, -19.25));
    let fix = first("utc,latE7,lonE7\n2026-05-03T10:21:40Z,-345000000,192500000\n");
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (-34.5, 19.25));
}

#[test]
fn a_map_for_columns_nobody_could_guess() {
    let map = "utc_offset = \"+02:00\"\ndate_order = \"dmy\"\n[columns]\ndate = \"Tag\"\ntime = \"Zeit\"\nlatitude = \"B\"\nlongitude = \"L\"\ngnss_altitude = { column = \"H\", unit = \"ft\", datum = \"ellipsoid\" }\n";
    let (outcome, collector) = read_with("Tag;Zeit;B;L;H\n3.5.26;12:21:40;51,5;-0,4;1000\n", map);
    outcome.unwrap();
    let fix = collector.fixes[0];
    assert_eq!(
        (fix.utc_s, fix.latitude_deg, fix.longitude_deg),
        (UTC_S, 51.5, -0.4)
    );
    near(fix.gnss_altitude_m, 304.8);
    assert_eq!(collector.gnss_datum, AltitudeDatum::Ellipsoid);

    let numbers = "[columns]\ntime = 1\nlatitude = 3\nlongitude = 2\n";
    let (outcome, collector) = read_with("1777803700,-0.4,51.5\n1777803701,-0.4,51.5\n", numbers);
    outcome.unwrap();
    assert_eq!(collector.fixes.len(), 2);
    assert_eq!(collector.fixes[0].latitude_deg, 51.5);

    let (_, without) = read_with(
        "utc,lat,lon,ias_kt\n2026-05-03T10:21:40Z,51.5,-0.4,60\n",
        "[columns]\nias = false\n",
    );
    assert_eq!(without.fixes[0].ias_mps, None);

    let (outcome, _) = read_with("utc,lat,lon\n", "[columns]\nias = \"speedo\"\n");
    assert!(
        matches!(
            outcome,
            Err(ReadProblem::MappedColumnMissing { channel: "ias", .. })
        ),
        "{outcome:?}"
    );
}

#[test]
fn damage_costs_the_rows_it_is_in() {
    let rows: Vec<String> = (0..20)
        .map(|i| format!("2026-05-03T10:21:{:02}Z,51.5{i:02},-0.4,300,60.5", 20 + i))
        .collect();
    let head = "utc,lat,lon,alt_m,gs_kt\n";
    let whole = format!("{head}{}\n", rows.join("\n"));
    for (from, to, lost) in [
        (",51.505,", ",5l.505,", 1),
        (",51.505,", ",\"51.505,", 1),
        (",51.505,", ",95.505,", 1),
        (",51.505,", ",nan,", 1),
        (",51.505,", ",,", 1),
        ("10:21:25Z", "10:91:25Z", 1),
        ("2026-05-03T10:21:25Z", "1926-05-03T10:21:25Z", 1),
        (",51.505,-0.4,300,60.5", ",51.505,-0", 1),
        (",51.505,-0.4,300,60.5", ",51.505,-0.4,300", 0),
        (
            ",51.505,-0.4,300,60.5",
            ",51.505,-0.4,three hundred,60.5",
            0,
        ),
    ] {
        let (outcome, collector) = read_with(&whole.replacen(from, to, 1), "");
        outcome.unwrap();
        assert_eq!(20 - collector.fixes.len(), lost, "{from} -> {to}");
        assert_eq!(
            collector.notes.dropped_fixes() as usize,
            lost,
            "{from} -> {to}"
        );
    }
    // Cut anywhere: whole rows only, and never a shortened coordinate.
    for cut in head.len() + 45..whole.len() - 1 {
        let (outcome, collector) = read_with(&whole[..cut], "");
        outcome.unwrap();
        for fix in &collector.fixes {
            assert_eq!(fix.longitude_deg, -0.4, "cut at {cut}");
            assert!((fix.latitude_deg * 1000.0).fract().abs() < 1e-6);
        }
    }
}

#[test]
fn a_header_that_comes_again_is_no_damage() {
    let text = "utc,lat,lon\n2026-05-03T10:21:40Z,51.5,-0.4\nutc,lat,lon\n2026-05-03T10:21:41Z,51.5,-0.4\n";
    let collector = collected(text);
    assert_eq!(collector.fixes.len(), 2);
    assert!(collector.notes.into_list().is_empty());
}

#[test]
fn says_what_is_missing() {
    let problem = |text: &str| read_with(text, "").0.unwrap_err();
    let message = problem("time,lat,height\n1,2,3\n").to_string();
    assert_eq!(
        message,
        "no longitude column; found `time`, `lat`, `height`"
    );
    assert!(
        problem("lat,lon,altitude\n1,2,3\n")
            .to_string()
            .starts_with("no time column")
    );
    assert!(
        problem("a,b,c\n1,2,3\n")
            .to_string()
            .starts_with("no latitude column")
    );
    assert!(matches!(
        problem("1,2,3\n4,5,6\n"),
        ReadProblem::NoHeader { .. }
    ));
    assert!(matches!(
        problem("just words\nand more\n"),
        ReadProblem::NoHeader { .. }
    ));
    assert!(matches!(
        problem("time,lat,lon\n"),
        ReadProblem::NoFixes { .. }
    ));
}

#[test]
fn what_is_refused_is_named_with_line_and_column() {
    let head = "pilot;utc;lat;lon";
    let sound = "Zoë ;2026-05-03T10:21:40Z;51.5;-0.4";
    for (row, column) in [
        ("Zoë ;2026-05-03T10:99:40Z;51.5;-0.4", 6),
        ("Zoë ;1926-05-03T10:21:40Z;51.5;-0.4", 6),
        ("Zoë ;2026-05-03T10:21:40Z; north;-0.4", 28),
        ("Zoë ;2026-05-03T10:21:40Z;95;-0.4", 27),
        ("Zoë ;2026-05-03T10:21:40Z;51.5;\"west\"", 33),
        ("Zoë ;2026-05-03T10:21:40Z;51.5;", 32),
        ("Zoë ;2026-05-03T10:21:40Z;51", 29),
    ] {
        let notes = collected(&format!("{head}\n{sound}\n{row}\n"))
            .notes
            .into_list();
        let place = (notes[0].first_line, notes[0].first_column);
        assert_eq!(place, (3, column), "{row}");
    }
}

proptest! {
    #[test]
    fn what_is_written_is_read(
        milli in 1_700_000_000_000_i64..1_900_000_000_000,
        latitude_deg in -90.0..90.0_f64,
        longitude_deg in -180.0..180.0_f64,
        altitude in prop::option::of(-400.0..9000.0_f32),
        speed in prop::option::of(0.1..150.0_f32),
        delimiter in prop::sample::select(vec![',', ';', '\t', '|']),
        decimal_comma in any::<bool>(),
    ) {
        let cell = |v: String| if decimal_comma && delimiter != ',' { v.replace('.', ",") } else { v };
        let optional = |v: Option<f32>| v.map_or_else(String::new, |v| cell(v.to_string()));
        let instant = jiff::Timestamp::from_millisecond(milli).unwrap();
        let row = [instant.to_string(), cell(format!("{latitude_deg:?}")), cell(format!("{longitude_deg:?}")), optional(altitude), optional(speed)];
        let head = ["utc", "lat", "lon", "alt_m", "gs_mps"];
        let text = format!("{}\n{}\n", head.join(&delimiter.to_string()), row.join(&delimiter.to_string()));
        let mut collector = Collector::new(Notes::default(), 0);
        read(&text, &ColumnMap::default(), &mut collector).unwrap();
        let fix = collector.fixes[0];
        prop_assert!((fix.utc_s - milli as f64 / 1000.0).abs() < 1e-6);
        prop_assert_eq!((fix.latitude_deg, fix.longitude_deg), (latitude_deg, longitude_deg));
        prop_assert_eq!((fix.gnss_altitude_m, fix.ground_speed_mps), (altitude, speed));
    }

    #[test]
    fn nothing_panics(text in "(time|lat|lon|utc|date|alt_ft|[0-9]{1,5}|[,;|\t]|\"|\\.|-|:|Z|T|#|é|\n|\r){0,150}") {
        let _ = read_with(&text, "");
        let _ = read_with(&format!("utc,lat,lon,alt_m\n{text}\n"), "");
        let _ = read_with(&format!("date,time,lat,lon,utc offset\n{text}\n"), "[columns]\nias = 2\n");
    }

    #[test]
    fn no_map_panics(text in "(columns|latitude|=|\\[|\\]|\"|[a-z]{1,4}|[0-9]|\n|\\{|\\}|true|-){0,60}") {
        let _ = ColumnMap::from_toml(&text);
    }
}
