//! What the fit of wind and airspeed is given: the glide, the flight around it, the other glides.

use super::attempt::Ground;
use crate::air::drag::Polar;
use crate::air::{Chain, ChainKind, Sample, WindProfile};
use crate::atmosphere::SpeedScale;
use crate::attempts::{Candidate, CandidateEnd};
use crate::flight_path::{Motion, Row};
use crate::units::wrap_180_deg;

/// How much of the flight before and after the glide tells about the wind, s.
const CONTEXT_S: f64 = 600.0;
/// The last part of a glide may have flap out, and all of a final approach: its energy says nothing
/// about clean drag, s.
const FLAP_LIKELY_S: f64 = 35.0;

/// The sample of the wind fit at `m`.
pub(super) fn sample(m: &Motion, rows: &[Row], polar: &Polar, scale: &SpeedScale) -> Sample {
    Sample {
        t_s: m.t_s,
        velocity_mps: [m.east_mps, m.north_mps],
        climb_mps: m.climb_mps,
        height_m: m.height_m,
        accel_mps2: [m.east_mps2, m.north_mps2],
        best_glide_tas_mps: scale.tas_mps(polar.best_glide_cas_mps, m.height_m),
        recorded_tas_mps: recorded_tas(rows, m, scale),
        idle: false,
        carried_share: 0.0,
        approach_share: 0.0,
    }
}

/// Recorded airspeed at `m`, brought to true, where the rows next to it have one.
pub(super) fn recorded_tas(rows: &[Row], m: &Motion, scale: &SpeedScale) -> Option<f64> {
    between(rows, m.t_s, |r| {
        r.tas_mps.map(f64::from).or_else(|| {
            r.ias_mps
                .map(|ias| scale.tas_mps(f64::from(ias), m.height_m))
        })
    })
}

/// Rows further apart than this say nothing about the airspeed between them, s.
const ROWS_APART_S: f64 = 5.5;
/// An airspeed below this is a pitot still asleep, m/s.
const LEAST_AIRSPEED_MPS: f64 = 10.0;

/// An airspeed at `t_s`, linear between the rows next to it.
pub(super) fn between(rows: &[Row], t_s: f64, of: impl Fn(&Row) -> Option<f64>) -> Option<f64> {
    let after = rows.partition_point(|r| r.t_s < t_s);
    let b = rows.get(after)?;
    let a = rows.get(after.saturating_sub(1))?;
    let (va, vb) = (of(a)?, of(b)?);
    let gap = b.t_s - a.t_s;
    if gap > ROWS_APART_S {
        return None;
    }
    let share = if gap > 0.0 {
        ((t_s - a.t_s) / gap).clamp(0.0, 1.0)
    } else {
        0.0
    };
    Some(va + share * (vb - va)).filter(|v| *v > LEAST_AIRSPEED_MPS)
}

/// Chains for the wind fit, the glide first, and the heading change within the glide, degrees.
pub(super) fn chains(
    g: &Ground<'_>,
    candidate: &Candidate,
    end_s: f64,
    scale: &SpeedScale,
) -> (Vec<Chain>, f64) {
    let mean = &g.path.mean;
    let make = |m: &Motion| sample(m, &g.path.rows, &g.polar, scale);
    let airborne = |m: &Motion| {
        let speed = m.ground_speed_mps();
        speed > 7.0 && speed < 110.0 && m.height_m > 20.0
    };
    let glide = glide_samples(g, (candidate.start_s, end_s), 1.0, scale);
    let turned_deg = heading_span_deg(&glide, g.rough_wind);
    let (first, last) = mean.span_s();
    // what other glides tell is told by chains of their own
    let between_glides = |m: &Motion| {
        airborne(m)
            && !g.candidates.iter().any(|o| {
                (o.start_s - candidate.start_s).abs() > 1.0
                    && o.start_s <= m.t_s
                    && m.t_s <= o.end_s
            })
    };
    let mut before: Vec<Sample> = mean
        .resampled(
            (candidate.start_s - CONTEXT_S).max(first),
            candidate.start_s - 2.0,
            2.0,
        )
        .iter()
        .filter(|m| between_glides(m))
        .map(make)
        .collect();
    before.reverse();
    let after: Vec<Sample> = mean
        .resampled(end_s + 8.0, (end_s + CONTEXT_S).min(last), 2.0)
        .iter()
        .filter(|m| between_glides(m))
        .map(make)
        .collect();
    let mut out = vec![Chain {
        kind: ChainKind::Glide,
        samples: glide,
        apart_s: 0.0,
    }];
    for context in [before, after] {
        if context.len() > 10 {
            out.push(Chain {
                kind: ChainKind::Context,
                samples: context,
                apart_s: 0.0,
            });
        }
    }
    // the other glides of the recording: the same aeroplane in nearly the same wind
    for other in g
        .candidates
        .iter()
        .filter(|o| (o.start_s - candidate.start_s).abs() > 1.0)
    {
        let end = if other.end == CandidateEnd::Ground {
            other.end_s - 15.0
        } else {
            other.end_s
        };
        let mut samples = glide_samples(g, (other.start_s, end), 2.0, scale);
        let before = other.start_s < candidate.start_s;
        if before {
            samples.reverse();
        }
        let apart_s = if before {
            candidate.start_s - end
        } else {
            other.start_s - end_s
        };
        if samples.len() > 8 && apart_s > 0.0 && apart_s < OTHER_GLIDES_WITHIN_S {
            out.push(Chain {
                kind: ChainKind::OtherGlide,
                samples,
                apart_s,
            });
        }
    }
    (out, turned_deg)
}

