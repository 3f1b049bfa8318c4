//! Idle stretches of the whole recording, each with the probability that it is a practice forced landing.

use super::judging::judge_all;
use super::power::AirMotion;
use super::segments::{Segment, segments};
use crate::flight_path::{Motion, Path};

/// How an idle stretch ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CandidateEnd {
    /// On the ground, or near enough to it to be looked at closely.
    Ground,
    /// Power came back in the air.
    PowerBack,
    /// The recording stops.
    Recording,
}

/// An idle stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Rough instant of the power reduction, s.
    pub start_s: f64,
    /// Rough end: power back, ground reached, or recording over, s.
    pub end_s: f64,
    /// How it ends.
    pub end: CandidateEnd,
    /// Height above the aim at the start, m.
    pub start_height_m: f64,
    /// Least height above the aim, m.
    pub low_height_m: f64,
    /// Distance of the lowest point from the aim, m.
    pub low_distance_m: f64,
    /// Drop of specific power at the start, m/s.
    pub drop_mps: f64,
    /// Mean specific power within, m/s.
    pub mean_power_mps: f64,
    /// Share of the time within at plain power, 0..1.
    pub powered_share: f64,
    /// Share of the time within at which a recorded engine channel says power; none without such a channel.
    pub engine_powered_share: Option<f64>,
    /// Mean climb over the fifteen seconds before, m/s.
    pub climb_before_mps: f64,
    /// Whether the aeroplane climbs away soon after its end.
    pub climbs_after: bool,
    /// Whether there is flight after its end: a climb, or power in the air.
    pub flies_on: bool,
    /// Time since the end of the idle stretch before, s.
    pub after_glide_s: Option<f64>,
    /// Probability that it is an attempt.
    pub confidence: f64,
    /// Why it is not counted, if it is not.
    pub reason: Option<String>,
}

/// Height above the aim that is taken for the ground at this stage, m.
const NEAR_GROUND_M: f64 = 12.0;

/// Longest powered interruption, without a climb, that leaves a glide one glide, s.
const LONGEST_INTERRUPTION: usize = 14;
/// Climb after power came back that makes it a go-around, m.
const GO_AROUND_CLIMB_M: f64 = 15.0;
/// Within this time, s.
const GO_AROUND_WITHIN: usize = 60;

/// Power that came back shows in the energy after this, s.
const POWER_SHOWS_S: usize = 4;

/// Finds the idle stretches of `trace` (one a second), with `engine` as further evidence for idle,
/// `path` for heights; `aim_known` tells whether distances mean anything.
pub fn find(trace: &[AirMotion], engine: &[f64], path: &Path, aim_known: bool) -> Vec<Candidate> {
    let power: Vec<f64> = trace.iter().map(|a| a.power_mps).collect();
    let motions: Vec<Motion> = trace.iter().map(|a| path.at(a.t_s)).collect();
    let mut out: Vec<Candidate> = Vec::new();
    for s in glides(&power, engine, &motions) {
        // flight only: an idle stretch on the ground is parking or taxiing
        let airborne_to = first_on_ground(&motions, s.from, s.to);
        if motions[s.from].height_m < 40.0 || airborne_to <= s.from + 3 {
            continue;
        }
        let start = refine_start(&power, s.from);
        let on_ground = airborne_to < s.to;
        let to = airborne_to.min(trace.len() - 1);
        let low = (start..=to)
            .min_by(|&a, &b| motions[a].height_m.total_cmp(&motions[b].height_m))
            .unwrap_or(to);
        let end = if on_ground || motions[low].height_m < NEAR_GROUND_M {
            CandidateEnd::Ground
        } else if s.to >= trace.len() {
            CandidateEnd::Recording
        } else {
            CandidateEnd::PowerBack
        };
        let after = &motions[to..(to + GO_AROUND_WITHIN).min(motions.len())];
        let climbs_after = climb_from_lowest(after) > GO_AROUND_CLIMB_M;
        let power_after = !on_ground && mean_of_next(&power, s.to) > PLAINLY_POWERED_MPS;
        let previous_s = out.last().map(|c: &Candidate| c.end_s);
        out.push(Candidate {
            start_s: trace[start].t_s,
            end_s: trace[to].t_s,
            end,
            start_height_m: motions[start].height_m,
            low_height_m: motions[low].height_m,
            low_distance_m: motions[low].distance_m(),
            drop_mps: mean(&power, start as i64 - 8, start as i64 - 1)
                - mean(&power, start as i64 + 2, start as i64 + 8),
            mean_power_mps: mean(&power, start as i64 + 5, to as i64 - 8),
            powered_share: powered_share(&power, start + 6, to.saturating_sub(8)),
            engine_powered_share: engine_powered_share(engine, start + 10, to.saturating_sub(10)),
            climb_before_mps: mean_climb(&motions, start),
            climbs_after,
            flies_on: climbs_after || power_after,
            after_glide_s: previous_s.map(|p| trace[start].t_s - p),
            confidence: 0.0,
            reason: None,
        });
    }
    judge_all(&mut out, aim_known);
    out
}

/// Mean power over the seconds from `from` on, m/s; none where the recording stops sooner.
fn mean_of_next(power: &[f64], from: usize) -> f64 {
    power
        .get(from..from + POWER_SHOWS_S)
        .map_or(f64::NEG_INFINITY, |next| {
            next.iter().sum::<f64>() / POWER_SHOWS_S as f64
        })
}

