//! A recording of places and times only.

use crate::cli::{Folder, level_cruise};

#[test]
fn a_recording_without_altitude_gives_that_as_the_reason() {
    let flat = level_cruise().replace("<ele>600</ele>", "");
    let folder = Folder::new("no-altitude").with("a.gpx", flat);
    let said = folder.run(&["debrief", "a.gpx"]);
    assert_eq!(said.status, 3, "{}", said.stderr);
    assert!(
        said.stderr
            .contains("a.gpx: the recording holds no altitude"),
        "{}",
        said.stderr
    );
    // not for want of height
    assert!(!said.stderr.contains("500 ft"), "{}", said.stderr);
    let document = std::fs::read_to_string(folder.path().join("reports/a.json")).unwrap();
    assert!(document.contains("the recording holds no altitude"));
    let sheet = std::fs::read_to_string(folder.path().join("reports/a.svg")).unwrap();
    assert!(sheet.contains("the recording holds no altitude"));
}

#[test]
fn a_vertical_speed_stands_in_for_altitudes_and_is_named() {
    let full = include_str!("../../sample-tracks/three-attempts-circuits.csv");
    let without: String = full
        .lines()
        .map(|line| {
            let mut columns: Vec<&str> = line.split(',').collect();
            columns.drain(3..5); // satellite and pressure altitude
            columns.join(",") + "\n"
        })
        .collect();
    let briefing = include_str!("../../sample-tracks/three-attempts-circuits.briefing.toml");
    let folder = Folder::new("vertical-speed")
        .with("a.csv", without)
        .with("a.briefing.toml", briefing);
    let said = folder.run(&["debrief", "a.csv", "--format", "json"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    let of_it = "no altitude: heights are summed up from its vertical speed";
    assert!(said.stderr.contains(of_it), "{}", said.stderr);
    assert!(!said.stderr.contains("no attempt was looked for"));
}
