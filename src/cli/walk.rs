//! Folders named as FLIGHT: the recordings in them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use super::diagnostic::Diagnostic;
use super::files::plain;
use super::plan::{Flight, Source};

/// Endings of recordings, packed or not.
const ENDINGS: [&str; 3] = ["gpx", "igc", "csv"];
/// Endings of files that stand beside recordings, or that this program writes.
const NO_RECORDING: [&str; 3] = [".events.csv", ".path.gpx", ".path.csv"];
/// Folders in folders are followed so far down: no school's are deeper, and a loop ends.
const DEEPEST: usize = 64;

/// What the named FLIGHTs stand for.
#[derive(Debug, Default)]
pub(super) struct Walked {
    /// Every recording once, in the order of the names.
    pub(super) flights: Vec<Flight>,
    /// Whether a folder was named.
    pub(super) of_folders: bool,
    /// Whether a folder that was named holds no recording.
    pub(super) of_nothing: bool,
    /// Folders that could not be read, and the like.
    pub(super) problems: Vec<Diagnostic>,
}

/// The recordings that `named` stand for; what is below `reports` is left out.
pub(super) fn recordings(named: &[Flight], reports: Option<&Path>) -> Walked {
    let mut walked = Walked::default();
    let reports = reports.and_then(|folder| fs::canonicalize(folder).ok());
    for flight in named {
        match &flight.source {
            Source::File(path) if path.is_dir() => {
                walked.of_folders = true;
                let mut walk = Walk {
                    root: path,
                    reports: reports.as_deref(),
                    seen: BTreeSet::new(),
                    found: Vec::new(),
                };
                walk.folder(path, 0, &mut walked.problems);
                if walk.found.is_empty() {
                    walked.of_nothing = true;
                    walked.problems.push(
                        Diagnostic::warning(format!("{}: holds no recording", path.display()))
                            .with_help(
                                "recordings end in .gpx, .igc or .csv, or one of these and .gz",
                            ),
                    );
                }
                walked.flights.extend(walk.flights());
            }
            _ => walked.flights.push(flight.clone()),
        }
    }
    walked
}

struct Walk<'a> {
    root: &'a Path,
    reports: Option<&'a Path>,
    /// Folders as they really are: a link back to one of them is not followed again.
    seen: BTreeSet<PathBuf>,
    found: Vec<PathBuf>,
}

impl Walk<'_> {
    fn folder(&mut self, folder: &Path, depth: usize, problems: &mut Vec<Diagnostic>) {
        let Ok(real) = fs::canonicalize(folder) else {
            return;
        };
        if depth > DEEPEST || self.reports == Some(&real) || !self.seen.insert(real) {
            return;
        }
        let entries = match fs::read_dir(folder) {
            Ok(entries) => entries,
            Err(error) => {
                problems.push(Diagnostic::error(format!(
                    "{}: cannot be read: {}",
                    folder.display(),
                    plain(&error)
                )));
                return;
            }
        };
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            if name.starts_with('.') {
                continue;
            }
            if path.is_dir() {
                self.folder(&path, depth + 1, problems);
            } else if is_recording(&name) && path.is_file() {
                self.found.push(path);
            }
        }
    }

    fn flights(self) -> Vec<Flight> {
        let mut flights: Vec<Flight> = self
            .found
            .iter()
            .map(|path| {
                let inner = path.strip_prefix(self.root).ok().and_then(Path::parent);
                Flight::in_folder(path, inner.unwrap_or(Path::new("")))
            })
            .collect();
        // `a.gpx` and `a.igc` beside each other: named in full, as neither may replace the other's reports
        let mut names: BTreeMap<(PathBuf, String), usize> = BTreeMap::new();
        for flight in &flights {
            *names.entry(flight.report_place()).or_default() += 1;
        }
        for flight in &mut flights {
            if names[&flight.report_place()] > 1 {
                flight.report_stem = flight.file_name.replace('.', "-");
            }
        }
        flights
    }
}

fn is_recording(name: &str) -> bool {
    let name = name.to_lowercase();
    let unpacked = name.strip_suffix(".gz").unwrap_or(&name);
    let ending = unpacked.rsplit_once('.').map(|(_, ending)| ending);
    ending.is_some_and(|ending| ENDINGS.contains(&ending))
        && !NO_RECORDING.iter().any(|other| unpacked.ends_with(other))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn recordings_are_told_by_their_endings() {
        for name in ["a.gpx", "b.IGC", "c.csv.gz", "d e.Gpx"] {
            assert!(is_recording(name), "{name}");
        }
        for name in [
            "a.briefing.toml",
            "a.events.csv",
            "a.path.gpx",
            "a.path.csv",
            "a.json",
            "csv",
            "a.gz",
        ] {
            assert!(!is_recording(name), "{name}");
        }
    }
}
