//! Which measures can be flown better or worse, and what counts as met.
//!
//! These follow a pilot; `debrief --standard` holds an attempt against a standard. Where a standard that comes with the
//! program has a limit it is taken from there, and where the debrief speaks of one it is the same: no limit is written
//! twice.

use std::sync::LazyLock;

use crate::grading::{Criterion, find};
use crate::measures::dangers::{SLOW_MARGIN, STEEP_BEYOND_DEG};
use crate::measures::limits::SETTLED_WITHIN_S;
use crate::reach::setting::USUAL_BANK_LIMIT_DEG;

/// What is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Better {
    Less,
    More,
    NearerZero,
    /// A floor: above it, more is not better, and no course is told.
    AtLeast,
}

impl Better {
    pub(super) fn word(self) -> &'static str {
        match self {
            Better::Less => "less",
            Better::More => "more",
            Better::NearerZero => "nearer_zero",
            Better::AtLeast => "at_least",
        }
    }
}

/// Yardstick of one measure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Yardstick {
    pub(super) measure: &'static str,
    pub(super) better: Better,
    pub(super) limit: f64,
    pub(super) source: String,
}

/// Spread of the airspeed in the glide, kt (common practice).
const GLIDE_CAS_SD_KT: f64 = 4.0;
/// Height abeam from the target, ft (common practice).
const ABEAM_ERROR_FT: f64 = 150.0;
/// Touchdown to either side of the centreline, ft: half the width of a narrow runway (common practice).
const TOUCHDOWN_ACROSS_FT: f64 = 25.0;
/// Sink at touchdown, ft/min: between a good landing, below 120, and a hard one, from 360 on (common practice).
const TOUCHDOWN_SINK_FPM: f64 = 250.0;
/// Touchdown as judged at 500 ft: flap, slip and speed still mend this much, ft (common practice).
const PROJECTED_FT: f64 = 500.0;

/// The yardsticks in the order of the tables.
pub(super) fn yardsticks() -> &'static [Yardstick] {
    static ALL: LazyLock<Vec<Yardstick>> = LazyLock::new(all);
    &ALL
}

fn all() -> Vec<Yardstick> {
    let of = |measure, better, limit, source: &str| {
        Some(Yardstick {
            measure,
            better,
            limit,
            source: source.to_owned(),
        })
    };
    let practice = "common practice";
    [
        of(
            "settling_time_s",
            Better::Less,
            SETTLED_WITHIN_S,
            "common practice; from here on a debrief remarks on it",
        ),
        of("glide_cas_sd_kt", Better::Less, GLIDE_CAS_SD_KT, practice),
        standard(
            ("US-private-emergency", "glide_cas_within_share"),
            Better::More,
            |criterion| criterion.low,
            |source| format!("share of the glide within the tolerance of {source}; the share is the program's own"),
        ),
        of(
            "bank_max_deg",
            Better::Less,
            USUAL_BANK_LIMIT_DEG + STEEP_BEYOND_DEG,
            &format!(
                "common practice: {STEEP_BEYOND_DEG:.0}° beyond the usual limit of {USUAL_BANK_LIMIT_DEG:.0}°; from here on a debrief calls a turn to final steep"
            ),
        ),
        of(
            "stall_margin_min",
            Better::AtLeast,
            SLOW_MARGIN,
            "common practice; below it a debrief calls it slow",
        ),
        of(
            "abeam_height_error_ft",
            Better::NearerZero,
            ABEAM_ERROR_FT,
            practice,
        ),
        of(
            "height_in_hand_min_ft",
            Better::AtLeast,
            0.0,
            "below zero the aim is out of reach; much in hand is an overshoot, so more is not better",
        ),
        standard(
            ("US-commercial-PO180", "touchdown_along_ft"),
            Better::NearerZero,
            |criterion| criterion.high,
            |source| format!("{source}, which allows it beyond the point only"),
        ),
        of(
            "touchdown_across_ft",
            Better::NearerZero,
            TOUCHDOWN_ACROSS_FT,
            practice,
        ),
        of(
            "touchdown_sink_fpm",
            Better::Less,
            TOUCHDOWN_SINK_FPM,
            practice,
        ),
        of(
            "projected_from_500ft_along_ft",
            Better::NearerZero,
            PROJECTED_FT,
            practice,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// A yardstick that a standard of the program has.
fn standard(
    (id, measure): (&str, &'static str),
    better: Better,
    limit: impl Fn(&Criterion) -> Option<f64>,
    source: impl Fn(&str) -> String,
) -> Option<Yardstick> {
    let standard = find(id)?;
    let criterion = standard.criteria.iter().find(|c| c.measure == measure)?;
    Some(Yardstick {
        measure,
        better,
        limit: limit(criterion)?,
        source: source(&criterion.source),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_yardstick_is_there_and_those_of_standards_are_theirs() {
        let all = yardsticks();
        assert_eq!(all.len(), 11);
        let of = |id: &str| all.iter().find(|y| y.measure == id).unwrap();
        // FAA-S-ACS-7B, Area IV Task M: 0 to 200 ft beyond the point
        assert!((of("touchdown_along_ft").limit - 200.0).abs() < 1e-9);
        assert!(of("touchdown_along_ft").source.contains("FAA-S-ACS-7B"));
        assert!((of("glide_cas_within_share").limit - 0.9).abs() < 1e-9);
        assert!((of("bank_max_deg").limit - 40.0).abs() < 1e-9);
        assert!(
            of("bank_max_deg")
                .source
                .contains("10° beyond the usual limit of 30°")
        );
        assert!((of("settling_time_s").limit - 15.0).abs() < 1e-9);
    }
}
