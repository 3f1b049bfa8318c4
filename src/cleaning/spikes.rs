//! Fixes that contradict their neighbours.
//!
//! Not a fixed speed: what counts is how far a fix is from where its neighbours put it,
//! against what an aeroplane can do between them. Where fixes are close in time, the
//! neighbours put it on the straight line between them, which an acceleration a misses
//! by a/2 · dt₁ · dt₂. Where they are far apart (a turn bends too much there) the curve
//! through two neighbours on each side is taken, and the usual misses around the place
//! (median absolute deviation) widen the limit.

use super::gaps::median_step_s;
use super::plane::{Place, seen_from};
use crate::reading::{Fix, Notes};

/// Up to this mean distance of the neighbours in time the straight line serves, s.
const STRAIGHT_WITHIN_S: f64 = 1.2;

/// Misses this many times the usual are spikes, where the usual widen the limit.
const USUAL_MISSES: f64 = 6.0;

/// Standard deviations in a median absolute deviation of normal errors.
const SD_PER_MAD: f64 = 1.4826;

/// Neighbours on each side whose misses are the usual ones.
const NEIGHBOURHOOD: usize = 10;

/// Misses of more than this share of the limit are looked at together with those beside them.
const SUSPECT: f64 = 0.5;

/// Passes over the recording; each takes out the worst of every place.
const MAX_ROUNDS: usize = 20;

/// Most fixes in a row that are one spike.
const LONGEST_RUN: usize = 4;

/// No aeroplane that glides to a field is so fast, m/s.
const IMPOSSIBLE_MPS: f64 = 350.0;

/// What is let pass.
#[derive(Debug, Clone, Copy)]
struct Limits {
    /// Where the straight line serves: m, and m/s².
    straight: (f64, f64),
    /// Where the curve serves: m, and m/s².
    curve: (f64, f64),
    /// At the ends, where two neighbours on one side must do: m, and m/s².
    end: (f64, f64),
    /// Whether the usual misses widen the limit where the straight line serves, too.
    noisy: bool,
}

const HORIZONTAL: Limits = Limits {
    straight: (10.0, 3.0),
    curve: (15.0, 1.0),
    end: (60.0, 6.0),
    noisy: false,
};
const VERTICAL: Limits = Limits {
    straight: (10.0, 3.0),
    curve: (12.0, 1.0),
    end: (60.0, 4.0),
    noisy: true,
};

/// A sample of one channel, or of the position.
#[derive(Debug, Clone, Copy)]
struct Sample {
    /// Which fix it is of.
    fix: usize,
    time_s: f64,
    at: Place,
}

/// Takes out spikes: of position the whole fix, of an altitude only that altitude.
pub(super) fn drop_spikes(fixes: &mut Vec<Fix>, stamp_quantum_s: f64, notes: &mut Notes) {
    drop_position_spikes(fixes, stamp_quantum_s, notes);
    drop_unreachable(fixes, notes);
    drop_altitude_spikes(
        fixes,
        notes,
        |f| &mut f.gnss_altitude_m,
        "a spike of GNSS altitude, the altitude left out",
    );
    drop_altitude_spikes(
        fixes,
        notes,
        |f| &mut f.pressure_altitude_m,
        "a spike of pressure altitude, the altitude left out",
    );
}

fn drop_position_spikes(fixes: &mut Vec<Fix>, stamp_quantum_s: f64, notes: &mut Notes) {
    let Some(origin) = fixes.first().copied() else {
        return;
    };
    let samples = fixes
        .iter()
        .enumerate()
        .map(|(fix, f)| Sample {
            fix,
            time_s: f.utc_s,
            at: seen_from(&origin, f),
        })
        .collect();
    let jitter_s = stamp_jitter_s(fixes, stamp_quantum_s);
    let mut drop = vec![false; fixes.len()];
    for spike in find(samples, HORIZONTAL, jitter_s) {
        drop[spike] = true;
        notes.dropped(
            fixes[spike].line,
            "a spike: the position is far from where the fixes around it put it",
        );
    }
    let mut flags = drop.into_iter();
    fixes.retain(|_| !flags.next().unwrap_or(false));
}

