//! Folders as FLIGHT, and the logbook that lets a broken-off run go on.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use stillprop::logbook::{Access, Logbook, Who};

use super::program::{Folder, gpx, level_cruise, sample};

/// Samples that are quick to debrief, with their briefings.
const SAMPLES: [&str; 3] = [
    "go-around-500-ft.gpx",
    "low-slow-landed-short.gpx",
    "one-orbit-landed-long.igc",
];

/// A folder `flights` with `copies` of each sample, each a recording of its own, and a briefing beside it.
fn school(test: &str, copies: usize) -> Folder {
    let folder = Folder::new(test);
    for copy in 0..copies {
        let inner = folder.path().join(format!("flights/week-{copy}"));
        fs::create_dir_all(&inner).unwrap();
        for name in SAMPLES {
            let mut bytes = fs::read(sample(name)).unwrap();
            // a remark at the end: other bytes, the same flight
            bytes.extend(if Path::new(name).extension().unwrap() == "igc" {
                format!("LXXXcopy {copy}\n").into_bytes()
            } else {
                format!("<!-- copy {copy} -->\n").into_bytes()
            });
            fs::write(inner.join(name), bytes).unwrap();
            let stem = Path::new(name).file_stem().unwrap().to_str().unwrap();
            let briefing = format!("{stem}.briefing.toml");
            fs::copy(sample(&briefing), inner.join(&briefing)).unwrap();
        }
    }
    folder
}

const RUN: [&str; 7] = [
    "debrief",
    "flights",
    "--logbook",
    "l.logbook",
    "--format",
    "json",
    "--quiet",
];

fn logbook(folder: &Folder) -> Logbook {
    Logbook::open(&folder.path().join("l.logbook"), Access::Read).unwrap()
}

