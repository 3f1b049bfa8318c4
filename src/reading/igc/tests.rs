//! Whole files: the worked examples of the specification, and damage.

use super::super::note::Notes;
use super::super::plausible;
use super::*;
use crate::reading::AltitudeDatum;
use proptest::prelude::*;

fn read_text(text: &str) -> (Result<(), ReadProblem>, Collector) {
    let mut collector = Collector::new(Notes::default(), 0);
    let outcome = read(text, "flight.igc", &mut collector).map_err(|located| located.problem);
    plausible::check(&mut collector);
    (outcome, collector)
}

fn collected(text: &str) -> Collector {
    let (outcome, collector) = read_text(text);
    outcome.unwrap();
    collector
}

fn has_note(collector: Collector, words: &str) -> bool {
    collector
        .notes
        .into_list()
        .iter()
        .any(|n| n.what.contains(words))
}

#[test]
fn indented_lines_are_read_all_the_same() {
    let indented = EXAMPLE.replace("\r\n", "\r\n  ");
    let flush = collected(EXAMPLE).fixes;
    assert!(flush.len() > 1);
    assert_eq!(collected(&indented).fixes, flush);
    let format = super::super::detect::format(&format!("  {indented}"));
    assert_eq!(format.ok(), Some(crate::reading::Format::Igc));
}

const B1: &str = "B1015305130250N00027750WA0030500357";

/// 2026-11-24T10:15:30Z, 1,795,515,330 s after 1970.
const B1_UTC_S: f64 = 1_795_515_330.0;

/// The example file of FAI/IGC Technical Specification for GNSS Flight Recorders, second
/// edition, AL8, A9.2 (fixes only; the longitude of the first without the blank printed in it).
const EXAMPLE: &str = "AXXXABCFLIGHT:1\r\n\
HFDTEDATE:160819,01\r\n\
HFALGALTGPS:ELL\r\n\
HFALPALTPRESSURE:ISA\r\n\
I023638FXA3941ENL\r\n\
B1602405407121N00249342WA0028000421205950\r\n\
B1602455107126N00149300WA0028800429195970\r\n\
B1602555107140N00149221WA0029000430190965\r\n\
B1603005107150N00149202WA0029100432185022\r\n\
E160305PEV\r\n\
B1603055107180N00149185WA0029100435180015\r\n\
B1603155107220N00149150WA0049400436200018\r\n\
B1603205107330N00149127WA0049600439195015\r\n\
G REJNGJERJKNJKRE31895478537H43982FJN9248F942389T433T\r\n\
B1603255107330N00149127WA0049600439195015\r\n";

#[test]
fn the_published_example_file() {
    let collector = collected(EXAMPLE);
    assert_eq!(collector.fixes.len(), 7);
    assert_eq!(collector.gnss_datum, AltitudeDatum::Ellipsoid);
    let first = collector.fixes[0];
    assert!((first.latitude_deg - 54.118683).abs() < 5e-7);
    assert!((first.longitude_deg + 2.822367).abs() < 5e-7);
    let noise: Vec<f32> = collector
        .fixes
        .iter()
        .filter_map(|f| f.engine_noise)
        .collect();
    assert_eq!(noise, [950.0, 970.0, 965.0, 22.0, 15.0, 18.0, 15.0]);
    let heights: Vec<f32> = collector
        .fixes
        .iter()
        .filter_map(|f| f.pressure_altitude_m)
        .collect();
    assert_eq!(heights, [280.0, 288.0, 290.0, 291.0, 291.0, 494.0, 496.0]);
    assert_eq!(collector.events.len(), 1);
    assert_eq!(
        (collector.events[0].utc_s, collector.events[0].what.as_str()),
        (collector.fixes[4].utc_s, "PEV")
    );
    assert!(has_note(collector, "behind the security (G) record"));
}

