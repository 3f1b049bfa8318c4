//! Things in the place of a file that have no end, are no file, or are more than any recording is: each
//! limit of `docs/limits.md`.

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use stillprop::briefing;
use stillprop::reading::{ReadOptions, ReadProblem, Recording, read};

use crate::cli::{Folder, level_cruise};

/// Much longer than reading takes.
const PROMPT: Duration = Duration::from_mins(1);

fn said(folder: &Folder, name: &str, words: &str) {
    let start = Instant::now();
    let said = folder.run(&["debrief", name, "--quiet"]);
    assert!(said.stderr.contains(words), "{name}: {}", said.stderr);
    assert_eq!(said.status, 1, "{name}");
    assert!(start.elapsed() < PROMPT, "{name}: {:?}", start.elapsed());
}

fn read_text(text: &str, name: &str) -> Result<Recording, ReadProblem> {
    let start = Instant::now();
    let outcome = read(text.as_bytes(), name, &ReadOptions::default());
    assert!(start.elapsed() < PROMPT, "{name}: {:?}", start.elapsed());
    outcome.map_err(|error| error.problem)
}

fn has_note(recording: &Recording, words: &str) -> bool {
    recording.notes.iter().any(|note| note.what.contains(words))
}

#[cfg(unix)]
#[test]
fn what_has_no_end_is_refused_before_it_is_read() {
    let folder = Folder::new("hostile-endless");
    let made = Command::new("mkfifo")
        .arg(folder.path().join("pipe.gpx"))
        .status();
    if made.is_ok_and(|status| status.success()) {
        said(
            &folder,
            "pipe.gpx",
            "error: pipe.gpx: is a pipe, expected a file\nhelp: to read what comes from it, give it as standard input: `stillprop debrief - < pipe.gpx`",
        );
    } else {
        println!("not tested: no `mkfifo` to make a pipe with");
    }
    said(
        &folder,
        "/dev/zero",
        "error: /dev/zero: is a device, expected a file",
    );
    let _socket = std::os::unix::net::UnixListener::bind(folder.path().join("s.igc")).unwrap();
    said(
        &folder,
        "s.igc",
        "error: s.igc: is a socket, expected a file",
    );
}

#[cfg(unix)]
#[test]
fn a_pipe_beside_a_recording_is_no_briefing() {
    let folder = Folder::new("hostile-endless-briefing").with("a.gpx", level_cruise());
    let made = Command::new("mkfifo")
        .arg(folder.path().join("a.briefing.toml"))
        .status();
    if !made.is_ok_and(|status| status.success()) {
        println!("not tested: no `mkfifo` to make a pipe with");
        return;
    }
    said(
        &folder,
        "a.gpx",
        "error: a.briefing.toml: is a pipe, expected a file",
    );
}

#[cfg(target_os = "linux")]
#[test]
fn what_the_shell_hands_over_is_read() {
    let folder = Folder::new("hostile-handed").with("a.gpx", level_cruise());
    let output = Command::new("sh")
        .args([
            "-c",
            "cat a.gpx | \"$0\" debrief /dev/stdin --format json --out - --quiet",
            env!("CARGO_BIN_EXE_stillprop"),
        ])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{output:?}");
    assert!(output.stdout.starts_with(b"{"));
}

#[test]
fn standard_input_without_end_is_refused() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .envs(crate::cli::OWN_DATA)
        .args(["debrief", "-", "--quiet"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let line = b"B1031344712745N00830112EA0123401288\r\n".repeat(30_000);
    // Until the program has enough of it.
    let written = (0..10_000)
        .take_while(|_| input.write_all(&line).is_ok())
        .count();
    drop(input);
    let output = child.wait_with_output().unwrap();
    assert!(written < 150, "{written} MB were taken");
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(
        String::from_utf8_lossy(&output.stderr).trim_end(),
        "error: standard input: more than 100 MiB, more than any such file is"
    );
}

#[test]
fn a_file_of_more_than_100_mib_is_refused() {
    let folder = Folder::new("hostile-large");
    let file = fs::File::create(folder.path().join("a.gpx")).unwrap();
    file.set_len((100 << 20) + 1).unwrap(); // a hole: takes no room
    said(
        &folder,
        "a.gpx",
        "error: a.gpx: more than 100 MiB, more than any such file is",
    );
    file.set_len(100 << 20).unwrap();
    said(&folder, "a.gpx", "error: a.gpx: the file is empty");
}

#[test]
fn a_briefing_of_more_than_1_mib_is_refused() {
    let folder = Folder::new("hostile-large-briefing")
        .with("a.gpx", level_cruise())
        .with("a.briefing.toml", "# \n".repeat(400_000));
    said(&folder, "a.gpx", "error: a.briefing.toml: more than 1 MiB");
}

#[cfg(unix)]
#[test]
fn links_that_lead_nowhere_are_told() {
    use std::os::unix::fs::symlink;
    let folder = Folder::new("hostile-links").with("good.gpx", level_cruise());
    symlink("b.gpx", folder.path().join("a.gpx")).unwrap();
    symlink("a.gpx", folder.path().join("b.gpx")).unwrap();
    said(&folder, "a.gpx", "error: a.gpx: cannot be opened: ");
    symlink("gone.gpx", folder.path().join("c.gpx")).unwrap();
    said(&folder, "c.gpx", "error: c.gpx: no such file");
    // A briefing that was meant and is gone is not passed over.
    symlink("gone.toml", folder.path().join("good.briefing.toml")).unwrap();
    said(
        &folder,
        "good.gpx",
        "error: good.briefing.toml: no such file",
    );
}

#[cfg(target_os = "linux")]
#[test]
fn names_that_are_no_text_are_read_with_the_briefing_beside_them() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let folder = Folder::new("hostile-names");
    let name = OsStr::from_bytes(b"fl\xFFght.gpx");
    fs::write(folder.path().join(name), level_cruise()).unwrap();
    let briefing = OsStr::from_bytes(b"fl\xFFght.briefing.toml");
    fs::write(folder.path().join(briefing), "[aim]\nname = 7\n").unwrap();
    let run = || {
        Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .arg("debrief")
            .arg(name)
            .args(["--format", "json", "--quiet"])
            .current_dir(folder.path())
            .output()
            .unwrap()
    };
    let output = run();
    let words = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{words}");
    assert!(words.contains("expected `name` as"), "{words}");
    fs::remove_file(folder.path().join(briefing)).unwrap();
    assert_eq!(run().status.code(), Some(3));
    assert_eq!(folder.names("reports"), ["fl\u{FFFD}ght.json"]);
}

