//! Stretches without fixes.

use crate::reading::Fix;

/// A gap is longer than this, s ...
const GAP_S: f64 = 5.0;

/// ... and than so many times the middle step.
const GAP_STEPS: f64 = 3.0;

/// A stretch without fixes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Last fix before, seconds since 1970-01-01T00:00:00Z.
    pub from_s: f64,
    /// First fix behind, seconds since 1970-01-01T00:00:00Z.
    pub to_s: f64,
    /// The recording itself says that what is before and behind are not to be joined;
    /// such a gap is listed however short it is.
    pub new_segment: bool,
}

/// The middle time between fixes, s; 0 of fewer than two.
pub(super) fn median_step_s(fixes: &[Fix]) -> f64 {
    let mut steps: Vec<f64> = fixes.windows(2).map(|w| w[1].utc_s - w[0].utc_s).collect();
    if steps.is_empty() {
        return 0.0;
    }
    let middle = steps.len() / 2;
    let (_, step, _) = steps.select_nth_unstable_by(middle, f64::total_cmp);
    // Differences of large numbers: what is left of them behind the microsecond is not real.
    (*step * 1e6).round() / 1e6
}

/// A gap is longer than this, s.
pub(super) fn long_s(median_step_s: f64) -> f64 {
    GAP_S.max(GAP_STEPS * median_step_s)
}

impl Gap {
    /// From the last fix before to the first behind, s.
    pub fn length_s(&self) -> f64 {
        self.to_s - self.from_s
    }
}

pub(super) fn find(fixes: &[Fix], median_step_s: f64) -> Vec<Gap> {
    let long_s = long_s(median_step_s);
    fixes
        .windows(2)
        .filter(|w| w[1].utc_s - w[0].utc_s > long_s || w[0].segment != w[1].segment)
        .map(|w| Gap {
            from_s: w[0].utc_s,
            to_s: w[1].utc_s,
            new_segment: w[0].segment != w[1].segment,
        })
        .collect()
}
