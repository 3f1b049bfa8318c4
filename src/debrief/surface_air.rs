//! The air an aeroplane touches down in: wind that has died away near the ground, and its gusts.
//!
//! A wind profile is fitted to flight well above the ground, and a reported surface wind is that at 10 m. Below, the
//! wind follows the logarithm of height (neutral surface layer, WMO-No. 8): `W(h) = (u*/k) ln(h/z0)`. The roughness
//! length is not known, and is drawn; so are the gusts, whose standard deviation along the wind is 2.5 u* there.

use crate::air::WindProfile;
use crate::random::Draws;

/// Height of a reported surface wind, m.
const REPORTED_AT_M: f64 = 10.0;
/// Height of the wing above the ground at a touchdown, m (common practice: low and high wings).
const WING_M: f64 = 1.5;
/// Roughness length, m: from mown grass or tarmac to a field with hedges about it (WMO-No. 8, annex on terrain).
const ROUGHNESS_M: (f64, f64) = (0.005, 0.1);
/// Gusts along the wind over u* (neutral surface layer), and the constant of von Kármán.
const GUST_OVER_FRICTION: f64 = 2.5;
const VON_KARMAN: f64 = 0.4;

/// Motion of the air past the wing at a touchdown, east and north, m/s.
pub(super) fn drawn(wind: &WindProfile, rng: &mut Draws) -> [f64; 2] {
    let (smooth, rough) = (ROUGHNESS_M.0.ln(), ROUGHNESS_M.1.ln());
    let log_roughness = smooth + (rough - smooth) * rng.uniform();
    at_wing(wind.at(REPORTED_AT_M), log_roughness, rng.normal())
}

/// The same for one roughness, and a gust in standard deviations.
fn at_wing(reported_mps: [f64; 2], log_roughness: f64, gust: f64) -> [f64; 2] {
    let layers = REPORTED_AT_M.ln() - log_roughness;
    let share = (WING_M.ln() - log_roughness) / layers;
    let gusty = share + gust * GUST_OVER_FRICTION * VON_KARMAN / layers;
    reported_mps.map(|w| w * gusty)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_thirds_of_the_reported_wind_reach_the_wing_over_grass() {
        // ln(1.5/0.03) / ln(10/0.03) = 3.912/5.809
        let [east, north] = at_wing([6.0, -3.0], 0.03_f64.ln(), 0.0);
        assert!((east - 6.0 * 0.6734).abs() < 1e-3 && (north + 3.0 * 0.6734).abs() < 1e-3);
    }

    #[test]
    fn gusts_are_a_sixth_of_the_wind() {
        let calm = at_wing([6.0, 0.0], 0.03_f64.ln(), 0.0)[0];
        let gusty = at_wing([6.0, 0.0], 0.03_f64.ln(), 1.0)[0];
        assert!((gusty - calm - 6.0 / 5.809).abs() < 1e-3);
    }

    #[test]
    fn still_air_stays_still() {
        let mut rng = Draws::new(1, 1);
        assert_eq!(drawn(&WindProfile::default(), &mut rng), [0.0, 0.0]);
    }
}
