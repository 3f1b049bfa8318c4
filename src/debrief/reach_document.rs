//! The part of the document about height in hand: what reach rests on, what it meant at each moment,
//! and what else could have been done.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::Measured;

/// Height in hand and what follows from it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct InHandStory {
    /// What the reach model took for granted, as sentences.
    pub rests_on: Vec<String>,
    /// Height in hand at each event of the briefing, and at each change of recorded flap.
    pub at_events: Vec<AtEvent>,
    /// Flap or a slip told from the drag alone: a probability, never a fact.
    pub drag_change: Option<DragChange>,
    /// Dangers on the slow side, in time order.
    pub dangers: Vec<SlowDanger>,
    /// Where the touchdown would be, judged at several moments, in time order.
    pub projections: Vec<Projection>,
    /// The orbits that would have led abeam at the height wanted.
    pub height_plan: Option<HeightPlanned>,
    /// Seconds from the power reduction to each key point and event, in time order.
    pub time_budget: Vec<TimeTo>,
    /// Other places to land, as in the briefing.
    pub fields: Vec<FieldWithin>,
    /// The ground within glide at the power reduction, latitude and longitude of each corner, degrees.
    pub within_glide_deg: Vec<[f64; 2]>,
}

/// Height in hand when something happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AtEvent {
    /// When.
    pub utc: String,
    /// What, in the user's words.
    pub what: String,
    /// `flap` or `other`.
    pub kind: String,
    /// `briefing` or `recording`.
    pub source: String,
    /// Time from the power reduction, s.
    pub elapsed_s: Measured,
    /// Height above the aim, ft.
    pub height_ft: Measured,
    /// Height in hand, ft.
    pub height_in_hand_ft: Measured,
    /// Probability that the aim point was within reach then, 0..1; null where it is not known.
    pub assured_probability: Option<f64>,
    /// What it means, for a pilot.
    pub words: String,
}

/// A rise of the drag that flap or a slip would explain.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DragChange {
    /// Probability that there was one, 0..1.
    pub probability: f64,
    /// When, if there was one.
    pub utc: Measured<String>,
    /// By how much the drag rose, percent of the clean drag.
    pub rise_percent: Measured,
    /// What it means, for a pilot.
    pub words: String,
}

/// A danger on the slow side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SlowDanger {
    /// `stretching`, `slow_turn`, `steep_turn` or `slow_with_full_flap`.
    pub kind: String,
    /// Probability, 0..1.
    pub probability: f64,
    /// From when.
    pub from_utc: Measured<String>,
    /// For how long, s.
    pub lasted_s: Measured,
    /// The worst of it: slowest airspeed in kt, least stall margin (share of the approach speed at that bank where
    /// the briefing has no stall speed), or greatest bank in degrees.
    pub worst: Measured,
    /// What it means, for a student.
    pub words: String,
}

/// Where the touchdown would be, judged at one moment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Projection {
    /// `abeam`, `500_ft`, `on_final` or `last_of_glide`.
    pub judged_at: String,
    /// When.
    pub utc: Measured<String>,
    /// Height above the aim then, ft.
    pub height_ft: Measured,
    /// Touchdown along the landing direction, ft beyond the aim.
    pub along_ft: Measured,
    /// How far it moved since the projection before, ft; null for the first.
    pub moved_ft: Option<Measured>,
}

/// Orbits, height and bank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeightPlanned {
    /// Height there was for orbits, between the power reduction and the height wanted abeam, ft.
    pub for_orbits_ft: Measured,
    /// Height lost in the orbits flown, ft.
    pub flown_ft: Measured,
    /// Height of one orbit by bank, as this aeroplane glided.
    pub orbits: Vec<OrbitHeight>,
    /// Whole orbits that would have fitted; null where none would.
    pub orbits_planned: Option<u32>,
    /// Their bank, degrees.
    pub bank_deg: Measured,
    /// Height overhead from which that many orbits at 30 degrees, and the way abeam as flown, lead to
    /// the height wanted, ft.
    pub overhead_height_ft: Measured,
    /// The plan, for a pilot.
    pub words: String,
}

/// Height of one orbit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OrbitHeight {
    /// Bank, degrees.
    pub bank_deg: f64,
    /// Height lost, ft.
    pub height_ft: Measured,
}

/// Seconds to something.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TimeTo {
    /// A kind of key point, or the user's words.
    pub what: String,
    /// `key_point` or `event`.
    pub kind: String,
    /// Time from the power reduction, s.
    pub elapsed_s: Measured,
}

/// A field within glide, or not.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FieldWithin {
    /// Name.
    pub name: String,
    /// Latitude, degrees.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// East of the aim, ft.
    pub east_ft: f64,
    /// North of the aim, ft.
    pub north_ft: f64,
    /// Probability that it was within reach at the power reduction, 0..1; null where it is not known.
    pub probability: Option<f64>,
    /// Height above it on arriving there by the shortest way, ft; negative is short of it.
    pub arrival_height_ft: Measured,
    /// Height in hand for a landing there, ft.
    pub height_in_hand_ft: Measured,
    /// Time from the power reduction until it fell out of reach, s.
    pub within_reach_s: Measured,
}
