//! Height in hand at each event of the briefing, and at each change of recorded flap.

use super::super::document::AtEvent;
use super::super::instants::rfc3339;
use super::{Over, flap};
use crate::briefing::says_flap_extension;
use crate::quantity::{Measured, from_draws};
use crate::reach::along_attempt::heights_in_hand_m;
use crate::units::ft;

/// From this probability on a point is called assured, or out of reach.
const SURE: f64 = 0.9;
/// An event this long before the power reduction or after the end of the glide still belongs to it, s.
const AROUND_S: f64 = 5.0;

/// The events of this attempt, in time order.
pub(super) fn at_events(over: &Over<'_>) -> Vec<AtEvent> {
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
        .map(|(t_s, what, source)| at_event(over, t_s, what, source))
        .collect()
}

fn at_event(over: &Over<'_>, t_s: f64, what: String, source: &str) -> AtEvent {
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
    let share = |holds: fn(f64) -> bool| {
        in_hand.iter().filter(|h| holds(**h)).count() as f64 / in_hand.len().max(1) as f64
    };
    let (assured, short) = (share(|h| h >= 0.0), share(|h| h < 0.0));
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
        words: words(&what, is_flap, &height_in_hand_ft, (assured, short)),
        what,
        kind: if is_flap { "flap" } else { "other" }.into(),
        source: source.into(),
        elapsed_s: from_draws(&elapsed, "no power reduction"),
        height_ft: from_draws(&heights, "no height could be worked out here"),
        height_in_hand_ft,
        assured_probability,
    }
}

/// `shares` of the draws: with the point assured, and out of reach.
fn words(what: &str, is_flap: bool, in_hand: &Measured, shares: (f64, f64)) -> String {
    let Some(height) = in_hand.value() else {
        let reason = in_hand.reason().unwrap_or("not measured");
        return format!("{what}: height in hand not measured, {reason}");
    };
    let round = |h: f64| (h / 10.0).round() * 10.0;
    let short = round(-height).max(0.0);
    match (is_flap, shares) {
        (true, (assured, _)) if assured >= SURE => {
            format!(
                "{what}, with the aim point assured: {:.0} ft in hand",
                round(height)
            )
        }
        (true, (_, lost)) if lost >= SURE => {
            format!("{what}, before the aim point was assured: {short:.0} ft too low already")
        }
        (true, _) => format!("{what}: too close to call whether the aim point was assured"),
        (false, _) if height < 0.0 => format!("{what}: {short:.0} ft too low for the aim point"),
        (false, _) => format!("{what}: {:.0} ft in hand", round(height)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(value: f64) -> Measured {
        Measured::Known {
            value,
            low: value - 50.0,
            high: value + 50.0,
        }
    }

    #[test]
    fn whether_the_point_was_assured_in_words() {
        let sure = words("flap 10", true, &height(213.0), (1.0, 0.0));
        assert_eq!(sure, "flap 10, with the aim point assured: 210 ft in hand");
        let not = words("flap 10", true, &height(-84.0), (0.05, 0.95));
        assert!(
            not.contains("before the aim point was assured: 80 ft"),
            "{not}"
        );
        let open = words("flap 10", true, &height(10.0), (0.6, 0.4));
        assert!(open.contains("too close to call"));
        let seldom_known = words("flap 10", true, &height(90.0), (0.6, 0.0));
        assert!(seldom_known.contains("too close to call"));
        let other = words("mayday call", false, &height(-84.0), (0.05, 0.95));
        assert_eq!(other, "mayday call: 80 ft too low for the aim point");
        let unknown = words("flap 40", true, &Measured::unknown("why"), (0.0, 0.0));
        assert_eq!(unknown, "flap 40: height in hand not measured, why");
    }
}
