//! Where to look for the contact, and the posterior over a grid of times.

use super::draw::{Contact, TouchdownPosterior};
use super::evidence::{Cell, Setting, cells};
use super::fast_enough;
use super::pass::LowPass;
use super::rows::{BARO_LAG_S, FITTED_LAG_SD_S, Kind, SPEED_LAG_S, Sample, samples};
use super::{GroundContext, GroundRow};
use crate::units::G0_MPS2;

/// Rows used before and after the middle of the search, s: the last of the approach and the rollout up to the brakes.
const WINDOW_S: (f64, f64) = (13.0, 9.0);
/// Contacts looked for before and after the coarse estimate, s.
const REACH_S: (f64, f64) = (5.0, 16.0);
/// Contacts looked for after it at least, s: the estimate itself is as doubtful as that.
const LEAST_REACH_S: f64 = 3.0;
/// Rows used after the last contact looked for, s.
const ROLLOUT_S: f64 = 4.0;
/// First grid of contact times, s; every refinement cuts it into three where there is weight.
const COARSE_S: f64 = 1.0;
/// A posterior wider than this needs no third grid: its points stand for triangles of 0.14 s, s.
const WIDE_S: f64 = 0.45;
/// Cells below this share of the heaviest are dropped.
const LEAST_SHARE: f64 = 1e-4;

/// The posterior of the touchdown from the rows near the ground.
pub fn posterior(rows: &[GroundRow], context: &GroundContext) -> TouchdownPosterior {
    let Some(pass) = LowPass::find(rows, context) else {
        return TouchdownPosterior::nothing();
    };
    let centre_s = pass.contact_s;
    let latest_s = fast_enough::until_s(rows, context, centre_s, centre_s + REACH_S.1)
        .clamp(centre_s + LEAST_REACH_S, centre_s + REACH_S.1);
    let end_s = (centre_s + WINDOW_S.1)
        .max(latest_s + ROLLOUT_S)
        .min(pass.airborne_again_s);
    let used = samples(rows, context, centre_s - WINDOW_S.0, end_s);
    let Some(setting) = setting(&used, context, centre_s) else {
        return TouchdownPosterior::nothing();
    };
    let from_s = (centre_s - REACH_S.0).max(context.search_from_s);
    let to_s = latest_s.min(context.search_to_s).min(pass.airborne_again_s);
    let count = ((to_s - from_s) / COARSE_S).floor().max(0.0) as usize + 1;
    let mut found: Vec<Point> = (0..count)
        .map(|i| Point::new(from_s + COARSE_S * i as f64, COARSE_S, &used, &setting))
        .collect();
    // Between points a second apart a sharp peak may lose ten natural units, between finer ones six.
    refine(&mut found, 10.0, &used, &setting);
    if spread_s(&found) < WIDE_S {
        refine(&mut found, 6.0, &used, &setting);
    }
    let mut out = gathered(&found);
    if !out.time_s.is_empty() {
        out.touched_probability = pass.touched_probability(context);
    }
    out
}

/// One contact time tried.
struct Point {
    tau_s: f64,
    width_s: f64,
    cells: Vec<Cell>,
    log_weight: f64,
}

impl Point {
    fn new(tau_s: f64, width_s: f64, used: &[Sample], setting: &Setting) -> Self {
        let cells = cells(used, setting, tau_s);
        let log_weight = log_total(&cells);
        Point {
            tau_s,
            width_s,
            cells,
            log_weight,
        }
    }
}

