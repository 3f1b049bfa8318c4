//! Dangers on the slow side, over the draws, in words a student understands.

use super::super::document::{Event, SlowDanger};
use super::super::instants::{measured, utc_s};
use super::{Over, middle, minutes};
use crate::measures::dangers::{
    Danger, DangerKind, SLOW_APPROACH_SHARE, SLOW_MARGIN, dangers as dangers_of,
};
use crate::quantity::from_draws;
use crate::units::kt;

const KINDS: [(DangerKind, &str); 4] = [
    (DangerKind::Stretching, "stretching"),
    (DangerKind::SlowTurn, "slow_turn"),
    (DangerKind::SteepTurn, "steep_turn"),
    (DangerKind::SlowWithFullFlap, "slow_with_full_flap"),
];

/// From this probability on a danger is told: advice on a coin toss is none.
const TOLD: f64 = 0.7;

/// Stretching that begins this close to the moment the aim went out of reach began with it, s.
const WITH_THE_MOMENT_S: f64 = 5.0;

/// When the aim went out of reach, where a danger that begins at `at_s` began with it: one moment has one time.
fn moment_of(
    events: &[Event],
    start_utc_s: f64,
    kind: DangerKind,
    at_s: f64,
) -> Option<(f64, &Event)> {
    if kind != DangerKind::Stretching {
        return None;
    }
    let lost = |e: &&Event| matches!(e.kind.as_str(), "last_within_reach" | "out_of_reach");
    let when = |event: &Event| Some(utc_s(&event.utc.value()?)? - start_utc_s);
    let lost = events.iter().filter(lost);
    lost.filter_map(|event| Some((when(event)?, event)))
        .find(|(event_s, _)| (event_s - at_s).abs() < WITH_THE_MOMENT_S)
}

/// The dangers likely enough to be told, in time order; `events` are the moments of reach.
pub(super) fn dangers(over: &Over<'_>, events: &[Event]) -> Vec<SlowDanger> {
    let found: Vec<Vec<Danger>> = over
        .each()
        .map(|(drawn, hand)| dangers_of(drawn, hand))
        .collect();
    let start_s = over.power_reduction_s;
    let approach_mps = over.draws.first().map_or(0.0, |d| d.approach.cas_mps);
    let mut out: Vec<(f64, SlowDanger)> = KINDS
        .iter()
        .filter_map(|(kind, name)| {
            let each: Vec<Option<&Danger>> = found
                .iter()
                .map(|of_draw| of_draw.iter().find(|d| d.kind == *kind))
                .collect();
            let probability = each.iter().flatten().count() as f64 / each.len().max(1) as f64;
            let stall_known = over
                .draws
                .first()
                .is_some_and(|d| d.stall_cas_mps.is_some());
            let approach_known = over.briefing.aircraft.approach_kcas.is_some();
            let unknown = *kind == DangerKind::SlowTurn && !stall_known && !approach_known;
            if probability < TOLD || unknown {
                return None;
            }
            let of = |f: fn(&Danger) -> f64| -> Vec<f64> {
                each.iter().map(|d| d.map_or(f64::NAN, f)).collect()
            };
            let (from_s, lasted, worst) =
                (of(|d| d.from_s), of(|d| d.to_s - d.from_s), of(|d| d.worst));
            let found_s = middle(from_s.iter().copied())?;
            let moment = moment_of(events, over.start_utc_s, *kind, found_s);
            let at_s = moment.map_or(found_s, |(event_s, _)| event_s);
            let why = "too uncertain to tell";
            let said = Said {
                at: minutes(at_s - start_s),
                lasted_s: middle(lasted.iter().copied())?,
                worst: middle(worst.iter().copied())?,
                approach_kt: kt(approach_mps),
                approach_known,
                stall_known,
            };
            let danger = SlowDanger {
                kind: (*name).into(),
                probability,
                from_utc: moment.map_or_else(
                    || measured(&from_s, over.start_utc_s, why),
                    |(_, event)| event.utc.clone(),
                ),
                lasted_s: from_draws(&lasted, why),
                worst: from_draws(&worst, why),
                words: words(*kind, &said),
            };
            Some((at_s, danger))
        })
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out.into_iter().map(|d| d.1).collect()
}

struct Said {
    at: String,
    lasted_s: f64,
    worst: f64,
    approach_kt: f64,
    approach_known: bool,
    stall_known: bool,
}

fn words(kind: DangerKind, said: &Said) -> String {
    let Said {
        at,
        lasted_s,
        worst,
        approach_kt,
        approach_known,
        stall_known,
    } = said;
    let approach = if *approach_known {
        format!("the approach speed of {approach_kt:.0} kt")
    } else {
        format!("{approach_kt:.0} kt (taken for the approach speed)")
    };
    match kind {
        DangerKind::Stretching => format!(
            "stretching the glide, from {at} for {lasted_s:.0} s: down to {worst:.0} kt, below {approach}, with the aim point out of reach; slower than best glide it comes down shorter (but for a strong tailwind): lower the nose, take a nearer place"
        ),
        DangerKind::SlowTurn if *stall_known => format!(
            "slow in the turn from downwind to final, at {at}: {worst:.2} times the stall speed at that bank, where {SLOW_MARGIN:.1} is the least (common practice): nose down before the turn, and less bank"
        ),
        // no stall speed is guessed: the bank is taken out of the airspeed, and that is held against the approach speed
        DangerKind::SlowTurn => format!(
            "slow in the turn from downwind to final, at {at}: with that bank as near the stall as {:.0} kt with wings level, where the approach speed is {approach_kt:.0} kt and {:.0} kt the least (common practice): nose down before the turn, and less bank",
            worst * approach_kt,
            SLOW_APPROACH_SHARE * approach_kt
        ),
        DangerKind::SteepTurn => {
            let higher = 100.0 * (worst.to_radians().cos().max(0.05).powf(-0.5) - 1.0);
            format!(
                "steep in the turn from downwind to final, at {at}: {worst:.0}° of bank, which in a level turn puts the stall speed up by {higher:.0} %: accept a wider turn, or go around"
            )
        }
        DangerKind::SlowWithFullFlap => format!(
            "slow with full flap, from {at} for {lasted_s:.0} s: down to {worst:.0} kt, below {approach}, and the aim point out of reach like this: no speed or height is left to trade; nose down, and in practice go around early"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dangers_in_plain_words() {
        let said = Said {
            at: "1:02".into(),
            lasted_s: 9.2,
            worst: 60.6,
            approach_kt: 65.0,
            approach_known: true,
            stall_known: true,
        };
        let text = words(DangerKind::Stretching, &said);
        assert!(text.starts_with("stretching the glide, from 1:02 for 9 s: down to 61 kt, below the approach speed of 65 kt"), "{text}");
        // no stall speed: none is guessed, and none is named as measured
        let without = Said {
            at: "0:33".into(),
            worst: 0.79,
            approach_kt: 67.0,
            stall_known: false,
            ..said
        };
        let slow = words(DangerKind::SlowTurn, &without);
        assert!(slow.contains("as near the stall as 53 kt with wings level, where the approach speed is 67 kt and 62 kt the least"), "{slow}");
        assert!(!slow.contains("times"), "{slow}");
        let said = without;
        // 60 degrees: load factor 2, stall speed 41 % up
        let steep = Said {
            worst: 60.0,
            ..said
        };
        assert!(words(DangerKind::SteepTurn, &steep).contains("up by 41 %"));
    }
}