/// Largest gain of height from any point to a later one, m.
fn climb_from_lowest(motions: &[Motion]) -> f64 {
    let mut lowest = f64::INFINITY;
    let mut most = 0.0_f64;
    for m in motions {
        lowest = lowest.min(m.height_m);
        most = most.max(m.height_m - lowest);
    }
    most
}

/// Idle stretches, joined where only a short burst of power without a climb lies between.
fn glides(power: &[f64], engine: &[f64], motions: &[Motion]) -> Vec<Segment> {
    let mut out: Vec<Segment> = Vec::new();
    for s in segments(power, engine).into_iter().filter(|s| s.idle) {
        if let Some(last) = out.last_mut()
            && s.from - last.to <= LONGEST_INTERRUPTION
            && motions[s.from].height_m < motions[last.to].height_m
            && motions[last.to].height_m > 40.0
        {
            last.to = s.to;
            continue;
        }
        out.push(s);
    }
    out
}

/// Power over ten seconds, above what idle usually shows in this glide, that no idling engine gives in ordinary air, m/s.
const PLAINLY_POWERED_MPS: f64 = 2.2;
/// Idle usually shows this quantile of the power within: the polar of the briefing may be off by a constant.
const IDLE_QUANTILE: f64 = 0.35;

/// Share of the time within whose ten-second mean power is plainly above idle.
fn powered_share(power: &[f64], from: usize, to: usize) -> f64 {
    let to = to.min(power.len());
    if to < from + 10 {
        return 0.0;
    }
    let means: Vec<f64> = power[from..to]
        .windows(10)
        .map(|w| w.iter().sum::<f64>() / 10.0)
        .collect();
    let mut sorted = means.clone();
    sorted.sort_by(f64::total_cmp);
    let idle = crate::quantity::quantile_sorted(&sorted, IDLE_QUANTILE).clamp(-0.7, 1.5);
    means
        .iter()
        .filter(|m| **m > idle + PLAINLY_POWERED_MPS)
        .count() as f64
        / means.len() as f64
}

/// Share of the time within at which the engine channel says power.
fn engine_powered_share(engine: &[f64], from: usize, to: usize) -> Option<f64> {
    let within = engine.get(from..to.min(engine.len()))?;
    let known = within.iter().filter(|e| **e != 0.0).count();
    let powered = within.iter().filter(|e| **e < -0.3).count();
    (known * 2 > within.len()).then(|| powered as f64 / known as f64)
}

/// Mean climb over the fifteen seconds before, m/s.
fn mean_climb(motions: &[Motion], start: usize) -> f64 {
    let from = start.saturating_sub(17);
    let to = start.saturating_sub(2).max(from + 1).min(motions.len() - 1);
    (motions[to].height_m - motions[from].height_m) / (motions[to].t_s - motions[from].t_s).max(1.0)
}

/// First sample from `from` on that rolls on the ground, or `to`.
fn first_on_ground(motions: &[Motion], from: usize, to: usize) -> usize {
    (from..to)
        .find(|&k| {
            let speed = motions[k].ground_speed_mps();
            (speed < 12.0 && motions[k].height_m < 15.0)
                || (speed < 5.0 && motions[k].height_m < 60.0)
        })
        .unwrap_or(to)
}

fn mean(power: &[f64], from: i64, to: i64) -> f64 {
    let from = from.max(0) as usize;
    let to = (to.max(0) as usize).min(power.len().saturating_sub(1));
    if to < from {
        return f64::NAN;
    }
    power[from..=to].iter().sum::<f64>() / (to - from + 1) as f64
}

/// The largest drop of mean power near the start of an idle stretch, with a small price for being early:
/// at high speed just after closing, the polar makes idle look powered for some seconds.
fn refine_start(power: &[f64], from: usize) -> usize {
    let lowest = from.saturating_sub(25);
    let highest = (from + 6).min(power.len().saturating_sub(1));
    let score = |k: usize| {
        let k = k as i64;
        mean(power, k - 7, k - 1)
            - mean(power, k + 1, k + 7)
            - 0.05 * (from as i64 - k).max(0) as f64
    };
    (lowest..=highest)
        .filter(|&k| k >= 1)
        .max_by(|&a, &b| score(a).total_cmp(&score(b)))
        .unwrap_or(from)
}

/// How far back the start is looked for once the wind is known better, s.
const LOOK_BACK_S: f64 = 45.0;
/// Mean power between an earlier start and the later one above which they are two reductions, m/s.
const STILL_POWERED_MPS: f64 = 3.5;

/// The start of a candidate found again in `trace` (one a second), made with a better wind than the first time.
pub fn start_again(trace: &[AirMotion], start_s: f64) -> f64 {
    let power: Vec<f64> = trace.iter().map(|a| a.power_mps).collect();
    let Some(at) = trace.iter().position(|a| a.t_s >= start_s) else {
        return start_s;
    };
    let lowest = trace
        .iter()
        .position(|a| a.t_s >= start_s - LOOK_BACK_S)
        .unwrap_or(0)
        .max(1);
    let highest = (at + 8).min(trace.len().saturating_sub(1));
    let score = |k: usize| {
        let i = k as i64;
        mean(&power, i - 7, i - 1)
            - mean(&power, i + 1, i + 7)
            - 0.05 * (at as i64 - i).max(0) as f64
    };
    (lowest..=highest)
        .filter(|&k| k >= at || mean(&power, k as i64 + 3, at as i64) < STILL_POWERED_MPS)
        .max_by(|&a, &b| score(a).total_cmp(&score(b)))
        .map_or(start_s, |k| trace[k].t_s)
}

#[cfg(test)]
#[path = "finding_tests.rs"]
mod finding_tests;
