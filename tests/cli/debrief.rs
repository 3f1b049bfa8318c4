//! `stillprop debrief` on recordings that can be read.

use std::io::Read;
use std::process::{Command, Stdio};

use flate2::{Compression, read::GzEncoder};
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::program::{Folder, Said, gpx, level_cruise, sample};

const FLIGHT: &str = "two-orbits-avionics.csv";
const BRIEFING: &str = "two-orbits-avionics.briefing.toml";
const JSON_ALONE: [&str; 4] = ["--format", "json", "--out", "-"];

fn document(said: &Said) -> Value {
    serde_json::from_str(&said.stdout).unwrap()
}

#[test]
fn prints_the_document_alone() {
    let folder = Folder::new("json-alone")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING);
    let said = folder.run(
        &[
            &["debrief", FLIGHT, "--briefing", BRIEFING][..],
            &JSON_ALONE,
        ]
        .concat(),
    );
    assert_eq!(said.status, 0);
    let document = document(&said);
    assert_eq!(document["schema"], "stillprop.debrief.v1");
    assert_eq!(document["recording"]["file"], FLIGHT);
    assert!(folder.names("reports").is_empty());
}

#[test]
fn writes_the_three_reports_and_prints_a_table() {
    let folder = Folder::new("three-reports")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING);
    let said = folder.run(&["debrief", FLIGHT]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    let stem = "two-orbits-avionics";
    assert_eq!(
        folder.names("reports"),
        [
            format!("{stem}.html"),
            format!("{stem}.json"),
            format!("{stem}.svg")
        ]
    );
    assert!(said.stdout.contains("Attempt 1 of 1: "), "{}", said.stdout);
    assert!(
        said.stdout.lines().all(|line| line.chars().count() <= 80),
        "{}",
        said.stdout
    );
    assert!(said.stderr.contains(&format!(
        "wrote reports/{stem}.svg, reports/{stem}.html, reports/{stem}.json"
    )));
}

