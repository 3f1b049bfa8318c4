//! Flap: as the briefing says, as recorded, and as the drag tells.

use super::super::document::DragChange;
use super::super::instants::measured;
use super::{Over, minutes};
use crate::briefing::{Briefing, flap_setting_deg};
use crate::flight_path::Row;
use crate::measures::DrawnEnd;
use crate::quantity::from_draws;
use crate::random::Draws;
use crate::reach::drag_step::{DragStep, drawn_step};

/// From this setting on flap is full for want of better, degrees (common practice: the last stages are
/// 30 to 45).
const FULL_DEG: f64 = 25.0;
/// Change of recorded flap that is one, degrees.
const CHANGE_DEG: f64 = 2.0;
/// Recorded flap has stopped moving after this, s.
const STOPPED_S: f64 = 2.0;
/// The drag is looked at until this long before the flare or the end, s.
const BEFORE_END_S: f64 = 3.0;
/// The slowing-down after the power reduction says little, s.
const SLOWING_S: f64 = 10.0;

/// When full flap was out, as far as it is known, s.
pub(super) fn full_s(
    briefing: &Briefing,
    rows: &[Row],
    start_utc_s: f64,
    (from_s, to_s): (f64, f64),
) -> Option<f64> {
    let said: Vec<(f64, f64)> = briefing
        .events
        .iter()
        .filter(|e| e.is_flap_extension())
        .filter_map(|e| Some((e.utc_s()? - start_utc_s, flap_setting_deg(&e.what)?)))
        .chain(recorded_steps(rows, (from_s, to_s)))
        .filter(|(t_s, deg)| (from_s..to_s).contains(t_s) && *deg >= FULL_DEG)
        .collect();
    let most = said.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    said.iter()
        .filter(|s| s.1 >= most)
        .map(|s| s.0)
        .min_by(f64::total_cmp)
}

/// Extensions of recorded flap: when each began, s, and where it stopped, degrees.
pub(super) fn recorded_steps(rows: &[Row], (from_s, to_s): (f64, f64)) -> Vec<(f64, f64)> {
    let first = rows.partition_point(|r| r.t_s < from_s);
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut level: Option<f64> = None;
    let mut moved_s = f64::NEG_INFINITY;
    for row in rows[first..].iter().take_while(|r| r.t_s <= to_s) {
        let Some(flap) = row.flap_deg.map(f64::from) else {
            continue;
        };
        let before = *level.get_or_insert(flap);
        let moving = row.t_s - moved_s <= STOPPED_S;
        if flap > before + CHANGE_DEG || (moving && flap > before) {
            match out.last_mut() {
                Some(last) if moving => last.1 = flap,
                _ => out.push((row.t_s, flap)),
            }
            moved_s = row.t_s;
            level = Some(flap);
        } else if flap < before - CHANGE_DEG {
            level = Some(flap);
        }
    }
    out
}

/// Flap or a slip from the drag alone.
pub(super) fn drag_change(over: &Over<'_>) -> Option<DragChange> {
    let (start_s, _) = over.glide_s()?;
    let steps: Vec<Option<DragStep>> = over
        .draws
        .iter()
        .map(|drawn| {
            let from_s = drawn
                .times
                .best_glide_held_s
                .unwrap_or(0.0)
                .max(drawn.known.power_reduction_s + SLOWING_S);
            let to_s = match drawn.end {
                DrawnEnd::Touchdown { flare_s, .. } => flare_s - BEFORE_END_S,
                _ => drawn.known.end_s - BEFORE_END_S,
            };
            let mut draws = Draws::new(drawn.stream, 18);
            drawn_step(&drawn.flown, &drawn.polar, (from_s, to_s), &mut draws)
        })
        .collect();
    let with = steps.iter().flatten().count();
    let probability = with as f64 / steps.len().max(1) as f64;
    let of = |f: fn(&DragStep) -> f64| -> Vec<f64> {
        steps
            .iter()
            .map(|s| s.as_ref().map_or(f64::NAN, f))
            .collect()
    };
    let (times, rises) = (of(|s| s.at_s), of(|s| 100.0 * s.by));
    let why = "the drag shows no flap or slip that is more likely than not";
    let rise_percent = from_draws(&rises, why);
    let words = match (super::middle(times.iter().copied()), rise_percent.value()) {
        (Some(at_s), Some(rise)) => rise_words(
            rise,
            &minutes(at_s - start_s),
            probability,
            known_near(over, at_s).as_deref(),
        ),
        _ => why.into(),
    };
    Some(DragChange {
        probability,
        utc: measured(&times, over.start_utc_s, why),
        rise_percent,
        words,
    })
}

