//! The instants of the pattern, found in one draw.

use super::flown::{Flown, Instant};
use crate::units::{M_PER_FT, MPS_PER_KT, wrap_180_deg};

/// What is known of an attempt before its pattern is looked at, in one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Power reduction, s.
    pub power_reduction_s: f64,
    /// End: touchdown, power back, or end of the recording, s.
    pub end_s: f64,
    /// Best glide speed at the weight flown, m/s calibrated: what the aeroplane glides best at.
    pub best_glide_cas_mps: f64,
    /// Glide speed to hold, m/s calibrated: what the pilot is to fly.
    pub to_hold_cas_mps: f64,
}

/// Instants of a draw, s; `None` where there is none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct KeyTimes {
    /// Airspeed within 5 kt of the speed to hold, staying 5 s.
    pub best_glide_held_s: Option<f64>,
    /// Nearest to the aim, high above it, before the pattern.
    pub overhead_s: Option<f64>,
    /// Opposite the aim.
    pub abeam_s: Option<f64>,
    /// Turned 30° from downwind.
    pub base_turn_s: Option<f64>,
    /// Lined up.
    pub on_final_s: Option<f64>,
}

/// Airspeed within this of the speed to hold is holding it.
pub const HELD_WITHIN_MPS: f64 = 5.0 * MPS_PER_KT;
/// For how long it must stay, s.
pub const HELD_FOR_S: f64 = 5.0;
/// The abeam point may lie this long before the power reduction, s: many close the throttle there.
pub const ABEAM_BEFORE_S: f64 = 30.0;
/// Nearer to the aim than this the crossing is overhead, not abeam, m.
const LEAST_ABEAM_M: f64 = 120.0;
/// Turn from the downwind direction that makes the base turn, degrees.
const BASE_TURN_DEG: f64 = 30.0;
/// Track within this of the landing direction is lined up, degrees.
const LINED_UP_DEG: f64 = 15.0;
/// Passing nearer than this to the aim is overhead, m (common practice: within a quarter mile).
const OVERHEAD_M: f64 = 400.0;
/// Least height overhead, m.
const OVERHEAD_HEIGHT_M: f64 = 1200.0 * M_PER_FT;

/// The instants of the pattern in one draw.
pub fn find(flown: &Flown, known: &Known) -> KeyTimes {
    let best_glide_held_s = best_glide_held(flown, known);
    let Some(landing) = flown.landing_true_deg else {
        return KeyTimes {
            best_glide_held_s,
            ..KeyTimes::default()
        };
    };
    let abeam_s = abeam(flown, known, landing);
    let base_turn_s = abeam_s.and_then(|t| base_turn(flown, t, known.end_s, landing));
    let on_final_s = on_final(flown, known, landing);
    let overhead_s = overhead(flown, known, abeam_s);
    KeyTimes {
        best_glide_held_s,
        overhead_s,
        abeam_s,
        base_turn_s,
        on_final_s,
    }
}

fn best_glide_held(flown: &Flown, known: &Known) -> Option<f64> {
    let instants = flown.between(known.power_reduction_s, known.end_s);
    let steps = (HELD_FOR_S / super::flown::STEP_S) as usize;
    // gusts included: a gust that takes the speed out of the band ends the holding
    let off = |i: &Instant| (i.cas_mps - known.to_hold_cas_mps).abs();
    let mut since: Option<usize> = None;
    for (k, i) in instants.iter().enumerate() {
        if off(i) <= HELD_WITHIN_MPS {
            let start = *since.get_or_insert(k);
            if k - start >= steps {
                let at_s = match start.checked_sub(1) {
                    Some(before) => crossing(&instants[before], &instants[start], |i| {
                        off(i) - HELD_WITHIN_MPS
                    }),
                    None => instants[start].motion.t_s,
                };
                return Some(at_s.max(known.power_reduction_s));
            }
        } else {
            since = None;
        }
    }
    None
}

/// Time of the crossing between two instants where `value` passes zero.
fn crossing(a: &Instant, b: &Instant, value: impl Fn(&Instant) -> f64) -> f64 {
    let (va, vb) = (value(a), value(b));
    a.motion.t_s + (b.motion.t_s - a.motion.t_s) * va / (va - vb)
}

fn abeam(flown: &Flown, known: &Known, landing: f64) -> Option<f64> {
    let instants = flown.between(known.power_reduction_s - ABEAM_BEFORE_S, known.end_s);
    let mut found = None;
    for pair in instants.windows(2) {
        // moving against the landing direction: from beyond the aim to before it
        let crosses = pair[0].along_m > 0.0 && pair[1].along_m <= 0.0;
        if crosses && pair[0].across_m.abs() >= LEAST_ABEAM_M {
            let against = wrap_180_deg(pair[0].track_deg - landing - 180.0).abs();
            if against < 80.0 {
                found = Some(crossing(&pair[0], &pair[1], |i| i.along_m));
            }
        }
    }
    found
}

fn base_turn(flown: &Flown, abeam_s: f64, end_s: f64, landing: f64) -> Option<f64> {
    let past = |i: &Instant| wrap_180_deg(i.track_deg - landing - 180.0).abs() - BASE_TURN_DEG;
    let instants = flown.between(abeam_s, end_s);
    if let Some(first) = instants.first()
        && past(first) > 0.0
    {
        return Some(first.motion.t_s);
    }
    instants
        .windows(2)
        .find(|pair| past(&pair[0]) <= 0.0 && past(&pair[1]) > 0.0)
        .map(|pair| crossing(&pair[0], &pair[1], past))
}

fn on_final(flown: &Flown, known: &Known, landing: f64) -> Option<f64> {
    let off = |i: &Instant| wrap_180_deg(i.track_deg - landing).abs() - LINED_UP_DEG;
    let instants = flown.between(known.power_reduction_s, known.end_s);
    if off(instants.last()?) > 0.0 {
        return None;
    }
    let lined_up = instants
        .windows(2)
        .rev()
        .find(|pair| off(&pair[0]) > 0.0)
        .map_or_else(
            || instants[0].motion.t_s,
            |pair| crossing(&pair[0], &pair[1], off),
        );
    // at least some seconds of it, else it is a glimpse on the way round
    (known.end_s - lined_up > 3.0).then_some(lined_up)
}

fn overhead(flown: &Flown, known: &Known, abeam_s: Option<f64>) -> Option<f64> {
    let to_s = abeam_s.unwrap_or(known.end_s);
    let instants = flown.between(known.power_reduction_s, to_s);
    let mut found = None;
    for w in instants.windows(3) {
        let d = [
            w[0].motion.distance_m(),
            w[1].motion.distance_m(),
            w[2].motion.distance_m(),
        ];
        let nearest = d[1] <= d[0] && d[1] < d[2] && d[1] < OVERHEAD_M;
        if nearest && w[1].motion.height_m > OVERHEAD_HEIGHT_M {
            // vertex of the parabola through the three
            let bend = d[0] - 2.0 * d[1] + d[2];
            let shift = if bend > 0.0 {
                0.5 * (d[0] - d[2]) / bend
            } else {
                0.0
            };
            found = Some(w[1].motion.t_s + shift * super::flown::STEP_S);
        }
    }
    found
}
