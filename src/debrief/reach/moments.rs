//! The moments at which reach was lost or won, over the draws.

use super::super::document::Event;
use super::super::instants::measured;
use super::Over;
use crate::quantity::{from_draws, quantile_sorted};
use crate::reach::Moments;
use crate::reach::moments::moments;
use crate::units::ft;

/// A kind of event, its moment, and what to say of it.
type Kind = (&'static str, fn(&Moments) -> Option<f64>, &'static str);

const KINDS: [Kind; 4] = [
    (
        "out_of_reach",
        |m| m.out_of_reach_s,
        "the aim point is out of reach at best glide, for a while",
    ),
    (
        "back_within_reach",
        |m| m.back_within_reach_s,
        "the aim point is within reach again",
    ),
    (
        "last_within_reach",
        |m| m.last_within_reach_s,
        "last moment from which the aim point could be reached at best glide",
    ),
    (
        "too_high",
        |m| m.too_high_s,
        "too high to come down to the aim point without S-turns, an orbit or a slip, even with full flap",
    ),
];

/// The moments on which at least half of the draws agree, in time order.
pub(super) fn events(over: &Over<'_>, steps: &[usize], series: &[Vec<Option<f64>>]) -> Vec<Event> {
    let found: Vec<Option<Moments>> = over
        .each()
        .zip(series)
        .map(|((drawn, hand), heights)| {
            let times = &drawn.times;
            let settled_s = times
                .best_glide_held_s
                .unwrap_or(drawn.known.power_reduction_s);
            let pattern_s = times.base_turn_s.or(times.on_final_s);
            Some(moments(
                hand?,
                &drawn.flown,
                (steps, heights),
                settled_s,
                pattern_s,
            ))
        })
        .collect();
    let mut out: Vec<(f64, Event)> = KINDS
        .iter()
        .filter_map(|kind| event(over, &found, kind))
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.into_iter().map(|e| e.1).collect()
}

fn event(over: &Over<'_>, found: &[Option<Moments>], kind: &Kind) -> Option<(f64, Event)> {
    let (name, moment, words) = kind;
    let times: Vec<f64> = found
        .iter()
        .map(|m| m.as_ref().and_then(moment).unwrap_or(f64::NAN))
        .collect();
    let mut finite: Vec<f64> = times.iter().copied().filter(|t| t.is_finite()).collect();
    let too_few = finite.is_empty() || 2 * finite.len() < times.len();
    if too_few || over.lost.reason_within(&finite).is_some() {
        return None;
    }
    finite.sort_by(f64::total_cmp);
    let heights: Vec<f64> = over
        .draws
        .iter()
        .zip(&times)
        .map(|(d, t)| {
            if t.is_finite() {
                ft(d.flown.at(*t).height_m)
            } else {
                f64::NAN
            }
        })
        .collect();
    let event = Event {
        kind: (*name).into(),
        utc: measured(&times, over.start_utc_s, "too uncertain to tell"),
        height_ft: from_draws(&heights, "no height could be worked out here"),
        probability: finite.len() as f64 / times.len() as f64,
        words: (*words).into(),
    };
    Some((quantile_sorted(&finite, 0.5), event))
}
