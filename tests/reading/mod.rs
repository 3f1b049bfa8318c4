//! Reading and cleaning, from bytes to a clean track.

mod bad_tracks;
mod fixtures;

use std::path::{Path, PathBuf};

use stillprop::cleaning::{CleanTrack, clean};
use stillprop::reading::{ReadOptions, Recording, read};

/// A folder beside this program's source.
fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(name)
}

/// Reads and cleans a file; the error in the words a user meets.
fn read_and_clean(path: &Path) -> Result<(Recording, CleanTrack), String> {
    let bytes = std::fs::read(path).map_err(|e| e.to_string())?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let recording = read(&bytes, &name, &ReadOptions::default()).map_err(|e| e.to_string())?;
    let track = clean(&recording).map_err(|e| e.to_string())?;
    Ok((recording, track))
}
