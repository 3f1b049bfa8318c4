//! Files that cannot be used: what the user is told about each.

use super::{folder, read_and_clean};

/// File, first line of the message, what the line of help must hold.
const MESSAGES: [(&str, &str, &str); 25] = [
    (
        "empty.igc",
        "empty.igc: the file is empty",
        "copy the file from the recorder again",
    ),
    (
        "blank.csv",
        "blank.csv: the file is empty",
        "copy the file from the recorder again",
    ),
    (
        "web-page.gpx",
        "web-page.gpx:1:1: expected a recording (GPX, IGC or delimited text), found a web page (HTML)",
        "download the recording itself",
    ),
    (
        "archive.igc",
        "archive.igc: expected a recording (GPX, IGC or delimited text), found a ZIP archive (KMZ and spreadsheets are such too)",
        "unpack it",
    ),
    (
        "report.gpx",
        "report.gpx: expected a recording (GPX, IGC or delimited text), found a PDF document",
        "the recording itself",
    ),
    (
        "activity.fit",
        "activity.fit: expected a recording (GPX, IGC or delimited text), found a FIT file (binary)",
        "export the flight as GPX, IGC or CSV",
    ),
    (
        "places.kml",
        "places.kml:2:1: expected a recording (GPX, IGC or delimited text), found a KML document",
        "as GPX",
    ),
    (
        "noise.csv",
        "noise.csv: expected a recording (GPX, IGC or delimited text), found a binary file",
        "export the flight as GPX, IGC or CSV",
    ),
    (
        "sentences.nmea",
        "sentences.nmea:1:1: expected a recording (GPX, IGC or delimited text), found NMEA 0183 sentences",
        "convert them to GPX",
    ),
    (
        "route.gpx",
        "route.gpx:2:43: 2 route points, none with a time; a planned route cannot be measured",
        "(`<trk>`)",
    ),
    (
        "waypoints.gpx",
        "waypoints.gpx:1:38: 1 waypoint and no track; single places cannot be measured",
        "(`<trk>`)",
    ),
    (
        "no-times.gpx",
        "no-times.gpx:4:1: 2 positions, none with a time; without times nothing can be measured",
        "with its time stamps",
    ),
    (
        "no-points.gpx",
        "no-points.gpx:2:1: no fixes: a GPX document without a track point",
        "check that the recorder had position reception",
    ),
    (
        "clock-never-set.gpx",
        "clock-never-set.gpx:4:55: no usable fix: 5 refused, most for: date outside 1980 to 2100",
        "look at the line named",
    ),
    (
        "exchanged.gpx",
        "exchanged.gpx:4:13: no usable fix: 2 refused, most for: latitude outside -90 to 90 degrees",
        "latitude and longitude may be exchanged",
    ),
    (
        "no-position.csv",
        "no-position.csv:1:1: no longitude column; found `time`, `lat`, `height`",
        "`longitude = \"your column\"`",
    ),
    (
        "no-time.csv",
        "no-time.csv:1:1: no time column; found `lat`, `lon`, `altitude_m`",
        "`time = \"your column\"`",
    ),
    (
        "no-names.csv",
        "no-names.csv:1:1: expected a line of column names, found `1795515330,51.5,-0.4,300`",
        "put a line of column names first",
    ),
    (
        "names-only.csv",
        "names-only.csv:1:1: no fixes: a line of column names without rows behind it",
        "check that the recorder had position reception",
    ),
    (
        "all-damaged.csv",
        "all-damaged.csv:2:22: no usable fix: 2 refused, most for: latitude or longitude is not a number",
        "look at the line named",
    ),
    (
        "no-fixes.igc",
        "no-fixes.igc: no fixes: an IGC file without a B record",
        "check that the recorder had position reception",
    ),
    (
        "all-damaged.igc",
        "all-damaged.igc:3:8: no usable fix: 2 refused, most for: B record with damaged latitude (expected DDMMmmm then N or S in columns 8 to 15)",
        "look at the line named",
    ),
    (
        "cut-gzip.igc.gz",
        "cut-gzip.igc.gz: the packed (gzip) file is damaged: nothing could be unpacked",
        "copy the file again",
    ),
    (
        "one-fix.igc",
        "one-fix.igc: 1 usable fix; a flight cannot be told from less than two",
        "check that the recorder was recording",
    ),
    (
        "never-moved.igc",
        "never-moved.igc: the recorder never moved: 30 fixes within 0 m, over 29 s",
        "the recording of another day",
    ),
];

#[test]
fn each_bad_file_is_told_apart_and_helped() {
    for (name, message, help) in MESSAGES {
        let error = read_and_clean(&folder("bad-tracks").join(name)).unwrap_err();
        let (first, second) = error.split_once('\n').unwrap();
        assert_eq!(first, message);
        assert!(
            second.starts_with("help: ") && second.contains(help),
            "{name}: {second}"
        );
        assert!(!second.contains('\n'), "{name}: {second}");
    }
}

#[test]
fn every_bad_file_is_in_the_table() {
    for entry in std::fs::read_dir(folder("bad-tracks")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(
            MESSAGES.iter().any(|(known, _, _)| *known == name),
            "{name}"
        );
    }
}
