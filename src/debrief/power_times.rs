//! The instants at which the power came off and back: energy of the motion and engine channel together.

use super::attempt::Ground;
use super::drawing::{OPENING_LAG_S, change_sd_s};
use crate::air::WindProfile;
use crate::atmosphere::SpeedScale;
use crate::attempts::candidates::start_again;
use crate::attempts::change_point::{self, Expectation};
use crate::attempts::clearing::{Burst, bursts};
use crate::attempts::engine::EngineTrace;
use crate::attempts::throttle;
use crate::attempts::{Candidate, ChangePoint, power};

/// Power in the cruise, m/s: what a light aeroplane needs at normal speeds, and its spread.
const CRUISE_MPS: (f64, f64) = (6.0, 3.0);
/// Power that holds the circuit's height at the circuit's speed, m/s: a glide ratio of about nine
/// at 65 to 80 kt (common practice).
const CIRCUIT_MPS: (f64, f64) = (3.8, 0.9);
/// Power at idle by the polar, m/s: zero but for vertical air and the scale of the drag.
const IDLE_MPS: (f64, f64) = (0.2, 0.9);
/// Doubt of the speed of least drag (logarithm): handbook speeds are rounded, weights guessed,
/// and an idling propeller brakes more the faster it turns.
const SHAPE: (f64, f64) = (0.0, 0.15);
/// How far the engine channel is trusted to show the same instant.
const ENGINE_TRUST: f64 = 0.95;

/// The instant of the power reduction.
pub(super) fn power_reduction(
    g: &Ground<'_>,
    c: &Candidate,
    wind: &WindProfile,
    scale: &SpeedScale,
) -> Option<ChangePoint> {
    let (first, last) = g.path.mean.span_s();
    let span = ((c.start_s - 60.0).max(first), (c.start_s + 30.0).min(last));
    let coarse = power::trace(&g.path.mean, span, 1.0, wind, &g.polar, scale);
    let start_s = start_again(&coarse, c.start_s);
    let expected = Expectation {
        before_mps: CRUISE_MPS,
        after_mps: IDLE_MPS,
        between_mps: Some(CIRCUIT_MPS),
        tail: Some(SHAPE),
        between_s: (start_s - 8.0, start_s + 18.0),
        reach_s: (18.0, 10.0),
    };
    let mut change = posterior(g, wind, scale, &expected)?;
    let engine = EngineTrace::of(&g.path.rows);
    if let Some(closing) = engine.and_then(|e| throttle::closing(&e, start_s)) {
        change.weigh_with(closing.at_s, closing.sd_s, ENGINE_TRUST);
    }
    Some(change)
}

/// The instant at which the throttle began to be opened for good.
pub(super) fn power_back(
    g: &Ground<'_>,
    c: &Candidate,
    wind: &WindProfile,
    scale: &SpeedScale,
) -> Option<ChangePoint> {
    let expected = Expectation {
        before_mps: (-0.8, 1.5),
        after_mps: CRUISE_MPS,
        between_mps: None,
        tail: None,
        between_s: (c.end_s - 9.0, c.end_s + 8.0),
        reach_s: (10.0, 8.0),
    };
    let middle = posterior(g, wind, scale, &expected)?;
    let mut begun = middle.led_by((
        OPENING_LAG_S.0,
        OPENING_LAG_S.1.hypot(change_sd_s(g.track.median_step_s)),
    ));
    let engine = EngineTrace::of(&g.path.rows);
    if let Some(opening) = engine.and_then(|e| throttle::opening(&e, c.end_s)) {
        begun.weigh_with(opening.at_s, opening.sd_s, ENGINE_TRUST);
    }
    Some(begun)
}

/// Bursts of power in the glide.
pub(super) fn clearings(
    g: &Ground<'_>,
    (c, end_s): (&Candidate, f64),
    wind: &WindProfile,
    scale: &SpeedScale,
) -> Vec<Burst> {
    let (first, last) = g.path.mean.span_s();
    let span = (c.start_s.max(first), end_s.min(last));
    let trace = power::trace(&g.path.mean, span, 1.0, wind, &g.polar, scale);
    bursts(&trace, EngineTrace::of(&g.path.rows).as_ref(), span)
}

fn posterior(
    g: &Ground<'_>,
    wind: &WindProfile,
    scale: &SpeedScale,
    expected: &Expectation,
) -> Option<ChangePoint> {
    let (first, last) = g.path.mean.span_s();
    let from_s = (expected.between_s.0 - expected.reach_s.0).max(first);
    let to_s = (expected.between_s.1 + expected.reach_s.1).min(last);
    let trace = power::trace(&g.path.mean, (from_s, to_s), 0.5, wind, &g.polar, scale);
    let response = g
        .path
        .response((from_s, to_s), &change_point::steps_s(expected));
    change_point::posterior(&trace, expected, &response)
}
