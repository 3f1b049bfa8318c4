//! The progress documents: `stillprop.progress.v1` of one pilot, `stillprop.progress_overview.v1` of all.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::Measured;

/// The schema name of one pilot's document.
pub const SCHEMA: &str = "stillprop.progress.v1";
/// The schema name of the instructor's overview.
pub const OVERVIEW_SCHEMA: &str = "stillprop.progress_overview.v1";

/// Attempts that a share of the last ones is of; below so many none is given.
pub const LAST: usize = 5;
/// Those attempts count as so many at the least, each by how well it is known, before a share of them is given: five that
/// can just be used.
pub const LEAST_COUNTED: f64 = 2.5;

/// One pilot's measures over time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ProgressReport {
    /// Always [`SCHEMA`].
    pub schema: String,
    /// Program and version that made it.
    pub program: String,
    /// Code.
    pub pilot: String,
    /// Attempts, each counted once.
    pub attempts: u32,
    /// Attempts left out because they are less than nine in ten sure to be one.
    #[serde(default)]
    pub unsure: u32,
    /// First of them, RFC 3339.
    pub first_utc: String,
    /// Last of them.
    pub last_utc: String,
    /// How many ended with a touchdown, a go-around, the end of the recording.
    pub endings: [u32; 3],
    /// Flights they are in.
    #[serde(default)]
    pub flights: u32,
    /// How many flights at most count as the first and as the last; 0 where there are fewer than four.
    pub compared: u32,
    /// The measures that can be flown better or worse, in the order of the tables.
    pub measures: Vec<MeasureProgress>,
    /// Ids of those met most often in the last attempts, best first; floors are not among them.
    pub best: Vec<String>,
    /// Ids of those met least often in the last attempts, worst first.
    pub least: Vec<String>,
    /// What the reader should know before trusting the figures.
    pub warnings: Vec<String>,
    /// The cautions every report carries.
    pub cautions: Vec<String>,
}

/// One measure over time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MeasureProgress {
    /// Id.
    pub measure: String,
    /// What a pilot calls it.
    pub label: String,
    /// Unit.
    pub unit: String,
    /// What is better: `less`, `more` or `nearer_zero`; `at_least` is a floor above which more is not better.
    pub better: String,
    /// What counts as met: at most, at least, or within this, in the unit.
    pub yardstick: f64,
    /// Where the yardstick comes from.
    pub yardstick_source: String,
    /// Attempts in which it was measured.
    pub attempts: u32,
    /// Attempts in which there is no figure because it was not achieved, as best glide that was never held. They count
    /// as not met, and are in no mean and no line.
    #[serde(default)]
    pub not_achieved: u32,
    /// Attempts without a figure for other reasons: they count nowhere.
    #[serde(default)]
    pub not_measured: u32,
    /// Attempts with a figure too uncertain to be used by itself. They count for little, not as whole ones.
    #[serde(default)]
    pub too_wide: u32,
    /// Value and 95 % interval of each, in the order of time.
    pub points: Vec<ProgressPoint>,
    /// Share of the last five attempts within the yardstick, their doubt counted; each counts by how well it is known
    /// (half where it can just be used), and those not achieved are not within.
    pub met_share: Option<f64>,
    /// Why there is no such share.
    #[serde(default)]
    pub met_share_missing: Option<String>,
    /// Mean of the first flights: of the distance from zero, where nearer zero is better, the recorder's noise taken
    /// out. Not measured below four flights, as all that follows.
    pub first: Measured,
    /// Mean of the last flights, likewise.
    pub last: Measured,
    /// Last less first.
    pub difference: Measured,
    /// Probability that the last are better than the first.
    pub probability_better: Option<f64>,
    /// Change over ten attempts along a straight line through the flights.
    pub trend_per_ten: Measured,
    /// `better`, `worse`, `no_change` (none to be told) or `too_few`, after allowing for the number of measures;
    /// `no_direction` where more is neither better nor worse.
    pub course: String,
    /// Probability that the line goes the better way.
    pub probability_improving: Option<f64>,
}

/// One attempt's value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ProgressPoint {
    /// When the power came off, RFC 3339.
    pub utc: String,
    /// Value.
    pub value: f64,
    /// 2.5 % point.
    pub low: f64,
    /// 97.5 % point.
    pub high: f64,
}

/// All pilots in short.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Overview {
    /// Always [`OVERVIEW_SCHEMA`].
    pub schema: String,
    /// Program and version that made it.
    pub program: String,
    /// One for each, in the order of their codes.
    pub pilots: Vec<PilotLine>,
    /// Each measure over all pilots that have a share of it.
    #[serde(default)]
    pub measures: Vec<MeasureLine>,
    /// What the reader should know before trusting the figures.
    pub warnings: Vec<String>,
    /// The cautions every report carries.
    pub cautions: Vec<String>,
}

/// One measure over all pilots.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MeasureLine {
    /// Id.
    pub measure: String,
    /// What is better, as for one pilot.
    pub better: String,
    /// What counts as met, in the unit of the measure.
    pub yardstick: f64,
    /// Pilots with a share of their last attempts.
    pub pilots: u32,
    /// Mean of these shares.
    pub share: Option<f64>,
}

/// One pilot in short.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PilotLine {
    /// Code.
    pub pilot: String,
    /// Attempts.
    pub attempts: u32,
    /// Last of them, RFC 3339.
    pub last_utc: String,
    /// Share of the last attempts within the yardstick, by measure; null where it was not measured.
    pub met_shares: Vec<MetShare>,
    /// Ids of the measures that get better, after allowing for the number of measures of all pilots.
    pub improving: Vec<String>,
    /// Ids of those that get worse, likewise.
    pub worsening: Vec<String>,
}

/// How often a measure is met.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MetShare {
    /// Id.
    pub measure: String,
    /// Share of the last five attempts within the yardstick; none where there are fewer, or they are known too vaguely.
    pub share: Option<f64>,
    /// Attempts that could be counted: with a figure, or not achieved.
    #[serde(default)]
    pub attempts: u32,
}
