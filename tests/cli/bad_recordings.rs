//! Recordings that cannot be read: what was found, and what to do.

use super::program::{Folder, gpx, level_cruise};

#[test]
fn an_empty_file_is_said_to_be_empty() {
    Folder::new("empty").with("a.gpx", "").run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.gpx: the file is empty\n\
         help: copy the file from the recorder again; an empty file is often a card taken out while it was written",
    );
}

#[test]
fn empty_standard_input_is_said_to_be_empty() {
    let said = Folder::new("empty-stdin").run(&["debrief", "-"]);
    assert!(
        said.stderr
            .starts_with("error: standard input: the file is empty\n"),
        "{}",
        said.stderr
    );
    assert_eq!(said.status, 1);
}

#[test]
fn a_missing_file_brings_the_nearest_name() {
    Folder::new("missing")
        .with("flight.gpx", "")
        .run(&["debrief", "fligth.gpx"])
        .failed(
            1,
            "error: fligth.gpx: no such file\nhelp: did you mean `flight.gpx`?",
        );
}

#[test]
fn a_pattern_that_matched_nothing_is_explained() {
    Folder::new("pattern").run(&["debrief", "*.igc"]).failed(
        1,
        "error: *.igc: no such file\nhelp: no file has a name of that pattern",
    );
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read_is_said_so() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("permission").with("a.gpx", level_cruise());
    let path = folder.path().join("a.gpx");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    if std::fs::read(&path).is_ok() {
        return; // the super-user reads everything
    }
    folder
        .run(&["debrief", "a.gpx"])
        .failed(1, "error: a.gpx: may not be read (permission denied)");
}

#[test]
fn another_format_under_a_right_name_is_recognised() {
    Folder::new("json").with("a.gpx", "{\"type\": \"FeatureCollection\"}").run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.gpx:1:1: expected a recording (GPX, IGC or delimited text), found a JSON document\n\
         help: GeoJSON and its like have no agreed place for times: export as GPX or CSV",
    );
}

#[test]
fn a_binary_file_is_recognised() {
    Folder::new("binary")
        .with("a.igc", b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0".repeat(50))
        .run(&["debrief", "a.igc"])
        .failed(
            1,
            "error: a.igc: expected a recording (GPX, IGC or delimited text), found a binary file\n\
         help: export the flight as GPX, IGC or CSV",
        );
}

#[test]
fn a_track_without_times_cannot_be_measured() {
    let text = "<gpx><trk><trkseg><trkpt lat=\"51\" lon=\"-2\"/><trkpt lat=\"51.1\" lon=\"-2\"/></trkseg></trk></gpx>";
    Folder::new("no-times").with("a.gpx", text).run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.gpx:1:19: 2 positions, none with a time; without times nothing can be measured\n\
         help: export the track with its time stamps; many programs drop them when a track is simplified",
    );
}

#[test]
fn a_single_fix_is_no_flight() {
    Folder::new("one-fix").with("a.gpx", gpx([(51.0, 300.0, 0)])).run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.gpx: 1 usable fix; a flight cannot be told from less than two\n\
         help: check that the recorder was recording, not only marking a place, and that the whole file was copied",
    );
}

#[test]
fn a_recorder_that_never_moved_is_said_so() {
    Folder::new("still").with("a.gpx", gpx((0..60).map(|s| (51.0, 300.0, s)))).run(&["debrief", "a.gpx"]).failed(
        1,
        "error: a.gpx: the recorder never moved: 60 fixes within 0 m, over 59 s\n\
         help: this may be the recording of another day or a part of one, or the recorder had no reception after it was switched on",
    );
}

#[test]
fn one_bad_file_does_not_stop_the_others() {
    let folder = Folder::new("one-bad")
        .with("a.gpx", "")
        .with("b.gpx", level_cruise());
    let said = folder.run(&["debrief", "a.gpx", "b.gpx", "c.gpx", "--format", "json"]);
    assert!(
        said.stderr.contains("error: a.gpx: the file is empty"),
        "{}",
        said.stderr
    );
    assert!(
        said.stderr.contains("error: c.gpx: no such file"),
        "{}",
        said.stderr
    );
    assert!(said.stdout.starts_with("b.gpx: "), "{}", said.stdout);
    assert_eq!(folder.names("reports"), ["b.json"]);
    assert_eq!(said.status, 1);
}