/// Flap known to have come out this close to a rise of the drag is what raised it, s: steps are told to some seconds.
const SAME_FLAP_S: f64 = 20.0;

/// The flap that is known around `at_s`, with its time and where it is known from.
fn known_near(over: &Over<'_>, at_s: f64) -> Option<String> {
    let events = over.briefing.events.iter();
    let said = events.filter(|e| e.is_flap_extension()).filter_map(|e| {
        let t_s = e.utc_s()? - over.start_utc_s;
        Some((t_s, e.what.clone(), "noted"))
    });
    let span_s = (at_s - SAME_FLAP_S, at_s + SAME_FLAP_S);
    let recorded = recorded_steps(&over.analysis.path.rows, span_s)
        .into_iter()
        .map(|(t_s, deg)| (t_s, format!("flap {deg:.0}°"), "recorded"));
    let near = said
        .chain(recorded)
        .filter(|(t_s, ..)| (span_s.0..=span_s.1).contains(t_s));
    let (t_s, what, how) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let at = minutes(t_s - over.power_reduction_s);
    Some(format!("{what}, {how} at {at}"))
}

/// A rise of the drag by `rise` percent: the flap that is known, else what the descent alone tells.
fn rise_words(rise: f64, at: &str, probability: f64, known: Option<&str>) -> String {
    let rose = format!(
        "the drag rose by some {:.0} % at about {at}",
        (rise / 5.0).round() * 5.0
    );
    match known {
        Some(flap) => format!("{rose}: {flap}"),
        None => format!(
            "{rose}: flap or a slip, with a probability of {:.0} %; told from the descent alone",
            (100.0 * probability).min(99.0)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::briefing::Event;

    #[test]
    fn a_flap_that_is_known_is_what_raised_the_drag() {
        let known = rise_words(44.0, "4:33", 0.94, Some("flap 10, noted at 4:30"));
        assert_eq!(
            known,
            "the drag rose by some 45 % at about 4:33: flap 10, noted at 4:30"
        );
        let unknown = rise_words(44.0, "4:33", 0.94, None);
        assert!(
            unknown.ends_with("94 %; told from the descent alone"),
            "{unknown}"
        );
    }

    fn rows(flap: &[f64]) -> Vec<Row> {
        flap.iter()
            .enumerate()
            .map(|(i, deg)| Row {
                t_s: 0.5 * i as f64,
                flap_deg: Some(*deg as f32),
                ..Row::default()
            })
            .collect()
    }

    #[test]
    fn steps_of_a_slow_motor_are_one() {
        let travel = rows(&[
            0.0, 0.0, 2.5, 5.0, 7.5, 10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 14.0, 18.0, 25.0,
            25.0,
        ]);
        assert_eq!(
            recorded_steps(&travel, (0.0, 99.0)),
            vec![(1.0, 10.0), (6.0, 25.0)]
        );
        assert_eq!(recorded_steps(&travel, (20.0, 99.0)), vec![]);
    }

    #[test]
    fn the_last_degrees_of_a_travel_belong_to_it() {
        let travel = rows(&[0.0, 8.0, 10.0, 10.0, 10.0]);
        assert_eq!(recorded_steps(&travel, (0.0, 99.0)), vec![(0.5, 10.0)]);
    }

    #[test]
    fn full_flap_is_the_most_that_is_said() {
        let event = |second: u32, what: &str| Event {
            utc: format!("1970-01-01T00:00:{second:02}Z"),
            what: what.into(),
        };
        let mut briefing = Briefing {
            events: vec![
                event(10, "flap 10"),
                event(20, "flap 30"),
                event(40, "flaps up"),
            ],
            ..Briefing::default()
        };
        assert_eq!(full_s(&briefing, &[], 0.0, (0.0, 60.0)), Some(20.0));
        briefing.events.push(event(30, "full flap"));
        assert_eq!(full_s(&briefing, &[], 0.0, (0.0, 60.0)), Some(30.0));
        assert_eq!(full_s(&briefing, &[], 0.0, (0.0, 15.0)), None);
    }
}
