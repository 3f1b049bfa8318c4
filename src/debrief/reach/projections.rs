//! Where the touchdown would be, judged at several moments of the glide, and how it moved.

use super::super::document::Projection;
use super::super::instants::measured;
use super::{Over, middle};
use crate::measures::DrawnAttempt;
use crate::measures::reach::{judged_at_s, last_of_glide_s, projected_along_ft};
use crate::quantity::from_draws;
use crate::units::ft;

/// A name and the moment of a draw.
type Moment = (&'static str, fn(&DrawnAttempt) -> Option<f64>);

const MOMENTS: [Moment; 4] = [
    ("abeam", |d| {
        d.times.abeam_s.filter(|t| *t >= d.known.power_reduction_s)
    }),
    ("500_ft", judged_at_s),
    ("on_final", |d| d.times.on_final_s),
    ("last_of_glide", last_of_glide_s),
];

/// The projections most draws have, in time order.
pub(super) fn projections(over: &Over<'_>) -> Vec<Projection> {
    let mut found: Vec<(f64, Projection, Vec<f64>)> = MOMENTS
        .iter()
        .filter_map(|(name, moment)| {
            let times: Vec<f64> = over
                .draws
                .iter()
                .map(|d| moment(d).unwrap_or(f64::NAN))
                .collect();
            if over.lost.reason_within(&times).is_some() {
                return None;
            }
            let along: Vec<f64> = over
                .draws
                .iter()
                .map(|d| moment(d).map_or(f64::NAN, |t| projected_along_ft(d, t)))
                .collect();
            let heights: Vec<f64> = over
                .draws
                .iter()
                .map(|d| moment(d).map_or(f64::NAN, |t| ft(d.flown.at(t).height_m)))
                .collect();
            let along_ft = from_draws(&along, "");
            along_ft.value()?;
            let projection = Projection {
                judged_at: (*name).into(),
                utc: measured(&times, over.start_utc_s, "too uncertain to tell"),
                height_ft: from_draws(&heights, "no height could be worked out here"),
                along_ft,
                moved_ft: None,
            };
            Some((middle(times.iter().copied())?, projection, along))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    for k in 1..found.len() {
        let moved: Vec<f64> = found[k]
            .2
            .iter()
            .zip(&found[k - 1].2)
            .map(|(now, before)| now - before)
            .collect();
        found[k].1.moved_ft = Some(from_draws(&moved, "too uncertain to tell"));
    }
    found.into_iter().map(|f| f.1).collect()
}
