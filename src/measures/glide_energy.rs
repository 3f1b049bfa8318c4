//! Energy balance of a stretch of glide in one draw: what was lost, and what it is to be divided by.
//!
//! Over a glide at idle the energy height through the air goes to drag and to vertical air:
//! `lost = a · parasite + b · induced + c · turning`, where `a + b` is one over the glide ratio in straight
//! flight at best glide speed; `c` would be `b` in turns without any slip, and is more in real ones. Several glides of one aeroplane at different speeds, weights, densities and bank
//! angles have `a` and `b` in common: this is how `fleet` brings them to one speed and weight.

use crate::key_points::Flown;
use crate::reach::glide_as_flown::{air_speed_mps, energy_height_m, shear_loss_mps};

use super::glide::at_end;
use crate::key_points::flown::STEP_S;

/// Terms of the balance, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyTerms {
    /// Energy height lost through the air, what changing wind took left out. Vertical air is in it.
    pub lost_m: f64,
    /// Distance through the air times x², x the airspeed over best glide speed at the weight flown.
    pub parasite_m: f64,
    /// Distance through the air times 1/x².
    pub induced_m: f64,
    /// Distance through the air times (n² − 1)/x², n the load factor.
    pub turning_m: f64,
    /// Distance through the air.
    pub distance_m: f64,
}

/// The balance between `from_s` and `to_s`; `best_cas_mps` is best glide at the weight flown.
///
/// Nothing where the stretch holds fewer than seven instants (3 s) or is not finite.
pub fn terms(flown: &Flown, best_cas_mps: f64, (from_s, to_s): (f64, f64)) -> Option<EnergyTerms> {
    let stretch = flown.between(from_s, to_s);
    if stretch.len() < 7 {
        return None;
    }
    let energy_lost =
        at_end(stretch, false, energy_height_m) - at_end(stretch, true, energy_height_m);
    let mut terms = EnergyTerms {
        lost_m: energy_lost,
        parasite_m: 0.0,
        induced_m: 0.0,
        turning_m: 0.0,
        distance_m: 0.0,
    };
    for i in &stretch[..stretch.len() - 1] {
        let x2 = (i.calm_cas_mps / best_cas_mps).powi(2).max(0.1);
        let metres = air_speed_mps(i) * STEP_S;
        terms.lost_m -= shear_loss_mps(flown, i) * STEP_S;
        terms.parasite_m += metres * x2;
        terms.induced_m += metres / x2;
        terms.turning_m += metres * (i.load_factor.powi(2) - 1.0) / x2;
        terms.distance_m += metres;
    }
    let all = [
        terms.lost_m,
        terms.parasite_m,
        terms.induced_m,
        terms.turning_m,
    ];
    all.iter().all(|v| v.is_finite()).then_some(terms)
}
