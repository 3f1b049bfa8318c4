//! The tolerance of a criterion on how long a speed was held.

use super::fields::{Reader, Table};
use super::standard::About;

/// The measure of how long a speed was held.
pub(super) const HELD: &str = "glide_cas_within_share";

impl Reader<'_> {
    /// The tolerance of a share of time, kt from the speed it counts from.
    pub(super) fn tolerance(
        &mut self,
        table: &Table<'_>,
        (is_held, about): (bool, Option<About>),
        factor: f64,
    ) -> Option<[f64; 2]> {
        let low = self.number_of(table, "within_low");
        let high = self.number_of(table, "within_high");
        let (low, high) = match (low, high) {
            (None, None) if is_held && about.is_some() => {
                let what = "`about` without `within_low` and `within_high`: within what of it?";
                self.report(table.span_of("about"), what.into(), None);
                return None;
            }
            (None, None) => return None,
            (Some(low), Some(high)) => (low, high),
            (Some((_, span)), None) | (None, Some((_, span))) => {
                let what = "`within_low` and `within_high` belong together";
                self.report(span, what.into(), None);
                return None;
            }
        };
        if !is_held || about != Some(About::BestGlide) {
            let what = format!(
                "`within_low` and `within_high` are for `{HELD}`, with `about = \"best_glide\"`"
            );
            self.report(low.1, what, None);
            return None;
        }
        if low.0 > high.0 {
            let what = format!(
                "reversed tolerance: `within_low` {} is above `within_high` {}",
                low.0, high.0
            );
            self.report(high.1, what, None);
            return None;
        }
        Some([low.0 * factor, high.0 * factor])
    }
}
