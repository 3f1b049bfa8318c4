//! The reference flights: recordings flown in an independent flight dynamics library, and what
//! was flown in them. `tests/reference-flights/README.md` says what its files hold.

pub mod motion;
pub mod scoring;
pub mod verdicts;

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use flate2::read::GzDecoder;
use serde::Deserialize;

use super::rows::utc_s;
use motion::Motion;

/// One flight, and what its recorders wrote of it.
#[derive(Debug)]
pub struct Flight {
    /// Seconds since 1970 of the time zero of the flight.
    pub start_utc_s: f64,
    /// What the recorders wrote.
    pub recordings: Vec<Recording>,
    /// What was flown.
    pub attempts: Vec<Attempt>,
    /// How the aeroplane moved about the attempts.
    pub motion: Motion,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FlightFile {
    start_utc: String,
    recording: Vec<Recording>,
    attempt: Vec<Attempt>,
}

/// One recorder's file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recording {
    /// File name.
    pub file: String,
    /// Fixes per second, nominally.
    pub rate_hz: f64,
    /// Time stamps less the time at which the position was true, on the average.
    pub stamps_late_s: f64,
    /// First fix.
    pub first_fix_s: f64,
    /// Last fix.
    pub last_fix_s: f64,
}

/// One attempt as flown; times in seconds of the flight, heights above the aim.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// Middle of the closing of the throttle.
    pub power_reduction_s: f64,
    /// Touchdown or go-around.
    pub end_s: f64,
    /// At the power reduction.
    pub power_reduction_height_ft: f64,
    /// From the power reduction until best glide was held; none if it never was.
    pub settling_time_s: Option<f64>,
    /// Whole turns, where turns were part of the task.
    pub orbits: Option<f64>,
    /// Steepest mean bank over three seconds.
    pub bank_max_deg: Option<f64>,
    /// Lower ends of the bands of 500 ft that the glide went through.
    pub wind_bands_from_ft: Vec<f64>,
    /// Abeam the aim.
    pub abeam: Option<Abeam>,
    /// First touch.
    pub touchdown: Option<Touchdown>,
    /// Power back on.
    pub go_around: Option<GoAround>,
}

/// Abeam the aim.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Abeam {
    /// When.
    pub time_s: f64,
    /// How high.
    pub height_ft: f64,
    /// How far out.
    pub distance_ft: f64,
}

/// First touch.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Touchdown {
    /// When.
    pub time_s: f64,
    /// Beyond the aim.
    pub along_ft: f64,
    /// Right of it.
    pub across_ft: f64,
    /// Over the ground.
    pub ground_speed_kt: f64,
    /// Calibrated airspeed.
    pub cas_kt: f64,
}

/// Power back on.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GoAround {
    /// When.
    pub time_s: f64,
    /// Least height.
    pub height_ft: f64,
}

/// Where the reference flights are.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference-flights")
}

/// Every flight, in the order of their names.
pub fn flights() -> Result<Vec<Flight>, String> {
    let mut names: Vec<PathBuf> = fs::read_dir(folder())
        .map_err(|e| e.to_string())?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| is_flight(path))
        .collect();
    names.sort();
    names
        .iter()
        .map(|path| flight(path).map_err(|e| format!("{}: {e}", path.display())))
        .collect()
}

/// `flight-07.toml`, not `flight-07-a.briefing.toml`.
fn is_flight(path: &Path) -> bool {
    path.file_name()
        .and_then(|name| {
            name.to_str()?
                .strip_prefix("flight-")?
                .strip_suffix(".toml")
        })
        .is_some_and(|number| number.bytes().all(|b| b.is_ascii_digit()))
}

fn flight(path: &Path) -> Result<Flight, String> {
    let text = fs::read_to_string(path).map_err(|e| e.to_string())?;
    let file: FlightFile = toml::from_str(&text).map_err(|e| e.to_string())?;
    let motion = fs::read(path.with_extension("motion.csv.gz")).map_err(|e| e.to_string())?;
    let mut table = String::new();
    GzDecoder::new(motion.as_slice())
        .read_to_string(&mut table)
        .map_err(|e| e.to_string())?;
    Ok(Flight {
        start_utc_s: utc_s(&file.start_utc).ok_or("start_utc: no instant")?,
        recordings: file.recording,
        attempts: file.attempt,
        motion: Motion::read(&table)?,
    })
}

impl Recording {
    /// The file as the recorder wrote it, and the briefing beside it.
    pub fn read(&self) -> Result<(Vec<u8>, String), String> {
        let stem = self.file.split('.').next().unwrap_or_default();
        let briefing = folder().join(format!("{stem}.briefing.toml"));
        Ok((
            fs::read(folder().join(&self.file)).map_err(|e| e.to_string())?,
            fs::read_to_string(briefing).map_err(|e| e.to_string())?,
        ))
    }
}