#[test]
fn both_forms_of_the_date_and_none() {
    for header in [
        "HFDTE241126",
        "HFDTEDATE:241126,01",
        "HFDTEDATE: 241126",
        "HPDTE241126",
        "HFDTE 241126",
    ] {
        let fixes = collected(&format!("AXXX001\n{header}\n{B1}\n")).fixes;
        assert_eq!(fixes[0].utc_s, B1_UTC_S, "{header}");
    }
    let without = collected(&format!("AXXX001\n{B1}\n"));
    assert_eq!(
        without.fixes[0].utc_s % clock::DAY_S,
        B1_UTC_S % clock::DAY_S
    );
    assert!(has_note(without, "2000-01-01"));
    let mut named = Collector::new(Notes::default(), 0);
    read(B1, "2026-11-24-XXX-001-01.igc", &mut named).unwrap();
    assert_eq!(named.fixes[0].utc_s, B1_UTC_S);
    let late = collected(&format!("AXXX001\n{B1}\nE101530PEV\nHFDTE241126\n{B1}\n"));
    assert!(late.fixes.iter().all(|f| f.utc_s == B1_UTC_S));
    assert_eq!(late.events[0].utc_s, B1_UTC_S);
}

#[test]
fn midnight_is_passed_when_the_clock_falls_by_half_a_day() {
    let text = "HFDTE241126\n\
        B2359583412345S15112345EA-001200010\n\
        B0000033412400S15112300EA0000100024\n\
        B2359593412345S15112345EA-001200010\n\
        B0000043412400S15112300EA0000100024\n\
        E000010PEV\n";
    let collector = collected(text);
    let day = 1_795_478_400.0;
    let times: Vec<f64> = collector.fixes.iter().map(|f| f.utc_s - day).collect();
    assert_eq!(times, [86_398.0, 86_403.0, 86_399.0, 86_404.0]);
    assert_eq!(collector.events[0].utc_s - day, 86_410.0);
    assert!((collector.fixes[1].latitude_deg + 34.206666667).abs() < 1e-9);
    assert!((collector.fixes[1].longitude_deg - 151.205).abs() < 1e-9);
    assert_eq!(collector.fixes[0].pressure_altitude_m, Some(-12.0));
}

#[test]
fn a_new_date_after_midnight_is_not_counted_twice() {
    let text = "HFDTE241126\n\
        B2359583412345S15112345EA0001200010\n\
        HFDTE251126\n\
        B0000033412400S15112300EA0000100024\n";
    let fixes = collected(text).fixes;
    assert_eq!(fixes[1].utc_s - fixes[0].utc_s, 5.0);
}

#[test]
fn records_without_a_fix_are_left_out_and_counted() {
    let text = "HFDTE241126\n\
        B2359583412345S15112345EV-001200000\n\
        B0000033412400S15112300EA0000100024\n\
        B0000043412400S15112300EV0000100000\n";
    let (_, collector) = read_text(text);
    assert_eq!(collector.fixes.len(), 1);
    let notes = collector.notes.into_list();
    assert_eq!(
        (notes[0].count, notes[0].dropped_fixes, notes[0].first_line),
        (2, 2, 2)
    );
}

#[test]
fn a_file_of_two_dimensional_fixes_that_move_is_used() {
    let rows: Vec<String> = (0..20)
        .map(|i| format!("B1015{i:02}5130{i:03}N00027750WV0030500000\n"))
        .collect();
    let collector = collected(&format!("HFDTE241126\n{}", rows.concat()));
    assert_eq!(collector.fixes.len(), 20);
    assert!(
        collector
            .fixes
            .iter()
            .all(|f| f.gnss_altitude_m.is_none() && f.pressure_altitude_m == Some(305.0))
    );
    assert!(has_note(collector, "two-dimensional"));
}

#[test]
fn extensions_by_the_table() {
    // Lines made for this test, decoded by hand.
    let text = format!(
        "HFDTE241126\nI033638FXA3940SIU4143ENL\n{B1}00411962\nB1015355130190N00028010WA002980035000411018\n"
    );
    let fixes = collected(&text).fixes;
    assert_eq!(
        (fixes[0].accuracy_m, fixes[0].engine_noise),
        (Some(4.0), Some(962.0))
    );
    assert_eq!(
        (fixes[1].accuracy_m, fixes[1].engine_noise),
        (Some(4.0), Some(18.0))
    );
    assert!((fixes[1].latitude_deg - 51.503166667).abs() < 1e-9);
    assert!((fixes[1].longitude_deg + 0.466833333).abs() < 1e-9);
    let finer = collected(&format!("HFDTE241126\nI033636LAD3737LOD3838TDS\n{B1}735\n")).fixes;
    assert!((finer[0].latitude_deg - 51.504178333).abs() < 1e-9);
    assert!((finer[0].longitude_deg + 0.462505).abs() < 1e-9);
    assert_eq!(finer[0].utc_s, B1_UTC_S + 0.5);
}

