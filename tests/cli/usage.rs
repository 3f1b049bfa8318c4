//! Wrong usage ends with status 2 and does nothing; help and version are results.

use super::program::{Folder, level_cruise};

#[test]
fn help_and_version_go_to_standard_output() {
    let folder = Folder::new("help");
    for args in [
        &["--help"][..],
        &["--version"],
        &["debrief", "--help"],
        &["help", "explain"],
    ] {
        let said = folder.run(args);
        assert_eq!((said.status, said.stderr.as_str()), (0, ""), "{args:?}");
        assert!(said.stdout.contains("stillprop"), "{args:?}");
    }
    assert!(
        folder
            .run(&["debrief", "--help"])
            .stdout
            .contains("flight-1.svg")
    );
}

#[test]
fn the_version_names_that_of_the_methods() {
    let said = Folder::new("version").run(&["--version"]);
    let method = stillprop::debrief::document::METHOD;
    let version = env!("CARGO_PKG_VERSION");
    assert_eq!(
        said.stdout,
        format!("stillprop {version}, methods of version {method}\n")
    );
}

#[test]
fn nothing_at_all_shows_the_help_and_is_wrong_usage() {
    let said = Folder::new("nothing").run(&[]);
    assert!(said.stderr.contains("Usage: stillprop"), "{}", said.stderr);
    assert_eq!((said.status, said.stdout.as_str()), (2, ""));
}

#[test]
fn what_the_program_cannot_do_is_not_accepted() {
    let folder = Folder::new("unknown").with("a.gpx", level_cruise());
    for args in [
        &["frobnicate"][..],
        &["debrief"],
        &["debrief", "a.gpx", "--format", "docx"],
        &["debrief", "a.gpx", "--draws", "3"],
    ] {
        let said = folder.run(args);
        assert_eq!(
            (said.status, said.stdout.as_str()),
            (2, ""),
            "{args:?}: {}",
            said.stderr
        );
    }
    assert!(folder.names("reports").is_empty());
}

#[test]
fn one_report_is_printed_alone() {
    Folder::new("alone")
        .run(&["debrief", "a.gpx", "--out", "-"])
        .failed(
            2,
            "error: `--out -` prints one report, so it needs one `--format`\n\
         help: for the document alone: `--format json --out -`",
        );
    Folder::new("alone-two")
        .run(&[
            "debrief", "a.gpx", "b.gpx", "--format", "json", "--out", "-",
        ])
        .failed(
            2,
            "error: `--out -` prints the report of one recording, but 2 are named\n\
         help: name a folder: `--out reports`",
        );
}

#[test]
fn two_recordings_of_one_name_would_overwrite_each_other() {
    Folder::new("clash")
        .run(&["debrief", "a/x.gpx", "b/x.igc"])
        .failed(
            2,
            "error: the reports of `a/x.gpx` and of `b/x.igc` would both be named `x.svg`\n\
         help: debrief them into different folders with `--out`",
        );
}

#[test]
fn a_recording_in_the_place_of_the_command_is_explained() {
    Folder::new("no-command").run(&["flight.csv"]).failed(
        2,
        "error: `flight.csv` is a file, not a command\n\
         help: to debrief it: `stillprop debrief flight.csv`",
    );
}

#[test]
fn an_aim_may_have_a_space_and_its_latitude_comes_first() {
    let folder = Folder::new("aim").with("a.gpx", level_cruise());
    for aim in [&["51.0, -2.0"][..], &["51.0,", "-2.0"]] {
        let args = [
            &[
                "debrief", "a.gpx", "--out", "-", "--format", "json", "--aim",
            ],
            aim,
        ]
        .concat();
        let said = folder.run(&args);
        assert_eq!(said.status, 3, "{}", said.stderr);
        assert!(said.stdout.contains("\"aim_source\": \"briefing\""));
    }
    let said = folder.run(&["debrief", "a.gpx", "--aim", "-98.3,40.2"]);
    assert_eq!(said.status, 2);
    assert!(
        said.stderr
            .contains("latitude comes first; did you mean --aim 40.2,-98.3?"),
        "{}",
        said.stderr
    );
}

#[test]
fn a_briefing_in_the_place_of_a_recording_is_recognised() {
    for (name, text) in [
        ("a.briefing.toml", "[aim]\nlatitude_deg = 51.0\n"),
        (
            "b.toml",
            "# notes of the day\n\n[aircraft]\nbest_glide_kcas = 68.0\n",
        ),
    ] {
        let said = Folder::new("briefing-as-flight")
            .with(name, text)
            .run(&["debrief", name]);
        assert_eq!(said.status, 1);
        assert!(
            said.stderr.contains("found a briefing") && said.stderr.contains("--briefing"),
            "{}",
            said.stderr
        );
    }
}

#[test]
fn a_recording_in_the_place_of_a_briefing_is_recognised() {
    let folder = Folder::new("flight-as-briefing").with("a.gpx", level_cruise());
    let said = folder.run(&["debrief", "a.gpx", "--briefing", "a.gpx"]);
    assert_eq!(said.status, 1);
    assert!(
        said.stderr
            .contains("a.gpx: expected a briefing, found a recording"),
        "{}",
        said.stderr
    );
}

