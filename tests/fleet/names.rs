//! Names of airframes in the reports.

use stillprop::fleet::document::FleetReport;
use stillprop::report::{Manner, fleet};

#[test]
fn two_aircraft_of_one_name_and_unlike_types_are_told_apart() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/compatibility/fleet-0.1.json"
    );
    let text = std::fs::read_to_string(path).unwrap();
    let mut report: FleetReport = serde_json::from_str(&text).unwrap();
    let manner = Manner::default();
    assert!(!fleet::sheet_svg(&report, &manner).contains("Trainer 4 ("));
    assert_ne!(
        report.airframes[0].aircraft_type,
        report.airframes[1].aircraft_type
    );
    report.airframes[1].registration = report.airframes[0].registration.clone();
    for drawn in [
        fleet::sheet_svg(&report, &manner),
        fleet::page_html(&report, &manner),
    ] {
        for name in ["Trainer 4 (A)", "Trainer 4 (B)"] {
            assert!(drawn.contains(name), "no {name}");
        }
    }
}
