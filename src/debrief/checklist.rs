//! The checklist of an attempt, from the events the user noted.
//!
//! An item is done by the first event in the attempt that names it, upper and lower case being equal.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::attempt::AttemptAnalysis;
use super::instants::rfc3339;
use crate::briefing::Briefing;
use crate::measures::DrawnAttempt;
use crate::quantity::{Measured, from_draws};
use crate::units::ft;

/// When the checklist was started and completed, and what of it was missed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Checklist {
    /// Every item in the order of the standard.
    pub items: Vec<ChecklistItem>,
    /// Height above the aim at the first item done, ft.
    pub started_height_ft: Measured,
    /// Height above the aim at the last item, where all were done, ft.
    pub completed_height_ft: Measured,
    /// Time left from then to abeam, s; negative where it was completed later.
    pub completed_before_abeam_s: Measured,
}

/// One item.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ChecklistItem {
    /// As the standard names it.
    pub item: String,
    /// When it was noted; null where it was not.
    pub utc: Option<String>,
}

/// The checklist of an attempt; none where the standard has no checklist or nobody noted an event.
pub(super) fn checklist(
    items: &[String],
    briefing: &Briefing,
    attempt: &AttemptAnalysis,
    utc_start_s: f64,
) -> Option<Checklist> {
    let mut events: Vec<(f64, String)> = briefing
        .events
        .iter()
        .filter_map(|e| Some((e.utc_s()? - utc_start_s, e.what.to_lowercase())))
        .collect();
    if items.is_empty() || events.is_empty() {
        return None;
    }
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    let draws = &attempt.draws;
    let within = |t_s: f64| {
        let inside = |d: &&DrawnAttempt| t_s >= d.known.power_reduction_s && t_s <= d.known.end_s;
        2 * draws.iter().filter(inside).count() >= draws.len()
    };
    let done: Vec<Option<f64>> = items
        .iter()
        .map(|item| {
            let item = item.to_lowercase();
            events
                .iter()
                .find(|(t_s, what)| what.contains(&item) && within(*t_s))
                .map(|(t_s, _)| *t_s)
        })
        .collect();
    let times: Vec<f64> = done.iter().flatten().copied().collect();
    let first_s = times.iter().copied().reduce(f64::min);
    let last_s = times.iter().copied().reduce(f64::max);
    let last_s = last_s.filter(|_| times.len() == items.len());
    let height = |t_s: Option<f64>, reason: &str| {
        let heights: Vec<f64> = draws
            .iter()
            .map(|d| t_s.map_or(f64::NAN, |t| ft(d.flown.at(t).height_m)))
            .collect();
        from_draws(&heights, reason)
    };
    let to_abeam_s: Vec<f64> = draws
        .iter()
        .map(|d| {
            let left = last_s
                .zip(d.times.abeam_s)
                .map(|(last, abeam)| abeam - last);
            left.unwrap_or(f64::NAN)
        })
        .collect();
    let missed = if last_s.is_none() {
        "an item of the checklist was not noted"
    } else {
        "no abeam point"
    };
    Some(Checklist {
        items: items
            .iter()
            .zip(&done)
            .map(|(item, t_s)| ChecklistItem {
                item: item.clone(),
                utc: t_s.map(|t| rfc3339(utc_start_s + t)),
            })
            .collect(),
        started_height_ft: height(first_s, "no item of the checklist was noted"),
        completed_height_ft: height(last_s, "an item of the checklist was not noted"),
        completed_before_abeam_s: from_draws(&to_abeam_s, missed),
    })
}
