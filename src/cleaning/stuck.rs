//! A position that is repeated while the aeroplane moves on.

use super::plane::distance_m;
use crate::reading::{Fix, Notes};

/// Fewest equal positions in a row.
const FEWEST: usize = 3;

/// Way the aeroplane must have made meanwhile, m.
const MOVED_M: f64 = 15.0;

/// Drops all but the first of equal positions in a row, if speeds or the next fix say that it moved.
pub(super) fn drop_stuck(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    let mut stuck = vec![false; fixes.len()];
    let mut start = 0;
    while start < fixes.len() {
        let first = fixes[start];
        let same = |f: &Fix| {
            f.latitude_deg == first.latitude_deg && f.longitude_deg == first.longitude_deg
        };
        let end = start + fixes[start..].iter().take_while(|f| same(f)).count();
        if end - start >= FEWEST && has_moved(fixes, start, end) {
            stuck[start + 1..end].fill(true);
        }
        start = end;
    }
    let mut flags = stuck.into_iter();
    fixes.retain(|fix| {
        let is_stuck = flags.next().unwrap_or(false);
        if is_stuck {
            notes.dropped(fix.line, "position repeated while the aeroplane moved on");
        }
        !is_stuck
    });
}

/// Did the aeroplane move while these positions stood still?
fn has_moved(fixes: &[Fix], start: usize, end: usize) -> bool {
    let held_s = fixes[end - 1].utc_s - fixes[start].utc_s;
    let speeds: Vec<f64> = fixes[start..end]
        .iter()
        .filter_map(|f| f.ground_speed_mps.map(f64::from))
        .collect();
    if let Some(slowest) = speeds.iter().copied().reduce(f64::min) {
        // A speed that stuck with the position is no witness for standing still.
        if slowest * held_s > MOVED_M {
            return true;
        }
    }
    // The position was right at the start of the run, and is right again behind it: the
    // way from one to the other took the whole run, and the last step of it cannot be all.
    let Some(next) = fixes.get(end) else {
        return false;
    };
    let Some(before) = start.checked_sub(1).map(|i| fixes[i]) else {
        return false;
    };
    let first = fixes[start];
    let jump_m = distance_m(&first, next);
    let step_s = next.utc_s - fixes[end - 1].utc_s;
    let before_mps = distance_m(&before, &first) / (first.utc_s - before.utc_s).max(1e-3);
    let jump_mps = jump_m / (next.utc_s - first.utc_s).max(1e-3);
    // Half the speed before is kept up on average over the run, and the last step alone would be far too fast.
    jump_m > MOVED_M + 1.5 * before_mps * step_s && jump_mps > 0.5 * before_mps
}
