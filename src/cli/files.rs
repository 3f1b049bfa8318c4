//! Reading and writing files, with messages that say what to do.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::process;

use super::diagnostic::Diagnostic;
use super::plan::{Flight, Source};
use crate::airfields::Airfields;
use crate::briefing::spelling::nearest;
use crate::reading::ColumnMap;

/// The largest recording read, MiB: ten days at 10 Hz are less.
const LARGEST_RECORDING_MIB: u64 = 512;
/// The largest text file read, MiB: a briefing is a page.
const LARGEST_TEXT_MIB: u64 = 1;

/// The bytes of a recording, as they are.
pub(super) fn read_flight(flight: &Flight) -> Result<Vec<u8>, Diagnostic> {
    match &flight.source {
        Source::StandardInput => {
            read_at_most(io::stdin().lock(), LARGEST_RECORDING_MIB, &flight.shown)
        }
        Source::File(path) => {
            if path.is_dir() {
                return Err(
                    Diagnostic::error(format!("{}: is a folder", flight.shown)).with_help(format!(
                        "name the recordings in it, for example `{}`",
                        path.join("*.gpx").display()
                    )),
                );
            }
            let file = File::open(path).map_err(|error| cannot_open(path, &error))?;
            read_at_most(file, LARGEST_RECORDING_MIB, &flight.shown)
        }
    }
}

/// A briefing or a column map.
pub(super) fn read_text(path: &Path) -> Result<String, Diagnostic> {
    let shown = path.display().to_string();
    if path.is_dir() {
        return Err(Diagnostic::error(format!(
            "{shown}: is a folder, expected a TOML file"
        )));
    }
    let file = File::open(path).map_err(|error| cannot_open(path, &error))?;
    let bytes = read_at_most(file, LARGEST_TEXT_MIB, &shown)?;
    String::from_utf8(bytes).map_err(|error| {
        let readable = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = readable.split(|&byte| byte == b'\n').count();
        Diagnostic::error(format!(
            "{shown}:{line}: expected text in UTF-8, found another encoding"
        ))
        .with_help("save it again as UTF-8")
    })
}

/// A table of runways.
pub(super) fn read_runways(path: &Path) -> Result<Airfields, Diagnostic> {
    let text = read_text(path)?;
    Airfields::read(&text)
        .map_err(|problem| Diagnostic::error(format!("{}:{problem}", path.display())))
}

/// A map of the columns of a CSV recording.
pub(super) fn read_columns(path: &Path) -> Result<ColumnMap, Diagnostic> {
    let text = read_text(path)?;
    ColumnMap::from_toml(&text)
        .map_err(|error| Diagnostic::error(format!("{}: {error}", path.display())))
}

fn read_at_most(from: impl Read, limit_mib: u64, shown: &str) -> Result<Vec<u8>, Diagnostic> {
    let limit = limit_mib << 20;
    let mut bytes = Vec::new();
    from.take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| {
            Diagnostic::error(format!("{shown}: cannot be read: {}", plain(&error)))
        })?;
    if bytes.len() as u64 > limit {
        return Err(Diagnostic::error(format!(
            "{shown}: more than {limit_mib} MiB, more than any such file is"
        )));
    }
    Ok(bytes)
}

fn cannot_open(path: &Path, error: &io::Error) -> Diagnostic {
    let shown = path.display();
    match error.kind() {
        ErrorKind::NotFound => {
            let diagnostic = Diagnostic::error(format!("{shown}: no such file"));
            match alike(path) {
                _ if path.to_string_lossy().contains('*') => {
                    diagnostic.with_help("no file has a name of that pattern")
                }
                Some(near) => diagnostic.with_help(format!("did you mean `{}`?", near.display())),
                None => diagnostic,
            }
        }
        ErrorKind::PermissionDenied => {
            Diagnostic::error(format!("{shown}: may not be read (permission denied)"))
        }
        _ => Diagnostic::error(format!("{shown}: cannot be opened: {}", plain(error))),
    }
}

