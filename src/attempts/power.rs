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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::atmosphere::AirColumn;

    const POLAR: Polar = Polar {
        best_glide_cas_mps: 32.0,
        glide_ratio: 9.0,
    };

    /// The same wind at all heights.
    fn wind() -> WindProfile {
        WindProfile {
            knots_mps: vec![[10.0, -1.0]; 2],
        }
    }

    fn turning(t_s: f64) -> Motion {
        Motion {
            t_s,
            height_m: 100.0,
            east_mps: 40.0,
            north_mps: 3.0,
            climb_mps: -3.0,
            east_mps2: 1.0,
            north_mps2: 0.5,
            climb_mps2: 0.2,
            ..Motion::default()
        }
    }

    #[test]
    fn energy_and_power_by_hand() {
        let scale = SpeedScale::of(&AirColumn::standard(0.0));
        let seen = air_motion(&turning(7.0), &wind(), &POLAR, &scale);
        // through the air 30 m/s east and 4 north, 3 down
        assert!((seen.tas_mps - 925f64.sqrt()).abs() < 1e-9);
        // -3 + (30 · 1 + 4 · 0.5 - 3 · 0.2) / 9.80665
        assert!((seen.energy_rate_mps - (-3.0 + 31.4 / 9.80665)).abs() < 1e-9);
        // across: (30 · 0.5 - 4 · 1) over the level speed, in units of gravity
        let across = 11.0 / 916f64.sqrt() / 9.80665;
        assert!((seen.load_factor - (1.0 + across * across).sqrt()).abs() < 1e-9);
        let best_tas = scale.tas_mps(32.0, 100.0);
        let sink = POLAR.sink_mps(925f64.sqrt(), best_tas, seen.load_factor);
        assert!((seen.power_mps - (seen.energy_rate_mps + sink)).abs() < 1e-9);
        let shape = POLAR.shape_mps(925f64.sqrt(), best_tas, seen.load_factor);
        assert!((seen.shape_mps - shape).abs() < 1e-9);
        assert_eq!(seen.t_s, 7.0);
    }

    #[test]
    fn a_trace_has_one_motion_each_step() {
        let path = Path {
            points: (0..5).map(|k| turning(f64::from(k))).collect(),
        };
        let scale = SpeedScale::of(&AirColumn::standard(0.0));
        let seen = trace(&path, (1.0, 3.0), 0.5, &wind(), &POLAR, &scale);
        let times: Vec<f64> = seen.iter().map(|a| a.t_s).collect();
        assert_eq!(times, [1.0, 1.5, 2.0, 2.5, 3.0]);
        let alone = air_motion(&path.at(2.0), &wind(), &POLAR, &scale);
        assert!((seen[2].power_mps - alone.power_mps).abs() < 1e-9);
    }
}