/// Puts a grid three times finer where there is weight.
fn refine(found: &mut Vec<Point>, depth: f64, used: &[Sample], setting: &Setting) {
    let best = found
        .iter()
        .map(|p| p.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    if !best.is_finite() {
        return;
    }
    // A neighbour of a heavy point counts too: the peak may lie between.
    let heavy = |i: usize| found[i].log_weight > best - depth;
    let keep: Vec<bool> = (0..found.len())
        .map(|i| heavy(i) || (i > 0 && heavy(i - 1)) || (i + 1 < found.len() && heavy(i + 1)))
        .collect();
    let mut fine = Vec::new();
    for (point, keep) in found.drain(..).zip(keep) {
        if keep {
            let step = point.width_s / 3.0;
            let (before, after) = (point.tau_s - step, point.tau_s + step);
            fine.push(Point::new(before, step, used, setting));
            fine.push(Point {
                width_s: step,
                ..point
            });
            fine.push(Point::new(after, step, used, setting));
        }
    }
    *found = fine;
}

/// Standard deviation of the contact time on the grid so far, s.
fn spread_s(found: &[Point]) -> f64 {
    let best = found
        .iter()
        .map(|p| p.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    let mut sums = [0.0; 3];
    for p in found {
        let w = (p.log_weight - best).exp();
        let t = p.tau_s - found[0].tau_s;
        sums = [sums[0] + w, sums[1] + w * t, sums[2] + w * t * t];
    }
    if sums[0] > 0.0 {
        (sums[2] / sums[0] - (sums[1] / sums[0]).powi(2))
            .max(0.0)
            .sqrt()
    } else {
        0.0
    }
}

fn log_total(cells: &[Cell]) -> f64 {
    let best = cells
        .iter()
        .map(|c| c.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    if !best.is_finite() {
        return f64::NEG_INFINITY;
    }
    best + cells
        .iter()
        .map(|c| (c.log_weight - best).exp())
        .sum::<f64>()
        .ln()
}

/// Weights normalised, negligible cells dropped.
fn gathered(found: &[Point]) -> TouchdownPosterior {
    let best = found
        .iter()
        .flat_map(|p| &p.cells)
        .map(|c| c.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    if !best.is_finite() {
        return TouchdownPosterior::nothing();
    }
    let mut out = TouchdownPosterior::nothing();
    let mut total = 0.0;
    for p in found {
        for c in &p.cells {
            let weight = (c.log_weight - best).exp();
            if weight < LEAST_SHARE {
                continue;
            }
            total += weight;
            out.contacts.push(Contact {
                time_s: p.tau_s,
                weight,
                width_s: p.width_s,
                along_m: c.along_m,
                ground_speed_mps: c.speed_mps,
                sink_mps: c.sink_mps,
                flare_before_s: c.flare.hold_s + c.flare.round_out_s,
            });
        }
    }
    for c in &mut out.contacts {
        c.weight /= total;
    }
    out.spread_on_grid();
    out
}

/// Nominal motion and recording-dependent priors.
fn setting(used: &[Sample], context: &GroundContext, centre_s: f64) -> Option<Setting> {
    let near: Vec<(f64, f64)> = used
        .iter()
        .filter(|s| s.kind == Kind::Position)
        .map(|s| (s.t_s - centre_s, s.value))
        .collect();
    let close: Vec<(f64, f64)> = near.iter().copied().filter(|p| p.0.abs() <= 6.0).collect();
    let (x, v) = line(if close.len() >= 2 { &close } else { &near })?;
    let airspeed = (v + context.headwind_mps).max(12.0);
    let heights: Vec<(f64, f64)> = used
        .iter()
        .filter(|s| matches!(s.kind, Kind::Gnss | Kind::Baro) && s.t_s < centre_s - 3.0)
        .map(|s| (s.t_s, s.value))
        .collect();
    let sink = line(&heights).map_or(4.0, |l| -l.1).clamp(1.0, 8.0);
    // Speed of the approach: slope of the positions up to 5 s before.
    let early: Vec<(f64, f64)> = near.iter().copied().filter(|p| p.0 < -5.0).collect();
    let approach = line(&early).map_or(v, |l| l.1) + context.headwind_mps;
    Some(Setting {
        line: (centre_s, x, v),
        approach_airspeed_mps: context.usual_approach_mps.unwrap_or(approach).max(12.0),
        approach_is_usual: context.usual_approach_mps.is_some(),
        headwind_mps: context.headwind_mps,
        kappa: G0_MPS2 / airspeed,
        lag_sd_s: if context.doppler_lag_s.is_some() {
            FITTED_LAG_SD_S
        } else {
            SPEED_LAG_S.1
        },
        baro_lag_sd_s: BARO_LAG_S.1,
        datum_sd_m: if context.height_datum_sd_m.is_finite() {
            context.height_datum_sd_m.clamp(0.5, 30.0)
        } else {
            10.0
        },
        rollout_m: context.rollout_height_m,
        approach_sink_mps: sink,
    })
}

/// Straight line through points: value at zero, slope.
fn line(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    if points.len() < 2 {
        return None;
    }
    let n = points.len() as f64;
    let (mt, mv) = (
        points.iter().map(|p| p.0).sum::<f64>() / n,
        points.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let tt: f64 = points.iter().map(|p| (p.0 - mt).powi(2)).sum();
    if tt.is_nan() || tt < 1e-9 {
        return None;
    }
    let slope = points.iter().map(|p| (p.0 - mt) * (p.1 - mv)).sum::<f64>() / tt;
    Some((mv - slope * mt, slope))
}

/// Times near which the wheels may have met the ground: one for each low pass of the path.
///
/// Every stretch lower than 10 m above the lowest, or above the aim, begins with a descent; each
/// gives the time at which it first came within 3 m of its own lowest height. `path` holds times, s,
/// and heights above the aim, m.
pub fn contact_candidates(path: &[(f64, f64)]) -> Vec<f64> {
    let finite = path.iter().filter(|p| p.1.is_finite());
    let lowest = finite.map(|p| p.1).fold(f64::INFINITY, f64::min);
    let ceiling_m = lowest.max(0.0) + 10.0;
    path.chunk_by(|a, b| (a.1 < ceiling_m) == (b.1 < ceiling_m))
        .filter(|pass| pass[0].1 < ceiling_m)
        .filter_map(|pass| {
            let low = pass.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
            pass.iter().find(|p| p.1 <= low + 3.0).map(|p| p.0)
        })
        .collect()
}
