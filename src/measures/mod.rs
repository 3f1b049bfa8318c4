//! Stage 6b: one draw of an attempt → one value of every measure.
//!
//! No measure carries an error formula: its interval is its spread over the draws.

pub mod catalogue;
pub mod dangers;
pub mod explained;
pub mod fields;
#[cfg(test)]
mod figures_tests;
pub mod glide;
pub mod glide_energy;
pub mod height_plan;
pub mod held_speed;
#[cfg(test)]
mod invented;
pub mod landing;
pub mod limits;
pub mod pattern;
#[cfg(test)]
mod plan_tests;
pub mod reach;
pub mod usable;

use std::collections::BTreeMap;

use self::held_speed::ToHold;
use crate::air::drag::Polar;
use crate::key_points::{Flown, KeyTimes, Known};
use crate::reach::ReachSetting;

/// How a drawn attempt ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DrawnEnd {
    /// Wheels on the ground.
    Touchdown {
        /// When, s.
        at_s: f64,
        /// Start of the flare, s.
        flare_s: f64,
        /// Descent rate at contact, m/s.
        sink_mps: f64,
        /// Ground speed at contact, m/s.
        ground_speed_mps: f64,
        /// Calibrated airspeed at contact, m/s.
        cas_mps: f64,
    },
    /// Power back.
    GoAround {
        /// When, s.
        at_s: f64,
    },
    /// The recording stops.
    Recording,
}

/// One draw of an attempt, ready to be measured.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnAttempt {
    /// Path and air.
    pub flown: Flown,
    /// Instants of the pattern.
    pub times: KeyTimes,
    /// Power reduction, end, best glide.
    pub known: Known,
    /// How it ends.
    pub end: DrawnEnd,
    /// Bursts of power in the glide, which do not end it, s.
    pub clearings_s: Vec<f64>,
    /// The steady glide, the same for all draws, s.
    pub steady_s: Option<(f64, f64)>,
    /// Mean vertical motion of the air over the steady glide, m/s, up.
    pub vertical_air_mps: f64,
    /// The same as it is expected before any glide is looked at, m/s: the doubt of a balance that leaves it in.
    pub expected_vertical_air_mps: f64,
    /// Added to the wind of each slice of air where it is given, east and north, m/s.
    pub turbulence_mps: Vec<[f64; 2]>,
    /// Added to the largest bank: what a coordinated-turn estimate leaves out, degrees.
    pub bank_error_deg: f64,
    /// True fluctuation of the airspeed over that of the draw.
    pub airspeed_spread: f64,
    /// Best glide and its tolerance.
    pub glide_to_hold: ToHold,
    /// Approach speed and its tolerance, where the briefing has one.
    pub final_to_hold: Option<ToHold>,
    /// Stall speed, m/s calibrated.
    pub stall_cas_mps: Option<f64>,
    /// Height wanted abeam, m.
    pub abeam_target_m: Option<f64>,
    /// Best glide expected of the aeroplane.
    pub polar: Polar,
    /// Whether its ratio came from the briefing.
    pub glide_ratio_known: bool,
    /// What is said about the approach.
    pub approach: Approach,
    /// Seed of what is drawn about this draw's future.
    pub stream: u64,
}

/// What the briefing, or common practice, says about flying the approach; the same for all draws.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Approach {
    /// Limits of the reach model.
    pub setting: ReachSetting,
    /// Approach speed, m/s calibrated.
    pub cas_mps: f64,
    /// When full flap was out, where that is known, s.
    pub full_flap_s: Option<f64>,
}

/// Values of one draw by measure id; NaN where the draw has none.
pub type Values = BTreeMap<&'static str, f64>;

/// Every measure of one draw.
pub fn measure(drawn: &DrawnAttempt) -> Values {
    let mut values = Values::new();
    glide::measure(drawn, &mut values);
    pattern::measure(drawn, &mut values);
    landing::measure(drawn, &mut values);
    reach::measure(drawn, &mut values);
    values
}
