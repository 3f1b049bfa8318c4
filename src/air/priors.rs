//! What is expected before the recording is looked at.

use super::habits::Habits;
use super::rows::Normal;
use super::samples::{Chain, ChainKind, FitOptions};
use super::unknowns::Unknowns;

/// Drag at idle against the handbook's: an idling propeller brakes, aeroplanes in service are not
/// new, pilots are not test pilots (common practice); the doubt is in the options.
pub(super) const IDLE_DRAG_SCALE: f64 = 1.06;
/// The nominal best glide speed is rounded, and set for a clean aeroplane with its propeller stopped:
/// the speed of least drag may be a tenth off (common practice). Standard deviation of its logarithm.
const LEAST_DRAG_LOG_SD: f64 = 0.08;
/// Overall wind, m/s.
const WIND_SD_MPS: f64 = 7.0;
/// Doubt of a reported surface wind, m/s: rounding, distance, gusts.
const SURFACE_SD_MPS: f64 = 1.5;
/// Growth of the wind from knot to knot above the ground, and the least standard deviation of the rest, m/s. The power
/// law with exponent 1/7 gives 1.47 from 10 m to 150 m, then 1.10 and 1.06; in stable air more, in convection less.
pub(super) const GROWTH: [(f64, f64); 3] = [(1.40, 1.45), (1.10, 1.05), (1.05, 0.8)];
/// Mean airspeed of powered flight: centre as share of best glide, and standard deviation, m/s.
pub(super) const CONTEXT_TAS: (f64, f64) = (1.2, 10.0);
/// Airspeed in a climb against that of level flight, m/s (common practice: climbs are flown slower).
const SLOWER_IN_CLIMB_MPS: (f64, f64) = (-5.0, 5.0);
/// Of the doubt of the speed at which a pilot glides, how much is the pilot and how much the single glide:
/// habits last longer than a glide (common practice).
const PILOT_SHARE: f64 = 0.75;
/// Speed carried into a glide from the flight before, at its first sample, m/s (common practice).
const CARRIED_MPS: (f64, f64) = (2.5, 4.0);
/// How much a pilot's speed in turns differs from that out of them, m/s: the nose drops, or is held up
/// (common practice). Half a turn alone could take this for wind.
const IN_TURNS_SD_MPS: f64 = 1.2;
/// Airspeed on the final approach against the briefing's, m/s, at its height.
const APPROACH_SD_MPS: f64 = 2.5;
/// Where the briefing has none: against the glide before it, m/s (common practice: a little slower).
const SLOWER_ON_APPROACH_MPS: (f64, f64) = (-1.5, 3.0);
/// Mean vertical air over a glide of [`VERTICAL_AIR_OVER_S`], m/s, even in still air, and as share of that over some
/// seconds; less over a longer glide.
const VERTICAL_AIR_MEAN: (f64, f64) = (0.12, 0.5);
/// See above, s.
const VERTICAL_AIR_OVER_S: f64 = 150.0;

/// Adds what is expected to `normal`.
pub(super) fn add(
    x: &[f64],
    unknowns: &Unknowns,
    chains: &[Chain],
    options: &FitOptions,
    habits: &Habits,
    normal: &mut Normal,
) {
    let n = unknowns.knots;
    for axis in 0..2 {
        let at = |knot| unknowns.wind_at(knot, axis);
        for k in 1..n {
            let (growth, least_sd) = GROWTH.get(k - 1).copied().unwrap_or((1.0, 0.0));
            let sd = habits.knot_sd_mps.max(least_sd);
            normal.expect(x, &[(at(k), 1.0), (at(k - 1), -growth)], 0.0, sd);
        }
        normal.expect(x, &[(at(n / 2), 1.0)], 0.0, WIND_SD_MPS);
        if let Some(w) = options.surface_wind_mps {
            normal.expect(x, &[(at(0), 1.0)], w[axis], SURFACE_SD_MPS);
        }
    }
    let (glide, sd) = options.glide_tas_mps;
    normal.expect(x, &[(unknowns.pilot(), 1.0)], 0.0, PILOT_SHARE.sqrt() * sd);
    for (c, chain) in chains.iter().enumerate() {
        let (mean, approach) = (unknowns.mean(c), unknowns.approach(c));
        if chain.kind == ChainKind::Context {
            normal.expect(x, &[(mean, 1.0)], CONTEXT_TAS.0 * glide, CONTEXT_TAS.1);
        } else {
            let own = (1.0 - PILOT_SHARE).sqrt() * sd;
            normal.expect(x, &[(mean, 1.0), (unknowns.pilot(), -1.0)], glide, own);
        }
        match options.approach_tas_mps {
            Some(tas) => normal.expect(x, &[(approach, 1.0)], tas, APPROACH_SD_MPS),
            None => normal.expect(
                x,
                &[(approach, 1.0), (mean, -1.0)],
                SLOWER_ON_APPROACH_MPS.0,
                SLOWER_ON_APPROACH_MPS.1,
            ),
        }
        normal.expect(
            x,
            &[(unknowns.carried(c), 1.0)],
            CARRIED_MPS.0,
            CARRIED_MPS.1,
        );
        normal.expect(
            x,
            &[(unknowns.climbing(c), 1.0)],
            SLOWER_IN_CLIMB_MPS.0,
            SLOWER_IN_CLIMB_MPS.1,
        );
        normal.expect(
            x,
            &[(unknowns.vertical_air(c), 1.0)],
            0.0,
            mean_vertical_air_sd_mps(chain, habits),
        );
    }
    normal.expect(
        x,
        &[(unknowns.drag(), 1.0)],
        IDLE_DRAG_SCALE,
        options.drag_scale_sd,
    );
    normal.expect(x, &[(unknowns.least_drag(), 1.0)], 0.0, LEAST_DRAG_LOG_SD);
    normal.expect(x, &[(unknowns.in_turns(), 1.0)], 0.0, IN_TURNS_SD_MPS);
    normal.expect(
        x,
        &[(unknowns.bias(), 1.0)],
        0.0,
        options.recorded_bias_sd_mps,
    );
}

/// Standard deviation of the mean vertical air over a chain, m/s.
pub(super) fn mean_vertical_air_sd_mps(chain: &Chain, habits: &Habits) -> f64 {
    let (still, share) = VERTICAL_AIR_MEAN;
    let shorter = VERTICAL_AIR_OVER_S / chain.length_s().max(20.0);
    still.hypot(share * habits.vertical_air_sd_mps) * shorter.sqrt().min(1.5)
}
