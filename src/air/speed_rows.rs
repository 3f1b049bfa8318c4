//! Rows of the fit from the airspeed: |ground velocity − wind| is a mean and a wander.

use super::habits::Habits;
use super::noise_chain::ChainNoise;
use super::rows::{Normal, Rows};
use super::samples::{Chain, ChainKind, Sample};
use super::unknowns::Unknowns;
use super::wind::WindProfile;

/// Correlation time of gusts along the flight, s (common practice: some hundred metres of air).
const GUST_S: f64 = 3.0;
/// White part of the airspeed residual, m/s; recorded airspeed has more.
const WHITE_MPS: (f64, f64) = (0.15, 0.3);
/// Airspeed wander of powered flight around, m/s and s.
const CONTEXT_WANDER: (f64, f64) = (5.0, 40.0);
/// Residual of recorded airspeed against the fitted one: slow, m/s and s.
const RECORDED_WANDER: (f64, f64) = (0.5, 60.0);
/// Acceleration across the motion in a turn worth the name, m/s²: 20° of bank.
const TURN_MPS2: f64 = 3.57;
/// Drift of the wind in time: 0.7 m/s in ten minutes (common practice).
const DRIFT_M2PS3: f64 = 0.49 / 600.0;

/// Adds the rows of chain `index`.
pub(super) fn add(
    x: &[f64],
    (wind, unknowns): (&WindProfile, &Unknowns),
    (index, chain): (usize, &Chain),
    habits: &Habits,
    normal: &mut Normal,
) {
    let recorded = chain.mostly_recorded();
    let mut concerned = wind_unknowns(unknowns, chain);
    if recorded {
        concerned.push(unknowns.bias());
    } else {
        concerned.push(unknowns.mean(index));
        concerned.push(unknowns.approach(index));
        if chain.glides() {
            concerned.extend([unknowns.in_turns(), unknowns.carried(index)]);
        }
    }
    let mut rows = Rows::new(concerned, unknowns.count());
    for s in &chain.samples {
        let air = ThroughAir::of(s, wind);
        let unit = [air.velocity[0] / air.tas, air.velocity[1] / air.tas];
        if recorded {
            let Some(tas) = s.recorded_tas_mps else {
                continue;
            };
            rows.begin(s.t_s, unit, air.tas - tas + x[unknowns.bias()]);
            rows.add(unknowns.bias(), 1.0);
        } else {
            let turning = turning(air.across_mps2(s, wind));
            let terms = expected(unknowns, index, chain, (s, turning));
            let expected: f64 = terms
                .iter()
                .map(|(unknown, share)| share * x[*unknown])
                .sum();
            rows.begin(s.t_s, unit, air.tas - expected);
            for (unknown, share) in terms {
                rows.add(unknown, -share);
            }
        }
        add_wind(&mut rows, unknowns, s.height_m, [-unit[0], -unit[1]]);
    }
    if rows.len() == 0 {
        return;
    }
    let drift = if chain.kind == ChainKind::Glide {
        0.0
    } else {
        DRIFT_M2PS3
    };
    let (sd_mps, correlation_s) = (habits.wander.sd_mps, habits.wander.correlation_s);
    let none = (0.0, 1.0);
    let (smooth, slow) = match (recorded, chain.kind) {
        (true, _) => (none, RECORDED_WANDER),
        (false, ChainKind::Context) => (none, CONTEXT_WANDER),
        (false, _) if habits.wander.smooth => ((sd_mps, correlation_s), none),
        (false, _) => (none, (sd_mps, correlation_s)),
    };
    let noise = ChainNoise {
        smooth,
        slow,
        fast: (habits.gust_mps, GUST_S),
        white_mps: if recorded { WHITE_MPS.1 } else { WHITE_MPS.0 },
        drift_m2ps3: drift,
        drift_start_m2ps2: drift * chain.apart_s,
    };
    rows.finish(&noise, normal);
}

/// The airspeed expected at a sample, so far in a turn: its unknowns, and the share of each.
fn expected(
    unknowns: &Unknowns,
    index: usize,
    chain: &Chain,
    (s, turning): (&Sample, f64),
) -> Vec<(usize, f64)> {
    let mut terms = vec![
        (unknowns.mean(index), 1.0 - s.approach_share),
        (unknowns.approach(index), s.approach_share),
    ];
    if chain.glides() {
        terms.push((unknowns.in_turns(), turning));
        terms.push((unknowns.carried(index), s.carried_share));
    }
    terms
}

/// 0 in straight flight, 1 in a turn with a bank of 20° and more.
fn turning(across_mps2: f64) -> f64 {
    (across_mps2.abs() / TURN_MPS2).min(1.0)
}

/// The knots that the heights of `chain` touch.
pub(super) fn wind_unknowns(unknowns: &Unknowns, chain: &Chain) -> Vec<usize> {
    let (low_m, high_m) = chain.heights_m();
    let (first, _) = WindProfile::weights(unknowns.knots, low_m);
    let (last, _) = WindProfile::weights(unknowns.knots, high_m);
    (first..=last + 1)
        .flat_map(|k| [unknowns.wind_at(k, 0), unknowns.wind_at(k, 1)])
        .collect()
}

/// Adds a slope by the wind at `height_m` to the last row, shared between the knots around it.
pub(super) fn add_wind(rows: &mut Rows, unknowns: &Unknowns, height_m: f64, slope: [f64; 2]) {
    let (k, share) = WindProfile::weights(unknowns.knots, height_m);
    for (axis, value) in slope.into_iter().enumerate() {
        rows.add(unknowns.wind_at(k, axis), value * (1.0 - share));
        rows.add(unknowns.wind_at(k + 1, axis), value * share);
    }
}

/// Motion through the air.
pub(super) struct ThroughAir {
    /// East and north, m/s.
    pub(super) velocity: [f64; 2],
    /// Speed, with the climb, m/s.
    pub(super) tas: f64,
}

impl ThroughAir {
    /// Of a sample, in this wind.
    pub(super) fn of(s: &Sample, wind: &WindProfile) -> Self {
        let w = wind.at(s.height_m);
        let velocity = [s.velocity_mps[0] - w[0], s.velocity_mps[1] - w[1]];
        let tas = (velocity[0].powi(2) + velocity[1].powi(2) + s.climb_mps.powi(2))
            .sqrt()
            .max(1.0);
        ThroughAir { velocity, tas }
    }

    /// Acceleration across the motion through the air, m/s²: what the wings give, and not the
    /// curve over the ground, which a wind bends and stretches.
    pub(super) fn across_mps2(&self, s: &Sample, wind: &WindProfile) -> f64 {
        let shear = wind.shear(s.height_m);
        let [east, north] = [0, 1].map(|k| s.accel_mps2[k] - shear[k] * s.climb_mps);
        let level = self.velocity[0].hypot(self.velocity[1]).max(1.0);
        (self.velocity[1] * east - self.velocity[0] * north) / level
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bank_of_a_turn_does_not_depend_on_the_wind() {
        // 30 m/s through the air, heading north, turning right at 4 m/s², in 15 m/s from the west:
        // over the ground the same acceleration is partly along the motion
        let (wind_mps, across) = ([15.0, 0.0], 4.0);
        let s = Sample {
            velocity_mps: [wind_mps[0], 30.0],
            accel_mps2: [across, 0.0],
            height_m: 200.0,
            ..Sample::default()
        };
        let wind = WindProfile {
            knots_mps: vec![wind_mps; 3],
        };
        let air = ThroughAir::of(&s, &wind);
        assert!((air.across_mps2(&s, &wind) - across).abs() < 1e-9);
    }
}
