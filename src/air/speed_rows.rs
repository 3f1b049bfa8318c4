//! Rows of the fit from the airspeed: |ground velocity − wind| is a mean and a wander.

use super::habits::Habits;
use super::noise_chain::ChainNoise;
use super::prepared::Prepared;
use super::rows::Rows;
use super::samples::{ChainKind, Sample};
use super::unknowns::Unknowns;
use super::wind::{Place, WindProfile};

/// Correlation time of gusts along the flight, s (common practice: some hundred metres of air).
const GUST_S: f64 = 3.0;
/// White part of the airspeed residual, m/s; recorded airspeed has more.
const WHITE_MPS: (f64, f64) = (0.15, 0.3);
/// Airspeed wander of powered flight around, besides that of climbs and descents, m/s and s (common practice: legs of a
/// circuit are flown at a speed each).
const CONTEXT_WANDER: (f64, f64) = (4.0, 45.0);
/// Residual of recorded airspeed against the fitted one: slow, m/s and s.
const RECORDED_WANDER: (f64, f64) = (0.5, 60.0);
/// Acceleration across the motion in a turn worth the name, m/s²: 20° of bank.
const TURN_MPS2: f64 = 3.57;
/// A climb worth the name, m/s: 500 ft/min.
const CLIMB_MPS: f64 = 2.54;
/// Drift of the wind in time: 0.7 m/s in ten minutes (common practice).
const DRIFT_M2PS3: f64 = 0.49 / 600.0;

/// The rows of a chain at the solution `x`, whose wind is `wind`.
pub(super) fn rows(
    x: &[f64],
    (wind, unknowns): (&WindProfile, &Unknowns),
    prepared: &Prepared<'_>,
) -> Rows {
    let (index, chain) = (prepared.index, prepared.chain);
    let mut concerned = prepared.wind_unknowns.clone();
    if prepared.recorded {
        concerned.push(unknowns.bias());
    } else {
        concerned.push(unknowns.mean(index));
        if chain.glides() {
            concerned.extend([
                unknowns.approach(index),
                unknowns.in_turns(),
                unknowns.carried(index),
            ]);
        } else {
            concerned.push(unknowns.climbing(index));
        }
    }
    let mut rows = Rows::new(concerned, unknowns.count());
    for (s, place) in chain.samples.iter().zip(&prepared.places) {
        let air = ThroughAir::of(s, wind, place);
        let unit = [air.velocity[0] / air.tas, air.velocity[1] / air.tas];
        if prepared.recorded {
            let Some(tas) = s.recorded_tas_mps else {
                continue;
            };
            rows.begin(s.t_s, unit, air.tas - tas + x[unknowns.bias()]);
            rows.add(unknowns.bias(), 1.0);
        } else if chain.glides() {
            let turning = turning(air.across_mps2(s));
            let terms = expected(unknowns, index, (s, turning));
            let expected: f64 = terms
                .iter()
                .map(|(unknown, share)| share * x[*unknown])
                .sum();
            rows.begin(s.t_s, unit, air.tas - expected);
            for (unknown, share) in terms {
                rows.add(unknown, -share);
            }
        } else {
            let climbing = climbing(s.climb_mps);
            let expected = x[unknowns.mean(index)] + climbing * x[unknowns.climbing(index)];
            rows.begin(s.t_s, unit, air.tas - expected);
            rows.add(unknowns.mean(index), -1.0);
            rows.add(unknowns.climbing(index), -climbing);
        }
        add_wind(&mut rows, unknowns, place, [-unit[0], -unit[1]]);
    }
    rows
}

/// The noise along these rows where pilot and air have such habits.
pub(super) fn noise(prepared: &Prepared<'_>, habits: &Habits) -> ChainNoise {
    let (recorded, chain) = (prepared.recorded, prepared.chain);
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
    ChainNoise {
        smooth,
        slow,
        fast: (habits.gust_mps, GUST_S),
        white_mps: if recorded { WHITE_MPS.1 } else { WHITE_MPS.0 },
        drift_m2ps3: drift,
        drift_start_m2ps2: drift * chain.apart_s,
    }
}

/// The airspeed expected at a sample of a glide, so far in a turn: its unknowns, and the share of each.
fn expected(unknowns: &Unknowns, index: usize, (s, turning): (&Sample, f64)) -> [(usize, f64); 4] {
    [
        (unknowns.mean(index), 1.0 - s.approach_share),
        (unknowns.approach(index), s.approach_share),
        (unknowns.in_turns(), turning),
        (unknowns.carried(index), s.carried_share),
    ]
}

/// 0 in straight flight, 1 in a turn with a bank of 20° and more.
fn turning(across_mps2: f64) -> f64 {
    (across_mps2.abs() / TURN_MPS2).min(1.0)
}

/// 1 in a climb worth the name, 0 level, -1 in a descent.
fn climbing(climb_mps: f64) -> f64 {
    (climb_mps / CLIMB_MPS).clamp(-1.0, 1.0)
}

/// Adds a slope by the wind at a place among the knots to the last row, shared between the knots around it.
pub(super) fn add_wind(rows: &mut Rows, unknowns: &Unknowns, place: &Place, slope: [f64; 2]) {
    for (axis, value) in slope.into_iter().enumerate() {
        rows.add(
            unknowns.wind_at(place.below, axis),
            value * (1.0 - place.share),
        );
        rows.add(unknowns.wind_at(place.below + 1, axis), value * place.share);
    }
}

/// Adds a slope by the growth of the wind with height at a place among the knots to the last row.
pub(super) fn add_shear(rows: &mut Rows, unknowns: &Unknowns, place: &Place, slope: [f64; 2]) {
    for (axis, value) in slope.into_iter().enumerate() {
        let per_knot = value * place.slope_per_m;
        rows.add(unknowns.wind_at(place.below, axis), -per_knot);
        rows.add(unknowns.wind_at(place.below + 1, axis), per_knot);
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
    /// Of a sample, in the wind at its place.
    pub(super) fn of(s: &Sample, wind: &WindProfile, place: &Place) -> Self {
        let w = wind.at_place(place);
        let velocity = [s.velocity_mps[0] - w[0], s.velocity_mps[1] - w[1]];
        let tas = (velocity[0].powi(2) + velocity[1].powi(2) + s.climb_mps.powi(2))
            .sqrt()
            .max(1.0);
        ThroughAir { velocity, tas }
    }

    /// Acceleration across the motion through the air, m/s²: what the wings give, and not the
    /// curve over the ground, which a wind bends and stretches.
    pub(super) fn across_mps2(&self, s: &Sample) -> f64 {
        let [east, north] = s.accel_mps2;
        let level = (self.velocity[0].powi(2) + self.velocity[1].powi(2))
            .sqrt()
            .max(1.0);
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
        let place = WindProfile::place(3, s.height_m);
        let air = ThroughAir::of(&s, &wind, &place);
        assert!((air.across_mps2(&s) - across).abs() < 1e-9);
    }
}
