//! Turns: stretches of heading change in one direction, and the orbits in them.

use super::flown::{Flown, Instant};

/// A turn in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Start, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
    /// Heading change, degrees, right positive.
    pub turned_deg: f64,
}

/// Rate below which the wings are taken for level, degrees per second.
const LEVEL_RATE_DEGPS: f64 = 1.5;
/// Longest level stretch inside one turn, s.
const LONGEST_PAUSE_S: f64 = 6.0;
/// Least heading change of a turn, degrees.
const LEAST_TURN_DEG: f64 = 20.0;
/// A turn this much short of a full one still counts as an orbit, degrees: instructors roll out on a heading.
const ORBIT_SLACK_DEG: f64 = 30.0;

/// The turns between `from_s` and `to_s`.
pub fn turns(flown: &Flown, from_s: f64, to_s: f64) -> Vec<Turn> {
    let instants = flown.between(from_s, to_s);
    // rate over 2 s: noise of one step must not end a turn
    let span = 4usize;
    let rate = |i: usize| -> f64 {
        let a = &instants[i.saturating_sub(span / 2)];
        let b = &instants[(i + span / 2).min(instants.len() - 1)];
        let dt = b.motion.t_s - a.motion.t_s;
        if dt > 0.0 {
            (b.heading_deg - a.heading_deg) / dt
        } else {
            0.0
        }
    };
    let mut out: Vec<Turn> = Vec::new();
    for i in 0..instants.len() {
        let r = rate(i);
        if r.abs() < LEVEL_RATE_DEGPS {
            continue;
        }
        let t = instants[i].motion.t_s;
        match out.last_mut() {
            Some(turn)
                if turn.turned_deg.signum() == r.signum() && t - turn.to_s <= LONGEST_PAUSE_S =>
            {
                turn.to_s = t;
            }
            _ => out.push(Turn {
                from_s: t,
                to_s: t,
                turned_deg: r.signum(),
            }),
        }
    }
    for turn in &mut out {
        let heading = |t: f64| flown.instants[flown.index(t)].heading_deg;
        turn.turned_deg = heading(turn.to_s) - heading(turn.from_s);
    }
    out.retain(|t| t.turned_deg.abs() >= LEAST_TURN_DEG);
    out
}

/// Full turns in one direction within a turn.
pub fn orbits_in(turn: &Turn) -> f64 {
    ((turn.turned_deg.abs() + ORBIT_SLACK_DEG) / 360.0).floor()
}

/// Largest mean bank over three seconds, degrees, either way, and where, between `from_s` and `to_s`.
pub fn most_bank_deg(instants: &[Instant]) -> f64 {
    most_over_three_seconds(instants, |i| i.bank_deg.abs())
}

/// The same of a level turn of the same curve: what its load factor comes of.
pub fn most_level_bank_deg(instants: &[Instant]) -> f64 {
    most_over_three_seconds(instants, |i| i.load_factor.recip().acos().to_degrees())
}

fn most_over_three_seconds(instants: &[Instant], of: impl Fn(&Instant) -> f64) -> f64 {
    let span = (3.0 / super::flown::STEP_S) as usize;
    instants
        .windows(span.min(instants.len()).max(1))
        .map(|w| w.iter().map(&of).sum::<f64>() / w.len() as f64)
        .fold(f64::NAN, f64::max)
}
