//! Other places to land: whether one draw could have reached them, and for how long.

use super::DrawnAttempt;
use crate::key_points::flown::{Instant, along_across};
use crate::reach::{Glider, Hand, Position, Reach, ReachSetting};

/// A field east and north of the aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldPlace {
    /// East of the aim, m.
    pub east_m: f64,
    /// North of the aim, m.
    pub north_m: f64,
    /// Above the aim, m.
    pub above_aim_m: f64,
    /// Direction of landing, degrees true; any where `None`.
    pub landing_true_deg: Option<f64>,
}

/// What one draw says about a field; NaN for what it has not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldReach {
    /// Height in hand for it at the power reduction, m.
    pub in_hand_m: f64,
    /// Height above it on arriving there by the shortest way, m; negative is short of it.
    pub arrival_height_m: f64,
    /// Time from the power reduction until it fell out of reach, s: 0 where it never was within
    /// reach, infinite where it still was at the end of the glide.
    pub within_reach_s: f64,
}

/// Steps along the glide, instants.
const STEPS: usize = 8;
/// Landing directions looked at where the field has none of its own.
const DIRECTIONS: usize = 8;

/// A field's reach along this draw.
pub fn field_reach(drawn: &DrawnAttempt, hand: &Hand, field: &FieldPlace) -> FieldReach {
    let nothing = FieldReach {
        in_hand_m: f64::NAN,
        arrival_height_m: f64::NAN,
        within_reach_s: f64::NAN,
    };
    let glider = hand.glider().raised_by(field.above_aim_m);
    let any: Vec<f64> = (0..DIRECTIONS)
        .map(|i| 360.0 * i as f64 / DIRECTIONS as f64)
        .collect();
    let ways = match field.landing_true_deg {
        Some(landing) => reaches(&glider, &[landing], hand.setting()),
        None => reaches(&glider, &any, hand.setting()),
    };
    let overhead = ReachSetting {
        wings_level_m: 0.0,
        float_m: 0.0,
        ..*hand.setting()
    };
    let (start_s, end_s) = (drawn.known.power_reduction_s, drawn.known.end_s);
    let glide = drawn.flown.between(start_s, end_s);
    let Some(first) = glide.first() else {
        return nothing;
    };
    let in_hand_m = left_over(&ways, field, first);
    let mut before = (start_s, in_hand_m);
    let mut within_reach_s = f64::INFINITY;
    if in_hand_m < 0.0 {
        within_reach_s = 0.0;
    } else {
        for at in glide.iter().step_by(STEPS).skip(1) {
            let now = (at.motion.t_s, left_over(&ways, field, at));
            if now.1 < 0.0 {
                let share = before.1 / (before.1 - now.1);
                within_reach_s = before.0 + share * (now.0 - before.0) - start_s;
                break;
            }
            before = now;
        }
    }
    FieldReach {
        in_hand_m,
        arrival_height_m: left_over(&reaches(&glider, &any, &overhead), field, first),
        within_reach_s,
    }
}

fn reaches<'a>(
    glider: &'a Glider,
    landings_deg: &[f64],
    setting: &ReachSetting,
) -> Vec<(f64, Reach<'a>)> {
    landings_deg
        .iter()
        .filter_map(|landing| Some((*landing, Reach::new(glider, *landing, setting)?)))
        .collect()
}

/// Height above the field less the least height of the best way there, m; NaN without a way.
fn left_over(ways: &[(f64, Reach<'_>)], field: &FieldPlace, at: &Instant) -> f64 {
    let height_m = at.motion.height_m - field.above_aim_m;
    ways.iter()
        .filter_map(|(landing, reach)| {
            let (along_m, across_m) = along_across(
                at.motion.east_m - field.east_m,
                at.motion.north_m - field.north_m,
                *landing,
            );
            let there = Position {
                along_m,
                across_m,
                ..Position::of(at, *landing)
            };
            Some(height_m - reach.least_height_m(&there)?)
        })
        .fold(f64::NAN, f64::max)
}

#[cfg(test)]
#[path = "fields_tests.rs"]
mod tests;
