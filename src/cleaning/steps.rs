//! Pressure altitudes that step away from GNSS altitudes and stay away.

use crate::reading::{Fix, Notes};

/// A step between two fixes, beyond what GNSS altitude does meanwhile, m.
const STEP_M: f64 = 60.0;

/// What either altitude may be late by between two fixes, in m per second of their distance.
const LAG_MPS: f64 = 10.0;

/// Longest time between fixes over which a step can be told, s.
const WITHIN_S: f64 = 15.0;

/// Drops the pressure altitudes on the shorter side of a step that GNSS altitude does not show.
pub(super) fn drop_pressure_steps(fixes: &mut [Fix], notes: &mut Notes) {
    let both: Vec<usize> = (0..fixes.len())
        .filter(|i| difference_m(&fixes[*i]).is_some())
        .collect();
    let mut steps: Vec<usize> = Vec::new();
    for (n, pair) in both.windows(2).enumerate() {
        let (a, b) = (&fixes[pair[0]], &fixes[pair[1]]);
        let span_s = b.utc_s - a.utc_s;
        let (Some(before_m), Some(behind_m)) = (difference_m(a), difference_m(b)) else {
            continue;
        };
        if span_s <= WITHIN_S && (behind_m - before_m).abs() > STEP_M + LAG_MPS * span_s {
            steps.push(n + 1);
        }
    }
    if steps.is_empty() {
        return;
    }
    let mut bounds = vec![0];
    bounds.extend(steps);
    bounds.push(both.len());
    // The longest stretch between steps is the sound one; so is any that agrees with it.
    let middle_m = |range: &[usize]| {
        let mut values: Vec<f64> = range
            .iter()
            .filter_map(|i| difference_m(&fixes[*i]))
            .collect();
        values.sort_by(f64::total_cmp);
        values.get(values.len() / 2).copied().unwrap_or(0.0)
    };
    let stretches: Vec<&[usize]> = bounds.windows(2).map(|w| &both[w[0]..w[1]]).collect();
    let Some(longest) = stretches.iter().max_by_key(|s| s.len()) else {
        return;
    };
    let sound_m = middle_m(longest);
    let unsound: Vec<usize> = stretches
        .iter()
        .filter(|s| (middle_m(s) - sound_m).abs() > STEP_M)
        .flat_map(|s| s.iter().copied())
        .collect();
    for i in unsound {
        fixes[i].pressure_altitude_m = None;
        notes.remark(fixes[i].line, "pressure altitude steps away from GNSS altitude; left out on the shorter side of the step");
    }
}

/// Pressure altitude less GNSS altitude, m.
fn difference_m(fix: &Fix) -> Option<f64> {
    Some(f64::from(fix.pressure_altitude_m?) - f64::from(fix.gnss_altitude_m?))
}
