//! What the propeller does, from the energy of the motion through the air.
//!
//! P = dE/dt + D with E = h + V²/2g: level and steady flight needs P = D, idle is about zero,
//! and a propeller that brakes is below it. In metres of height per second.

use crate::air::WindProfile;
use crate::air::drag::{Polar, load_factor};
use crate::atmosphere::SpeedScale;
use crate::flight_path::{Motion, Path};
use crate::units::G0_MPS2;

/// Motion through the air at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirMotion {
    /// Seconds.
    pub t_s: f64,
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Rate of energy height but for what wind that changes with height gives or takes, m/s.
    pub energy_rate_mps: f64,
    /// Load factor of the turn.
    pub load_factor: f64,
    /// Specific power of the propeller by the polar, m/s.
    pub power_mps: f64,
    /// What that power gains, m/s, for each unit by which the speed of least drag is really higher
    /// (logarithm) than the polar has it: none at that speed, plenty well above it.
    pub shape_mps: f64,
}

/// Motion through the air at `m`, in this wind, with this polar.
pub fn air_motion(m: &Motion, wind: &WindProfile, polar: &Polar, scale: &SpeedScale) -> AirMotion {
    let w = wind.at(m.height_m);
    let air = [m.east_mps - w[0], m.north_mps - w[1]];
    // over the ground: what wings and propeller give. Speed through the air also changes where the wind does with
    // height, which costs no energy that the propeller or the drag would have to answer for
    let accel = [m.east_mps2, m.north_mps2];
    let level = air[0].hypot(air[1]).max(1.0);
    let tas_mps = level.hypot(m.climb_mps);
    let across = (air[0] * accel[1] - air[1] * accel[0]) / level;
    let energy_rate_mps = m.climb_mps
        + (air[0] * accel[0] + air[1] * accel[1] + m.climb_mps * m.climb_mps2) / G0_MPS2;
    let load = load_factor(across);
    let best_tas = scale.tas_mps(polar.best_glide_cas_mps, m.height_m);
    AirMotion {
        t_s: m.t_s,
        tas_mps,
        energy_rate_mps,
        load_factor: load,
        power_mps: energy_rate_mps + polar.sink_mps(tas_mps, best_tas, load),
        shape_mps: polar.shape_mps(tas_mps, best_tas, load),
    }
}

/// [`air_motion`] every `step_s` from `from_s` to `to_s`.
pub fn trace(
    path: &Path,
    (from_s, to_s): (f64, f64),
    step_s: f64,
    wind: &WindProfile,
    polar: &Polar,
    scale: &SpeedScale,
) -> Vec<AirMotion> {
    path.resampled(from_s, to_s, step_s)
        .iter()
        .map(|m| air_motion(m, wind, polar, scale))
        .collect()
}
