//! The legs of an attempt.

use super::attempt::{AttemptAnalysis, AttemptEnd};
use super::document::Leg;
use super::instants::rfc3339;
use super::key_points::{flare_s, median};
use crate::key_points::turns::{orbits_in, turns};

/// The stretches of an attempt by the median instants of its draws; orbits and rollout by the first draw.
pub(super) fn legs(start: f64, a: &AttemptAnalysis) -> Vec<Leg> {
    let draws = &a.draws;
    let Some(reduction) = median(draws, |d| Some(d.known.power_reduction_s)) else {
        return Vec::new();
    };
    let end = median(draws, |d| Some(d.known.end_s)).unwrap_or(reduction);
    let held = median(draws, |d| d.times.best_glide_held_s);
    let abeam = median(draws, |d| d.times.abeam_s).filter(|t| *t > reduction);
    let base = median(draws, |d| d.times.base_turn_s);
    let on_final = median(draws, |d| d.times.on_final_s);
    let flare = median(draws, flare_s);
    let mut marks: Vec<(f64, &str)> = vec![(reduction, "settling")];
    if let Some(t) = held {
        marks.push((t, "glide"));
    }
    // the downwind starts where the last turn before the abeam point ended
    if let Some(t) = abeam {
        let from = draws
            .first()
            .map(|d| turns(&d.flown, reduction, t))
            .and_then(|turns| turns.last().map(|turn| turn.to_s))
            .unwrap_or(reduction);
        marks.push((from.max(held.unwrap_or(reduction)).min(t), "downwind"));
    }
    if let Some(t) = base {
        marks.push((t, "base"));
    }
    if let Some(t) = on_final {
        marks.push((t, "final"));
    }
    if let Some(t) = flare {
        marks.push((t, "flare"));
    }
    marks.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut out: Vec<Leg> = Vec::new();
    for (i, (from, kind)) in marks.iter().enumerate() {
        let to = marks.get(i + 1).map_or(end, |m| m.0);
        if to - from > 0.5 {
            out.push(leg(kind, start + from, start + to));
        }
    }
    if let Some(d) = draws.first() {
        for turn in turns(&d.flown, reduction, base.unwrap_or(end)) {
            if orbits_in(&turn) >= 1.0 {
                out.push(leg("orbit", start + turn.from_s, start + turn.to_s));
            }
        }
        if a.end == AttemptEnd::Touchdown {
            let last = d.flown.instants.last().map_or(end, |i| i.motion.t_s);
            out.push(leg("rollout", start + end, start + last));
        }
    }
    out.sort_by(|x, y| x.from_utc.cmp(&y.from_utc));
    out
}

fn leg(kind: &str, from: f64, to: f64) -> Leg {
    Leg {
        kind: kind.into(),
        from_utc: rfc3339(from),
        to_utc: rfc3339(to),
    }
}
