//! The debrief document: what every report is drawn from.
//!
//! Serialises to `stillprop.debrief.v1`. Times are RFC 3339 strings in UTC.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use super::glide_energy::GlideEnergy;
pub use super::reach_document::*;
use crate::quantity::Measured;

pub use super::checklist::{Checklist, ChecklistItem};
pub use crate::grading::{Basis, CriterionGrade, Grade, HandLine, Verdict};

/// The schema name written into every document.
pub const SCHEMA: &str = "stillprop.debrief.v1";

/// Version of the methods: raised with every change that moves a figure, so that a logbook knows which
/// recordings to debrief again.
pub const METHOD: u32 = 1;

/// Reason of the figures of settling where best glide was not achieved: what a pilot is followed by counts it.
pub const BEST_GLIDE_NEVER_HELD: &str = "airspeed never stayed within 5 kt of best glide for 5 s";

impl Debrief {
    /// Whether the recording holds any altitude.
    pub fn holds_altitude(&self) -> bool {
        let channels = &self.recording.channels;
        channels.iter().any(|c| c.ends_with("_altitude"))
    }
}

/// All there is to say about one recording.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Debrief {
    /// Always [`SCHEMA`].
    pub schema: String,
    /// Program and version that made it.
    pub program: String,
    /// The recording.
    pub recording: RecordingSummary,
    /// What the figures were measured against.
    pub reference: Reference,
    /// What the heights rest on, strongest first: `ground`, `qnh`, `geoid`, `recorder`.
    pub height_reference: Vec<String>,
    /// What the reader should know before trusting the figures.
    pub warnings: Vec<String>,
    /// The practice forced landings found, in time order.
    pub attempts: Vec<Attempt>,
    /// Power reductions that are not attempts, each with the reason.
    pub not_attempts: Vec<NotAnAttempt>,
    /// The cautions every report carries.
    pub cautions: Vec<String>,
}

/// What was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RecordingSummary {
    /// File name, without folders.
    pub file: String,
    /// `gpx`, `igc` or `csv`.
    pub format: String,
    /// Fixes used.
    pub fixes: u64,
    /// Fixes dropped.
    pub dropped: u64,
    /// Median rate, fixes per second.
    pub rate_hz: f64,
    /// First fix.
    pub start_utc: String,
    /// Last fix.
    pub end_utc: String,
    /// SHA-256 of the file as read, hexadecimal.
    pub sha256: String,
    /// Channels beyond position that were used, for example `tas`, `engine_rpm`.
    pub channels: Vec<String>,
}

/// Aim, air, aircraft and people as used.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Reference {
    /// Name of the aim.
    pub aim_name: Option<String>,
    /// `briefing`, `touchdown` (found from the recording) or `none`.
    pub aim_source: String,
    /// Latitude of the aim, degrees.
    pub aim_latitude_deg: Option<f64>,
    /// Longitude of the aim, degrees.
    pub aim_longitude_deg: Option<f64>,
    /// Elevation of the aim, ft above mean sea level.
    pub aim_elevation_ft: Option<f64>,
    /// Landing direction, degrees true.
    pub landing_true_deg: Option<f64>,
    /// QNH used, hPa.
    pub qnh_hpa: Option<f64>,
    /// Temperature used at the aim, °C.
    pub temperature_c: Option<f64>,
    /// Registration or school code.
    pub registration: Option<String>,
    /// Type, as the school calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aircraft_type: Option<String>,
    /// Best glide speed at the weight flown, kt calibrated; where the briefing has only a speed to hold, that as it stands.
    pub best_glide_kcas: Option<f64>,
    /// Whether that speed came from the briefing (else it was estimated from the recording).
    pub best_glide_from_briefing: bool,
    /// Best glide speed of the handbook, kt calibrated, before it is brought to the weight flown.
    #[serde(default)]
    pub handbook_best_glide_kcas: Option<f64>,
    /// Glide speed to hold, kt calibrated: what best glide reached and the tolerance count from. The briefing's
    /// `targets.glide_kcas`, else the handbook's best glide speed as printed, else the speed that stands in for it.
    #[serde(default)]
    pub glide_to_hold_kcas: Option<f64>,
    /// Weight the handbook's speed is given for, lb.
    #[serde(default)]
    pub reference_weight_lb: Option<f64>,
    /// Weight flown, lb.
    #[serde(default)]
    pub weight_lb: Option<f64>,
    /// Best glide is held from where CAS comes within this of it, kt …
    #[serde(default)]
    pub held_within_kt: Option<f64>,
    /// … and stays so for this long, s.
    #[serde(default)]
    pub held_for_s: Option<f64>,
    /// Approach speed, kt calibrated.
    pub approach_kcas: Option<f64>,
    /// Handbook glide ratio.
    pub handbook_glide_ratio: Option<f64>,
    /// Height wanted at the abeam point, ft.
    pub abeam_target_ft: Option<f64>,
    /// Tolerance drawn around the glide speed to hold, kt below and above.
    pub speed_band_kt: [f64; 2],
    /// Tolerance on the approach speed on final, kt below and above, where the briefing has that speed.
    #[serde(default)]
    pub approach_band_kt: Option<[f64; 2]>,
    /// Pilot's code.
    pub pilot: Option<String>,
    /// Instructor's code.
    pub instructor: Option<String>,
}

