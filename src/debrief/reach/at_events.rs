//! Height in hand at each event of the briefing, and at each change of recorded flap.

use super::super::attempt::AttemptAnalysis;
use super::super::document::AtEvent;
use super::super::instants::rfc3339;
use super::{Over, flap};
use crate::briefing::says_flap_extension;
use crate::measures::Values;
use crate::measures::reach::least_between;
use crate::quantity::{Measured, from_draws};
use crate::reach::along_attempt::heights_in_hand_m;
use crate::units::ft;

/// The least height in hand before final, and when it was.
pub(super) struct Least {
    at_s: f64,
    height_ft: Measured,
}

impl Least {
    /// Of an attempt: the measure, and the step at which the middle of the series is least.
    pub(super) fn of(
        over: &Over<'_>,
        a: &AttemptAnalysis,
        steps: &[usize],
        middle_ft: &[Option<f64>],
    ) -> Option<Least> {
        let flown = &over.draws.first()?.flown;
        let until_s = over.draws.iter().map(|d| least_between(d).1);
        let until_s = super::middle(until_s)?;
        let known = steps.iter().zip(middle_ft).filter_map(|(step, height)| {
            let at_s = flown.instants.get(*step)?.motion.t_s;
            height.filter(|_| at_s <= until_s).map(|h| (at_s, h))
        });
        let (at_s, _) = known.min_by(|a, b| a.1.total_cmp(&b.1))?;
        let least = |v: &Values| v.get("height_in_hand_min_ft").copied();
        let values: Vec<f64> = a
            .values
            .iter()
            .map(|v| least(v).unwrap_or(f64::NAN))
            .collect();
        let height_ft = from_draws(&values, "");
        height_ft.value()?;
        Some(Least { at_s, height_ft })
    }
}

/// An event this long before the power reduction or after the end of the glide still belongs to it, s.
const AROUND_S: f64 = 5.0;

/// The events of this attempt, in time order.
pub(super) fn at_events(over: &Over<'_>, least: Option<&Least>) -> Vec<AtEvent> {
    let Some((start_s, end_s)) = over.glide_s() else {
        return Vec::new();
    };
    let span_s = (start_s - AROUND_S, end_s + AROUND_S);
    let mut found: Vec<(f64, String, &str)> = over
        .briefing
        .events
        .iter()
        .filter_map(|e| Some((e.utc_s()? - over.start_utc_s, e.what.clone(), "briefing")))
        .filter(|(t_s, ..)| (span_s.0..=span_s.1).contains(t_s))
        .collect();
    found.extend(
        flap::recorded_steps(&over.analysis.path.rows, span_s)
            .into_iter()
            .map(|(t_s, deg)| (t_s, format!("flap {deg:.0}°"), "recording")),
    );
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
        .into_iter()
        .map(|(t_s, what, source)| {
            let later = least.filter(|least| least.at_s > t_s);
            at_event(over, t_s, what, source, later.map(|least| &least.height_ft))
        })
        .collect()
}

/// `later`: the least height in hand before final, where that came after this event.
fn at_event(
    over: &Over<'_>,
    t_s: f64,
    what: String,
    source: &str,
    later: Option<&Measured>,
) -> AtEvent {
    let in_hand: Vec<f64> = over
        .each()
        .map(|(drawn, hand)| {
            let known = &drawn.known;
            let step = [drawn.flown.index(t_s)];
            let glide = (known.power_reduction_s, known.end_s);
            hand.and_then(|hand| {
                let on_final_s = drawn.times.on_final_s;
                heights_in_hand_m(hand, &drawn.flown, &step, glide, on_final_s)[0]
            })
            .map_or(f64::NAN, ft)
        })
        .collect();
    // of all draws: where a draw has no height in hand, the point was neither assured nor lost
    let within = in_hand.iter().filter(|h| **h >= 0.0).count();
    let assured = within as f64 / in_hand.len().max(1) as f64;
    let height_in_hand_ft = from_draws(
        &in_hand,
        "outside the glide, or so near the aim point that it no longer matters",
    );
    let is_known = height_in_hand_ft.value().is_some();
    let assured_probability = is_known.then_some(assured);
    let utc = rfc3339(over.start_utc_s + t_s);
    let is_flap = says_flap_extension(&what);
    let heights: Vec<f64> = over
        .draws
        .iter()
        .map(|d| ft(d.flown.at(t_s).height_m))
        .collect();
    let elapsed: Vec<f64> = over
        .draws
        .iter()
        .map(|d| t_s - d.known.power_reduction_s)
        .collect();
    AtEvent {
        utc,
        words: words(&what, is_flap, &height_in_hand_ft, later),
        what,
        kind: if is_flap { "flap" } else { "other" }.into(),
        source: source.into(),
        elapsed_s: from_draws(&elapsed, "no power reduction"),
        height_ft: from_draws(&heights, "no height could be worked out here"),
        height_in_hand_ft,
        assured_probability,
    }
}