/// Other glides further away than this say little about the wind, s.
const OTHER_GLIDES_WITHIN_S: f64 = 3600.0;

/// The last part before the end that can be base and final, s.
const LONGEST_APPROACH_S: f64 = 90.0;
/// Where the track has come round to this much of the landing direction, base has begun, degrees.
const BASE_BEGINS_DEG: f64 = 140.0;
/// Where the approach was joined from the side: off the landing direction on the final approach, degrees.
const ALIGNED_DEG: f64 = 40.0;
/// Time from the speed of the glide to that of the approach, s (common practice).
const TO_APPROACH_SPEED_S: f64 = 12.0;

/// When the pilot may be expected to go over to the speed of the approach, s: with the turn to base (common practice);
/// `end_s` where the track never came round.
fn approach_from_s(g: &Ground<'_>, start_s: f64, end_s: f64) -> f64 {
    let from_s = (end_s - LONGEST_APPROACH_S).max(start_s + 5.0);
    let instants = g.path.mean.resampled(from_s, end_s - 3.0, 1.0);
    let track_deg = |m: &Motion| m.east_mps.atan2(m.north_mps).to_degrees();
    let Some(last) = instants.last() else {
        return end_s;
    };
    let landing_deg = g.setting.landing_true_deg.unwrap_or(track_deg(last));
    let last_off = |limit_deg: f64| {
        instants
            .iter()
            .rev()
            .find(|m| wrap_180_deg(track_deg(m) - landing_deg).abs() > limit_deg)
            .map(|m| m.t_s)
    };
    last_off(BASE_BEGINS_DEG)
        .or_else(|| last_off(ALIGNED_DEG))
        .unwrap_or(from_s)
}

/// From when the track stays near the landing direction: the start of a glide that is straight in.
fn lined_up_from_s(g: &Ground<'_>, start_s: f64, end_s: f64) -> f64 {
    let Some(landing_deg) = g.setting.landing_true_deg else {
        return end_s;
    };
    let off = |m: &Motion| {
        let track_deg = m.east_mps.atan2(m.north_mps).to_degrees();
        wrap_180_deg(track_deg - landing_deg).abs() > ALIGNED_DEG
    };
    let instants = g.path.mean.resampled(start_s, end_s - 3.0, 1.0);
    let last_off = instants.iter().rev().find(|m| off(m));
    last_off.map_or(start_s, |m| m.t_s)
}

/// Time in which the speed carried into the glide falls to a third, s: idle drag slows a light single by about 1 m/s²,
/// less as it nears the speed of the glide.
const SLOWING_S: f64 = 7.0;

/// Samples of a glide, every `step_s`, from when it has slowed to glide speed.
fn glide_samples(
    g: &Ground<'_>,
    (start_s, end_s): (f64, f64),
    step_s: f64,
    scale: &SpeedScale,
) -> Vec<Sample> {
    let known_s = if g.flap_was_out(start_s) {
        Some(start_s)
    } else {
        g.known_flap_s(start_s, end_s)
    };
    let flap_s =
        known_s.unwrap_or_else(|| (end_s - FLAP_LIKELY_S).min(lined_up_from_s(g, start_s, end_s)));
    let approach_s = approach_from_s(g, start_s, end_s);
    // the deceleration to glide speed is not glide
    let slowed = |m: &Motion| {
        let w = g.rough_wind.at(m.height_m);
        let tas = (m.east_mps - w[0]).hypot(m.north_mps - w[1]);
        tas < 1.15 * scale.tas_mps(g.polar.best_glide_cas_mps, m.height_m)
    };
    let instants = g.path.mean.resampled(start_s + 4.0, end_s - 3.0, step_s);
    let from = instants.iter().position(slowed).unwrap_or(0);
    let glide = &instants[from.min(instants.len())..];
    let first_s = glide.first().map_or(start_s, |m| m.t_s);
    glide
        .iter()
        // the flare slows the aeroplane on purpose: in the fit it would look like headwind
        .filter(|m| m.height_m > 15.0 && m.climb_mps.abs() < 9.0)
        .map(|m| Sample {
            idle: m.t_s < flap_s,
            carried_share: (-(m.t_s - first_s) / SLOWING_S).exp(),
            approach_share: ((m.t_s - approach_s) / TO_APPROACH_SPEED_S).clamp(0.0, 1.0),
            ..sample(m, &g.path.rows, &g.polar, scale)
        })
        .collect()
}

/// Span of the heading through the air, degrees.
fn heading_span_deg(glide: &[Sample], wind: &WindProfile) -> f64 {
    let (mut total, mut least, mut most) = (0.0_f64, 0.0_f64, 0.0_f64);
    let mut before: Option<f64> = None;
    for s in glide {
        let w = wind.at(s.height_m);
        let heading = (s.velocity_mps[0] - w[0])
            .atan2(s.velocity_mps[1] - w[1])
            .to_degrees();
        if let Some(b) = before {
            total += wrap_180_deg(heading - b);
        }
        least = least.min(total);
        most = most.max(total);
        before = Some(heading);
    }
    most - least
}
