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
