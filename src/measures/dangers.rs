//! Dangers on the slow side, looked for in one draw.

use super::limits::SETTLED_WITHIN_S;
use super::{DrawnAttempt, DrawnEnd};
use crate::key_points::flown::{Instant, STEP_S};
use crate::reach::moments::JUDGED_TO_M;
use crate::reach::{Hand, Position, Reach};
use crate::units::kt;

/// A kind of danger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DangerKind {
    /// Below approach speed while the aim is out of reach: the glide is being stretched.
    Stretching,
    /// The turn from base to final with little margin above the stall.
    SlowTurn,
    /// The turn from base to final with too much bank.
    SteepTurn,
    /// Below approach speed with full flap, and out of reach so configured.
    SlowWithFullFlap,
}

/// A danger of one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Danger {
    /// Which.
    pub kind: DangerKind,
    /// From when, s.
    pub from_s: f64,
    /// Until when, s.
    pub to_s: f64,
    /// The worst of it: slowest airspeed in kt, least stall margin (share of the approach speed at that bank where
    /// no stall speed is known), or greatest bank in degrees.
    pub worst: f64,
}

/// Speeds and banks are means over this: a gust is no habit, s.
const OVER_S: f64 = 3.0;
/// A danger lasts this long at least, s.
const LASTING_S: f64 = 3.0;
/// A turn's danger lasts this long at least, s: turns are short.
const LASTING_IN_TURN_S: f64 = 1.0;
/// Lower than this the round-out begins, and speed is meant to fall, m.
const ROUND_OUT_M: f64 = 15.0;
/// The turn is looked at until this long after being lined up, s.
const AFTER_TURN_S: f64 = 3.0;
/// Margin above the stall in the turn, load factor counted, below which it is a slow one: 1.3 times
/// the stall speed with wings level is 1.21 at 30 degrees (common practice).
pub const SLOW_MARGIN: f64 = 1.2;
/// The same where the briefing has no stall speed: share of the approach speed at that bank, for an approach speed
/// of 1.3 times the stall speed (common practice).
pub const SLOW_APPROACH_SHARE: f64 = SLOW_MARGIN / 1.3;
/// Bank beyond the limit by this is too much, degrees (30 and 10 make 40; common practice).
pub const STEEP_BEYOND_DEG: f64 = 10.0;

/// The dangers of this draw, the first of each kind.
pub fn dangers(drawn: &DrawnAttempt, hand: Option<&Hand>) -> Vec<Danger> {
    let mut out = Vec::new();
    // a best glide that is reached late or never is not waited for
    let at_last_s = drawn.known.power_reduction_s + SETTLED_WITHIN_S;
    let settled_s = drawn
        .times
        .best_glide_held_s
        .map_or(at_last_s, |held_s| held_s.min(at_last_s));
    let end_s = match drawn.end {
        DrawnEnd::Touchdown { flare_s, .. } => flare_s - 1.0,
        _ => drawn.known.end_s - 2.0,
    };
    if let Some(hand) = hand {
        let reach = hand.reach();
        out.extend(slow_out_of_reach(
            drawn,
            DangerKind::Stretching,
            reach.as_ref(),
            (settled_s, end_s),
        ));
        if let Some(full_s) = drawn.approach.full_flap_s {
            let reach = hand.full_flap_reach();
            out.extend(slow_out_of_reach(
                drawn,
                DangerKind::SlowWithFullFlap,
                reach.as_ref(),
                (settled_s.max(full_s), end_s),
            ));
        }
    }
    if let Some(base_s) = drawn.times.base_turn_s {
        let to_s = drawn
            .times
            .on_final_s
            .map_or(end_s, |t| (t + AFTER_TURN_S).min(end_s));
        out.extend(slow_turn(drawn, (base_s, to_s)));
        out.extend(steep_turn(drawn, (base_s, to_s)));
    }
    out
}

