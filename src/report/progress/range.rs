//! What heights of a measure's drawing show: the values and the yardstick, and of far ones only that they are there.

use crate::progress::document::MeasureProgress;
use crate::quantity::quantile_sorted;

/// Room for the ends of intervals beyond the values, share of the values' own range, and of the middle interval's
/// width: wilder ones are cut, with a mark, for the rest not to become flat.
const ROOM: (f64, f64) = (0.6, 0.3);
/// A value is far when it lies more widths than this beyond the middle half of the values and the yardstick.
const FAR: f64 = 4.0;
/// Fewer values than this have no middle half.
const FEW: usize = 5;

/// Lowest and highest value shown, in the unit shown: `times` the document's.
pub(super) fn shown(m: &MeasureProgress, times: f64) -> (f64, f64) {
    let limit = times * m.yardstick;
    let least = if m.better == "nearer_zero" {
        -limit
    } else {
        limit
    };
    let mut values: Vec<f64> = m.points.iter().map(|p| times * p.value).collect();
    values.sort_by(f64::total_cmp);
    let fence = fence(&values, (least.min(limit), limit));
    let near = values.iter().filter(|v| (fence.0..=fence.1).contains(v));
    let (low, high) = near.fold((least.min(limit), limit), |(low, high), v| {
        (low.min(*v), high.max(*v))
    });
    with_intervals(m, times, (low, high))
}

/// Between what a value is near; `values` are sorted.
fn fence(values: &[f64], (least, most): (f64, f64)) -> (f64, f64) {
    if values.len() < FEW {
        return (f64::NEG_INFINITY, f64::INFINITY);
    }
    let low = quantile_sorted(values, 0.25).min(least);
    let high = quantile_sorted(values, 0.75).max(most);
    let room = FAR * (high - low);
    (low - room, high + room)
}

/// The range of the values widened for the ends of their intervals, as far as there is room.
fn with_intervals(m: &MeasureProgress, times: f64, (low, high): (f64, f64)) -> (f64, f64) {
    let mut widths: Vec<f64> = m
        .points
        .iter()
        .map(|p| times * (p.high - p.low))
        .filter(|w| w.is_finite())
        .collect();
    if widths.is_empty() {
        return (low, high);
    }
    widths.sort_by(f64::total_cmp);
    let room = (ROOM.0 * (high - low)).max(ROOM.1 * quantile_sorted(&widths, 0.5));
    let least = m
        .points
        .iter()
        .fold(low, |least, p| least.min(times * p.low));
    let most = m
        .points
        .iter()
        .fold(high, |most, p| most.max(times * p.high));
    if m.points.len() < FEW {
        return (least, most);
    }
    (least.max(low - room), most.min(high + room))
}

#[cfg(test)]
mod tests {
    use super::fence;

    fn inside(values: &[f64], yardstick: (f64, f64), value: f64) -> bool {
        let (low, high) = fence(values, yardstick);
        (low..=high).contains(&value)
    }

    #[test]
    fn one_far_value_among_many_is_beyond_and_of_few_none_is() {
        let many = [-150.0, -90.0, -20.0, 40.0, 110.0, 180.0, 2400.0];
        assert!(!inside(&many, (-200.0, 200.0), 2400.0));
        assert!(inside(&many, (-200.0, 200.0), -150.0));
        assert!(inside(&[10.0, 20.0, 30.0, 900.0], (-5.0, 5.0), 900.0));
    }

    #[test]
    fn values_all_far_from_the_yardstick_are_shown() {
        let off = [800.0, 900.0, 1000.0, 1100.0, 1200.0, 1500.0];
        assert!(
            off.iter()
                .all(|value| inside(&off, (-100.0, 100.0), *value))
        );
    }
}