impl Reference {
    /// Glide speed to hold, kt calibrated; of a document that has none, best glide as it was then judged by.
    pub fn to_hold_kcas(&self) -> Option<f64> {
        self.glide_to_hold_kcas.or(self.best_glide_kcas)
    }
}

/// How an attempt ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// The wheels met the ground.
    Touchdown,
    /// Power came back in the air.
    GoAround,
    /// The recording stops first.
    EndOfRecording,
}

/// One practice forced landing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Attempt {
    /// From 1, in time order.
    pub number: u32,
    /// Probability that it is one, 0..1.
    pub confidence: f64,
    /// How it ended.
    pub ending: Ending,
    /// Probability that the wheels met the ground, 0..1; none where the aeroplane never came near it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub touched_probability: Option<f64>,
    /// Instants that matter, in time order.
    pub key_points: Vec<KeyPoint>,
    /// Stretches, in time order.
    pub legs: Vec<Leg>,
    /// The stretch the glide figures are taken from.
    pub steady_glide: Option<Stretch>,
    /// Wind by height, lowest first.
    pub wind: Vec<WindAtHeight>,
    /// Figures by measure id; every id of the catalogue is there.
    pub measures: BTreeMap<String, Measured>,
    /// Verdicts against a standard; null where none was named.
    pub grade: Option<Grade>,
    /// The standard's checklist against the events noted; null without either.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checklist: Option<Checklist>,
    /// Moments at which the aim point went out of reach, came back, or was overflown too high.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub events: Vec<Event>,
    /// Ground within glide at the power reduction, at best glide in this wind, the first turn
    /// included: corners of a polygon, east and north of the aim, ft. Empty where it is not known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub glide_ring_ft: Vec<[f64; 2]>,
    /// Height in hand: what it rests on, what it meant, and what else could have been done.
    #[serde(default)]
    pub in_hand: InHandStory,
    /// Energy balance of the glide, by flap: what glides of one aeroplane are compared by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub glide_energy: Vec<GlideEnergy>,
    /// Remarks on how far the figures of this attempt can be trusted.
    pub remarks: Vec<String>,
    /// The attempt in time steps, for drawing.
    pub series: Series,
}

/// An instant of an attempt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct KeyPoint {
    /// One of `power_reduction`, `best_glide_held`, `overhead`, `abeam`, `base_turn`, `on_final`,
    /// `flare`, `touchdown`, `go_around`, `engine_clearing`.
    pub kind: String,
    /// Probability that there was such a point, 0..1: one that is flown by halves may be one or not.
    #[serde(default = "certain")]
    pub probability: f64,
    /// When.
    pub utc: Measured<String>,
    /// Latitude, degrees (median).
    pub latitude_deg: f64,
    /// Longitude, degrees (median).
    pub longitude_deg: f64,
    /// Distance north of the aim (or of the reference point), ft (median).
    pub north_ft: f64,
    /// Distance east of it, ft (median).
    pub east_ft: f64,
    /// Height above the aim, ft.
    pub height_ft: Measured,
    /// Calibrated airspeed, kt.
    pub cas_kt: Measured,
}

