//! `stillprop brief`: what it finds, what it never copies, what it never overwrites.

use std::fs;

use super::{about, debrief, folder};
use crate::cli::{Folder, level_cruise};

const TABLE: [&str; 2] = ["--runways", "club.txt"];

fn brief(folder: &Folder, flight: &str, more: &[&str]) -> crate::cli::program::Said {
    let mut args = vec!["brief", flight];
    args.extend(TABLE);
    args.extend(more);
    folder.run(&args)
}

#[test]
fn what_the_recording_shows_is_filled_in_and_debriefed() {
    let folder = folder("brief");
    let said = brief(&folder, "landed.igc", &[]);
    assert_eq!(
        (said.status, said.stdout.as_str()),
        (0, ""),
        "{}",
        said.stderr
    );
    assert_eq!(said.stderr, "wrote landed.briefing.toml\n");
    let text = fs::read_to_string(folder.path().join("landed.briefing.toml")).unwrap();
    let briefing = stillprop::briefing::parse(&text, "landed.briefing.toml").unwrap();
    let runway = briefing.aim.runway.unwrap();
    assert_eq!(runway.airfield.value, "ZZAM");
    assert_eq!(runway.runway.unwrap().value, "36");
    assert_eq!(briefing.people.pilot.as_deref(), Some("P-07"));
    assert_eq!(briefing.aircraft.registration.as_deref(), Some("TRAINER 1"));
    for part in [
        "# Landed on runway 36 of ZZAM, on the ground ",
        "# elevation_ft = 1432",
        "may be wrong or old",
        "# metar = \"METAR ZZZZ 03",
        "#   1: power off ",
        ", touchdown ",
    ] {
        assert!(text.contains(part), "no `{part}` in\n{text}");
    }
    let (said, document) = debrief(&folder, "landed.igc", &[]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert_eq!(document["reference"]["aim_source"], "briefing");
    about(&document, "/reference/aim_elevation_ft", 1432.0, 0.1);
}

#[test]
fn a_file_that_is_there_stays_unless_it_is_forced() {
    let folder = folder("force").with("landed.briefing.toml", "# mine\n");
    brief(&folder, "landed.igc", &[]).failed(
        1,
        "error: landed.briefing.toml: is there already\nhelp: name another file with `--out`, print it with `--out -`, or replace it with `--force`",
    );
    let path = folder.path().join("landed.briefing.toml");
    assert_eq!(fs::read_to_string(&path).unwrap(), "# mine\n");
    assert_eq!(brief(&folder, "landed.igc", &["--force"]).status, 0);
    assert!(fs::read_to_string(&path).unwrap().contains("[aim]"));
    let printed = brief(&folder, "landed.igc", &["--out", "-"]);
    assert_eq!(printed.stdout, fs::read_to_string(&path).unwrap());
    assert_eq!(printed.stderr, "");
    assert_eq!(
        brief(&folder, "landed.igc", &["--out", "new/b.toml"]).status,
        0
    );
    assert_eq!(folder.names("new"), ["b.toml"]);
}

#[test]
fn a_name_in_the_recorder_is_not_copied() {
    let igc = fs::read_to_string(crate::cli::sample("one-orbit-landed-long.igc")).unwrap();
    let named = igc
        .replace("PILOTINCHARGE:P-07", "PILOTINCHARGE:Robin Example")
        .replace("GLIDERID:TRAINER 1", "GLIDERID:Robin's own");
    assert_ne!(named, igc);
    let folder = folder("name").with("named.igc", named);
    let said = brief(&folder, "named.igc", &["--out", "-"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert!(!said.stdout.contains("Robin"), "{}", said.stdout);
    assert!(said.stdout.contains("# pilot = \"P-07\""));
}

#[test]
fn without_runway_or_attempt_it_is_a_form_to_complete() {
    let folder = folder("form").with("a.gpx", level_cruise());
    let said = brief(&folder, "a.gpx", &["--out", "-"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert!(
        said.stdout
            .contains("# No runway of the table was landed on")
    );
    assert!(
        said.stdout
            .contains("# No attempt was found in the recording.")
    );
    let briefing = stillprop::briefing::parse(&said.stdout, "a").unwrap();
    assert_eq!(briefing, stillprop::briefing::Briefing::default());
    let said = folder.run_with_input(&["brief", "-"], level_cruise().as_bytes());
    assert!(
        said.stdout.starts_with("# Briefing of stdin"),
        "{}",
        said.stdout
    );
    brief(&folder, "missing.gpx", &[]).failed(1, "error: missing.gpx: no such file");
}
