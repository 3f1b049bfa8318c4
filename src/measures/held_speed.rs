//! How long a speed was held: one idea for two stretches, the steady glide at best glide and final at approach speed.
//!
//! A mean does not show it: a speed that swings as far to one side as to the other has its mean in the middle.

use super::{DrawnAttempt, DrawnEnd};
use crate::key_points::flown::Instant;
use crate::key_points::pattern::HELD_FOR_S;
use crate::units::MPS_PER_KT;

/// A speed that is to be held, and how far off it is held still.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToHold {
    /// The speed, m/s calibrated.
    pub cas_mps: f64,
    /// Tolerance below it, m/s.
    pub below_mps: f64,
    /// Tolerance above it, m/s.
    pub above_mps: f64,
}

impl ToHold {
    /// `cas_mps` within so many knots below and above.
    pub fn within_kt(cas_mps: f64, [below, above]: [f64; 2]) -> Self {
        ToHold {
            cas_mps,
            below_mps: below * MPS_PER_KT,
            above_mps: above * MPS_PER_KT,
        }
    }

    /// Share of these instants, evenly apart, with the airspeed within the tolerance; NaN of none. The airspeed
    /// fluctuates about its mean by `spread` times what these have.
    pub fn share(&self, instants: &[Instant], spread: f64) -> f64 {
        let held = self.cas_mps - self.below_mps..=self.cas_mps + self.above_mps;
        let count = instants.len() as f64;
        let mean = instants.iter().map(|i| i.cas_mps).sum::<f64>() / count;
        let cas = instants.iter().map(|i| mean + spread * (i.cas_mps - mean));
        cas.filter(|cas| held.contains(cas)).count() as f64 / count
    }
}

/// From on final until the flare or the go-around, s: beyond it the speed is meant to change.
pub fn final_s(drawn: &DrawnAttempt) -> Option<(f64, f64)> {
    let to_s = match drawn.end {
        DrawnEnd::Touchdown { flare_s, .. } => flare_s,
        _ => drawn.known.end_s,
    };
    Some((drawn.times.on_final_s?, to_s))
}

/// Whether a final is long enough to say that a speed was held in it: as long as best glide must be.
pub fn is_long_enough((from_s, to_s): (f64, f64)) -> bool {
    to_s - from_s >= HELD_FOR_S
}
