//! The tolerance of a criterion on how long a speed was held.

use super::fields::{Reader, Table};
use super::standard::About;

/// The measures of how long a speed was held, each with that speed.
const HELD: [(&str, About); 2] = [
    ("glide_cas_within_share", About::BestGlide),
    ("final_cas_within_share", About::Approach),
];

/// The speed that `measure` tells how long it was held, where it is such a measure.
pub(super) fn about(measure: &str) -> Option<About> {
    let row = HELD.iter().find(|row| row.0 == measure);
    row.map(|row| row.1)
}

impl Reader<'_> {
    /// The tolerance of a share of time, kt from the speed it counts from; `held` is the speed that the measure of the
    /// criterion tells how long it was held, `about` the one the file names.
    pub(super) fn tolerance(
        &mut self,
        table: &Table<'_>,
        (held, about): (Option<About>, Option<About>),
        factor: f64,
    ) -> Option<[f64; 2]> {
        let low = self.number_of(table, "within_low");
        let high = self.number_of(table, "within_high");
        let (low, high) = match (low, high) {
            (None, None) if held.is_some() && about.is_some() => {
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
        if held.is_none() || about != held {
            let pairs = HELD.map(|(measure, about)| {
                format!("`{measure}`, with `about = \"{}\"`", about.written())
            });
            let what = format!(
                "`within_low` and `within_high` are for {}",
                pairs.join(", and for ")
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
