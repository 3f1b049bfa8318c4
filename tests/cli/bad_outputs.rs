//! Reports that cannot be written: nothing half-written stays behind.

use super::program::{Folder, level_cruise};

#[test]
fn a_file_where_the_folder_should_be_stops_before_reading() {
    let folder = Folder::new("out-file")
        .with("a.gpx", level_cruise())
        .with("reports", "");
    folder.run(&["debrief", "a.gpx"]).failed(
        1,
        "error: reports: is a file, expected a folder for the reports\nhelp: name another folder with `--out`",
    );
}

#[test]
fn a_folder_where_a_report_should_be_is_said_so() {
    let folder = Folder::new("out-folder").with("a.gpx", level_cruise());
    std::fs::create_dir_all(folder.path().join("reports/a.json")).unwrap();
    let said = folder.run(&["debrief", "a.gpx", "--format", "json", "--quiet"]);
    said.failed(
        1,
        "error: reports/a.json: is a folder, so the report cannot be written there",
    );
    assert_eq!(folder.names("reports"), ["a.json"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_written_is_said_once() {
    let folder = Folder::new("out-denied").with("a.gpx", level_cruise());
    let said = folder.run(&["debrief", "a.gpx", "--out", "/proc/reports", "--quiet"]);
    assert!(
        said.stderr
            .starts_with("error: /proc/reports/a.svg: cannot be written: "),
        "{}",
        said.stderr
    );
    assert_eq!(said.stderr.matches("error: ").count(), 1, "{}", said.stderr);
    assert_eq!(said.status, 1);
}

#[test]
fn reports_replace_those_of_an_earlier_run() {
    let folder = Folder::new("out-again").with("a.gpx", level_cruise());
    let args = ["debrief", "a.gpx", "--format", "json", "--out", "may/first"];
    assert_eq!(folder.run(&args).status, 3);
    std::fs::write(folder.path().join("may/first/a.json"), "old").unwrap();
    assert_eq!(folder.run(&args).status, 3);
    let text = std::fs::read_to_string(folder.path().join("may/first/a.json")).unwrap();
    assert!(text.starts_with('{'));
    assert_eq!(folder.names("may/first"), ["a.json"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_standard_output_is_an_error() {
    let folder = Folder::new("out-full").with("a.gpx", level_cruise());
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .args([
            "debrief", "a.gpx", "--format", "json", "--out", "-", "--quiet",
        ])
        .current_dir(folder.path())
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no space left"));
}
