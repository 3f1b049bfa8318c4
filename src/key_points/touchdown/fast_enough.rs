//! Until when the aeroplane was fast enough to be still in the air.

use super::{GroundContext, GroundRow};

/// No aeroplane is held off down to this share of its approach speed: 1.3 times the stalling speed by the usual
/// rule, and a tenth less than the stalling speed in the ground effect (common practice).
const LEAST_SHARE: f64 = 0.6;
/// Speeds are taken over this long, s: receivers' positions differ by a metre or so.
const OVER_S: f64 = 2.0;
/// Power is put on after the contact, and the speed turns this much later at most, s.
const POWER_ACTS_S: f64 = 2.0;

/// The first time after `from_s` at which the aeroplane was too slow to fly, or was gaining speed again, s; infinite without.
pub(super) fn until_s(rows: &[GroundRow], context: &GroundContext, from_s: f64, to_s: f64) -> f64 {
    let rows: Vec<&GroundRow> = rows
        .iter()
        .filter(|r| r.t_s >= from_s - OVER_S && r.t_s <= to_s && r.along_m.is_finite())
        .collect();
    let speeds: Vec<(f64, f64)> = rows
        .iter()
        .enumerate()
        .filter_map(|(i, a)| {
            let b = rows[i..].iter().find(|b| b.t_s - a.t_s >= OVER_S)?;
            let gap_s = b.t_s - a.t_s;
            let usable = gap_s < 3.0 * OVER_S.max(context.step_s);
            usable.then(|| (f64::midpoint(a.t_s, b.t_s), (b.along_m - a.along_m) / gap_s))
        })
        .collect();
    let Some(first) = speeds.first() else {
        return f64::INFINITY;
    };
    let approach = context
        .usual_approach_mps
        .unwrap_or(first.1 + context.headwind_mps);
    let too_slow = LEAST_SHARE * approach - context.headwind_mps;
    let slow_s = speeds
        .iter()
        .find(|s| s.0 > from_s && s.1 < too_slow)
        .map_or(f64::INFINITY, |s| s.0);
    let slowest = speeds.iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let turned_s = slowest
        .filter(|s| s.0 + OVER_S < speeds[speeds.len() - 1].0)
        .map_or(f64::INFINITY, |s| s.0 + POWER_ACTS_S);
    slow_s.min(turned_s)
}
