//! Bursts of power of a few seconds during the glide: clearing the engine, checking carburettor heat.
//!
//! They do not end an attempt. A burst is a box of power above what idle shows around it; how much
//! better the power is explained with the box than without, for each start, is the posterior of it.

use super::change_point::ChangePoint;
use super::engine::EngineTrace;
use super::power::AirMotion;
use crate::air::noise_chain::{ChainNoise, whiten_columns};

/// A burst.
#[derive(Debug, Clone, PartialEq)]
pub struct Burst {
    /// When the power came on.
    pub start: ChangePoint,
    /// How long it stayed, s.
    pub length_s: f64,
}

/// Lengths tried, s: most handbooks ask for a few seconds every minute or so.
const LENGTHS_S: [f64; 4] = [3.0, 5.0, 8.0, 12.0];
/// The first seconds after the power reduction, when speed still falls, and the last of the glide belong to these, s.
const EDGE_S: (f64, f64) = (20.0, 14.0);
/// Noise of the power at idle: slow vertical air, and what the smoothing leaves, m/s and s.
const SLOW: (f64, f64) = (0.9, 5.0);
/// See above.
const FAST: (f64, f64) = (0.7, 1.0);
/// Least power of a burst, m/s, smeared by the smoothing: less clears nothing and looks like lift.
const LEAST_MPS: f64 = 2.0;
/// The box must explain this many standard deviations of the noise this recording shows under that
/// law: over the hundreds of starts tried, chance alone hardly does so.
const LEAST_SIGMAS: f64 = 5.5;
/// The noise is not taken to be less than this share of the law's: the trace is smoothed.
const LEAST_NOISE: f64 = 0.4;
/// A loss this near to a gain, s, and of this share of its strength, is the same swing.
const SWING_S: f64 = 6.0;
/// See above.
const SWING_SHARE: f64 = 0.5;
/// Median size of a standard normal number.
const NORMAL_MEDIAN: f64 = 0.6745;
/// With an engine channel that shows no burst, power seen in the motion is lift.
const ENGINE_RISE: f64 = 0.12;

/// The bursts in `trace` (one a second) between the power reduction and the end of the glide.
pub fn bursts(
    trace: &[AirMotion],
    engine: Option<&EngineTrace>,
    (start_s, end_s): (f64, f64),
) -> Vec<Burst> {
    let used: Vec<&AirMotion> = trace
        .iter()
        .filter(|a| a.t_s >= start_s + EDGE_S.0 && a.t_s <= end_s - EDGE_S.1)
        .collect();
    if used.len() < 12 {
        return Vec::new();
    }
    let t_s: Vec<f64> = used.iter().map(|a| a.t_s).collect();
    let boxes = boxes(&t_s);
    let mut columns: Vec<Vec<f64>> = boxes
        .iter()
        .map(|(from, length)| {
            let inside = |t: &f64| f64::from(u8::from(*t >= *from && *t < from + length));
            t_s.iter().map(inside).collect()
        })
        .collect();
    columns.push(vec![1.0; t_s.len()]);
    columns.push(
        used.iter()
            .map(|a| a.power_mps.clamp(-10.0, 20.0))
            .collect(),
    );
    let noise = ChainNoise {
        smooth: (0.0, 1.0),
        slow: SLOW,
        fast: FAST,
        white_mps: 0.3,
        drift_m2ps3: 0.0,
        drift_start_m2ps2: 0.0,
    };
    whiten_columns(&noise, &t_s, &vec![[0.0; 2]; t_s.len()], &mut columns);
    let mut data = columns.pop().unwrap_or_default();
    let one = columns.pop().unwrap_or_default();
    clear_of(&one, &mut data);
    for column in &mut columns {
        clear_of(&one, column);
    }
    let mut out = Vec::new();
    // the strongest first; each is taken out before the next is looked for
    while out.len() < 8 {
        let noise_sd = noise_of(&data);
        let Some(best) = strongest(&columns, &data, noise_sd) else {
            break;
        };
        let (from, length_s) = boxes[best];
        let swing = swings_back(&boxes, &columns, &data, best);
        if !swing && engine.is_none_or(|e| rises(e, from, length_s)) {
            out.push(Burst {
                start: starts(&boxes, &columns, &data, noise_sd, best),
                length_s,
            });
        }
        let column = columns[best].clone();
        clear_of(&column, &mut data);
    }
    out.sort_by(|a, b| a.start.median_s().total_cmp(&b.start.median_s()));
    out
}

