//! Time stamps cut to whole seconds by a recorder that is faster than that.

use crate::reading::{Fix, Notes};

/// Share of the seconds that must hold several fixes.
const SHARE: f64 = 0.5;

/// Spreads fixes with the same whole-second stamp over that second; true if there were such.
///
/// A recorder with k fixes a second that writes no fractions gives each stamp k times.
/// The n-th of them belongs n/k after the second, whatever the constant part is that
/// was cut off with it.
pub(super) fn spread(fixes: &mut [Fix], notes: &mut Notes) -> bool {
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
    let spans: Vec<(usize, usize)> = groups(fixes).collect();
    for (start, end) in spans {
        // A second with more than usual is shared out among what it has.
        let parts = per_second.max(end - start) as f64;
        for (nth, fix) in fixes[start..end].iter_mut().enumerate() {
            fix.utc_s += nth as f64 / parts;
        }
    }
    notes.remark(
        fixes.first().map_or(0, |f| f.line),
        &format!("time stamps without fractions, {per_second} fixes to the second: they were spread over each second"),
    );
    true
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

/// Changes of place within a run, and one: a duplicated fix is no fix more.
fn distinct_places(fixes: &[Fix]) -> usize {
    1 + fixes
        .windows(2)
        .filter(|w| {
            w[0].latitude_deg != w[1].latitude_deg || w[0].longitude_deg != w[1].longitude_deg
        })
        .count()
}
