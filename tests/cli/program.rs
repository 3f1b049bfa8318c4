//! Runs the program in a folder of its own and looks at all it says.

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Where the program looks for the usual logbook: not where the tester keeps one.
pub(crate) const OWN_DATA: [(&str, &str); 3] = [
    ("XDG_DATA_HOME", env!("CARGO_TARGET_TMPDIR")),
    ("HOME", env!("CARGO_TARGET_TMPDIR")),
    ("APPDATA", env!("CARGO_TARGET_TMPDIR")),
];

/// A folder of one test, empty at the start.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(test: &str) -> Self {
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(test);
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Folder(path)
    }

    pub(crate) fn with(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        fs::write(self.0.join(name), content).unwrap();
        self
    }

    pub(crate) fn with_sample(self, name: &str) -> Self {
        let bytes = fs::read(sample(name)).unwrap();
        self.with(name, bytes)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }

    /// Names of what is in `folder` of it, sorted; nothing where there is no such folder.
    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.0.join(folder)) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    pub(crate) fn run(&self, args: &[&str]) -> Said {
        self.run_with_input(args, b"")
    }

    pub(crate) fn run_with_input(&self, args: &[&str], input: &[u8]) -> Said {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .args(args)
            .current_dir(&self.0)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A program that ends early does not read it all.
        let _ = child.stdin.take().unwrap().write_all(input);
        let output = child.wait_with_output().unwrap();
        Said {
            status: output.status.code().unwrap(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// What the program said and how it ended.
#[derive(Debug)]
pub(crate) struct Said {
    pub(crate) status: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Said {
    /// It failed with `status`, printed nothing, and said exactly `stderr`.
    #[track_caller]
    pub(crate) fn failed(&self, status: i32, stderr: &str) {
        assert_eq!(self.stderr.trim_end(), stderr.trim_end());
        assert_eq!(self.stdout, "");
        assert_eq!(self.status, status);
    }
}

/// Path of a sample recording.
pub(crate) fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-tracks")
        .join(name)
}

/// A GPX of `fixes`: latitude, altitude in metres, seconds after ten o'clock.
pub(crate) fn gpx(fixes: impl IntoIterator<Item = (f64, f64, u32)>) -> String {
    let mut out = String::from(
        "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n",
    );
    for (latitude_deg, altitude_m, second) in fixes {
        let (minute, second) = (second / 60, second % 60);
        let _ = writeln!(
            out,
            "<trkpt lat=\"{latitude_deg}\" lon=\"-2\"><ele>{altitude_m}</ele><time>2026-05-03T10:{minute:02}:{second:02}Z</time></trkpt>"
        );
    }
    out + "</trkseg></trk></gpx>\n"
}

/// Three minutes of level cruise northward at about 60 kt: no attempt in it.
pub(crate) fn level_cruise() -> String {
    gpx((0..180).map(|s| (51.0 + 0.00028 * f64::from(s), 600.0, s)))
}