fn boxes(t_s: &[f64]) -> Vec<(f64, f64)> {
    let last = t_s[t_s.len() - 1];
    t_s.iter()
        .flat_map(|t| LENGTHS_S.map(|length| (*t, length)))
        .filter(|(from, length)| from + length < last)
        .collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Takes out of `data` what is along `column`.
fn clear_of(column: &[f64], data: &mut [f64]) {
    let share = dot(column, data) / dot(column, column).max(1e-12);
    for (d, c) in data.iter_mut().zip(column) {
        *d -= share * c;
    }
}

/// Standard deviation of what the whitened power shows most of the time: bursts and jumps, which are
/// rare, hardly move the median of the sizes.
fn noise_of(data: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = data.iter().map(|d| d.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    (sizes[sizes.len() / 2] / NORMAL_MEDIAN).max(LEAST_NOISE)
}

/// Power of the box, m/s, and how many standard deviations of the noise it is.
fn power_and_sigmas(column: &[f64], data: &[f64], noise: f64) -> (f64, f64) {
    let norm = dot(column, column).max(1e-12);
    let along = dot(column, data);
    (along / norm, along / norm.sqrt() / noise)
}

fn strongest(columns: &[Vec<f64>], data: &[f64], noise: f64) -> Option<usize> {
    (0..columns.len())
        .map(|i| (i, power_and_sigmas(&columns[i], data, noise)))
        .filter(|(_, (power, sigmas))| *power >= LEAST_MPS && *sigmas >= LEAST_SIGMAS)
        .max_by(|a, b| a.1.1.total_cmp(&b.1.1))
        .map(|(i, _)| i)
}

/// Whether an equal loss stands beside the box: energy that comes and goes within seconds is an error of
/// speed or height, not power, which stays.
fn swings_back(boxes: &[(f64, f64)], columns: &[Vec<f64>], data: &[f64], best: usize) -> bool {
    let (from, length_s) = boxes[best];
    let to = from + length_s;
    let gain = power_and_sigmas(&columns[best], data, 1.0).1;
    let mut rest = data.to_vec();
    clear_of(&columns[best], &mut rest);
    let beside = |b: &(f64, f64)| {
        (b.0 >= to && b.0 < to + SWING_S) || (b.0 + b.1 <= from && b.0 + b.1 > from - SWING_S)
    };
    let loss = boxes
        .iter()
        .zip(columns)
        .filter(|(b, _)| beside(b))
        .map(|(_, column)| -power_and_sigmas(column, &rest, 1.0).1)
        .fold(0.0, f64::max);
    loss > SWING_SHARE * gain
}

/// The posterior of the start, all lengths together, near the best box.
fn starts(
    boxes: &[(f64, f64)],
    columns: &[Vec<f64>],
    data: &[f64],
    noise: f64,
    best: usize,
) -> ChangePoint {
    let most = power_and_sigmas(&columns[best], data, noise).1.powi(2);
    let mut time_s: Vec<f64> = Vec::new();
    let mut weight: Vec<f64> = Vec::new();
    for ((from, _), column) in boxes.iter().zip(columns) {
        if (from - boxes[best].0).abs() > 6.0 {
            continue;
        }
        let sigmas = power_and_sigmas(column, data, noise).1.max(0.0);
        let w = (0.5 * (sigmas * sigmas - most)).exp();
        match time_s.last() {
            Some(t) if (t - from).abs() < 1e-9 => {
                if let Some(last) = weight.last_mut() {
                    *last += w;
                }
            }
            _ => {
                time_s.push(*from);
                weight.push(w);
            }
        }
    }
    let sum: f64 = weight.iter().sum();
    for w in &mut weight {
        *w /= sum;
    }
    ChangePoint { time_s, weight }
}

/// Whether the engine channel rises within the box.
fn rises(engine: &EngineTrace, from_s: f64, length_s: f64) -> bool {
    let highest = |a: f64, b: f64| {
        let from = engine.values.partition_point(|v| v.0 < a);
        let to = engine.values.partition_point(|v| v.0 <= b);
        engine.values[from..to.max(from)]
            .iter()
            .map(|v| v.1)
            .fold(f64::NAN, f64::max)
    };
    let before = highest(from_s - 8.0, from_s - 4.0);
    let within = highest(from_s - 2.0, from_s + length_s + 1.0);
    // without samples there it says nothing
    let rise = within - before;
    rise.is_nan() || rise >= ENGINE_RISE * engine.full
}

#[cfg(test)]
#[path = "clearing_tests.rs"]
mod tests;
