//! How far the figures of an attempt can be trusted, in words for a pilot.

use super::analyse::Analysis;
use super::attempt::{AttemptAnalysis, AttemptEnd};
use super::dive;
use super::steady_glide::Begins;
use crate::measures::DrawnAttempt;
use crate::quantity::quantile_sorted;
use crate::units::kt;

/// Least heading change from which wind and airspeed can be told apart, degrees.
const LEAST_TURN_FOR_WIND_DEG: f64 = 90.0;
/// From this probability on, an ending is not doubted in words.
const SURE: f64 = 0.95;
/// Airspeed known less well than this says little against a tolerance of five or ten knots; half of
/// the 95 % interval of its mean over the glide, kt.
const AIRSPEED_KNOWN_KT: f64 = 3.0;
/// Time from the power reduction in which the speed before the glide is lost, s.
const SLOWING_S: f64 = 10.0;

/// The remarks on attempt `a`.
pub fn remarks(analysis: &Analysis, a: &AttemptAnalysis) -> Vec<String> {
    let mut out: Vec<String> = [dive::remark(analysis, a), touched(a)]
        .into_iter()
        .flatten()
        .collect();
    // a straight glide beside turns of the same flight is no matter: the interval tells
    let straight = a.turned_deg < LEAST_TURN_FOR_WIND_DEG && !a.has_recorded_airspeed;
    if straight && airspeed_half_width_kt(&a.draws) > AIRSPEED_KNOWN_KT {
        let advice = if analysis.setting.surface_wind_mps.is_some() {
            "airspeed rests on the wind reported; fly one orbit"
        } else {
            "give a METAR or fly one orbit"
        };
        out.push(format!(
            "the glide turned only {:.0}°: wind cannot be told from airspeed; {advice}",
            a.turned_deg
        ));
    }
    let held = match a.begins {
        _ if !analysis.best_glide_from_briefing => None,
        Begins::Held => None,
        Begins::NeverHeld => Some("never held for 5 s"),
        Begins::HeldLate => Some("reached too late to leave a glide after it"),
    };
    if let Some(held) = held.filter(|_| a.steady_s.is_some()) {
        out.push(format!(
            "best glide was {held}: the steady glide is taken from 15 s after the power reduction"
        ));
    }
    if a.flap_was_out {
        out.push("flap was out before the power came off: descent rate and glide ratios are of that flap, not of the clean aeroplane".into());
    }
    if !analysis.best_glide_from_briefing {
        let from = if analysis.best_glide_from_recording {
            "the speed usually held at idle in this recording"
        } else {
            "usual for a light trainer (common practice)"
        };
        out.push(format!(
            "best glide speed is not in the briefing: {:.0} kt, {from}, stands in for it",
            kt(analysis.polar.best_glide_cas_mps)
        ));
    }
    out
}

/// Whether the wheels touched, where that is in doubt.
fn touched(a: &AttemptAnalysis) -> Option<String> {
    let percent = 100.0 * a.touched_probability?;
    match a.end {
        AttemptEnd::Touchdown if percent < 100.0 * SURE => Some(format!(
            "that the wheels touched has a probability of {percent:.0} %"
        )),
        AttemptEnd::GoAround if percent > 100.0 * (1.0 - SURE) => Some(format!(
            "the wheels may have touched before the go-around: probability {percent:.0} %"
        )),
        _ => None,
    }
}

/// Half of the 95 % interval of the mean airspeed in the glide, gusts left out, kt.
fn airspeed_half_width_kt(draws: &[DrawnAttempt]) -> f64 {
    let mut means: Vec<f64> = draws
        .iter()
        .filter_map(|d| {
            let (from_s, to_s) = (d.known.power_reduction_s + SLOWING_S, d.known.end_s);
            let within: Vec<f64> = d
                .flown
                .instants
                .iter()
                .filter(|i| i.motion.t_s > from_s && i.motion.t_s < to_s)
                .map(|i| i.calm_cas_mps)
                .collect();
            (!within.is_empty()).then(|| kt(within.iter().sum::<f64>() / within.len() as f64))
        })
        .collect();
    if means.is_empty() {
        return f64::INFINITY;
    }
    means.sort_by(f64::total_cmp);
    0.5 * (quantile_sorted(&means, 0.975) - quantile_sorted(&means, 0.025))
}