/// Below approach speed, above the round-out, and lower than `reach` needs.
fn slow_out_of_reach(
    drawn: &DrawnAttempt,
    kind: DangerKind,
    reach: Option<&Reach<'_>>,
    span_s: (f64, f64),
) -> Option<Danger> {
    let (reach, landing) = (reach?, drawn.flown.landing_true_deg?);
    // past where the float begins the aim is behind, and out of reach means nothing
    let float_m = drawn.approach.setting.float_m;
    let ahead = |at: &Instant| {
        let on_final = drawn.times.on_final_s.is_some_and(|t| at.motion.t_s >= t);
        !on_final || at.along_m < -float_m
    };
    let within = drawn.flown.between(span_s.0, span_s.1);
    let slow = means(within, |i| i.cas_mps);
    let states = within.iter().zip(&slow).map(|(at, cas)| {
        let short = *cas < drawn.approach.cas_mps
            && at.motion.height_m > ROUND_OUT_M
            && ahead(at)
            && reach
                .least_height_m(&Position::of(at, landing))
                .is_some_and(|least| at.motion.height_m < least - JUDGED_TO_M);
        (at.motion.t_s, short, *cas)
    });
    let (from_s, to_s, least) = first_spell(states, LASTING_S, f64::min)?;
    Some(Danger {
        kind,
        from_s,
        to_s,
        worst: kt(least),
    })
}

fn slow_turn(drawn: &DrawnAttempt, span_s: (f64, f64)) -> Option<Danger> {
    let (reference, least) = match drawn.stall_cas_mps {
        Some(stall) => (stall, SLOW_MARGIN),
        None => (drawn.approach.cas_mps, SLOW_APPROACH_SHARE),
    };
    let within = drawn.flown.between(span_s.0, span_s.1);
    let (cas, load) = (
        means(within, |i| i.cas_mps),
        means(within, |i| i.load_factor),
    );
    let states = within.iter().enumerate().map(|(k, at)| {
        let margin = cas[k] / (reference * load[k].sqrt());
        let slow = margin < least && at.motion.height_m > ROUND_OUT_M;
        (at.motion.t_s, slow, margin)
    });
    let (from_s, to_s, worst) = first_spell(states, LASTING_IN_TURN_S, f64::min)?;
    Some(Danger {
        kind: DangerKind::SlowTurn,
        from_s,
        to_s,
        worst,
    })
}

fn steep_turn(drawn: &DrawnAttempt, span_s: (f64, f64)) -> Option<Danger> {
    let most = drawn.approach.setting.bank_limit_deg + STEEP_BEYOND_DEG;
    let within = drawn.flown.between(span_s.0, span_s.1);
    let bank = means(within, |i| i.bank_deg.abs());
    let states = within.iter().zip(&bank).map(|(at, bank)| {
        let bank = bank + drawn.bank_error_deg;
        (at.motion.t_s, bank > most, bank)
    });
    let (from_s, to_s, worst) = first_spell(states, LASTING_IN_TURN_S, f64::max)?;
    Some(Danger {
        kind: DangerKind::SteepTurn,
        from_s,
        to_s,
        worst,
    })
}

/// Mean over [`OVER_S`] around each instant.
fn means(within: &[Instant], f: impl Fn(&Instant) -> f64) -> Vec<f64> {
    let half = (0.5 * OVER_S / STEP_S) as usize;
    (0..within.len())
        .map(|k| {
            let near = &within[k.saturating_sub(half)..(k + half + 1).min(within.len())];
            near.iter().map(&f).sum::<f64>() / near.len() as f64
        })
        .collect()
}

/// Start, end and worst value of the first spell of `true` that lasts.
fn first_spell(
    states: impl Iterator<Item = (f64, bool, f64)>,
    lasting_s: f64,
    worse: fn(f64, f64) -> f64,
) -> Option<(f64, f64, f64)> {
    let mut spell: Option<(f64, f64, f64)> = None;
    for (t_s, there, value) in states {
        spell = match (spell, there) {
            (Some((from_s, _, worst)), true) => Some((from_s, t_s, worse(worst, value))),
            (None, true) => Some((t_s, t_s, value)),
            (Some((from_s, to_s, worst)), false) if to_s - from_s >= lasting_s => {
                return Some((from_s, to_s, worst));
            }
            _ => None,
        };
    }
    spell.filter(|(from_s, to_s, _)| to_s - from_s >= lasting_s)
}

#[cfg(test)]
#[path = "dangers_tests.rs"]
mod tests;
