//! How much two debriefs differ, in units of their own intervals.

use stillprop::debrief::document::Debrief;

/// Draws of a debrief here: twice the usual number, for less of their noise.
pub(super) const DRAWS: usize = 400;

/// What rounding may do, in half-widths of the interval: positions to 1e-9 degree and times to 2.4e-7 s (the
/// last digit of seconds since 1970) go through a fit that stops when it gains little, and one draw of the
/// 400 may come down on the other side of a choice, which moves the end of an interval to the next draw, farther where draws are few: in the tails of shares of time and of what was
/// flown on final. Seen is up to 0.036. Root mean square, and greatest.
pub(super) const ROUNDING: [f64; 2] = [0.04, 0.15];

/// What other draws may do, in half-widths. With 400 draws of a normal figure a median wanders by 0.03 of the
/// half-width and the end of an interval by 0.07 (one standard deviation), so two of them differ by 0.045 and 0.1.
/// Windows that are common to all draws, as that of the steady glide, have ends of half a second, which may fall
/// to the next one: hence more for one figure alone. Root mean square, and greatest: of values, and of ends.
pub(super) const OTHER_DRAWS: ([f64; 2], [f64; 2]) = ([0.1, 0.4], [0.15, 0.7]);

/// A figure of two debriefs: difference of the value and of both ends, in half-widths of the interval.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Change {
    pub(super) id: String,
    pub(super) value: f64,
    pub(super) ends: [f64; 2],
    /// Width of the other interval over that of the first.
    pub(super) width: f64,
}

/// Every measure of every attempt; `mirrored` where left and right are exchanged. The same attempts must be
/// there, ending alike, with the same figures measured.
#[track_caller]
pub(super) fn changes(one: &Debrief, other: &Debrief, mirrored: bool) -> Vec<Change> {
    assert_eq!(one.attempts.len(), other.attempts.len());
    let mut out = Vec::new();
    for (a, b) in one.attempts.iter().zip(&other.attempts) {
        assert_eq!(a.ending, b.ending);
        for (id, first) in &a.measures {
            let second = &b.measures[id];
            assert_eq!(first.reason(), second.reason(), "{id}");
            let (Some(x), Some((low, high))) = (first.value(), first.interval()) else {
                continue;
            };
            let (Some(y), Some((l, h))) = (second.value(), second.interval()) else {
                continue;
            };
            let (y, l, h) = if mirrored && id == "touchdown_across_ft" {
                (-y, -h, -l)
            } else {
                (y, l, h)
            };
            // where nearly all draws have a share of none or all of the time, its width is no scale: a tenth is
            let least = if id.ends_with("_share") { 0.1 } else { 0.0 };
            let half = (0.5 * (high - low)).max(least);
            // a count of orbits may have no width at all
            if half < 1e-9 {
                assert!((x - y).abs() < 1e-9, "{id}: {x} and {y}");
                continue;
            }
            out.push(Change {
                id: id.clone(),
                value: (y - x) / half,
                ends: [(l - low) / half, (h - high) / half],
                width: (0.5 * (h - l)).max(least) / half,
            });
        }
    }
    assert!(out.len() > 15, "{} figures", out.len());
    out
}

/// No figure differs by more than rounding explains.
#[track_caller]
pub(super) fn same(one: &Debrief, other: &Debrief) {
    let all = changes(one, other, false);
    let [rms_most, most] = ROUNDING;
    for c in &all {
        let end = c.ends[0].abs().max(c.ends[1].abs());
        assert!(end.max(c.value.abs()) < most, "{c:?}");
    }
    let rms = rms(&all, |c| c.value)
        .max(rms(&all, |c| c.ends[0]))
        .max(rms(&all, |c| c.ends[1]));
    assert!(rms < rms_most, "rms {rms}: {all:?}");
}

fn rms(all: &[Change], f: impl Fn(&Change) -> f64) -> f64 {
    (all.iter().map(|c| f(c).powi(2)).sum::<f64>() / all.len() as f64).sqrt()
}

/// No figure differs by more than other draws explain.
#[track_caller]
pub(super) fn same_but_for_draws(one: &Debrief, other: &Debrief, mirrored: bool) {
    let all = changes(one, other, mirrored);
    let ([value_rms, value_most], [end_rms, end_most]) = OTHER_DRAWS;
    for c in &all {
        let end = c.ends[0].abs().max(c.ends[1].abs());
        assert!(c.value.abs() < value_most && end < end_most, "{c:?}");
    }
    let value = rms(&all, |c| c.value);
    let end = rms(&all, |c| c.ends[0]).max(rms(&all, |c| c.ends[1]));
    assert!(
        value < value_rms && end < end_rms,
        "rms {value}, {end}: {all:?}"
    );
}