/// Whether a height in hand is above zero, below it, or neither for sure: by its 95 % interval, as everywhere.
enum Call {
    Within,
    Out,
    TooClose,
}

fn call(in_hand: &Measured) -> Call {
    match in_hand.interval() {
        Some((low, _)) if low >= 0.0 => Call::Within,
        Some((_, high)) if high < 0.0 => Call::Out,
        _ => Call::TooClose,
    }
}

/// `later`: the least height in hand before final, where that came after.
fn words(what: &str, is_flap: bool, in_hand: &Measured, later: Option<&Measured>) -> String {
    let Some(height) = in_hand.value() else {
        let reason = in_hand.reason().unwrap_or("not measured");
        return format!("{what}: height in hand not measured, {reason}");
    };
    let round = |h: f64| (h / 10.0).round() * 10.0 + 0.0;
    let short = round(-height).max(0.0);
    if !is_flap {
        return if height < 0.0 {
            format!("{what}: {short:.0} ft too low for the aim point")
        } else {
            format!("{what}: {:.0} ft in hand", round(height))
        };
    }
    let least = later.and_then(|l| Some((call(l), l.value()?)));
    match (call(in_hand), least) {
        (Call::Within, Some((Call::TooClose, least))) => format!(
            "{what}, with {:.0} ft in hand, and as little as {} ft later: too close to call whether the aim point was assured",
            round(height),
            signed(round(least))
        ),
        (Call::Within, Some((Call::Out, least))) => format!(
            "{what}, with {:.0} ft in hand, but the aim point went out of reach later, by {:.0} ft: it was not assured",
            round(height),
            round(-least)
        ),
        (Call::Within, _) => format!(
            "{what}, with the aim point assured: {:.0} ft in hand",
            round(height)
        ),
        (Call::Out, _) => {
            format!("{what}, before the aim point was assured: {short:.0} ft too low already")
        }
        (Call::TooClose, _) => {
            format!("{what}: too close to call whether the aim point was assured")
        }
    }
}

/// A whole number with a true minus.
fn signed(value: f64) -> String {
    let sign = if value < 0.0 { "\u{2212}" } else { "" };
    format!("{sign}{:.0}", value.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(value: f64, half: f64) -> Measured {
        Measured::Known {
            value,
            low: value - half,
            high: value + half,
        }
    }

    #[test]
    fn whether_the_point_was_assured_in_words() {
        let flap =
            |height: &Measured, later: Option<&Measured>| words("flap 10", true, height, later);
        let sure = flap(&height(213.0, 50.0), None);
        assert_eq!(sure, "flap 10, with the aim point assured: 210 ft in hand");
        assert_eq!(flap(&height(213.0, 50.0), Some(&height(90.0, 50.0))), sure);
        let not = flap(&height(-84.0, 50.0), None);
        assert!(
            not.contains("before the aim point was assured: 80 ft"),
            "{not}"
        );
        assert!(flap(&height(10.0, 50.0), None).contains("too close to call"));
        let other = words("mayday call", false, &height(-84.0, 50.0), None);
        assert_eq!(other, "mayday call: 80 ft too low for the aim point");
        let unknown = words("flap 40", true, &Measured::unknown("why"), None);
        assert_eq!(unknown, "flap 40: height in hand not measured, why");
    }

    #[test]
    fn what_is_too_close_to_call_later_was_not_assured() {
        let then = height(290.0, 60.0);
        let close = words("flap 10", true, &then, Some(&height(-30.0, 55.0)));
        assert_eq!(
            close,
            "flap 10, with 290 ft in hand, and as little as \u{2212}30 ft later: too close to call whether the aim point was assured"
        );
        let lost = words("flap 10", true, &then, Some(&height(-240.0, 110.0)));
        assert!(lost.contains("out of reach later, by 240 ft"), "{lost}");
    }
}
