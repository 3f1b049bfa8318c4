//! Seconds from the power reduction to each key point and event.

use super::super::document::TimeTo;
use super::super::key_points::FINDERS;
use super::{Over, middle};
use crate::measures::DrawnAttempt;
use crate::quantity::from_draws;

/// Nobody needs a budget for these: where it begins, and the last second or two before the touchdown.
const LEFT_OUT: [&str; 2] = ["power_reduction", "flare"];

/// The budget, in time order, from the power reduction on.
pub(super) fn time_budget(over: &Over<'_>) -> Vec<TimeTo> {
    let Some((start_s, end_s)) = over.glide_s() else {
        return Vec::new();
    };
    let since = |t_s: &dyn Fn(&DrawnAttempt) -> Option<f64>| -> Vec<f64> {
        over.draws
            .iter()
            .map(|d| t_s(d).map_or(f64::NAN, |t| t - d.known.power_reduction_s))
            .collect()
    };
    let key_points = FINDERS
        .iter()
        .filter(|(what, _)| !LEFT_OUT.contains(what) && over.lost.reason_at(what).is_none())
        .map(|(what, time)| ((*what).to_owned(), "key_point", since(time)));
    let events = over
        .briefing
        .events
        .iter()
        .filter_map(|e| Some((e.what.clone(), e.utc_s()? - over.start_utc_s)))
        .filter(|(_, t_s)| (start_s..=end_s).contains(t_s))
        .map(|(what, t_s)| (what, "event", since(&move |_| Some(t_s))));
    let mut found: Vec<(f64, TimeTo)> = key_points
        .chain(events)
        .filter_map(|(what, kind, seconds)| {
            let elapsed_s = from_draws(&seconds, "");
            elapsed_s.value()?;
            let time = TimeTo {
                what,
                kind: kind.into(),
                elapsed_s,
            };
            Some((middle(seconds.into_iter())?, time))
        })
        .filter(|(middle_s, _)| *middle_s >= 0.0)
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|f| f.1).collect()
}
