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
        .envs(crate::cli::OWN_DATA)
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

/// Runs the program through `sh` with `before` done first, and gives its output.
#[cfg(unix)]
fn run_after(folder: &Folder, before: &str, args: &str) -> std::process::Output {
    let program = env!("CARGO_BIN_EXE_stillprop");
    std::process::Command::new("sh")
        .args(["-c", &format!("{before}; exec '{program}' {args}")])
        .envs(crate::cli::OWN_DATA)
        .current_dir(folder.path())
        .output()
        .unwrap()
}

#[cfg(unix)]
#[test]
fn a_report_that_cannot_be_finished_leaves_the_old_one() {
    // Files may not grow beyond 4 KiB (8 blocks of 512 bytes), and the signal for it is ignored: the write fails midway.
    let folder = Folder::new("out-limit").with_sample("two-orbits-avionics.csv");
    std::fs::create_dir(folder.path().join("reports")).unwrap();
    let old = folder.path().join("reports/two-orbits-avionics.json");
    std::fs::write(&old, "old").unwrap();
    let output = run_after(
        &folder,
        "trap '' XFSZ; ulimit -f 8",
        "debrief two-orbits-avionics.csv --format json --quiet",
    );
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(
        said.contains("two-orbits-avionics.json: cannot be written: file too large")
            && said.contains("help: name another folder with `--out`"),
        "{said}"
    );
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "old");
    assert_eq!(folder.names("reports"), ["two-orbits-avionics.json"]);
}

#[cfg(unix)]
#[test]
fn a_program_killed_while_it_writes_leaves_the_old_report() {
    use std::os::unix::process::ExitStatusExt;
    // The same with the signal left as it is: it ends the program in the middle of the file.
    let folder = Folder::new("out-killed").with_sample("two-orbits-avionics.csv");
    std::fs::create_dir(folder.path().join("reports")).unwrap();
    let old = folder.path().join("reports/two-orbits-avionics.json");
    std::fs::write(&old, "old").unwrap();
    let output = run_after(
        &folder,
        "ulimit -c 0; ulimit -f 8",
        "debrief two-orbits-avionics.csv --format json --quiet",
    );
    assert!(output.status.signal().is_some(), "{output:?}");
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "old");
    let halves = folder.names("reports");
    assert!(
        halves.iter().all(|name| name == "two-orbits-avionics.json"
            || (name.starts_with('.') && name.split('.').next_back() == Some("part"))),
        "{halves:?}"
    );
}

#[test]
fn a_program_killed_at_any_time_leaves_whole_reports() {
    let folder = Folder::new("out-killed-any").with("a.gpx", level_cruise());
    let run = || {
        std::process::Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .args(["debrief", "a.gpx", "--quiet"])
            .current_dir(folder.path())
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap()
    };
    let _ = run().wait().unwrap();
    let reports = ["a.svg", "a.html", "a.json"];
    let whole: Vec<Vec<u8>> = reports
        .map(|name| std::fs::read(folder.path().join("reports").join(name)).unwrap())
        .to_vec();
    for milliseconds in (0..200).step_by(8) {
        for name in reports {
            std::fs::write(folder.path().join("reports").join(name), "old").unwrap();
        }
        let mut child = run();
        std::thread::sleep(std::time::Duration::from_millis(milliseconds));
        let _ = child.kill();
        let _ = child.wait();
        for (name, whole) in reports.iter().zip(&whole) {
            let found = std::fs::read(folder.path().join("reports").join(name)).unwrap();
            assert!(
                found == b"old" || found == *whole,
                "{name}: {} of {} bytes after {milliseconds} ms",
                found.len(),
                whole.len()
            );
        }
    }
}

/// A file system of a few pages, gone when dropped.
#[cfg(target_os = "linux")]
pub(super) struct SmallDisk(std::path::PathBuf);

#[cfg(target_os = "linux")]
impl SmallDisk {
    /// Mounts one at `path`; the reason where that cannot be done.
    pub(super) fn mounted(path: std::path::PathBuf, options: &str) -> Result<Self, String> {
        std::fs::create_dir_all(&path).unwrap();
        let output = std::process::Command::new("mount")
            .args(["-t", "tmpfs", "-o", options, "tmpfs"])
            .arg(&path)
            .output()
            .map_err(|error| error.to_string())?;
        if output.status.success() {
            Ok(SmallDisk(path))
        } else {
            Err(String::from_utf8_lossy(&output.stderr).into_owned())
        }
    }
}

#[cfg(target_os = "linux")]
impl SmallDisk {
    /// Makes it larger.
    pub(super) fn grow(&self, size: &str) {
        let output = std::process::Command::new("mount")
            .args(["-o", &format!("remount,size={size}")])
            .arg(&self.0)
            .output()
            .unwrap();
        assert!(output.status.success(), "{output:?}");
    }
}

#[cfg(target_os = "linux")]
impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = std::process::Command::new("umount").arg(&self.0).output();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_leaves_the_old_report() {
    let folder = Folder::new("out-full-disk").with_sample("two-orbits-avionics.csv");
    let _disk = match SmallDisk::mounted(folder.path().join("reports"), "size=16k") {
        Ok(disk) => disk,
        Err(reason) => {
            println!("not tested: a small disk cannot be mounted here: {reason}");
            return;
        }
    };
    let old = folder.path().join("reports/two-orbits-avionics.json");
    std::fs::write(&old, "old").unwrap();
    let said = folder.run(&[
        "debrief",
        "two-orbits-avionics.csv",
        "--format",
        "json",
        "--quiet",
    ]);
    assert_eq!(said.status, 1, "{}", said.stderr);
    assert!(
        said.stderr
            .contains("two-orbits-avionics.json: cannot be written: no space left on device"),
        "{}",
        said.stderr
    );
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "old");
    assert_eq!(folder.names("reports"), ["two-orbits-avionics.json"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_read_only_disk_is_said() {
    let folder = Folder::new("out-read-only").with("a.gpx", level_cruise());
    let _disk = match SmallDisk::mounted(folder.path().join("reports"), "size=16k,ro") {
        Ok(disk) => disk,
        Err(reason) => {
            println!("not tested: a read-only disk cannot be mounted here: {reason}");
            return;
        }
    };
    let said = folder.run(&["debrief", "a.gpx", "--quiet"]);
    assert_eq!(said.status, 1, "{}", said.stderr);
    assert!(
        said.stderr
            .contains("error: reports/a.svg: cannot be written: read-only file system"),
        "{}",
        said.stderr
    );
}

#[cfg(unix)]
#[test]
fn a_folder_without_the_right_to_write_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("out-no-right").with("a.gpx", level_cruise());
    let reports = folder.path().join("reports");
    std::fs::create_dir(&reports).unwrap();
    std::fs::set_permissions(&reports, std::fs::Permissions::from_mode(0o555)).unwrap();
    let is_root = std::fs::write(reports.join("probe"), "").is_ok();
    let said = folder.run(&["debrief", "a.gpx", "--quiet"]);
    std::fs::set_permissions(&reports, std::fs::Permissions::from_mode(0o755)).unwrap();
    if is_root {
        println!("not tested: the super-user writes everywhere");
        return;
    }
    assert_eq!(said.status, 1);
    assert!(
        said.stderr.contains("cannot be written: permission denied"),
        "{}",
        said.stderr
    );
}