fn drop_altitude_spikes(
    fixes: &mut [Fix],
    notes: &mut Notes,
    of: fn(&mut Fix) -> &mut Option<f32>,
    what: &str,
) {
    let samples = fixes
        .iter()
        .enumerate()
        .filter_map(|(fix, f)| {
            let altitude = (*of(&mut f.clone()))?;
            Some(Sample {
                fix,
                time_s: f.utc_s,
                at: Place {
                    east_m: f64::from(altitude),
                    north_m: 0.0,
                },
            })
        })
        .collect();
    for spike in find(samples, VERTICAL, 0.0) {
        *of(&mut fixes[spike]) = None;
        notes.remark(fixes[spike].line, what);
    }
}

/// What a stamp may be wrong by, s: half a step and a little, where stamps are coarse and steps uneven.
fn stamp_jitter_s(fixes: &[Fix], stamp_quantum_s: f64) -> f64 {
    const UNEVEN_SHARE: f64 = 0.05;
    let usual_s = median_step_s(fixes);
    let near = fixes
        .windows(2)
        .map(|w| w[1].utc_s - w[0].utc_s)
        .filter(|s| *s < 2.5 * usual_s);
    let (uneven, all) = near.fold((0_u32, 0_u32), |(u, a), s| {
        (u + u32::from((s - usual_s).abs() > 0.3 * usual_s), a + 1)
    });
    if stamp_quantum_s >= 0.5 && f64::from(uneven) > UNEVEN_SHARE * f64::from(all) {
        0.75 * stamp_quantum_s
    } else {
        0.0
    }
}

/// The fixes whose samples are spikes, in order.
fn find(mut samples: Vec<Sample>, limits: Limits, jitter_s: f64) -> Vec<usize> {
    let mut found = Vec::new();
    for _ in 0..MAX_ROUNDS {
        let single: Vec<Miss> = (0..samples.len())
            .map(|i| miss(&samples, i, 1, limits, jitter_s))
            .collect();
        let worst = worst_runs(&samples, &single, limits, jitter_s);
        if worst.is_empty() {
            break;
        }
        let mut is_spike = vec![false; samples.len()];
        for (start, length) in worst {
            is_spike[start..start + length].fill(true);
        }
        found.extend(
            samples
                .iter()
                .zip(&is_spike)
                .filter(|(_, s)| **s)
                .map(|(s, _)| s.fix),
        );
        let mut flags = is_spike.into_iter();
        samples.retain(|_| !flags.next().unwrap_or(false));
    }
    found.sort_unstable();
    found
}

/// Runs of samples, first and length, that miss by more than is let pass, and by more than any
/// other run near by: the neighbours of a spike miss too, because of it.
fn worst_runs(
    samples: &[Sample],
    single: &[Miss],
    limits: Limits,
    jitter_s: f64,
) -> Vec<(usize, usize)> {
    let hot: Vec<bool> = single
        .iter()
        .map(|m| m.far_m > SUSPECT * m.limit_m)
        .collect();
    let near = |i: usize, length: usize| i.saturating_sub(2)..samples.len().min(i + length + 2);
    let mut candidates: Vec<(f64, usize, usize)> = Vec::new();
    for start in 0..samples.len() {
        if !near(start, 1).any(|i| hot[i]) {
            continue;
        }
        for length in 1..=LONGEST_RUN.min(samples.len() - start) {
            let miss = if length == 1 {
                single[start]
            } else {
                miss(samples, start, length, limits, jitter_s)
            };
            if miss.far_m > miss.limit_m
                && miss.far_m > widened_limit_m(miss, single, start, length)
                && !is_at_step(samples, start, length, miss.far_m)
            {
                candidates.push((miss.far_m, start, length));
            }
        }
    }
    // The farthest first; of equals the shorter, then the earlier.
    candidates.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)).then(a.1.cmp(&b.1)));
    let mut taken = vec![false; samples.len()];
    let mut worst = Vec::new();
    for (_, start, length) in candidates {
        if near(start, length).any(|i| taken[i]) {
            continue;
        }
        // What lies near is judged anew in the next round.
        taken[start..start + length].fill(true);
        worst.push((start, length));
    }
    worst
}

