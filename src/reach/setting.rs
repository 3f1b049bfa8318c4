//! What a pilot is taken to do from here: bank, roll-out, round-out, flap.

use crate::units::M_PER_FT;

/// Most bank in a gliding turn where nothing else is said, degrees: the usual limit near the ground (common practice).
pub const USUAL_BANK_LIMIT_DEG: f64 = 30.0;

/// Settings of the reach model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReachSetting {
    /// Most bank in a gliding turn, degrees, 5 to 60; never used beyond the bank at which a turn
    /// costs least height. Default [`USUAL_BANK_LIMIT_DEG`].
    pub bank_limit_deg: f64,
    /// Wings level, lined up, at this height above the aim, m. Default 100 ft: lower, a turn leaves
    /// no time to look at the round-out (common practice; the handbook pattern, FAA-H-8083-3A
    /// p. 8-24, wants 300 ft, which is comfort, not the limit of reach). Waived on final.
    pub wings_level_m: f64,
    /// The aeroplane floats this far beyond the point where its glide would meet the ground, m,
    /// before it touches. Default 60 m: speed above that of the touchdown is carried past the
    /// round-out; kinetic energy alone would give 150 m and more at a ratio of 9, flap and a firm
    /// touchdown next to nothing.
    pub float_m: f64,
    /// Glide ratio with everything out at approach speed. Default 5.0: light singles with full flap
    /// at idle come down at 4 to 6 (common practice; "down to 4" with flap and slip).
    pub steepest_ratio: f64,
    /// Approach speed with everything out, share of best glide. Default 0.92 (65 kt against 71).
    pub steepest_speed_share: f64,
    /// Touching down this far beyond the aim is still a landing at it, m. Default 200 ft: FAA-S-ACS-7B,
    /// Area IV Task M.
    pub zone_m: f64,
}

impl Default for ReachSetting {
    fn default() -> Self {
        ReachSetting {
            bank_limit_deg: USUAL_BANK_LIMIT_DEG,
            wings_level_m: 100.0 * M_PER_FT,
            float_m: 60.0,
            steepest_ratio: 5.0,
            steepest_speed_share: 0.92,
            zone_m: 200.0 * M_PER_FT,
        }
    }
}

/// Bank of the gliding turn that costs least height at the lift coefficient of best glide or more,
/// degrees: cos φ = √½·√(1 − k²), k the drag over the greatest lift (Lowry, *Performance of Light
/// Aircraft*, 1999, pp. 294–296: k = 0.116 gives 45.4°).
pub fn optimum_bank_deg(k: f64) -> f64 {
    (0.5 * (1.0 - k * k)).max(0.0).sqrt().acos().to_degrees()
}

/// Drag over lift at the stall for a light single (the same source).
const DRAG_OVER_LIFT_AT_STALL: f64 = 0.116;

impl ReachSetting {
    /// Bank used in turns, rad.
    pub fn bank_rad(&self) -> f64 {
        let limit = if self.bank_limit_deg.is_finite() {
            self.bank_limit_deg
        } else {
            USUAL_BANK_LIMIT_DEG
        };
        limit
            .clamp(5.0, optimum_bank_deg(DRAG_OVER_LIFT_AT_STALL))
            .to_radians()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bank_of_least_loss_is_the_published_one() {
        assert!((optimum_bank_deg(0.116) - 45.4).abs() < 0.05);
        assert!((optimum_bank_deg(0.0) - 45.0).abs() < 1e-9);
    }
}