#[test]
fn a_flight_number_fractions_of_a_second_and_finer_positions_beside_an_event() {
    // 51 30.00045' north, 0 24.00067' west, 10:21:40.02; by the columns of the I record.
    let text = "HFDTEDATE:030526,02\n\
        I033637LAD3839LOD4041TDS\n\
        B1021405130000N00024000WA00305003574567025\n\
        B1021405130000N00024000WA003050035745672\n\
        E102140PEV\n";
    let collector = collected(text);
    let fix = collector.fixes[0];
    assert_eq!(fix.utc_s, 1_777_803_700.0 + 0.02);
    assert!((fix.latitude_deg - (51.0 + 30.00045 / 60.0)).abs() < 1e-11);
    assert!((fix.longitude_deg + 24.00067 / 60.0).abs() < 1e-11);
    // A line too short for an extension loses that extension only.
    assert_eq!(collector.fixes[1].utc_s, 1_777_803_700.0);
    assert_eq!(collector.events[0].utc_s, 1_777_803_700.0);
}

#[test]
fn data_records_go_to_the_fix_of_their_second() {
    // J020810HDT1113IAS: 126 km/h is 68.03 kt.
    let fixes = collected(&format!(
        "HFDTE241126\nJ020810HDT1113IAS\n{B1}\nK101530090126\nK101535090130\n"
    ))
    .fixes;
    let ias_kt = f64::from(fixes[0].ias_mps.unwrap()) / crate::units::MPS_PER_KT;
    assert!((ias_kt - 68.03).abs() < 0.005);
}

#[test]
fn a_dead_noise_sensor_gives_way_to_the_propulsion_sensor() {
    let row =
        |second: u32, mop: u32| format!("B10153{second}5130250N00027750WA0030500357000{mop:03}\n");
    let head = "HFDTE241126\nI023638ENL3941MOP\n";
    let both = collected(&format!("{head}{}{}", row(0, 650), row(1, 12)));
    assert_eq!(
        both.fixes
            .iter()
            .filter_map(|f| f.engine_noise)
            .collect::<Vec<_>>(),
        [650.0, 12.0]
    );
    let neither = collected(&format!("{head}{}{}", row(0, 0), row(1, 0)));
    assert!(neither.fixes.iter().all(|f| f.engine_noise.is_none()));
    assert!(has_note(neither, "engine noise is 0 throughout"));
}

#[test]
fn the_datum_is_what_the_header_says_or_unstated() {
    for (header, datum) in [
        ("HFALGALTGPS:ELL", AltitudeDatum::Ellipsoid),
        ("HFALG:GEO", AltitudeDatum::MeanSeaLevel),
        ("HFALGALTGPS:NKN", AltitudeDatum::Unstated),
        ("HFFXA035", AltitudeDatum::Unstated),
    ] {
        assert_eq!(
            collected(&format!("HFDTE241126\n{header}\n{B1}\n")).gnss_datum,
            datum,
            "{header}"
        );
    }
    let none = collected(&format!(
        "HFDTE241126\nHFALGALTGPS:NIL\nHFALPALTPRESSURE:MSL\n{B1}\n"
    ));
    assert_eq!(
        (
            none.fixes[0].gnss_altitude_m,
            none.fixes[0].pressure_altitude_m
        ),
        (None, None)
    );
}

#[test]
fn airspeed_in_knots_is_found_out_by_the_ground_speed() {
    // 0.020 minutes of latitude a second: 37.07 m/s, which is 72 kt and 133 km/h.
    let rows: Vec<String> = (0..40)
        .map(|i| {
            format!(
                "B1015{i:02}51{:05}N00027750WA0030500357072\n",
                10_000 + 20 * i
            )
        })
        .collect();
    let collector = collected(&format!("HFDTE241126\nI013638TAS\n{}", rows.concat()));
    assert!((collector.fixes[5].tas_mps.unwrap() - 37.04).abs() < 0.05);
    assert!(has_note(collector, "true airspeed"));
}

