//! Briefings and flags that cannot be meant.

use super::program::{Folder, level_cruise};

#[test]
fn an_unknown_key_is_pointed_at_with_the_nearest_known_one() {
    let folder = Folder::new("briefing-key")
        .with("a.gpx", level_cruise())
        .with("a.briefing.toml", "[aim]\nlatitud_deg = 51.0\n");
    folder.run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.briefing.toml:2:1: unknown key `latitud_deg` in `[aim]`\n  |\n2 | latitud_deg = 51.0\n  | ^^^^^^^^^^^\nhelp: did you mean `latitude_deg`?",
    );
}

#[test]
fn every_problem_of_a_briefing_is_said_at_once() {
    let folder = Folder::new("briefing-two")
        .with("a.gpx", level_cruise())
        .with("b.toml", "[air]\nqnh_hpa = 29.92\n[people]\npilot = 7\n");
    let said = folder.run(&["debrief", "a.gpx", "--briefing", "b.toml"]);
    assert_eq!(
        said.stderr.matches("error: b.toml:").count(),
        2,
        "{}",
        said.stderr
    );
    assert_eq!(said.status, 1);
}

#[test]
fn a_briefing_that_is_named_must_be_there() {
    let folder = Folder::new("briefing-missing").with("a.gpx", level_cruise());
    folder
        .run(&["debrief", "a.gpx", "--briefing", "other.toml"])
        .failed(1, "error: other.toml: no such file");
}

#[test]
fn a_briefing_that_is_a_folder_is_refused() {
    let folder = Folder::new("briefing-folder").with("a.gpx", level_cruise());
    folder
        .run(&["debrief", "a.gpx", "--briefing", "."])
        .failed(1, "error: .: is a folder, expected a TOML file");
}

#[test]
fn a_briefing_in_another_encoding_is_refused_with_its_line() {
    let folder = Folder::new("briefing-encoding")
        .with("a.gpx", level_cruise())
        .with("a.briefing.toml", b"[aim]\nname = \"Fl\xe4che\"\n");
    folder.run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.briefing.toml:2: expected text in UTF-8, found another encoding\nhelp: save it again as UTF-8",
    );
}

#[test]
fn a_column_map_that_cannot_be_read_is_named() {
    let folder = Folder::new("columns")
        .with("a.gpx", level_cruise())
        .with("map.toml", "[columns]\nlatitud = 2\n");
    let said = folder.run(&["debrief", "a.gpx", "--columns", "map.toml"]);
    assert!(
        said.stderr.starts_with("error: map.toml: "),
        "{}",
        said.stderr
    );
    assert!(said.stderr.contains("latitude"), "{}", said.stderr);
    assert_eq!(said.status, 1);
}

#[test]
fn an_aim_of_one_number_is_wrong_usage() {
    Folder::new("aim")
        .run(&["debrief", "a.gpx", "--aim", "51.0"])
        .failed(
            2,
            "error: --aim: expected `LAT,LON` as two coordinates in decimal degrees, degrees and minutes, or degrees, minutes and seconds, found `51.0`\n\
         help: latitude first, south and west negative or by letter: --aim 51.0,-2.0, or --aim \"51°30'N 2°15'W\"",
        );
}

#[test]
fn a_landing_direction_beyond_the_compass_is_wrong_usage() {
    let said = Folder::new("landing").run(&["debrief", "a.gpx", "--landing", "400"]);
    assert!(
        said.stderr
            .starts_with("error: --landing: expected `landing_true_deg` from 0 to 360"),
        "{}",
        said.stderr
    );
    assert_eq!(said.status, 2);
}

#[test]
fn southern_and_western_aims_are_no_flags() {
    let folder = Folder::new("aim-south").with("a.gpx", level_cruise());
    let args = [
        "debrief",
        "a.gpx",
        "--aim",
        "-33.9,-70.5",
        "--elevation",
        "-12",
        "--quiet",
    ];
    assert_eq!(folder.run(&args).stderr, "");
}
