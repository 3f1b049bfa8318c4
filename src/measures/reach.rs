//! Height in hand and projected touchdown.

use super::{DrawnAttempt, DrawnEnd, Values};
use crate::random::Draws;
use crate::reach::along_attempt::{Hand, least_in_hand};
use crate::reach::glide_as_flown::{DragNow, DragPrior, GlideAsFlown, HANDBOOK_DRAG, UNKNOWN_DRAG};
use crate::reach::projection;
use crate::reach::ring::glide_ring;
use crate::units::{M_PER_FT, ft};

/// The slowing-down after the power reduction says little about the glide, s.
const SLOWING_S: f64 = 8.0;
/// Height at which the approach is judged, m.
const JUDGED_AT_M: f64 = 500.0 * M_PER_FT;
/// A go-around is judged this long before the power came back, s: the pilot's hand was moving by then.
const BEFORE_POWER_S: f64 = 1.0;

fn prior(drawn: &DrawnAttempt) -> DragPrior {
    if drawn.glide_ratio_known {
        HANDBOOK_DRAG
    } else {
        UNKNOWN_DRAG
    }
}

/// The reach of this draw, with the drag of its whole clean glide: one glide for the whole attempt,
/// so that height is won and lost by flying and not by learning about the aeroplane.
pub fn hand_of(drawn: &DrawnAttempt) -> Option<Hand> {
    let to_s = drawn
        .steady_s
        .map_or(drawn.known.end_s, |s| s.1)
        .min(drawn.known.end_s - 3.0);
    let from_s = drawn.known.power_reduction_s + SLOWING_S;
    let glide = GlideAsFlown::measured(&drawn.flown, &drawn.polar, &prior(drawn), (from_s, to_s));
    let drag_scale = glide.draw(&mut Draws::new(drawn.stream, 16));
    Hand::new(
        &drawn.flown,
        drag_scale,
        &drawn.polar,
        &drawn.approach.setting,
    )
}

/// Where the touchdown would be, judged at `t_s` of this draw, ft along. What is drawn about the time
/// after is the same at every moment of a draw: two projections differ by what was flown between.
pub fn projected_along_ft(drawn: &DrawnAttempt, t_s: f64) -> f64 {
    let from_s = drawn.known.power_reduction_s + SLOWING_S;
    let drag = DragNow::judged(&drawn.flown, &drawn.polar, &prior(drawn), from_s, t_s);
    let mut draws = Draws::new(drawn.stream, 17);
    projection::from_state(&drawn.flown, t_s, &drag, &drawn.polar, &mut draws).map_or(f64::NAN, ft)
}

/// A descent this many times that of the glide at best glide is a dive: full flap makes 1.8 of it (ratio 5 for 9), a
/// turn of 45° of bank 1.7 (load factor to the power 3/2).
const DIVE_RATIO: f64 = 2.5;
/// Half of the time over which that descent is taken, s.
const DIVE_HALF_S: f64 = 1.0;

/// Whether the aeroplane dives at `t_s` of this draw: what it will do with the speed is not in the track, and a
/// projection that glides on from there says nothing.
fn dives_at(drawn: &DrawnAttempt, t_s: f64) -> bool {
    let best = drawn.known.best_glide_cas_mps;
    let glide_mps = drawn.polar.sink_mps(best, best, 1.0);
    let height_m = |t: f64| drawn.flown.at(t).height_m;
    let lost_m = height_m(t_s - DIVE_HALF_S) - height_m(t_s + DIVE_HALF_S);
    lost_m / (2.0 * DIVE_HALF_S) > DIVE_RATIO * glide_mps
}

/// Whether this draw passes 500 ft above the aim in a dive.
pub fn dives_where_judged(drawn: &DrawnAttempt) -> bool {
    falls_through_s(drawn).is_some_and(|t| dives_at(drawn, t))
}

/// When the height falls through 500 ft above the aim in this draw, s; none in a dive.
pub fn judged_at_s(drawn: &DrawnAttempt) -> Option<f64> {
    falls_through_s(drawn).filter(|t| !dives_at(drawn, *t))
}

