//! Idle stretches of the whole recording, each with the probability that it is a practice forced landing.

use super::power::AirMotion;
use super::segments::{Segment, segments};
use crate::flight_path::{Motion, Path};
use crate::units::{M_PER_FT, M_PER_NM, ft};

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

/// Height above the aim from which a power reduction may be an attempt, m (about 500 ft, less what the estimate may err).
const LEAST_START_M: f64 = 450.0 * M_PER_FT;
/// Lowest point below which an attempt must come, m.
const MOST_LOW_M: f64 = 1000.0 * M_PER_FT;
/// Lowest point within this distance of the aim, m.
const MOST_DISTANCE_M: f64 = 4500.0;
/// Shortest glide, s.
const LEAST_LENGTH_S: f64 = 14.0;
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
/// Longest glide, s: from 20,000 ft at 500 ft/min. Longer is a glider, or an engine channel that lies.
const LONGEST_S: f64 = 2400.0;

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
        let mut candidate = Candidate {
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
        };
        judge(&mut candidate, aim_known);
        out.push(candidate);
    }
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

/// An idle stretch this soon after another may be a second cut of one approach, s.
const SECOND_CUT_WITHIN_S: f64 = 50.0;
/// Log odds against an attempt where power was only used for a moment in one long descent: nobody
/// practises a forced landing out of the middle of an approach.
const SAME_DESCENT: f64 = 5.0;

impl Candidate {
    fn is_already_descending(&self) -> bool {
        self.climb_before_mps < -0.7
    }
}

/// Confidence below which a reason is given why the candidate may be no attempt.
const PLAIN_ATTEMPT: f64 = 0.75;

fn judge(c: &mut Candidate, aim_known: bool) {
    let length = c.end_s - c.start_s;
    let reason = if c.end == CandidateEnd::PowerBack && !c.climbs_after {
        Some(format!(
            "power came back at {:.0} ft above the aim without a climb: an approach with power",
            ft(c.low_height_m)
        ))
    } else if c.start_height_m < LEAST_START_M {
        Some(format!(
            "power came off at {:.0} ft above the aim; an attempt starts from about 500 ft or more",
            ft(c.start_height_m)
        ))
    } else if length < LEAST_LENGTH_S {
        Some(format!("idle for only {length:.0} s"))
    } else if length > LONGEST_S {
        Some(format!(
            "idle for {:.0} min: no practice forced landing lasts so long",
            length / 60.0
        ))
    } else if c.low_height_m > MOST_LOW_M && c.end == CandidateEnd::Recording {
        Some(format!(
            "the recording ends at {:.0} ft above the aim: too high to tell an attempt from a descent at idle",
            ft(c.low_height_m)
        ))
    } else if c.low_height_m > MOST_LOW_M {
        Some(format!(
            "levelled off or climbed away at {:.0} ft above the aim: a descent at idle, not an approach to land",
            ft(c.low_height_m)
        ))
    } else if aim_known && c.low_distance_m > MOST_DISTANCE_M {
        Some(format!(
            "its lowest point is {:.1} NM from the aim",
            c.low_distance_m / M_PER_NM
        ))
    } else {
        None
    };
    if let Some(reason) = reason {
        c.confidence = 0.02;
        c.reason = Some(reason);
        return;
    }
    let log_odds = log_odds(c);
    c.confidence = 1.0 / (1.0 + (-log_odds).exp());
    if c.confidence < PLAIN_ATTEMPT {
        let before = match c.after_glide_s {
            Some(s) if s < SECOND_CUT_WITHIN_S && c.is_already_descending() => {
                format!(", {s:.0} s after an earlier idle stretch of the same descent")
            }
            _ if c.is_already_descending() => ", already descending".into(),
            _ => String::new(),
        };
        let powered_percent = 100.0 * c.powered_share;
        let power = if powered_percent < 0.5 {
            String::new()
        } else {
            format!("power was on for {powered_percent:.0} % of it, ")
        };
        c.reason = Some(format!(
            "looks like an ordinary approach with power: {power}it began at {:.0} ft{before}",
            ft(c.start_height_m),
        ));
    }
}

/// Log odds that a candidate is an attempt: a logistic model of what tells a glide from an approach
/// with power, of which flap drag hides a good deal. The weights were fitted to simulated
/// flights, and rounded: a plain drop of power, height at the start and a path that did not already descend speak
/// for an attempt, power within against it.
fn log_odds(c: &Candidate) -> f64 {
    let drop = ((c.drop_mps - 4.0) / 2.0).clamp(-1.5, 1.5);
    let powered = (c.powered_share / 0.1).clamp(0.0, 4.0);
    let climbing = c.climb_before_mps.clamp(-3.0, 0.5);
    let height = ((c.start_height_m - 270.0) / 50.0).clamp(-2.0, 2.0);
    let second_cut = match c.after_glide_s {
        Some(s) if s < SECOND_CUT_WITHIN_S && c.is_already_descending() => SAME_DESCENT,
        Some(s) if s < SECOND_CUT_WITHIN_S => 1.1,
        _ => 0.0,
    };
    // below idle it is flap or a slip that brakes: no better sign of idle than idle itself
    let power = c.mean_power_mps.clamp(-0.7, 2.0);
    let engine = c
        .engine_powered_share
        .map_or(0.0, |share| (3.0 * (0.2 - share) / 0.2).clamp(-3.0, 3.0));
    3.0 + 0.4 * drop - 1.1 * powered + 1.6 * climbing + 1.3 * height - second_cut - 1.9 * power
        + engine
}

#[cfg(test)]
#[path = "candidates_tests.rs"]
mod tests;

#[cfg(test)]
#[path = "finding_tests.rs"]
mod finding_tests;