#[test]
fn entities_are_never_expanded_nor_fetched() {
    let mut text =
        String::from("<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [\n<!ENTITY a \"1111111111\">\n");
    for (one, other) in ('a'..'y').zip('b'..'z') {
        let _ = writeln!(
            text,
            "<!ENTITY {other} \"{}\">",
            format!("&{one};").repeat(10)
        );
    }
    text.push_str("<!ENTITY file SYSTEM \"file:///etc/hostname\">\n]>\n");
    let body = level_cruise().replacen("<trk>", "<trk><name>&y;&file;</name>", 1);
    text.push_str(&body.replacen("<ele>600</ele>", "<ele>&y;</ele>", 1));
    let recording = read_text(&text, "entities.gpx").unwrap();
    assert_eq!(recording.fixes.len(), 180);
    assert_eq!(recording.fixes[0].gnss_altitude_m, None);
    let told: usize = recording.about.iter().map(|(_, text)| text.len()).sum();
    assert!(told < 200, "{:?}", recording.about);
}

#[test]
fn nesting_without_end_is_passed_over() {
    let deep = format!("{}{}", "<x>".repeat(200_000), "</x>".repeat(200_000));
    let text = level_cruise().replacen(
        "<trkseg>",
        &format!("<extensions>{deep}</extensions><trkseg>"),
        1,
    );
    assert_eq!(read_text(&text, "deep.gpx").unwrap().fixes.len(), 180);
    let open =
        level_cruise().replacen("<trkseg>", &format!("{}<trkseg>", "<x>".repeat(200_000)), 1);
    let _ = read_text(&open, "open.gpx");
}

#[test]
fn attributes_without_end_are_passed_over() {
    let many: String = (0..300_000).fold(String::new(), |mut out, i| {
        let _ = write!(out, " a{i}=\"\"");
        out
    });
    for element in ["<gpx", "<trkpt", "<trk", "<trkseg"] {
        let text = level_cruise().replacen(element, &format!("{element}{many}"), 1);
        assert_eq!(
            read_text(&text, "attributes.gpx").unwrap().fixes.len(),
            180,
            "{element}"
        );
    }
}

#[test]
fn a_line_without_end_is_passed_over() {
    let row = |second: u32| format!("2026-05-03T10:21:{second:02}Z,51.0,-2.0{second:02},310\n");
    let rows: String = (0..40).map(row).collect();
    let long = format!(
        "utc,lat_deg,lon_deg,alt_msl_ft\n{rows}{}\n{rows}",
        "x,".repeat(5_000_000)
    );
    let recording = read_text(&long, "long.csv").unwrap();
    assert!(recording.fixes.len() >= 40);
    assert!(
        has_note(&recording, "longer than 65,536 characters"),
        "{:?}",
        recording.notes
    );
    let _ = read_text(&"9".repeat(20_000_000), "digits.csv");
    let record = |minute: u32| format!("B10{minute:02}344712745N00830112EA0123401288\r\n");
    let records: String = (0..40).map(record).collect();
    let long = format!(
        "AXXX001\r\nHFDTE160819\r\n{records}B{}\r\n{records}",
        "1".repeat(20_000_000)
    );
    let recording = read_text(&long, "long.igc").unwrap();
    assert!(recording.fixes.len() >= 40);
    assert!(
        has_note(&recording, "longer than 2048 characters"),
        "{:?}",
        recording.notes
    );
    let quote = level_cruise().replacen(
        "lat=\"51",
        &format!("lat=\"51{}", "0".repeat(10_000_000)),
        1,
    );
    assert!(read_text(&quote, "long.gpx").unwrap().fixes.len() >= 179);
}

