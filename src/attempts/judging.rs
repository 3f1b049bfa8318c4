//! How probable it is that an idle stretch is a practice forced landing, and why it is not, where it is not.

use super::candidates::{Candidate, CandidateEnd};
use crate::units::{M_PER_FT, M_PER_NM, ft};

/// Height above the aim from which a power reduction may be an attempt, m (about 500 ft, less what the estimate may err).
const LEAST_START_M: f64 = 450.0 * M_PER_FT;
/// Lowest point below which an attempt must come, m.
const MOST_LOW_M: f64 = 1000.0 * M_PER_FT;
/// Lowest point within this distance of the aim, m.
const MOST_DISTANCE_M: f64 = 4500.0;
/// Shortest glide, s.
const LEAST_LENGTH_S: f64 = 14.0;
/// Longest glide, s: from 20,000 ft at 500 ft/min. Longer is a glider, or an engine channel that lies.
const LONGEST_S: f64 = 2400.0;

/// An idle stretch this soon after another may be a second cut of one approach, s.
const SECOND_CUT_WITHIN_S: f64 = 50.0;
/// Log odds against an attempt where power was only used for a moment in one long descent: nobody
/// practises a forced landing out of the middle of an approach.
const SAME_DESCENT: f64 = 5.0;
/// Confidence below which a reason is given why the candidate may be no attempt.
const PLAIN_ATTEMPT: f64 = 0.75;
/// How much power a propeller at idle may seem to give where the polar of the briefing is off, m/s at most: a glide
/// ratio of 6.5 written for one of 9.
const MOST_IDLE_MPS: f64 = 1.5;
/// Glides that tell the idle of a recording: at least so many, so long (s), begun by so plain a drop of power (m/s).
const TELLING: (usize, f64, f64) = (2, 30.0, 3.0);
/// So much less than the polar has is ordinary, m/s: rising air, a little power in all of them.
const ORDINARY_MPS: f64 = 0.5;

/// Judges all idle stretches of one recording.
pub(super) fn judge_all(candidates: &mut [Candidate], aim_known: bool) {
    let idle_mps = idle_mps(candidates);
    for c in candidates {
        judge(c, aim_known, idle_mps);
    }
}

/// What idle seems to give in this recording, m/s: the least of its plain glides, where they all seem powered. A polar
/// that is wrong errs alike in all of them; power differs.
fn idle_mps(candidates: &[Candidate]) -> f64 {
    let (least, seconds, drop_mps) = TELLING;
    let telling: Vec<f64> = candidates
        .iter()
        .filter(|c| {
            c.end_s - c.start_s >= seconds && c.drop_mps >= drop_mps && c.powered_share <= 0.0
        })
        .map(|c| c.mean_power_mps)
        .filter(|power| power.is_finite())
        .collect();
    if telling.len() < least {
        return 0.0;
    }
    let least_mps = telling.into_iter().fold(f64::INFINITY, f64::min);
    (least_mps - ORDINARY_MPS).clamp(0.0, MOST_IDLE_MPS)
}

impl Candidate {
    fn is_already_descending(&self) -> bool {
        self.climb_before_mps < -0.7
    }
}

fn judge(c: &mut Candidate, aim_known: bool, idle_mps: f64) {
    if let Some(reason) = plain_reason(c, aim_known) {
        c.confidence = 0.02;
        c.reason = Some(reason);
        return;
    }
    let evidence = evidence(c, idle_mps);
    let log_odds = EVEN + evidence.iter().map(|e| e.nats).sum::<f64>();
    c.confidence = 1.0 / (1.0 + (-log_odds).exp());
    if c.confidence < PLAIN_ATTEMPT {
        c.reason = Some(format!(
            "looks like an ordinary approach with power: {}",
            what_decided(evidence)
        ));
    }
}

/// What makes a candidate no attempt without more ado.
fn plain_reason(c: &Candidate, aim_known: bool) -> Option<String> {
    let length = c.end_s - c.start_s;
    if c.end == CandidateEnd::PowerBack && !c.climbs_after {
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
    }
}

/// One thing that speaks for an attempt, or against it.
struct Evidence {
    /// Log odds for an attempt.
    nats: f64,
    /// What it is, where it speaks against.
    against: String,
}

/// Log odds of an attempt before anything is looked at.
const EVEN: f64 = 3.0;
/// What counts less than this against an attempt is not told.
const TOLD_NATS: f64 = -0.5;

/// A logistic model of what tells a glide from an approach with power, of which flap drag hides a good deal. The
/// weights were fitted to simulated flights, and rounded: a plain drop of power, height at the start and a path that
/// did not already descend speak for an attempt, power within against it.
fn evidence(c: &Candidate, idle_mps: f64) -> Vec<Evidence> {
    let drop = ((c.drop_mps - 4.0) / 2.0).clamp(-1.5, 1.5);
    let powered = (c.powered_share / 0.1).clamp(0.0, 4.0);
    let climbing = c.climb_before_mps.clamp(-3.0, 0.5);
    let height = ((c.start_height_m - 270.0) / 50.0).clamp(-2.0, 2.0);
    let since = c.after_glide_s.filter(|s| *s < SECOND_CUT_WITHIN_S);
    let second_cut = match since {
        Some(_) if c.is_already_descending() => SAME_DESCENT,
        Some(_) => 1.1,
        None => 0.0,
    };
    // below idle it is flap or a slip that brakes: no better sign of idle than idle itself
    let power = (c.mean_power_mps - idle_mps).clamp(-0.7, 2.0);
    let engine = c
        .engine_powered_share
        .map_or(0.0, |share| (3.0 * (0.2 - share) / 0.2).clamp(-3.0, 3.0));
    let of = |nats: f64, against: String| Evidence { nats, against };
    vec![
        of(
            0.4 * drop,
            "the power hardly fell where it began".to_string(),
        ),
        of(
            -1.1 * powered,
            format!("power was on for {:.0} % of it", 100.0 * c.powered_share),
        ),
        of(
            -1.9 * power,
            format!(
                "it lost {:.0} ft/min less than idle by this polar would",
                ft(c.mean_power_mps - idle_mps) * 60.0
            ),
        ),
        of(
            engine,
            format!(
                "the recorded engine shows power for {:.0} % of it",
                100.0 * c.engine_powered_share.unwrap_or(0.0)
            ),
        ),
        of(1.6 * climbing, "it began in a descent".to_string()),
        of(
            -second_cut,
            format!(
                "it began {:.0} s after an earlier idle stretch",
                since.unwrap_or(0.0)
            ),
        ),
        of(
            1.3 * height,
            format!("it began as low as {:.0} ft", ft(c.start_height_m)),
        ),
    ]
}

/// In words, what spoke most against an attempt, the weightiest first, three at most.
fn what_decided(mut evidence: Vec<Evidence>) -> String {
    evidence.sort_by(|a, b| a.nats.total_cmp(&b.nats));
    let told: Vec<String> = evidence
        .into_iter()
        .filter(|e| e.nats < TOLD_NATS)
        .take(3)
        .map(|e| e.against)
        .collect();
    if told.is_empty() {
        "nothing speaks plainly for an attempt".to_string()
    } else {
        told.join(", ")
    }
}

#[cfg(test)]
#[path = "judging_tests.rs"]
mod tests;