#[test]
fn damaged_lines_cost_themselves_only() {
    let text = format!(
        "\u{feff}garbage\n\nHFDTE241126\nA\nH\nI\nJ\nB\nE\nK\nG\n{B1}\nB1015305130x50N00027750WA0030500357\nZZZ\n{B1}\nb101530\nB10153\n"
    );
    let (outcome, collector) = read_text(&text);
    outcome.unwrap();
    assert_eq!(collector.fixes.len(), 2);
    let notes = collector.notes.into_list();
    assert_eq!(notes.iter().map(|n| n.dropped_fixes).sum::<u32>(), 3);
    assert!(
        notes
            .iter()
            .any(|n| n.what.contains("latitude") && n.first_line == 13),
        "{notes:?}"
    );
}

#[test]
fn a_file_without_fixes_says_so() {
    assert!(matches!(
        read_text("AXXX001\nHFDTE241126\n").0,
        Err(ReadProblem::NoFixes { .. })
    ));
}

#[test]
fn what_is_refused_is_named_with_line_and_column() {
    let first = |record: &str| {
        let note = collected(&format!("HFDTE241126\n{record}\n{B1}\n"))
            .notes
            .into_list()
            .remove(0);
        (note.first_line, note.first_column)
    };
    assert_eq!(first("B1015305130x50N00027750WA0030500357"), (2, 8));
    assert_eq!(first("B1015305130250N0002775éWA0030500357"), (2, 16));
    assert_eq!(first("B1015995130250N00027750WA0030500357"), (2, 2));
    assert_eq!(first("B1015305130250N00027750WX0030500357"), (2, 25));
    assert_eq!(first("B1015305130250N000277"), (2, 22));
    assert_eq!(first("B1015300000000N00000000WA0030500357"), (2, 8));
}

/// A B record as this project would write it.
fn written(second: u32, latitude: i32, longitude: i32, pressure_m: i32, gnss_m: i32) -> String {
    let angle =
        |v: i32, width: usize| format!("{:0width$}{:05}", v.abs() / 60_000, v.abs() % 60_000);
    let height = |v: i32| {
        if v < 0 {
            format!("-{:04}", -v)
        } else {
            format!("{v:05}")
        }
    };
    format!(
        "B{:02}{:02}{:02}{}{}{}{}A{}{}",
        second / 3600,
        second / 60 % 60,
        second % 60,
        angle(latitude, 2),
        if latitude < 0 { 'S' } else { 'N' },
        angle(longitude, 3),
        if longitude < 0 { 'W' } else { 'E' },
        height(pressure_m),
        height(gnss_m),
    )
}

proptest! {
    #[test]
    fn what_is_written_is_read(
        second in 0_u32..86_400,
        latitude in -5_400_000..=5_400_000_i32,
        longitude in -10_800_000..=10_800_000_i32,
        pressure_m in -900..20_000_i32,
        gnss_m in -900..20_000_i32,
    ) {
        prop_assume!(latitude != 0 || longitude != 0);
        let mut collector = Collector::new(Notes::default(), 0);
        read(&format!("HFDTE241126\r\n{}\r\n", written(second, latitude, longitude, pressure_m, gnss_m)), "x.igc", &mut collector).unwrap();
        let fix = collector.fixes[0];
        prop_assert_eq!(fix.utc_s, 1_795_478_400.0 + f64::from(second));
        prop_assert_eq!(fix.latitude_deg, f64::from(latitude) / 60_000.0);
        prop_assert_eq!(fix.longitude_deg, f64::from(longitude) / 60_000.0);
        prop_assert_eq!(fix.pressure_altitude_m, Some(pressure_m as f32));
        prop_assert_eq!(fix.gnss_altitude_m, Some(gnss_m as f32));
    }

    #[test]
    fn nothing_panics(text in "([ABEGHIJK]|HFDTE|HFALG|[0-9]{1,7}|[NSEWAV]|[:,-]|ENL|TAS|é|\n|\r){0,120}") {
        let _ = read_text(&text);
        let _ = read_text(&format!("HFDTE241126\nI023638ENL3941MOP\n{B1}{text}\n"));
    }

    #[test]
    fn nothing_panics_on_lines_of_the_right_shape(
        lines in prop::collection::vec("(B[0-9]{6}[0-9]{7}[NS][0-9]{8}[EW][AV][0-9-]{0,14}|I[0-9]{2}([0-9]{4}[A-Z]{3}){0,4}|K[0-9]{6,20}|E[0-9]{6}[A-Z]{3}|HFDTE(DATE:)?[0-9]{0,6}|G[0-9A-F]{4})", 0..30),
    ) {
        let _ = read_text(&lines.join("\r\n"));
    }
}