/// How far a run of samples is from where those around it put it.
#[derive(Debug, Clone, Copy)]
struct Miss {
    /// Of the sample that misses least, m.
    far_m: f64,
    limit_m: f64,
    /// The usual misses widen the limit.
    widened: bool,
}

/// The limit with the usual misses around the place, where they widen it.
fn widened_limit_m(miss: Miss, single: &[Miss], start: usize, length: usize) -> f64 {
    if !miss.widened {
        return miss.limit_m;
    }
    let near =
        start.saturating_sub(NEIGHBOURHOOD)..single.len().min(start + length + NEIGHBOURHOOD);
    let own = start.saturating_sub(2)..start + length + 2;
    let mut usual: Vec<f64> = near
        .filter(|j| !own.contains(j) && single[*j].widened)
        .map(|j| single[j].far_m)
        .collect();
    usual.sort_by(f64::total_cmp);
    let mad_m = usual.get(usual.len() / 2).copied().unwrap_or(0.0);
    miss.limit_m + USUAL_MISSES * SD_PER_MAD * mad_m
}

/// The miss of `length` samples from `start` on, judged by those before and behind.
fn miss(samples: &[Sample], start: usize, length: usize, limits: Limits, jitter_s: f64) -> Miss {
    let end = start + length;
    let before = &samples[start.saturating_sub(2)..start];
    let behind = &samples[end.min(samples.len())..samples.len().min(end + 2)];
    let run = &samples[start..end];
    let (Some(last), Some(first)) = (before.last(), behind.first()) else {
        return end_miss(run, before, behind, limits, jitter_s);
    };
    let gap_s = first.time_s - last.time_s;
    let speed_mps = last.at.distance_m(first.at) / gap_s;
    let slack_m = jitter_s * speed_mps.min(IMPOSSIBLE_MPS);
    let half_s = gap_s / (length + 1) as f64;
    let off_curve_m = || {
        let mut around = [*last; 4];
        let count = before.len() + behind.len();
        for (slot, sample) in around.iter_mut().zip(before.iter().chain(behind)) {
            *slot = *sample;
        }
        least_far_m(run, &around[..count])
    };
    if half_s > STRAIGHT_WITHIN_S {
        let (base_m, bend_mps2) = limits.curve;
        let limit_m = base_m + bend_mps2 * 0.25 * gap_s * gap_s + slack_m;
        return Miss {
            far_m: off_curve_m(),
            limit_m,
            widened: true,
        };
    }
    let (base_m, bend_mps2) = limits.straight;
    let product = |s: &Sample| (s.time_s - last.time_s) * (first.time_s - s.time_s);
    let bent_m = bend_mps2 * run.iter().map(product).fold(0.0, f64::max);
    let limit_m = base_m + bent_m + slack_m;
    let off_line_m = least_far_m(run, &[*last, *first]);
    // A very steep turn leaves the straight line, but not the curve; a spike leaves both.
    let far_m = if off_line_m > SUSPECT * limit_m {
        off_line_m.min(off_curve_m())
    } else {
        off_line_m
    };
    Miss {
        far_m,
        limit_m,
        widened: limits.noisy,
    }
}

