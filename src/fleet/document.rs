//! The fleet document; serialises to `stillprop.fleet.v1`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::Measured;

/// The schema name written into every document.
pub const SCHEMA: &str = "stillprop.fleet.v1";

/// What the glides of a logbook say about the aeroplanes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FleetReport {
    /// Always [`SCHEMA`].
    pub schema: String,
    /// Program and version that made it.
    pub program: String,
    /// What a row of `airframes` is: `aircraft`, `type`, `flap` or `month`.
    pub by: String,
    /// Attempts with a glide that could be used.
    pub attempts: u32,
    /// Recordings they are in.
    pub recordings: u32,
    /// One for each airframe (or type, flap setting, month), worst against the others first.
    pub airframes: Vec<Airframe>,
    /// What airframes of one type share.
    pub types: Vec<TypePolar>,
    /// What the reader should know before trusting the figures.
    pub warnings: Vec<String>,
    /// The cautions every report carries.
    pub cautions: Vec<String>,
}

/// One airframe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Airframe {
    /// Registration or school code; what else it is by, where it is not by aircraft.
    pub registration: String,
    /// Type it is compared within.
    pub aircraft_type: String,
    /// Attempts used.
    pub attempts: u32,
    /// Recordings they are in.
    pub recordings: u32,
    /// First of them, RFC 3339.
    pub first_utc: String,
    /// Last of them.
    pub last_utc: String,
    /// Glide ratio through the air at idle, wings level, at best glide speed and reference weight.
    /// The value is drawn towards the others of its type as far as they are alike. The interval holds the truth 95
    /// times in 100 for each airframe, also for one that is like no other; so do those of the figures that follow from it.
    pub glide_ratio: Measured,
    /// The same from its own glides alone, with the polar of the type: what it is drawn from.
    #[serde(default = "not_given")]
    pub glide_ratio_alone: Measured,
    /// Sink through the air there, in the standard air of sea level, ft/min, positive down.
    pub air_sink_rate_fpm: Measured,
    /// Speed it is for, kt calibrated.
    pub best_glide_kcas: Option<f64>,
    /// Weight it is for, lb.
    pub reference_weight_lb: Option<f64>,
    /// Glide ratio of the handbook.
    pub handbook_glide_ratio: Option<f64>,
    /// Glide ratio against the handbook's, %; below zero is worse.
    pub against_handbook_percent: Measured,
    /// Probability that the glide ratio is more than 5 % below the handbook's.
    pub probability_5_percent_below_handbook: Option<f64>,
    /// Glide ratio against the middle one of the others of its type, %; below zero is worse.
    pub against_others_percent: Measured,
    /// Probability that it is more than 2 % off the middle one of the others of its type (where there are
    /// fewer than two others, and by flap: more than 5 % off the handbook).
    pub probability_differs: Option<f64>,
    /// The finding, after allowing for the number of airframes compared: of those said to differ, no more
    /// than one in twenty is expected not to.
    pub differs: bool,
    /// What it differs from: `others` or `handbook`; null where there is neither.
    pub compared_with: Option<String>,
    /// Height wanted abeam, ft.
    pub abeam_target_ft: Option<f64>,
    /// Height abeam that this airframe needs for the pattern that the target fits at the handbook's glide, ft.
    pub abeam_height_needed_ft: Measured,
    /// Month by month.
    pub history: Vec<Month>,
    /// Change of the glide ratio over a year, %; below zero is worse.
    pub trend_percent_per_year: Measured,
    /// Whether there is a trend, after allowing for the number of airframes looked at.
    pub trend_found: bool,
    /// Probability that it is getting worse.
    pub probability_getting_worse: Option<f64>,
    /// The step in its history, where one is found after allowing for the number of airframes looked at.
    pub change: Option<Change>,
}

/// For documents of the first version, which have none.
fn not_given() -> Measured {
    Measured::unknown("this document does not say")
}

/// One month of an airframe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Month {
    /// `2026-05`.
    pub month: String,
    /// Attempts in it.
    pub attempts: u32,
    /// Glide ratio from these alone, with the polar of the type.
    pub glide_ratio: Measured,
}

/// A step in the history of an airframe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Change {
    /// Probability that there was one.
    pub probability: f64,
    /// First attempt of the first recording after the likeliest step, RFC 3339.
    pub utc: String,
    /// Change of the glide ratio, %; below zero is worse.
    pub percent: Measured,
}

/// What the airframes of one type share.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TypePolar {
    /// The type.
    pub name: String,
    /// Airframes in it.
    pub airframes: u32,
    /// Speed that the polar is counted from, kt calibrated at the reference weight.
    pub best_glide_kcas: Option<f64>,
    /// Speed of the best glide ratio as found, kt calibrated at the reference weight; not measured where the
    /// speeds flown say too little.
    pub best_ratio_kcas: Measured,
    /// Drag that turns cost against that of the load factor alone: 1 for turns without any slip.
    pub turning_share: Measured,
    /// Spread of the drag between these airframes, %: root mean square.
    pub between_airframes_percent: Measured,
    /// Spread from one glide to the next beyond what was estimated for each, %: one standard deviation.
    pub between_glides_percent: Measured,
    /// The polar of the middle airframe.
    pub polar: Vec<PolarPoint>,
    /// Slowest and fastest mean speed flown, kt calibrated at the reference weight; beyond, the polar is a guess.
    pub flown_kcas: Option<[f64; 2]>,
}

/// A point of a polar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PolarPoint {
    /// Speed, kt calibrated at the reference weight.
    pub cas_kt: f64,
    /// Glide ratio at idle, wings level.
    pub glide_ratio: Measured,
    /// Sink in the standard air of sea level, ft/min, positive down.
    pub sink_fpm: Measured,
}