#[test]
fn columns_without_end_are_refused() {
    let names: Vec<String> = (0..5000).map(|i| format!("c{i}")).collect();
    let names = format!("{},utc,lat_deg,lon_deg\n", names.join(","));
    let row = format!("{}2026-05-03T10:21:40Z,51.0,-2.0\n", "0,".repeat(5000));
    assert!(read_text(&format!("{names}{}", row.repeat(20)), "wide.csv").is_err());
}

#[test]
fn of_more_than_two_million_fixes_the_first_are_read() {
    let mut text = String::from("AXXX001\r\nHFDTE160819\r\n");
    for i in 0..2_000_010_u32 {
        let s = i / 25 % 86_400;
        let _ = write!(
            text,
            "B{:02}{:02}{:02}4712{:03}N00830112EA0123401288\r\n",
            s / 3600,
            s / 60 % 60,
            s % 60,
            i % 1000
        );
    }
    assert!(text.len() < 100 << 20);
    let recording = read_text(&text, "many.igc").unwrap();
    assert!(recording.fixes.len() <= 2_000_000);
    assert!(
        has_note(&recording, "only the first 2,000,000 were read"),
        "{:?}",
        recording.notes
    );
}

#[test]
fn years_of_fixes_leave_one_day() {
    let mut text = String::from("utc,lat_deg,lon_deg,alt_msl_ft\n");
    for hour in 0..20_000_u32 {
        let _ = writeln!(
            text,
            "{},{},-2.0,310",
            1_700_000_000_u32 + 3600 * hour,
            51.0 + f64::from(hour % 50) * 0.01
        );
    }
    let recording = read_text(&text, "years.csv").unwrap();
    let track = stillprop::cleaning::clean(&recording).unwrap();
    let span_s = track.fixes[track.fixes.len() - 1].utc_s - track.fixes[0].utc_s;
    assert!(span_s <= 86_400.0, "{span_s} s");
    assert!(
        track
            .notes
            .iter()
            .any(|note| note.what.contains("hours or days away"))
    );
}

#[test]
fn years_outside_1980_to_2100_are_refused_and_those_within_are_read() {
    let file = |year: u32| {
        let row = |s: u32| format!("{year}-06-30T10:21:{s:02}Z,51.00{s:02},-2.0,310\n");
        format!(
            "utc,lat_deg,lon_deg,alt_msl_ft\n{}",
            (10..40).map(row).collect::<String>()
        )
    };
    for year in [1970, 1979, 2101, 9999] {
        let problem = read_text(&file(year), "year.csv").unwrap_err();
        assert!(
            problem.to_string().contains("date outside 1980 to 2100"),
            "{year}: {problem}"
        );
    }
    for year in [1980, 2099] {
        assert_eq!(
            read_text(&file(year), "year.csv").unwrap().fixes.len(),
            30,
            "{year}"
        );
    }
}

#[test]
fn a_leap_second_is_a_second() {
    // 2016-12-31T23:59:60Z was one (IERS Bulletin C 52).
    let csv = "utc,lat_deg,lon_deg,alt_msl_ft\n\
        2016-12-31T23:59:59Z,51.000,-2.0,310\n\
        2016-12-31T23:59:60Z,51.001,-2.0,310\n\
        2017-01-01T00:00:00Z,51.002,-2.0,310\n\
        2017-01-01T00:00:01Z,51.003,-2.0,310\n";
    let recording = read_text(csv, "leap.csv").unwrap();
    assert!(recording.fixes.len() >= 3);
    assert_eq!(recording.fixes.last().unwrap().utc_s, 1_483_228_801.0);
    let igc = "AXXX001\r\nHFDTE311216\r\n\
        B2359594712000N00830112EA0123401288\r\n\
        B2359604712010N00830112EA0123401288\r\n\
        B0000004712020N00830112EA0123401288\r\n\
        B0000014712030N00830112EA0123401288\r\n";
    let recording = read_text(igc, "leap.igc").unwrap();
    assert!(recording.fixes.len() >= 3);
    assert_eq!(recording.fixes.last().unwrap().utc_s, 1_483_228_801.0);
}

#[test]
fn a_briefing_nested_without_end_is_refused() {
    for text in [
        format!("x = {}", "[".repeat(500_000)),
        format!("x = {}1{}", "[".repeat(500), "]".repeat(500)),
        format!("x = {}", "{ a = ".repeat(50_000)),
        format!("{}x = 1", "a.".repeat(100_000)),
        format!("[{}x]\n", "a.".repeat(100_000)),
    ] {
        let start = Instant::now();
        assert!(briefing::parse(&text, "deep.toml").is_err());
        assert!(start.elapsed() < PROMPT, "{:?}", start.elapsed());
    }
}