/// Is a sample of the run where those before it lead to, or those behind it come from?
///
/// Then the channel steps from one level to another, which is no spike: taking out what
/// is beside the step would only move it.
fn is_at_step(samples: &[Sample], start: usize, length: usize, far_m: f64) -> bool {
    const SIDE: usize = 3;
    let end = start + length;
    let before = &samples[start.saturating_sub(SIDE)..start];
    let behind = &samples[end..samples.len().min(end + SIDE)];
    let run = &samples[start..end];
    // The nearest two on a straight line, or three on a curve; one alone stands for itself.
    let sides = [
        &before[before.len().saturating_sub(2)..],
        before,
        &behind[..behind.len().min(2)],
        behind,
    ];
    let is_inner = !before.is_empty() && !behind.is_empty();
    is_inner
        && sides
            .iter()
            .any(|side| least_far_m(run, side) < 0.5 * far_m)
}

/// The first and the last samples: two neighbours on one side must do.
fn end_miss(
    run: &[Sample],
    before: &[Sample],
    behind: &[Sample],
    limits: Limits,
    jitter_s: f64,
) -> Miss {
    let side = if before.is_empty() { behind } else { before };
    let [a, b] = side else {
        return Miss {
            far_m: 0.0,
            limit_m: 1.0,
            widened: false,
        };
    };
    let speed_mps = a.at.distance_m(b.at) / (b.time_s - a.time_s);
    let (base_m, bend_mps2) = limits.end;
    let product = |s: &Sample| ((s.time_s - a.time_s) * (s.time_s - b.time_s)).abs();
    let bent_m = bend_mps2 * run.iter().map(product).fold(0.0, f64::max);
    Miss {
        far_m: least_far_m(run, side),
        limit_m: base_m + bent_m + 2.0 * jitter_s * speed_mps.min(IMPOSSIBLE_MPS),
        widened: false,
    }
}

/// The least distance of a run's samples from the curve through those around it.
fn least_far_m(run: &[Sample], around: &[Sample]) -> f64 {
    run.iter()
        .map(|s| put_at(s.time_s, around).distance_m(s.at))
        .fold(f64::INFINITY, f64::min)
}

/// Where the curve through some samples (Lagrange's polynomial) is at a time.
fn put_at(time_s: f64, samples: &[Sample]) -> Place {
    let mut put = Place {
        east_m: 0.0,
        north_m: 0.0,
    };
    for (i, a) in samples.iter().enumerate() {
        let weight: f64 = samples
            .iter()
            .enumerate()
            .filter(|(j, _)| *j != i)
            .map(|(_, b)| (time_s - b.time_s) / (a.time_s - b.time_s))
            .product();
        put.east_m += weight * a.at.east_m;
        put.north_m += weight * a.at.north_m;
    }
    put
}

/// Short stretches that could only be reached at an impossible speed.
///
/// Long ones are left as they are, with a remark: which side of the jump is right cannot be told.
fn drop_unreachable(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    const FAR_M: f64 = 500.0;
    const SHORT_S: f64 = 60.0;
    const SHORT_SHARE: usize = 20;
    let is_apart = |a: &Fix, b: &Fix| {
        let far_m = super::plane::distance_m(a, b);
        far_m > FAR_M && far_m > IMPOSSIBLE_MPS * (b.utc_s - a.utc_s).abs()
    };
    let mut bounds = vec![0];
    bounds.extend((1..fixes.len()).filter(|i| is_apart(&fixes[i - 1], &fixes[*i])));
    if bounds.len() == 1 {
        return;
    }
    bounds.push(fixes.len());
    let mut keep = vec![true; fixes.len()];
    for stretch in bounds.windows(2) {
        let (start, end) = (stretch[0], stretch[1]);
        let is_short = (end - start) * SHORT_SHARE < fixes.len()
            && fixes[end - 1].utc_s - fixes[start].utc_s < SHORT_S;
        if is_short {
            keep[start..end].fill(false);
        } else if start > 0 {
            notes.remark(
                fixes[start].line,
                "the position jumps farther than can be flown; both sides were kept",
            );
        }
    }
    let mut flags = keep.into_iter();
    fixes.retain(|fix| {
        let stays = flags.next().unwrap_or(true);
        if !stays {
            notes.dropped(
                fix.line,
                "a position that could only be reached at more than 350 m/s",
            );
        }
        stays
    });
}
