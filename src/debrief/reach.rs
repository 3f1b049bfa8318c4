//! Height in hand along an attempt, the moments reach was lost or won, and the ground within glide, over the draws.

use super::document::Event;
use super::instants::measured;
use crate::measures::DrawnAttempt;
use crate::measures::reach::{hand_of, ring_at_power_reduction};
use crate::quantity::{from_draws, quantile_sorted};
use crate::reach::along_attempt::{Moments, heights_in_hand_m, moments};
use crate::units::ft;

/// Draws these are taken over: medians and shares need fewer than the ends of an interval.
const ENOUGH_DRAWS: usize = 32;

/// Height in hand, moments and ring of an attempt.
#[derive(Debug, Default)]
pub(super) struct InHand {
    /// Height in hand at each step of the series, ft.
    pub(super) height_ft: Vec<Option<f64>>,
    /// The moments on which at least half of the draws agree, in time order.
    pub(super) events: Vec<Event>,
    /// Corners of the ground within glide at the power reduction, east and north of the aim, ft.
    pub(super) ring_ft: Vec<[f64; 2]>,
}

/// `steps` are the instants of the series; `start_utc_s` is the recording's clock zero.
pub(super) fn in_hand(draws: &[DrawnAttempt], steps: &[usize], start_utc_s: f64) -> InHand {
    let mut heights: Vec<Vec<f64>> = vec![Vec::new(); steps.len()];
    let mut found: Vec<Option<Moments>> = Vec::new();
    let draws = &draws[..draws.len().min(ENOUGH_DRAWS)];
    for drawn in draws {
        let Some(hand) = hand_of(drawn) else {
            found.push(None);
            continue;
        };
        let flown = &drawn.flown;
        let glide = (drawn.known.power_reduction_s, drawn.known.end_s);
        let series = heights_in_hand_m(&hand, flown, steps, glide, drawn.times.on_final_s);
        for (all, height) in heights.iter_mut().zip(&series) {
            all.extend(height.map(ft));
        }
        let settled = drawn.times.best_glide_held_s.unwrap_or(glide.0);
        found.push(Some(moments(
            &hand,
            flown,
            (steps, &series),
            settled,
            drawn.times.base_turn_s,
        )));
    }
    let height_ft = heights
        .into_iter()
        .map(|mut all| {
            all.sort_by(f64::total_cmp);
            (2 * all.len() > draws.len()).then(|| quantile_sorted(&all, 0.5))
        })
        .collect();
    InHand {
        height_ft,
        events: events(draws, &found, start_utc_s),
        ring_ft: ring(draws),
    }
}

/// A kind of event, its moment, and what to say of it.
type Kind = (&'static str, fn(&Moments) -> Option<f64>, &'static str);

const KINDS: [Kind; 3] = [
    (
        "last_within_reach",
        |m| m.last_within_reach_s,
        "last moment from which the aim point could be reached at best glide",
    ),
    (
        "back_within_reach",
        |m| m.back_within_reach_s,
        "the aim point is within reach again",
    ),
    (
        "too_high",
        |m| m.too_high_s,
        "too high to come down to the aim point without S-turns or an orbit, even with full flap",
    ),
];

fn events(draws: &[DrawnAttempt], found: &[Option<Moments>], start_utc_s: f64) -> Vec<Event> {
    let mut out = Vec::new();
    for (kind, moment, words) in KINDS {
        let times: Vec<f64> = found
            .iter()
            .map(|m| m.as_ref().and_then(moment).unwrap_or(f64::NAN))
            .collect();
        let mut finite: Vec<f64> = times.iter().copied().filter(|t| t.is_finite()).collect();
        if finite.is_empty() || 2 * finite.len() < draws.len() {
            continue;
        }
        finite.sort_by(f64::total_cmp);
        let heights: Vec<f64> = draws
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
        out.push((
            quantile_sorted(&finite, 0.5),
            Event {
                kind: kind.into(),
                utc: measured(&times, start_utc_s, "too uncertain to put a time to"),
                height_ft: from_draws(&heights, "no height could be worked out here"),
                words: words.into(),
            },
        ));
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.into_iter().map(|e| e.1).collect()
}

/// Corner by corner the middle of the draws' rings.
fn ring(draws: &[DrawnAttempt]) -> Vec<[f64; 2]> {
    let rings: Vec<Vec<[f64; 2]>> = draws.iter().map(ring_at_power_reduction).collect();
    let corners = rings.iter().map(Vec::len).max().unwrap_or(0);
    (0..corners)
        .filter_map(|k| {
            let middle = |axis: usize| -> Option<f64> {
                let mut all: Vec<f64> = rings
                    .iter()
                    .filter_map(|r| r.get(k).map(|c| ft(c[axis])))
                    .filter(|x| x.is_finite())
                    .collect();
                all.sort_by(f64::total_cmp);
                (!all.is_empty()).then(|| quantile_sorted(&all, 0.5))
            };
            Some([middle(0)?, middle(1)?])
        })
        .collect()
}