fn falls_through_s(drawn: &DrawnAttempt) -> Option<f64> {
    let known = &drawn.known;
    projection::falls_through(
        &drawn.flown,
        JUDGED_AT_M,
        known.power_reduction_s,
        known.end_s,
    )
}

/// The last of the glide before power came back in this draw, s.
pub fn last_of_glide_s(drawn: &DrawnAttempt) -> Option<f64> {
    match drawn.end {
        DrawnEnd::GoAround { at_s } => {
            Some((at_s - BEFORE_POWER_S).max(drawn.known.power_reduction_s))
        }
        _ => None,
    }
}

pub(super) fn measure(drawn: &DrawnAttempt, values: &mut Values) {
    let flown = &drawn.flown;
    let start_s = drawn.known.power_reduction_s;
    if let Some(hand) = hand_of(drawn)
        && let Some(reach) = hand.reach()
    {
        let at = |t_s: f64| {
            let instant = flown.instants.get(flown.index(t_s))?;
            hand.height_in_hand_m(&reach, instant)
        };
        let mut set = |id, height: Option<f64>| values.insert(id, height.map_or(f64::NAN, ft));
        set("height_in_hand_at_power_reduction_ft", at(start_s));
        set(
            "height_in_hand_at_abeam_ft",
            drawn.times.abeam_s.filter(|t| *t >= start_s).and_then(at),
        );
        let (from_s, to_s) = least_between(drawn);
        set(
            "height_in_hand_min_ft",
            least_in_hand(&hand, flown, from_s, to_s).map(|l| l.0),
        );
    }

    values.insert(
        "projected_from_500ft_along_ft",
        judged_at_s(drawn).map_or(f64::NAN, |t| projected_along_ft(drawn, t)),
    );
    if let Some(t_s) = last_of_glide_s(drawn) {
        values.insert(
            "projected_touchdown_along_ft",
            projected_along_ft(drawn, t_s),
        );
    }
}

/// Where the least height in hand is looked for: from settled to on final or the end of the glide.
pub fn least_between(drawn: &DrawnAttempt) -> (f64, f64) {
    let from_s = drawn
        .times
        .best_glide_held_s
        .unwrap_or(drawn.known.power_reduction_s);
    let to_s = drawn
        .times
        .on_final_s
        .unwrap_or(drawn.known.end_s)
        .min(drawn.known.end_s);
    (from_s.min(to_s), to_s)
}

/// Ground within glide at the power reduction of this draw, east and north of the aim, m.
pub fn ring_at_power_reduction(drawn: &DrawnAttempt) -> Vec<[f64; 2]> {
    let flown = &drawn.flown;
    let Some(hand) = hand_of(drawn) else {
        return Vec::new();
    };
    let Some(at) = flown
        .instants
        .get(flown.index(drawn.known.power_reduction_s))
    else {
        return Vec::new();
    };
    let height_m = at.motion.height_m + hand.glider().speed_worth_m(at.tas_mps, at.motion.height_m);
    glide_ring(hand.glider(), hand.setting(), (at.heading_deg, height_m))
        .into_iter()
        .map(|c| [c[0] + at.motion.east_m, c[1] + at.motion.north_m])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::invented::{drawn, straight};
    use super::*;

    #[test]
    fn a_dive_loses_two_and_a_half_times_what_a_glide_does() {
        // 3.9 m/s at best glide: 9.7 m/s are a dive
        let glide = drawn(30.0, straight((3000.0, 400.0), 35.0, 3.9));
        let best_mps = glide.known.best_glide_cas_mps;
        let limit_mps = 2.5 * glide.polar.sink_mps(best_mps, best_mps, 1.0);
        let dives = |sink_mps| {
            let of = drawn(30.0, straight((3000.0, 400.0), 35.0, sink_mps));
            dives_at(&of, 10.0)
        };
        assert!(
            !dives(0.97 * limit_mps) && dives(1.03 * limit_mps),
            "{limit_mps}"
        );
    }
}
