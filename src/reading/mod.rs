//! Stage 1: bytes → [`Recording`]. Knows file formats, no aviation.
//!
//! Real files are bad: what can be read is read, what was dropped is counted and
//! said in [`Note`]s, what cannot be read is a [`ReadError`] that says what to do.
//! Nothing in a file makes this stage panic, and a value that is not there is `None`.

mod channel;
mod clock;
mod collect;
mod csv;
mod decompress;
mod detect;
mod error;
mod gpx;
mod igc;
mod note;
mod number;
mod place;
mod plausible;
mod text;

pub use self::csv::ColumnMap;
pub use self::error::{ColumnMapError, ReadError, ReadProblem};

pub(crate) use self::note::Notes;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use self::collect::Collector;
use self::error::Located;
use self::place::Place;

/// What the user may say about how a file is to be read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadOptions {
    /// Which columns of a delimited text hold what; names are guessed where it is silent.
    pub columns: ColumnMap,
}

/// Reads one file from a recorder: GPX, IGC or delimited text, packed with gzip or not.
///
/// The kind of file is told by its content; `file_name` is for messages (and for the
/// date of an IGC file that has none).
///
/// # Errors
///
/// A file that is none of these, or holds no usable fix; the message says what was
/// found and what to do. Files with damage are no error: see [`Recording::notes`].
///
/// # Example
///
/// ```
/// use stillprop::reading::{ReadOptions, read};
/// let csv = b"utc,lat_deg,lon_deg,alt_msl_ft\n2026-05-03T10:21:40Z,51.0,-2.0,310\n";
/// let recording = read(csv, "flight.csv", &ReadOptions::default())?;
/// assert_eq!(recording.fixes[0].gnss_altitude_m, Some(94.488));
/// # Ok::<(), stillprop::reading::ReadError>(())
/// ```
pub fn read(bytes: &[u8], file_name: &str, options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut notes = Notes::default();
    try_read(bytes, file_name, options, &mut notes).map_err(|located| ReadError {
        file_name: file_name.to_owned(),
        line: located.place.line,
        column: located.place.column,
        problem: located.problem,
    })
}

fn try_read(
    bytes: &[u8],
    file_name: &str,
    options: &ReadOptions,
    notes: &mut Notes,
) -> Result<Recording, Located> {
    let bytes = decompress::unpack(bytes, notes)?;
    detect::refuse_binary(&bytes)?;
    let text = text::decode(&bytes);
    let format = detect::format(&text)?;
    // Bytes of a fix in each format, to make room at once.
    let bytes_per_fix = match format {
        Format::Gpx => 110,
        Format::Igc => 40,
        Format::Csv => 60,
    };
    let mut collector = Collector::new(std::mem::take(notes), text.len() / bytes_per_fix);
    match format {
        Format::Gpx => gpx::read(&text, &mut collector),
        Format::Igc => igc::read(&text, file_name, &mut collector),
        Format::Csv => csv::read(&text, &options.columns, &mut collector),
    }?;
    if collector.fixes.is_empty() {
        let chief = collector.notes.chief();
        let place = chief.map_or_else(Place::default, |n| Place {
            line: n.first_line,
            column: n.first_column,
        });
        let chief_reason = chief.map_or_else(|| "unknown".to_owned(), |n| n.what.clone());
        return Err(ReadProblem::AllRefused {
            dropped: collector.notes.dropped_fixes(),
            chief_reason,
        }
        .at(place));
    }
    plausible::check(&mut collector);
    Ok(Recording {
        file_name: file_name.to_owned(),
        format,
        fixes: collector.fixes,
        gnss_datum: collector.gnss_datum,
        events: collector.events,
        notes: collector.notes.into_list(),
        about: collector.about,
    })
}

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
    /// Column (character of that line), from 1; 0 where none can be named.
    pub first_column: u32,
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