#[test]
fn completions_and_the_manual_page_are_results() {
    let folder = Folder::new("completions");
    for (shell, sign) in [
        ("bash", "complete -F _stillprop"),
        ("zsh", "#compdef stillprop"),
        ("fish", "complete -c stillprop"),
    ] {
        let said = folder.run(&["completions", shell]);
        assert_eq!((said.status, said.stderr.as_str()), (0, ""), "{shell}");
        assert!(said.stdout.contains(sign), "{shell}: {}", said.stdout);
        assert!(said.stdout.contains("debrief"), "{shell}");
    }
    let said = folder.run(&["man"]);
    assert_eq!((said.status, said.stderr.as_str()), (0, ""));
    assert!(said.stdout.contains(".TH stillprop 1"), "{}", said.stdout);
    for part in [
        "STILLPROP DEBRIEF",
        "\\-\\-format",
        "US\\-commercial\\-PO180",
        "not for navigation",
        ".SH EXAMPLES",
        "STILLPROP LOGBOOK FORGET",
    ] {
        assert!(said.stdout.contains(part), "no {part}");
    }
    // no heading without a name, and no page that is not there
    assert!(!said.stdout.contains("EXTRA") && !said.stdout.contains("(1)"));
}

#[test]
fn every_help_has_examples() {
    let folder = Folder::new("help-examples");
    for command in [
        "debrief",
        "explain",
        "standards",
        "schema",
        "completions",
        "man",
        "compare",
        "fleet",
        "progress",
        "logbook",
        "logbook start",
        "logbook list",
        "logbook show",
        "logbook export",
        "logbook forget",
        "logbook check",
    ] {
        let mut words: Vec<&str> = command.split(' ').collect();
        words.push("--help");
        let said = folder.run(&words);
        assert!(
            said.stdout.contains("Example"),
            "{command}: {}",
            said.stdout
        );
        assert!(
            said.stdout.contains(&format!("stillprop {command}")),
            "{command}"
        );
        assert!(
            !said.stdout.contains('\u{1b}'),
            "{command}: colour without a terminal"
        );
    }
}

#[test]
fn a_time_zone_that_is_none_is_wrong_usage() {
    let folder = Folder::new("zone").with("a.gpx", level_cruise());
    for zone in ["+25:00", "Nowhere/City", "2", "+1:75", ""] {
        let said = folder.run(&["debrief", "a.gpx", "--time", zone]);
        assert_eq!((said.status, said.stdout.as_str()), (2, ""), "{zone}");
        assert!(
            said.stderr
                .contains("expected `utc`, an offset or the name of a time zone"),
            "{}",
            said.stderr
        );
    }
    assert!(folder.names("reports").is_empty());
}

#[test]
fn a_picture_that_was_not_built_in_is_wrong_usage() {
    use stillprop::report::picture::{PDF_BUILT, PNG_BUILT};
    let folder = Folder::new("pictures").with("a.gpx", level_cruise());
    for (format, built) in [("png", PNG_BUILT), ("pdf", PDF_BUILT)] {
        let said = folder.run(&["debrief", "a.gpx", "--format", format]);
        if built {
            assert_eq!(said.status, 3, "{}", said.stderr);
            assert_eq!(folder.names("reports").len(), 1);
            std::fs::remove_dir_all(folder.path().join("reports")).unwrap();
        } else {
            assert_eq!((said.status, said.stdout.as_str()), (2, ""));
            assert!(
                said.stderr.contains(&format!("without `{format}`")),
                "{}",
                said.stderr
            );
            assert!(
                said.stderr.contains(&format!("--features {format}")),
                "{}",
                said.stderr
            );
            assert!(folder.names("reports").is_empty());
        }
    }
}

#[test]
fn a_batch_does_not_count_where_nobody_looks() {
    let folder = Folder::new("counting")
        .with("a.gpx", level_cruise())
        .with("b.gpx", level_cruise());
    let said = folder.run(&["debrief", "a.gpx", "b.gpx", "--format", "json"]);
    assert!(
        !said.stderr.contains("of 2 recordings") && !said.stderr.contains('\u{1b}'),
        "{}",
        said.stderr
    );
}

/// What the program says where `script` of util-linux gives it a terminal, with `no_color` as `NO_COLOR`.
#[cfg(target_os = "linux")]
fn on_a_terminal(command: &str, no_color: Option<&str>) -> String {
    let program = env!("CARGO_BIN_EXE_stillprop");
    let mut script = std::process::Command::new("script");
    script
        .args(["-qec", &format!("'{program}' {command}"), "/dev/null"])
        .env("TERM", "xterm")
        .stdin(std::process::Stdio::null());
    match no_color {
        Some(value) => script.env("NO_COLOR", value),
        None => script.env_remove("NO_COLOR"),
    };
    let said = script.output().expect("`script` of util-linux");
    String::from_utf8(said.stdout).unwrap()
}

#[cfg(target_os = "linux")]
#[test]
fn no_color_takes_all_colour_away_even_on_a_terminal() {
    // SGR, the sequences of ECMA-48 that set colours and weights, end in `m`
    let coloured = |text: &str| {
        text.split("\u{1b}[").skip(1).any(|rest| {
            rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';')
                .starts_with('m')
        })
    };
    assert!(coloured(&on_a_terminal("--help", None)));
    for command in ["--help", "debrief --help", "debrief", "debrief missing.igc"] {
        let said = on_a_terminal(command, Some("1"));
        assert!(!said.is_empty() && !coloured(&said), "{command}: {said:?}");
    }
}
