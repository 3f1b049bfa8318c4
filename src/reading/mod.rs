//! Stage 1: bytes → [`Recording`]. Knows file formats, no aviation.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One fix as the recorder wrote it. Missing channels are `None`, never zero.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fix {
    /// Seconds since 1970-01-01T00:00:00Z.
    pub utc_s: f64,
    /// Line of the file the fix starts on, from 1.
    pub line: u32,
    /// Track segment within the file: fixes of different segments are not joined.
    pub segment: u32,
    /// Latitude, degrees, WGS 84, −90..90.
    pub latitude_deg: f64,
    /// Longitude, degrees, WGS 84, −180..180.
    pub longitude_deg: f64,
    /// GNSS altitude, m, on the recording's [`AltitudeDatum`].
    pub gnss_altitude_m: Option<f32>,
    /// Pressure altitude, m, standard atmosphere, 1013.25 hPa.
    pub pressure_altitude_m: Option<f32>,
    /// Ground speed, m/s.
    pub ground_speed_mps: Option<f32>,
    /// Direction of motion over the ground, degrees true.
    pub track_deg_true: Option<f32>,
    /// Vertical speed, m/s, up positive.
    pub vertical_speed_mps: Option<f32>,
    /// True airspeed, m/s.
    pub tas_mps: Option<f32>,
    /// Indicated airspeed, m/s.
    pub ias_mps: Option<f32>,
    /// Engine speed, 1/min.
    pub engine_rpm: Option<f32>,
    /// Engine noise level, 0..999 (IGC ENL, or MOP where that is all there is).
    pub engine_noise: Option<f32>,
    /// Flap, degrees.
    pub flap_deg: Option<f32>,
    /// Outside air temperature, °C.
    pub oat_c: Option<f32>,
    /// Bank recorded by an attitude sensor, degrees, right positive.
    pub bank_deg: Option<f32>,
    /// Horizontal accuracy the recorder claims, m (as written; its meaning differs by maker).
    pub accuracy_m: Option<f32>,
}

/// What the recorder says its GNSS altitude is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AltitudeDatum {
    /// Height above mean sea level (the geoid).
    MeanSeaLevel,
    /// Height above the WGS 84 ellipsoid.
    Ellipsoid,
    /// The file does not say.
    Unstated,
}

/// The kind of file, by content.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Format {
    /// GPX 1.0 or 1.1.
    Gpx,
    /// IGC, the FAI flight recorder file.
    Igc,
    /// Delimited text.
    Csv,
}

/// Something marked in the recording (an IGC E record).
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedEvent {
    /// Seconds since 1970-01-01T00:00:00Z.
    pub utc_s: f64,
    /// What was marked, as written.
    pub what: String,
}

/// Something dropped or repaired while reading or cleaning: the result stands, the reader is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Line it was first seen on; 0 where no line can be named.
    pub first_line: u32,
    /// How many times.
    pub count: u32,
    /// How many fixes were dropped for it (0 for a remark).
    pub dropped_fixes: u32,
    /// What it is, in plain words, complete without the numbers above.
    pub what: String,
}

/// One file from a recorder.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Name of the file, for messages.
    pub file_name: String,
    /// The kind of file.
    pub format: Format,
    /// In file order.
    pub fixes: Vec<Fix>,
    /// What GNSS altitudes are measured from.
    pub gnss_datum: AltitudeDatum,
    /// Marks made while recording.
    pub events: Vec<RecordedEvent>,
    /// What was dropped or repaired.
    pub notes: Vec<Note>,
    /// What the recorder says of itself, as label and text.
    pub about: Vec<(String, String)>,
}