#[test]
fn a_folder_is_walked_and_a_bad_file_costs_one_line() {
    let folder = school("batch-folder", 1)
        .with("flights/broken.gpx", "<gpx><trk>")
        .with("flights/notes.txt", "no recording")
        .with("flights/level.gpx", level_cruise())
        .with("flights/.hidden.gpx", "<gpx>");
    let said = folder.run(&["debrief", "flights", "--format", "json"]);
    assert_eq!(said.status, 1, "{}", said.stderr);
    assert!(
        said.stdout.starts_with("5 recordings in all\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.contains("     4 debriefed\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.contains("     1 could not be debriefed\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.ends_with("  Reports are in reports\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.contains("1 recording without any\n"),
        "{}",
        said.stdout
    );
    let lines: Vec<&str> = said
        .stderr
        .lines()
        .filter(|l| l.contains("broken"))
        .collect();
    assert_eq!(lines.len(), 1, "{}", said.stderr);
    assert!(
        lines[0].starts_with("error: flights/broken.gpx"),
        "{}",
        said.stderr
    );
    assert_eq!(folder.names("reports"), ["level.json", "week-0"]);
    assert_eq!(folder.names("reports/week-0").len(), 3);
}

#[test]
fn a_folder_without_a_recording_has_a_status_of_its_own() {
    let folder = Folder::new("batch-nothing").with("level.gpx", level_cruise());
    fs::create_dir_all(folder.path().join("flights/inner")).unwrap();
    let said = folder.run(&["debrief", "flights", "--format", "json"]);
    assert_eq!(said.status, 4, "{}", said.stderr);
    assert!(
        said.stderr
            .starts_with("warning: flights: holds no recording\nhelp: recordings end in .gpx"),
        "{}",
        said.stderr
    );
    // the others are done all the same, and what is worse goes before it
    let said = folder.run(&["debrief", "flights", "level.gpx", "--format", "json"]);
    assert_eq!(said.status, 4, "{}", said.stderr);
    assert_eq!(folder.names("reports"), ["level.json"]);
    let said = folder.run(&["debrief", "flights", "missing.gpx", "--format", "json"]);
    assert_eq!(said.status, 1, "{}", said.stderr);
}

#[cfg(unix)]
#[test]
fn links_in_a_circle_end() {
    let folder = Folder::new("batch-links");
    fs::create_dir_all(folder.path().join("flights/inner")).unwrap();
    fs::write(folder.path().join("flights/inner/a.gpx"), level_cruise()).unwrap();
    for link in ["flights/inner/up", "flights/loop"] {
        std::os::unix::fs::symlink(folder.path().join("flights"), folder.path().join(link))
            .unwrap();
    }
    std::os::unix::fs::symlink("nowhere", folder.path().join("flights/dead.gpx")).unwrap();
    let said = folder.run(&["debrief", "flights", "--format", "json"]);
    assert_eq!(said.status, 3, "{}", said.stderr);
    assert!(
        said.stdout.starts_with("1 recording in all\n"),
        "{}",
        said.stdout
    );
}

#[test]
fn recordings_of_one_name_keep_their_own_reports_and_reports_are_no_recordings() {
    let one = gpx((0..180).map(|s| (51.0 + 0.0003 * f64::from(s), 600.0, s)));
    let folder = Folder::new("batch-names");
    fs::create_dir_all(folder.path().join("flights")).unwrap();
    let folder = folder
        .with("flights/a.gpx", level_cruise())
        .with("flights/a.csv", "utc,lat,lon\n")
        .with("flights/b.gpx", one);
    for _ in 0..2 {
        let said = folder.run(&[
            "debrief",
            "flights",
            "--format",
            "gpx",
            "--out",
            "flights/out",
        ]);
        assert!(
            said.stdout.starts_with("3 recordings in all\n"),
            "{}",
            said.stdout
        );
        assert_eq!(
            folder.names("flights/out"),
            ["a-gpx.path.gpx", "b.path.gpx"]
        );
    }
}

#[test]
fn what_the_logbook_holds_unchanged_is_not_debriefed_again() {
    let folder = school("batch-again", 1);
    assert_eq!(folder.run(&RUN).status, 0);
    let first = logbook(&folder).recordings().unwrap();
    assert_eq!(first.len(), 3);

    let said = folder.run(&RUN[..6]);
    assert!(
        said.stdout
            .contains("     3 in the logbook already and unchanged"),
        "{}",
        said.stdout
    );

    // a lost report is made again, and so is a flight with another briefing; nothing is kept twice
    fs::remove_file(folder.path().join("reports/week-0/go-around-500-ft.json")).unwrap();
    let briefing = folder
        .path()
        .join("flights/week-0/low-slow-landed-short.briefing.toml");
    let text = fs::read_to_string(&briefing).unwrap();
    fs::write(
        &briefing,
        text + "\n[[event]]\nutc = \"2026-01-01T00:00:00Z\"\nwhat = \"radio\"\n",
    )
    .unwrap();
    let said = folder.run(&RUN[..6]);
    assert!(
        said.stdout.contains("     2 debriefed\n"),
        "{}",
        said.stdout
    );
    assert!(
        said.stdout.contains("     1 in the logbook already"),
        "{}",
        said.stdout
    );
    assert_eq!(logbook(&folder).recordings().unwrap().len(), 3);

    let said = folder.run(&[&RUN[..6], &["--again"]].concat());
    assert!(
        said.stdout.contains("     3 debriefed\n"),
        "{}",
        said.stdout
    );
}

#[test]
fn killed_at_any_moment_nothing_is_lost_and_nothing_twice() {
    let folder = school("batch-killed", 4);
    let start = || {
        Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .args(RUN)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    // how long a whole run takes here, in a folder of its own
    let whole = {
        let other = school("batch-whole", 4);
        let from = Instant::now();
        assert_eq!(other.run(&RUN).status, 0);
        from.elapsed()
    };
    let mut seed = 0x5EED_u64;
    let mut kept_before = 0;
    for _ in 0..20 {
        let mut child = start();
        // moments all over a whole run, also where most is done already
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = (seed >> 40) as f64 / (1_u64 << 24) as f64;
        thread::sleep(Duration::from_secs_f64(0.3 * share * whole.as_secs_f64()));
        let _ = child.kill();
        child.wait().unwrap();
        let path = folder.path().join("l.logbook");
        if let Ok(logbook) = Logbook::open(&path, Access::Write) {
            let kept = logbook.recordings().unwrap();
            assert!(
                kept.len() >= kept_before,
                "{} after {kept_before}",
                kept.len()
            );
            kept_before = kept.len();
            assert!(
                logbook
                    .check(1)
                    .unwrap()
                    .iter()
                    .all(|finding| !finding.damaged)
            );
        }
        for entry in fs::read_dir(folder.path().join("reports"))
            .into_iter()
            .flatten()
            .flatten()
        {
            for name in folder.names(&format!("reports/{}", entry.file_name().to_str().unwrap())) {
                if !name.starts_with('.') {
                    let report = entry.path().join(&name);
                    let text = fs::read_to_string(report).unwrap();
                    serde_json::from_str::<serde_json::Value>(&text).unwrap();
                }
            }
        }
    }
    assert_eq!(folder.run(&RUN).status, 0);
    let logbook = logbook(&folder);
    let mut hashes: Vec<String> = logbook
        .recordings()
        .unwrap()
        .into_iter()
        .map(|r| r.sha256)
        .collect();
    hashes.sort();
    hashes.dedup();
    assert_eq!(
        (hashes.len(), logbook.recordings().unwrap().len()),
        (12, 12)
    );
    assert_eq!(logbook.attempts(Who::All).unwrap().len(), 12);
    for week in 0..4 {
        // nor is anything unfinished left behind
        assert_eq!(folder.names(&format!("reports/week-{week}")).len(), 3);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_loses_nothing_that_was_kept() {
    use super::bad_outputs::SmallDisk;

    let folder = school("batch-full", 4);
    let disk = match SmallDisk::mounted(folder.path().join("disk"), "size=320k") {
        Ok(disk) => disk,
        Err(reason) => {
            println!("not tested: a small disk cannot be mounted here: {reason}");
            return;
        }
    };
    let run = || {
        folder.run(&[
            "debrief",
            "flights",
            "--logbook",
            "disk/l.logbook",
            "--format",
            "json",
            "--out",
            "disk/out",
        ])
    };
    let said = run();
    assert_eq!(said.status, 1, "{}", said.stderr);
    assert!(
        said.stderr.to_lowercase().contains("no space left"),
        "{}",
        said.stderr
    );
    // whatever there was room for is whole
    let listed =
        |what: &[&str]| folder.run(&[&["logbook", "--logbook", "disk/l.logbook"], what].concat());
    let before = listed(&["list"]);
    assert_eq!(before.status, 0, "{}", before.stderr);
    assert!(listed(&["check"]).stdout.ends_with("logbook is sound.\n"));
    for week in folder.names("disk/out") {
        for name in folder.names(&format!("disk/out/{week}")) {
            let path = folder.path().join("disk/out").join(&week).join(&name);
            let text = fs::read_to_string(path).unwrap();
            serde_json::from_str::<serde_json::Value>(&text).unwrap();
        }
    }
    // with room again it goes on
    disk.grow("64m");
    assert_eq!(run().status, 0);
    assert!(listed(&["list"]).stdout.ends_with("12 recordings\n"));
    assert!(listed(&["check"]).stdout.ends_with("logbook is sound.\n"));
}

#[test]
fn two_programs_may_keep_at_once() {
    let folder = school("batch-two", 2);
    let spawn = |week: &str| {
        Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .args([
                "debrief",
                week,
                "--logbook",
                "l.logbook",
                "--format",
                "json",
                "--quiet",
            ])
            .current_dir(folder.path())
            .spawn()
            .unwrap()
    };
    let mut children = [
        spawn("flights/week-0"),
        spawn("flights/week-1"),
        spawn("flights/week-1"),
    ];
    for child in &mut children {
        assert!(child.wait().unwrap().success());
    }
    assert_eq!(logbook(&folder).recordings().unwrap().len(), 6);
}

#[test]
fn a_folder_has_no_report_to_print() {
    let folder = school("batch-print", 1);
    let said = folder.run(&["debrief", "flights", "--format", "json", "--out", "-"]);
    said.failed(
        2,
        "error: `--out -` prints the report of one recording, but a folder is named\n\
         help: name a folder for the reports: `--out reports`",
    );
}