/// The file in the same folder whose name is nearest.
fn alike(path: &Path) -> Option<PathBuf> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut names: Vec<String> = fs::read_dir(folder)
        .ok()?
        .flatten()
        .take(10_000)
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names.sort_unstable();
    let near = nearest(
        path.file_name()?.to_str()?,
        names.iter().map(String::as_str),
    )?;
    Some(path.with_file_name(near))
}

/// Whether reports can go to `folder`, as far as can be told without touching it.
pub(super) fn check_folder(folder: &Path) -> Result<(), Diagnostic> {
    match fs::metadata(folder) {
        Ok(metadata) if !metadata.is_dir() => Err(Diagnostic::error(format!(
            "{}: is a file, expected a folder for the reports",
            folder.display()
        ))
        .with_help("name another folder with `--out`")),
        _ => Ok(()),
    }
}

/// Writes a file that appears whole or not at all, in a folder made where it is missing.
pub(super) fn write_whole(folder: &Path, name: &str, bytes: &[u8]) -> Result<PathBuf, Diagnostic> {
    let path = folder.join(name);
    if path.is_dir() {
        return Err(Diagnostic::error(format!(
            "{}: is a folder, so the report cannot be written there",
            path.display()
        )));
    }
    let failed = |error: &io::Error| {
        Diagnostic::error(format!(
            "{}: cannot be written: {}",
            path.display(),
            plain(error)
        ))
        .with_help("name another folder with `--out`")
    };
    fs::create_dir_all(folder).map_err(|error| failed(&error))?;
    let unfinished = folder.join(format!(".{name}.{}.part", process::id()));
    let written = File::create(&unfinished)
        .and_then(|mut file| file.write_all(bytes))
        .and_then(|()| fs::rename(&unfinished, &path));
    written.map_err(|error| {
        let _ = fs::remove_file(&unfinished);
        failed(&error)
    })?;
    Ok(path)
}

/// Writes a file piece by piece that appears whole or not at all.
pub(super) fn write_through<T, E: From<io::Error>>(
    path: &Path,
    write: impl FnOnce(&mut io::BufWriter<File>) -> Result<T, E>,
) -> Result<T, E> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let unfinished = path.with_file_name(format!(".{name}.{}.part", process::id()));
    let mut file = io::BufWriter::new(File::create(&unfinished)?);
    let written = write(&mut file).and_then(|value| {
        file.flush()?;
        fs::rename(&unfinished, path)?;
        Ok(value)
    });
    if written.is_err() {
        let _ = fs::remove_file(&unfinished);
    }
    written
}

/// Removes what programs that were killed left unfinished in the folders of the reports.
pub(super) fn remove_abandoned<'a>(folder: &Path, inner: impl Iterator<Item = &'a Path>) {
    let mut folders: Vec<PathBuf> = inner.map(|inner| folder.join(inner)).collect();
    folders.sort();
    folders.dedup();
    for entry in folders.iter().flat_map(fs::read_dir).flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some(process) = name
            .strip_prefix('.')
            .and_then(|name| name.strip_suffix(".part"))
            .and_then(|name| name.rsplit_once('.'))
            .and_then(|(_, id)| id.parse::<u32>().ok())
        else {
            continue;
        };
        if process != process::id() && !may_be_running(process) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Whether a process may be running; where that cannot be told it may be.
fn may_be_running(id: u32) -> bool {
    let processes = Path::new("/proc");
    !processes.join("self").exists() || processes.join(id.to_string()).exists()
}

/// The system's words without its error number.
pub(super) fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    let words = text.split(" (os error").next().unwrap_or(&text);
    words.to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_than_the_limit_is_refused() {
        let error = read_at_most(io::repeat(b'x'), 1, "endless").unwrap_err();
        assert_eq!(
            error.to_string(),
            "error: endless: more than 1 MiB, more than any such file is"
        );
    }

    #[test]
    fn system_errors_are_said_in_words() {
        assert_eq!(
            plain(&io::Error::from_raw_os_error(28)),
            "no space left on device"
        );
    }
}
