//! Time stamps cut to whole seconds by a recorder that is faster than that.

use crate::reading::{Fix, Notes};

/// Share of the seconds that must hold several fixes.
const SHARE: f64 = 0.5;

/// Spreads fixes with the same whole-second stamp over that second; true if there were such.
///
/// A recorder with k fixes a second that writes no fractions gives each stamp k times.
/// The n-th of them belongs n/k after the second, whatever the constant part is that
/// was cut off with it. Behind a gap, a second with too few has its last ones.
pub(super) fn spread(fixes: &mut Vec<Fix>, notes: &mut Notes) -> bool {
    let mut sizes: Vec<usize> = groups(fixes)
        .map(|(start, end)| distinct_places(&fixes[start..end]))
        .collect();
    let many = sizes.iter().filter(|s| **s > 1).count();
    if sizes.len() < 5 || (many as f64) < SHARE * sizes.len() as f64 {
        return false;
    }
    let middle = sizes.len() / 2;
    let (_, size, _) = sizes.select_nth_unstable(middle);
    let per_second = *size;
    drop_copies(fixes, per_second, notes);
    let spans: Vec<(usize, usize)> = groups(fixes).collect();
    let mut last_s = f64::NEG_INFINITY;
    for (start, end) in spans {
        let second_s = fixes[start].utc_s;
        // A second with more than usual is shared out among what it has.
        let parts = per_second.max(end - start);
        let missing = if second_s - last_s > 1.0 {
            parts - (end - start)
        } else {
            0
        };
        for (nth, fix) in fixes[start..end].iter_mut().enumerate() {
            fix.utc_s += (missing + nth) as f64 / parts as f64;
        }
        last_s = second_s;
    }
    notes.remark(
        fixes.first().map_or(0, |f| f.line),
        &format!(
            "time stamps without fractions, {per_second} fixes to the second: they were spread over each second"
        ),
    );
    true
}

/// In seconds with more fixes than usual, copies of the fix before are too many.
fn drop_copies(fixes: &mut Vec<Fix>, per_second: usize, notes: &mut Notes) {
    let mut copy = vec![false; fixes.len()];
    for (start, end) in groups(fixes) {
        let mut surplus = (end - start).saturating_sub(per_second);
        for i in start + 1..end {
            if surplus > 0 && same_place(&fixes[i - 1], &fixes[i]) {
                copy[i] = true;
                surplus -= 1;
            }
        }
    }
    let mut flags = copy.into_iter();
    fixes.retain(|fix| {
        let is_copy = flags.next().unwrap_or(false);
        if is_copy {
            notes.dropped(fix.line, super::order::DUPLICATE);
        }
        !is_copy
    });
}

/// Runs of fixes with the same stamp.
fn groups(fixes: &[Fix]) -> impl Iterator<Item = (usize, usize)> {
    let mut start = 0;
    std::iter::from_fn(move || {
        let first = fixes.get(start)?;
        let length = fixes[start..]
            .iter()
            .take_while(|f| f.utc_s == first.utc_s)
            .count();
        let group = (start, start + length);
        start += length;
        Some(group)
    })
}

fn same_place(a: &Fix, b: &Fix) -> bool {
    a.latitude_deg == b.latitude_deg && a.longitude_deg == b.longitude_deg
}

/// Changes of place within a run, and one: a duplicated fix is no fix more.
fn distinct_places(fixes: &[Fix]) -> usize {
    1 + fixes
        .windows(2)
        .filter(|w| !same_place(&w[0], &w[1]))
        .count()
}
