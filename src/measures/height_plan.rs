//! The plan that would have put this aeroplane abeam at the height wanted, from one draw.
//!
//! What was flown fixes all but the orbits: the height lost settling, on the way overhead and on the
//! downwind. What is left of the height at the power reduction, after these and the height wanted
//! abeam, is for orbits: so many, of such a bank.

use super::DrawnAttempt;
use crate::key_points::turns::{orbits_in, turns};
use crate::reach::Glider;
use crate::units::ft;

/// Banks for which the height of an orbit is given, degrees.
pub const BANKS_DEG: [f64; 4] = [15.0, 20.0, 30.0, 45.0];
/// Bank of the plan, degrees.
pub const PLANNED_BANK_DEG: f64 = 30.0;
/// Least and most bank by which the orbits of a plan are fitted to the height, degrees.
pub const BANK_RANGE_DEG: (f64, f64) = (15.0, 45.0);

/// Sooner abeam than this after the power reduction there was nothing to plan, s.
const LEAST_S: f64 = 30.0;

/// The plan of one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightPlan {
    /// Height there was for orbits, ft: negative where there was too little even without one.
    pub for_orbits_ft: f64,
    /// Height of one orbit at each of [`BANKS_DEG`], ft.
    pub orbit_ft: [f64; 4],
    /// Height lost in the orbits flown, ft.
    pub flown_ft: f64,
    /// Height overhead, less the height for orbits and for the way abeam as flown, ft: the height
    /// overhead from which no orbit is flown.
    pub overhead_without_orbits_ft: f64,
    /// Height at the abeam point, ft.
    pub abeam_ft: f64,
}

/// The plan of this draw; `None` without an abeam point after the power reduction or a height wanted there.
pub fn height_plan(drawn: &DrawnAttempt, glider: &Glider) -> Option<HeightPlan> {
    let target_m = drawn.abeam_target_m?;
    let start_s = drawn.known.power_reduction_s;
    let abeam_s = drawn.times.abeam_s.filter(|t| *t > start_s + LEAST_S)?;
    let height = |t_s: f64| drawn.flown.at(t_s).height_m;
    let flown_m = lost_in_orbits_m(drawn, start_s, abeam_s);
    let for_orbits_m = flown_m + height(abeam_s) - target_m;
    let overhead_s = drawn
        .times
        .overhead_s
        .filter(|t| *t > start_s && *t < abeam_s);
    let middle_m = target_m + 0.5 * for_orbits_m.max(0.0);
    Some(HeightPlan {
        for_orbits_ft: ft(for_orbits_m),
        orbit_ft: BANKS_DEG.map(|bank| ft(orbit_m(glider, bank, middle_m))),
        flown_ft: ft(flown_m),
        overhead_without_orbits_ft: overhead_s.map_or(f64::NAN, |t| {
            let after = lost_in_orbits_m(drawn, t, abeam_s);
            ft(height(t) - after - (height(abeam_s) - target_m))
        }),
        abeam_ft: ft(height(abeam_s)),
    })
}

/// Height lost in whole orbits; the rest of a turn beyond them belongs to the way.
fn lost_in_orbits_m(drawn: &DrawnAttempt, from_s: f64, to_s: f64) -> f64 {
    turns(&drawn.flown, from_s, to_s)
        .iter()
        .filter(|turn| orbits_in(turn) >= 1.0)
        .map(|turn| {
            let whole = (360.0 * orbits_in(turn) / turn.turned_deg.abs()).min(1.0);
            let lost = drawn.flown.at(turn.from_s).height_m - drawn.flown.at(turn.to_s).height_m;
            whole * lost
        })
        .sum()
}

/// Height lost in a full circle in the air at this bank, m.
pub fn orbit_m(glider: &Glider, bank_deg: f64, height_m: f64) -> f64 {
    let bank = bank_deg.to_radians();
    std::f64::consts::TAU * glider.radius_m(bank, height_m) * glider.turn_cost(bank) / glider.ratio
}

/// Whole orbits and their bank that use up `for_orbits_ft`, nearest the planned bank: `orbit_ft` is the
/// height of one at a bank, falling as the bank grows.
pub fn fitted(for_orbits_ft: f64, orbit_ft: impl Fn(f64) -> f64) -> Option<(u32, f64)> {
    let (least, most) = BANK_RANGE_DEG;
    let count = (for_orbits_ft / orbit_ft(PLANNED_BANK_DEG)).round();
    if !(1.0..=40.0).contains(&count) {
        return None;
    }
    [count, count + 1.0, count - 1.0]
        .into_iter()
        .filter(|n| *n >= 1.0)
        .find_map(|n| {
            let each = for_orbits_ft / n;
            if each > orbit_ft(least) || each < orbit_ft(most) {
                return None;
            }
            let (mut low, mut high) = (least, most);
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if orbit_ft(middle) > each {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            Some((n as u32, 0.5 * (low + high)))
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::WindProfile;
    use crate::units::{M_PER_FT, MPS_PER_KT};

    #[test]
    fn orbits_fitted_by_hand() {
        // 68 kt and 9:1 lose 1105, 578 and 429 ft in a circle at 15, 30 and 45 degrees
        let v = 68.0 * MPS_PER_KT;
        let glider = Glider::new((v, 9.0), v, (1.0, 0.0), &WindProfile::default());
        let orbit = |bank: f64| orbit_m(&glider, bank, 0.0) / M_PER_FT;
        for (bank, lost) in [(15.0, 1105.0), (30.0, 578.0), (45.0, 429.0)] {
            assert!((orbit(bank) - lost).abs() < 1.0);
        }
        let (n, bank) = fitted(2.0 * 578.0, orbit).unwrap();
        assert_eq!(n, 2);
        assert!((bank - 30.0).abs() < 0.1);
        // 900 ft is 1.6 orbits at 30 degrees: two of 450 ft, steeper
        let (n, bank) = fitted(900.0, orbit).unwrap();
        assert_eq!(n, 2);
        assert!((orbit(bank) - 450.0).abs() < 1.0 && bank > 40.0);
        // 800 ft make neither two (429 ft at least) nor need they: one flatter orbit
        let (n, bank) = fitted(800.0, orbit).unwrap();
        assert_eq!(n, 1);
        assert!((orbit(bank) - 800.0).abs() < 1.0 && bank < 25.0);
        assert!(fitted(200.0, orbit).is_none() && fitted(-500.0, orbit).is_none());
    }
}
