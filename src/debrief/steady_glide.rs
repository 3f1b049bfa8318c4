//! The stretch the glide figures are taken from.
//!
//! From best glide held until on final, or the first known flap, whichever is first. Where best glide was never
//! held, or so late that no glide was left, it begins a quarter of a minute after the power came off. Of a straight-in
//! the final is the glide: lined up from the start, it lasts until the approach to the landing begins,
//! 500 ft above the aim or half a minute before the end, whichever is first.

use super::attempt::Ground;
use super::gaps;
use super::key_points::median;
use crate::attempts::Candidate;
use crate::measures::DrawnAttempt;
use crate::reach::projection::falls_through;
use crate::units::M_PER_FT;

/// Shortest stretch that is worth a rate or a ratio, s: over less, errors of height and gusts outweigh the sink.
pub(super) const SHORTEST_S: f64 = 15.0;
/// Where best glide was not held in time, the stretch starts this long after the power reduction, s.
const SETTLED_AFTER_S: f64 = 15.0;
/// The last moments before the end belong to the flare or the go-around, s.
const BEFORE_END_S: f64 = 2.0;
/// A straight-in slows down and takes flap from this height above the aim on, m (common practice) …
const LANDING_BEGINS_M: f64 = 500.0 * M_PER_FT;
/// … or from this long before its end, s.
const LANDING_BEGINS_S: f64 = 30.0;

/// Where the stretch begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// Where best glide was held.
    Held,
    /// Some time after the power reduction: best glide was never held.
    NeverHeld,
    /// The same: best glide was held too late to leave a glide.
    HeldLate,
}

/// The median instants the stretch depends on, s.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(clippy::struct_field_names, reason = "the unit is part of the name")]
struct Instants {
    power_reduction_s: f64,
    held_s: Option<f64>,
    on_final_s: Option<f64>,
    /// Falling through [`LANDING_BEGINS_M`].
    low_s: Option<f64>,
    flap_s: Option<f64>,
    end_s: f64,
}

/// The stretch over all draws, and why it begins where it does.
pub(super) fn steady_glide(
    g: &Ground<'_>,
    draws: &[DrawnAttempt],
    c: &Candidate,
) -> (Option<(f64, f64)>, Begins) {
    let power_reduction_s = median(draws, |d| Some(d.known.power_reduction_s)).unwrap_or(c.start_s);
    let end_s = median(draws, |d| Some(d.known.end_s)).unwrap_or(c.end_s);
    let instants = Instants {
        power_reduction_s,
        held_s: median(draws, |d| d.times.best_glide_held_s),
        on_final_s: median(draws, |d| d.times.on_final_s),
        low_s: median(draws, |d| {
            let known = &d.known;
            falls_through(
                &d.flown,
                LANDING_BEGINS_M,
                known.power_reduction_s,
                known.end_s,
            )
        }),
        flap_s: g.known_flap_s(power_reduction_s, end_s),
        end_s,
    };
    let gaps = gaps::long_gaps(g.track, g.setting.utc_start_s);
    stretch(&instants, &gaps)
}

fn stretch(i: &Instants, gaps: &[(f64, f64)]) -> (Option<(f64, f64)>, Begins) {
    let settled_s = i.power_reduction_s + SETTLED_AFTER_S;
    let Some(held_s) = i.held_s else {
        return (stretch_from(settled_s, i, gaps), Begins::NeverHeld);
    };
    let held = stretch_from(held_s, i, gaps);
    if held.is_none()
        && held_s > settled_s
        && let Some(settled) = stretch_from(settled_s, i, gaps)
    {
        return (Some(settled), Begins::HeldLate);
    }
    (held, Begins::Held)
}

fn stretch_from(from_s: f64, i: &Instants, gaps: &[(f64, f64)]) -> Option<(f64, f64)> {
    let last_s = i.end_s - BEFORE_END_S;
    let on_final_s = i.on_final_s.unwrap_or(last_s);
    // where the final leaves no glide before it, it is the glide
    let straight_in = on_final_s - from_s < SHORTEST_S;
    let to_s = if straight_in {
        i.low_s.unwrap_or(last_s).min(i.end_s - LANDING_BEGINS_S)
    } else {
        on_final_s.min(last_s)
    };
    let to_s = i.flap_s.map_or(to_s, |flap_s| to_s.min(flap_s));
    let (from_s, to_s) = gaps::trimmed((from_s, to_s), gaps);
    let round = |t: f64| (t * 2.0).round() / 2.0;
    (to_s - from_s >= SHORTEST_S).then(|| (round(from_s), round(to_s)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATTERN: Instants = Instants {
        power_reduction_s: 100.0,
        held_s: Some(120.0),
        on_final_s: Some(210.0),
        low_s: Some(190.0),
        flap_s: None,
        end_s: 240.0,
    };

    #[test]
    fn from_best_glide_held_until_on_final_or_flap() {
        assert_eq!(stretch(&PATTERN, &[]), (Some((120.0, 210.0)), Begins::Held));
        let flap = Instants {
            flap_s: Some(180.0),
            ..PATTERN
        };
        assert_eq!(stretch(&flap, &[]).0, Some((120.0, 180.0)));
    }

    #[test]
    fn a_straight_in_glides_down_to_500_ft() {
        let straight_in = Instants {
            on_final_s: Some(100.0),
            ..PATTERN
        };
        assert_eq!(stretch(&straight_in, &[]).0, Some((120.0, 190.0)));
        let broken_off_high = Instants {
            low_s: None,
            ..straight_in
        };
        assert_eq!(stretch(&broken_off_high, &[]).0, Some((120.0, 210.0)));
    }

    #[test]
    fn a_quarter_of_a_minute_is_the_least() {
        let short = Instants {
            on_final_s: Some(129.0),
            low_s: Some(129.0),
            ..PATTERN
        };
        assert_eq!(stretch(&short, &[]).0, None);
        let just = Instants {
            held_s: Some(195.0),
            ..PATTERN
        };
        assert_eq!(stretch(&just, &[]).0, Some((195.0, 210.0)));
    }

    #[test]
    fn best_glide_held_too_late_or_never_is_not_waited_for() {
        let late = Instants {
            held_s: Some(196.0),
            ..PATTERN
        };
        assert_eq!(
            stretch(&late, &[]),
            (Some((115.0, 210.0)), Begins::HeldLate)
        );
        // where flap leaves no glide either way, it is not the lateness
        let flap = Instants {
            flap_s: Some(125.0),
            ..late
        };
        assert_eq!(stretch(&flap, &[]), (None, Begins::Held));
        let never = Instants {
            held_s: None,
            ..PATTERN
        };
        assert_eq!(
            stretch(&never, &[]),
            (Some((115.0, 210.0)), Begins::NeverHeld)
        );
    }

    #[test]
    fn an_end_in_a_gap_is_no_end() {
        assert_eq!(stretch(&PATTERN, &[(200.0, 220.0)]).0, Some((120.0, 200.0)));
    }
}