#[test]
fn several_attempts_have_a_numbered_sheet_each() {
    let folder = Folder::new("numbered");
    let track = sample("three-attempts-circuits.csv");
    let said = folder.run(&["debrief", track.to_str().unwrap(), "--format", "svg"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    let names = folder.names("reports");
    assert!(names.len() > 1);
    assert_eq!(names[0], "three-attempts-circuits-1.svg");
    let said = folder.run(&[
        "debrief",
        track.to_str().unwrap(),
        "--format",
        "svg",
        "--out",
        "-",
        "--quiet",
    ]);
    assert!(
        said.stderr
            .contains("3 attempts make 3 files, but `--out -` prints one report"),
        "{}",
        said.stderr
    );
    assert_eq!((said.status, said.stdout.as_str()), (1, ""));
}

#[test]
fn the_briefing_is_found_beside_the_recording_packed_or_not() {
    let mut packed = Vec::new();
    let plain = std::fs::read(sample(FLIGHT)).unwrap();
    GzEncoder::new(&plain[..], Compression::fast())
        .read_to_end(&mut packed)
        .unwrap();
    let folder = Folder::new("beside")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING)
        .with(&format!("{FLIGHT}.gz"), packed);
    let unpacked = document(&folder.run(&[&["debrief", FLIGHT][..], &JSON_ALONE].concat()));
    let mut from_packed =
        document(&folder.run(&[&["debrief", &format!("{FLIGHT}.gz")][..], &JSON_ALONE].concat()));
    assert_eq!(unpacked["reference"]["aim_name"], "Tallgrass field, 04");
    // Everything but what names the file itself is the same.
    from_packed["recording"]["file"] = unpacked["recording"]["file"].clone();
    from_packed["recording"]["sha256"] = unpacked["recording"]["sha256"].clone();
    assert_eq!(from_packed, unpacked);
}

#[test]
fn the_hash_is_that_of_the_bytes_as_read() {
    let folder = Folder::new("hash").with("a.gpx", level_cruise());
    let said = folder.run(&[&["debrief", "a.gpx"][..], &JSON_ALONE].concat());
    let hash = Sha256::digest(level_cruise());
    let expected = hash
        .iter()
        .fold(String::new(), |hex, byte| format!("{hex}{byte:02x}"));
    assert_eq!(document(&said)["recording"]["sha256"], expected);
}

#[test]
fn reads_standard_input_under_the_name_stdin() {
    let folder = Folder::new("stdin");
    let bytes = std::fs::read(sample(FLIGHT)).unwrap();
    let said = folder.run_with_input(&["debrief", "-", "--format", "json"], &bytes);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert!(said.stdout.starts_with("stdin: "), "{}", said.stdout);
    assert_eq!(folder.names("reports"), ["stdin.json"]);
}

#[test]
fn the_command_line_wins_over_the_briefing() {
    let folder = Folder::new("overrides")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING);
    let args = ["debrief", FLIGHT, "--elevation", "1700", "--landing", "40"];
    let reference = &document(&folder.run(&[&args[..], &JSON_ALONE].concat()))["reference"];
    assert!((reference["aim_elevation_ft"].as_f64().unwrap() - 1700.0).abs() < 0.01);
    assert_eq!(reference["landing_true_deg"], 40.0);
    assert_eq!(reference["aim_name"], "Tallgrass field, 04");
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_seed_does_not() {
    let folder = Folder::new("seed").with_sample(FLIGHT);
    let with_seed = |seed: &str| {
        let args = ["debrief", FLIGHT, "--draws", "50", "--seed", seed];
        folder.run(&[&args[..], &JSON_ALONE].concat()).stdout
    };
    assert_eq!(with_seed("7"), with_seed("7"));
    assert_ne!(with_seed("7"), with_seed("8"));
}

#[test]
fn tells_several_recordings_in_the_order_named() {
    let names: Vec<String> = (0..12).map(|i| format!("f{i}.gpx")).collect();
    let folder = names.iter().fold(Folder::new("order"), |folder, name| {
        folder.with(name, level_cruise())
    });
    let mut args = vec!["debrief", "--format", "json"];
    args.extend(names.iter().rev().map(String::as_str));
    let said = folder.run(&args);
    let told: Vec<&str> = said
        .stdout
        .lines()
        .filter_map(|line| line.split_once(": 3 May"))
        .map(|(name, _)| name)
        .collect();
    assert_eq!(
        told,
        names.iter().rev().map(String::as_str).collect::<Vec<_>>()
    );
    assert_eq!(folder.names("reports").len(), 12);
    assert_eq!(said.status, 3);
}

#[test]
fn a_recording_without_an_attempt_ends_with_three_and_its_reports_are_written() {
    let folder = Folder::new("none").with("a.gpx", level_cruise());
    let said = folder.run(&["debrief", "a.gpx"]);
    assert_eq!(said.status, 3);
    assert!(
        said.stdout.contains("No practice forced landing found."),
        "{}",
        said.stdout
    );
    assert!(
        said.stderr
            .contains("warning: a.gpx: no practice forced landing found\nhelp: "),
        "{}",
        said.stderr
    );
    assert_eq!(folder.names("reports"), ["a.html", "a.json", "a.svg"]);
}

#[test]
fn the_nearest_candidates_are_named_with_what_each_lacks() {
    // Level high above the ground, down 200 m at idle's rate, and level again: no approach.
    let altitude = |s: u32| 600.0 - 4.5 * f64::from(s.clamp(60, 105) - 60);
    let folder = Folder::new("nearest").with(
        "a.gpx",
        gpx((0..200).map(|s| (51.0 + 0.0003 * f64::from(s), altitude(s), s))),
    );
    let said = folder.run(&[&["debrief", "a.gpx", "--elevation", "300"][..], &JSON_ALONE].concat());
    assert_eq!(said.status, 3, "{}", said.stderr);
    let document = document(&said);
    assert_eq!(document["attempts"], Value::Array(Vec::new()));
    for candidate in document["not_attempts"].as_array().unwrap() {
        assert!(
            said.stderr.contains(candidate["reason"].as_str().unwrap()),
            "{}",
            said.stderr
        );
    }
}

#[test]
fn attempts_are_explained_on_request() {
    let folder = Folder::new("explained")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING);
    let args = ["debrief", FLIGHT, "--explain-attempts", "--format", "json"];
    let said = folder.run(&args);
    assert!(
        said.stdout.contains("Power reductions looked at\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.contains("attempt 1, ends with a touchdown"),
        "{}",
        said.stdout
    );
}

#[test]
fn quiet_says_nothing_when_all_went_well() {
    let folder = Folder::new("quiet")
        .with_sample(FLIGHT)
        .with_sample(BRIEFING);
    let said = folder.run(&["debrief", FLIGHT, "--quiet", "--format", "json"]);
    assert_eq!(
        (said.status, said.stdout.as_str(), said.stderr.as_str()),
        (0, "", "")
    );
    assert_eq!(folder.names("reports"), ["two-orbits-avionics.json"]);
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let folder = Folder::new("pipe").with_sample(FLIGHT);
    let mut child = Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .envs(crate::cli::OWN_DATA)
        .args([
            "debrief", FLIGHT, "--format", "html", "--out", "-", "--quiet",
        ])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}
