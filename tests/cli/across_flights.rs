//! `fleet`, `progress`, `compare` and `logbook` as people meet them.

use std::fs;

use serde_json::Value;

use super::program::{Folder, sample};

/// A folder with a logbook of three samples by pilot P-07, debriefed into `reports`.
fn school(test: &str) -> Folder {
    let folder = Folder::new(test);
    for (name, stem) in [
        ("go-around-500-ft.gpx", "go-around-500-ft"),
        ("one-orbit-landed-long.igc", "one-orbit-landed-long"),
        ("three-attempts-circuits.csv", "three-attempts-circuits"),
    ] {
        let inner = folder.path().join("flights");
        fs::create_dir_all(&inner).unwrap();
        fs::copy(sample(name), inner.join(name)).unwrap();
        let briefing = format!("{stem}.briefing.toml");
        let text = fs::read_to_string(sample(&briefing)).unwrap();
        let people = "\n[people]\npilot = \"P-07\"\n";
        let text = match text.find("[people]") {
            Some(at) => text[..at].to_owned() + people,
            None => text + people,
        };
        fs::write(inner.join(&briefing), text).unwrap();
    }
    let said = folder.run(&[
        "debrief",
        "flights",
        "--logbook",
        "l.logbook",
        "--format",
        "json",
    ]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    folder
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn a_fleet_report_in_every_format() {
    let folder = school("across-fleet");
    let said = folder.run(&[
        "fleet",
        "--logbook",
        "l.logbook",
        "--format",
        "svg,html,json,csv",
        "--out",
        "out",
    ]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert_eq!(
        folder.names("out"),
        ["fleet.csv", "fleet.html", "fleet.json", "fleet.svg"]
    );
    let document = json(&fs::read_to_string(folder.path().join("out/fleet.json")).unwrap());
    assert_eq!(document["schema"], "stillprop.fleet.v1");
    for airframe in document["airframes"].as_array().unwrap() {
        let (low, high) = (
            &airframe["glide_ratio"]["low"],
            &airframe["glide_ratio"]["high"],
        );
        assert!(low.as_f64().unwrap() < high.as_f64().unwrap());
        assert!(airframe["air_sink_rate_fpm"]["value"].as_f64().unwrap() > 0.0);
        assert!(airframe["differs"].is_boolean());
        // one or two airframes have no others to be compared with
        assert_ne!(airframe["compared_with"], "others");
    }
    let svg = fs::read_to_string(folder.path().join("out/fleet.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();
    assert!(svg.contains("not for navigation"));
    let html = fs::read_to_string(folder.path().join("out/fleet.html")).unwrap();
    assert!(
        html.contains("not for navigation") && !html.contains("http:/") || html.contains("w3.org")
    );
}

#[test]
fn the_progress_of_a_pilot_and_of_all() {
    let folder = school("across-progress");
    let one = ["progress", "P-07", "--logbook", "l.logbook"];
    let said = folder.run(&[&one[..], &["--format", "json", "--out", "-"]].concat());
    assert_eq!(said.status, 0, "{}", said.stderr);
    let document = json(&said.stdout);
    assert_eq!(document["schema"], "stillprop.progress.v1");
    assert_eq!(document["attempts"], 5);
    let measures = document["measures"].as_array().unwrap();
    assert!(
        measures
            .iter()
            .any(|m| m["measure"] == "glide_cas_sd_kt" && m["attempts"].as_u64() > Some(2))
    );
    let said = folder.run(&[&one[..], &["--format", "svg,html,csv"]].concat());
    assert!(
        said.stdout.starts_with("Pilot P-07\n5 attempts"),
        "{}",
        said.stdout
    );
    let svg = fs::read_to_string(folder.path().join("reports/progress-P-07.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();

    let said = folder.run(&[
        "progress",
        "--logbook",
        "l.logbook",
        "--format",
        "json",
        "--out",
        "-",
    ]);
    let all = json(&said.stdout);
    assert_eq!(all["schema"], "stillprop.progress_overview.v1");
    assert_eq!(all["pilots"][0]["pilot"], "P-07");

    let said = folder.run(&["progress", "P-08", "--logbook", "l.logbook"]);
    said.failed(
        1,
        "error: P-08: the logbook holds no attempt of this pilot\nhelp: it holds those of P-07",
    );
}

#[test]
fn attempts_over_each_other() {
    let folder = school("across-compare");
    let said = folder.run(&[
        "compare",
        "flights/three-attempts-circuits.csv",
        "reports/three-attempts-circuits.json:2",
        "--format",
        "json",
        "--out",
        "-",
    ]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    let document = json(&said.stdout);
    assert_eq!(document["attempts"].as_array().unwrap().len(), 4);
    assert_eq!(document["same_aim"], true);
    for m in document["measures"].as_array().unwrap() {
        // the second and the fourth are the same attempt, once debriefed anew and once as written
        let differences = m["differences"].as_array().unwrap();
        let (a, b) = (
            &differences[1]["probability_real"],
            &differences[3]["probability_real"],
        );
        if let (Some(a), Some(b)) = (a.as_f64(), b.as_f64()) {
            assert!((a - b).abs() < 0.02, "{m}");
        }
    }
    let said = folder.run(&[
        "compare",
        "flights/three-attempts-circuits.csv:1",
        "flights/three-attempts-circuits.csv:2",
        "--format",
        "svg",
        "--out",
        "two",
    ]);
    assert!(
        said.stdout
            .contains(" measures differ between attempts 1 and 2"),
        "{}",
        said.stdout
    );
    let said = folder.run(&["compare", "flights/three-attempts-circuits.csv:1"]);
    said.failed(
        2,
        "error: 1 attempt named, expected 2 to 8\nhelp: name single attempts of a recording by their number: `flight.igc:2`",
    );
    let said = folder.run(&["compare", "flights/three-attempts-circuits.csv:9"]);
    said.failed(
        1,
        "error: flights/three-attempts-circuits.csv: no attempt 9; it holds 3",
    );
    let said = folder.run(&[
        "compare",
        "flights/go-around-500-ft.gpx",
        "flights/one-orbit-landed-long.igc",
    ]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    let svg = fs::read_to_string(folder.path().join("reports/compare.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();
}

#[test]
fn a_logbook_is_listed_shown_written_out_and_forgotten() {
    let folder = school("across-logbook");
    let logbook =
        |args: &[&str]| folder.run(&[&["logbook", "--logbook", "l.logbook"], args].concat());
    let said = logbook(&["list"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert!(said.stdout.ends_with("3 recordings\n"), "{}", said.stdout);
    let said = logbook(&["show", "go-around-500-ft.gpx"]);
    assert!(said.stdout.contains("Height abeam"), "{}", said.stdout);
    logbook(&["show", "nothing.igc"]).failed(
        1,
        "error: nothing.igc: the logbook holds no such recording\nhelp: `stillprop logbook list` shows their numbers and names",
    );
    assert_eq!(logbook(&["export"]).stdout.lines().count(), 6);
    let said = logbook(&["export", "--format", "jsonl", "--out", "all.jsonl"]);
    assert_eq!(said.stderr, "wrote all.jsonl: 5 attempts\n");
    assert_eq!(logbook(&["check"]).stdout, "The logbook is sound.\n");
    let said = logbook(&["forget", "P-07"]);
    assert!(
        said.stdout.starts_with("Forgotten: P-07. 3 recordings"),
        "{}",
        said.stdout
    );
    assert_eq!(logbook(&["forget", "P-07"]).status, 1);
    assert!(logbook(&["list"]).stdout.ends_with("0 recordings\n"));
    let bytes = fs::read(folder.path().join("l.logbook")).unwrap();
    assert!(!bytes.windows(4).any(|window| window == b"P-07"));
}

#[test]
fn an_export_of_columns_needs_a_program_built_for_it() {
    let folder = school("across-parquet");
    let said = folder.run(&[
        "logbook",
        "export",
        "--logbook",
        "l.logbook",
        "--format",
        "parquet",
        "--out",
        "all.parquet",
    ]);
    if stillprop::logbook::PARQUET_BUILT {
        assert_eq!(said.stderr, "wrote all.parquet: 5 attempts\n");
        let bytes = fs::read(folder.path().join("all.parquet")).unwrap();
        assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
    } else {
        said.failed(
            2,
            "error: `--format parquet`: this program was built without `parquet`\n\
             help: build it with `cargo install --path . --features parquet`, or export CSV, which the same engines read",
        );
        assert!(!folder.path().join("all.parquet").exists());
    }
}

/// Runs the program with the folder `data` of `folder` as that of programs' data.
fn with_data(folder: &Folder, args: &[&str]) -> std::process::Output {
    let data = folder.path().join("data");
    std::process::Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .args(args)
        .current_dir(folder.path())
        .envs(["XDG_DATA_HOME", "APPDATA", "HOME"].map(|name| (name, &data)))
        .output()
        .unwrap()
}

#[test]
fn the_usual_logbook_is_kept_once_it_was_started() {
    let folder = Folder::new("across-usual").with_sample("go-around-500-ft.gpx");
    let debrief = ["debrief", "go-around-500-ft.gpx", "--format", "json"];
    let run = |args: &[&str]| {
        let output = with_data(&folder, args);
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (
            output.status.code(),
            text(output.stdout),
            text(output.stderr),
        )
    };
    // nothing is kept that nobody asked for
    let (status, table, said) = run(&debrief);
    assert_eq!(status, Some(0), "{said}");
    assert!(!folder.path().join("data").exists() && !said.contains("keeping"));
    let (status, _, said) = run(&["logbook", "list"]);
    assert_eq!(status, Some(1));
    assert!(said.contains("stillprop logbook start"), "{said}");

    let (status, started, said) = run(&["logbook", "start"]);
    assert_eq!(status, Some(0), "{said}");
    assert!(
        started.contains("From now on `debrief` keeps in it"),
        "{started}"
    );
    let (_, again, _) = run(&["logbook", "start"]);
    assert!(again.ends_with("is there already.\n"), "{again}");

    run(&[&debrief[..], &["--no-logbook"]].concat());
    assert!(run(&["logbook", "list"]).1.ends_with("0 recordings\n"));
    // and once it is kept, the recording is debriefed again all the same
    for _ in 0..2 {
        let (status, printed, said) = run(&debrief);
        assert_eq!(status, Some(0), "{said}");
        assert_eq!(printed, table);
        assert!(said.contains("keeping in the logbook "), "{said}");
    }
    assert!(run(&["logbook", "list"]).1.ends_with("1 recording\n"));
    // a folder goes on where it was
    let (_, summary, _) = run(&["debrief", ".", "--format", "json"]);
    assert!(
        summary.contains("1 in the logbook already and unchanged"),
        "{summary}"
    );
}

#[test]
fn a_usual_logbook_that_cannot_be_used_is_said_with_the_way_without_it() {
    let folder = Folder::new("across-usual-broken").with_sample("go-around-500-ft.gpx");
    let file = if cfg!(windows) || !cfg!(target_os = "macos") {
        "data/stillprop"
    } else {
        "data/Library/Application Support/stillprop"
    };
    fs::create_dir_all(folder.path().join(file)).unwrap();
    let notes = "not a logbook, but long enough to be looked at as one. ".repeat(20);
    fs::write(folder.path().join(file).join("logbook.sqlite"), &notes).unwrap();
    let output = with_data(
        &folder,
        &["debrief", "go-around-500-ft.gpx", "--format", "json"],
    );
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        said.contains("not a logbook of this program")
            && said.contains("`--no-logbook` debriefs without it"),
        "{said}"
    );
}

#[test]
fn a_logbook_that_cannot_be_used_is_said_by_every_command_and_left_alone() {
    let folder = school("across-unusable");
    let path = folder.path().join("l.logbook");
    let whole = fs::read(&path).unwrap();
    let mut damaged = whole.clone();
    for page in 1..damaged.len() / 4096 {
        damaged[4096 * page..4096 * page + 64].fill(0xA5);
    }
    let newer = {
        let other = folder.path().join("newer");
        fs::write(&other, &whole).unwrap();
        let file = rusqlite::Connection::open(&other).unwrap();
        file.pragma_update(None, "user_version", stillprop::logbook::VERSION + 1)
            .unwrap();
        drop(file);
        fs::read(&other).unwrap()
    };
    for (bytes, says, help) in [
        (&damaged, "the logbook is damaged", "nothing was changed"),
        (
            &newer,
            "this program knows forms up to",
            "use the newer version of stillprop",
        ),
    ] {
        fs::write(&path, bytes).unwrap();
        for args in [
            &["fleet"][..],
            &["progress"],
            &["progress", "P-07"],
            &["logbook", "list"],
            &["logbook", "export"],
            &["logbook", "forget", "P-07"],
            &["debrief", "flights", "--format", "json"],
        ] {
            let said = folder.run(&[args, &["--logbook", "l.logbook"]].concat());
            assert_eq!(said.status, 1, "{args:?} {}", said.stderr);
            assert!(
                said.stderr.contains(says) && said.stderr.contains(help),
                "{args:?}: {}",
                said.stderr
            );
        }
        assert!(fs::read(&path).unwrap() == *bytes, "{says}: changed");
    }
}

#[test]
fn a_logbook_that_is_not_there() {
    let folder = Folder::new("across-missing");
    for args in [
        &["fleet", "--logbook", "none.logbook"][..],
        &["progress", "--logbook", "none.logbook"],
        &["logbook", "--logbook", "none.logbook", "forget", "P-07"],
    ] {
        folder.run(args).failed(
            1,
            "error: none.logbook: no such logbook\nhelp: make one with `stillprop debrief FLIGHT... --logbook FILE`",
        );
    }
    assert!(folder.names(".").is_empty());
}

/// Through a shell, which can set limits.
#[cfg(target_os = "linux")]
fn shell(folder: &Folder, script: &str) -> (i32, String) {
    let output = std::process::Command::new("sh")
        .args(["-c", script])
        .env("STILLPROP", env!("CARGO_BIN_EXE_stillprop"))
        .envs(crate::cli::OWN_DATA)
        .current_dir(folder.path())
        .output()
        .unwrap();
    (
        output.status.code().unwrap_or(-1),
        String::from_utf8(output.stderr).unwrap(),
    )
}

#[cfg(target_os = "linux")]
#[test]
fn no_room_for_reports_or_logbook() {
    let folder = school("across-full");
    // files may grow to 60 KiB: the document does not fit, and nothing of it stays
    let (status, said) = shell(
        &folder,
        "trap '' XFSZ; ulimit -f 120; exec \"$STILLPROP\" debrief flights --format html --out small",
    );
    assert_eq!(status, 1, "{said}");
    assert!(said.contains("cannot be written"), "{said}");
    assert!(
        folder.names("small/").is_empty(),
        "{:?}",
        folder.names("small/")
    );
    // nor does the logbook; what it held stays
    let before = folder
        .run(&["logbook", "list", "--logbook", "l.logbook"])
        .stdout;
    let (status, said) = shell(
        &folder,
        "trap '' XFSZ; ulimit -f 8; exec \"$STILLPROP\" debrief flights --seed 5 --format json --out /dev/shm/stillprop-test-none --logbook l.logbook",
    );
    assert_eq!(status, 1, "{said}");
    let after = folder
        .run(&["logbook", "list", "--logbook", "l.logbook"])
        .stdout;
    assert_eq!(before, after);
    assert_eq!(
        folder
            .run(&["logbook", "check", "--logbook", "l.logbook"])
            .stdout,
        "The logbook is sound.\n"
    );
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_only_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let folder = school("across-read-only");
    let inner = folder.path().join("shelf");
    fs::create_dir_all(&inner).unwrap();
    fs::rename(folder.path().join("l.logbook"), inner.join("l.logbook")).unwrap();
    fs::set_permissions(&inner, fs::Permissions::from_mode(0o555)).unwrap();
    fs::set_permissions(inner.join("l.logbook"), fs::Permissions::from_mode(0o444)).unwrap();
    // a root user may write everywhere
    let may_write = fs::write(inner.join("try"), "").is_ok();
    let said = folder.run(&["logbook", "list", "--logbook", "shelf/l.logbook"]);
    assert!(
        said.stdout.ends_with("3 recordings\n"),
        "{} {}",
        said.stdout,
        said.stderr
    );
    if !may_write {
        let said = folder.run(&["debrief", "flights", "--logbook", "shelf/l.logbook"]);
        assert_eq!(said.status, 1);
        assert!(
            said.stderr.contains("may not be written"),
            "{}",
            said.stderr
        );
        let said = folder.run(&["debrief", "flights", "--logbook", "shelf/new.logbook"]);
        assert_eq!(said.status, 1);
        assert!(
            said.stderr.contains("may not be written"),
            "{}",
            said.stderr
        );
    }
    fs::set_permissions(&inner, fs::Permissions::from_mode(0o755)).unwrap();
}