/// The probability of what a document tells without one.
fn certain() -> f64 {
    1.0
}

/// A moment that mattered for reaching the aim point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Event {
    /// One of `out_of_reach`, `back_within_reach`, `last_within_reach`, `too_high`.
    pub kind: String,
    /// When.
    pub utc: Measured<String>,
    /// Height above the aim, ft.
    pub height_ft: Measured,
    /// Probability that it happened, 0..1.
    #[serde(default = "certain")]
    pub probability: f64,
    /// What it means, for a pilot.
    pub words: String,
}

/// A stretch of an attempt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Leg {
    /// One of `settling`, `glide`, `orbit`, `downwind`, `base`, `final`, `flare`, `rollout`.
    pub kind: String,
    /// Start.
    pub from_utc: String,
    /// End.
    pub to_utc: String,
}

/// A stretch of time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Stretch {
    /// Start.
    pub from_utc: String,
    /// End.
    pub to_utc: String,
}

/// Wind at one height above the aim.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WindAtHeight {
    /// Height above the aim, ft.
    pub height_ft: f64,
    /// Direction it blows from, degrees true. The interval may pass through north: then low > high.
    pub from_deg_true: Measured,
    /// Speed, kt.
    pub speed_kt: Measured,
    /// Northward motion of the air, kt.
    pub north_kt: Measured,
    /// Eastward motion of the air, kt.
    pub east_kt: Measured,
}

/// The attempt in equal time steps: medians over the draws, and the 95 % band where it is drawn.
/// All vectors have one length. Starts some seconds before the power reduction.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Series {
    /// Time of each step.
    pub utc: Vec<String>,
    /// Seconds since the power reduction.
    pub elapsed_s: Vec<f64>,
    /// Latitude, degrees.
    pub latitude_deg: Vec<f64>,
    /// Longitude, degrees.
    pub longitude_deg: Vec<f64>,
    /// North of the aim, ft.
    pub north_ft: Vec<f64>,
    /// East of the aim, ft.
    pub east_ft: Vec<f64>,
    /// Height above the aim, ft.
    pub height_ft: Vec<f64>,
    /// 2.5 % point of the height, ft.
    pub height_low_ft: Vec<f64>,
    /// 97.5 % point of the height, ft.
    pub height_high_ft: Vec<f64>,
    /// Calibrated airspeed, kt.
    pub cas_kt: Vec<f64>,
    /// 2.5 % point, kt.
    pub cas_low_kt: Vec<f64>,
    /// 97.5 % point, kt.
    pub cas_high_kt: Vec<f64>,
    /// Geometric descent rate, ft/min, positive down.
    pub descent_rate_fpm: Vec<f64>,
    /// 2.5 % point, ft/min.
    #[serde(default)]
    pub descent_rate_low_fpm: Vec<f64>,
    /// 97.5 % point, ft/min.
    #[serde(default)]
    pub descent_rate_high_fpm: Vec<f64>,
    /// Ground speed, kt.
    pub ground_speed_kt: Vec<f64>,
    /// Bank, degrees, right positive, coordinated-turn estimate.
    pub bank_deg: Vec<f64>,
    /// Height in hand, ft.
    pub height_in_hand_ft: Vec<Option<f64>>,
    /// 2.5 % point of it, ft.
    #[serde(default)]
    pub height_in_hand_low_ft: Vec<Option<f64>>,
    /// 97.5 % point of it, ft.
    #[serde(default)]
    pub height_in_hand_high_ft: Vec<Option<f64>>,
    /// From when to when the recording has no fix and the path is bridged, seconds since the power reduction; long
    /// gaps only.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bridged_s: Vec<[f64; 2]>,
}

/// A power reduction that is not an attempt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NotAnAttempt {
    /// When the power came off.
    pub utc: String,
    /// Height above the aim then, ft.
    pub height_ft: f64,
    /// Probability that it was an attempt after all.
    pub confidence: f64,
    /// Why it is not counted.
    pub reason: String,
}
