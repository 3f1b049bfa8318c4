//! The energy balance of an attempt's glide, clean and at each known flap setting, over the draws.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::analyse::Analysis;
use super::attempt::AttemptAnalysis;
use super::instants::rfc3339;
use super::key_points::median;
use crate::briefing::{Briefing, flap_setting_deg};
use crate::measures::glide_energy::{EnergyTerms, terms};
use crate::quantity::quantile_sorted;
use crate::units::ft;

/// Shortest clean glide, and shortest with flap, s: over less, gusts outweigh the drag.
const SHORTEST_S: (f64, f64) = (20.0, 12.0);
/// Flap has come out and the speed has settled this long after it was taken, s (common practice).
const FLAP_OUT_S: f64 = 5.0;
/// The flare, or the opening throttle, is left out, s.
const BEFORE_END_S: f64 = 6.0;

/// Energy balance of a stretch of glide: `lost = a · parasite + b · induced + c · turning`, with `a + b` one
/// over the glide ratio at best glide speed, wings level. Means over the draws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GlideEnergy {
    /// `clean`, or flap as the briefing has it: `flap 10`.
    pub flap: String,
    /// Start.
    pub from_utc: String,
    /// Duration, s.
    pub seconds: f64,
    /// Energy height lost through the air, ft: speed counted, what changing wind took left out, vertical air in it.
    pub lost_ft: f64,
    /// Distance through the air times x², x the airspeed over best glide speed at the weight flown, ft.
    pub parasite_ft: f64,
    /// Distance through the air times 1/x², ft.
    pub induced_ft: f64,
    /// Distance through the air times (n² − 1)/x², n the load factor, ft.
    pub turning_ft: f64,
    /// Distance through the air, ft.
    pub distance_ft: f64,
    /// Standard deviation of what was lost against what was flown through: path, wind, airspeed, vertical air; ft.
    pub sd_ft: f64,
    /// Mean true over calibrated airspeed: brings a sink rate to the ground's density.
    pub tas_over_cas: f64,
}

/// The balances of one attempt.
pub(super) fn of(
    analysis: &Analysis,
    briefing: &Briefing,
    a: &AttemptAnalysis,
) -> Vec<GlideEnergy> {
    let start_s = analysis.setting.utc_start_s;
    let mut out = Vec::new();
    // a glide with flap out from the start has no clean part
    if let Some((from_s, steady_to_s)) = a.steady_s.filter(|_| !a.flap_was_out) {
        // flap nobody noted is taken from base on
        let to_s = median(&a.draws, |d| d.times.base_turn_s)
            .map_or(steady_to_s, |base_s| base_s.min(steady_to_s));
        if to_s - from_s >= SHORTEST_S.0 {
            out.extend(balance(a, "clean", (from_s, to_s), start_s));
        }
    }
    let reduced_s =
        median(&a.draws, |d| Some(d.known.power_reduction_s)).unwrap_or(a.candidate.start_s);
    let end_s = median(&a.draws, |d| Some(d.known.end_s)).unwrap_or(a.candidate.end_s);
    // each change of flap, and the setting it leads to where it is an extension
    let mut flaps: Vec<(f64, Option<f64>)> = briefing
        .events
        .iter()
        .filter(|e| e.is_flap_extension() || e.is_flap_retraction())
        .filter_map(|e| {
            let deg = flap_setting_deg(&e.what).filter(|_| e.is_flap_extension());
            Some((e.utc_s()? - start_s, deg))
        })
        .filter(|(t_s, _)| (reduced_s..end_s).contains(t_s))
        .collect();
    flaps.sort_by(|p, q| p.0.total_cmp(&q.0));
    for (i, (t_s, deg)) in flaps.iter().enumerate() {
        let Some(deg) = deg else { continue };
        let next_s = flaps.get(i + 1).map_or(end_s - BEFORE_END_S, |next| next.0);
        let span_s = (t_s + FLAP_OUT_S, next_s);
        if span_s.1 - span_s.0 >= SHORTEST_S.1 {
            out.extend(balance(a, &format!("flap {deg:.0}"), span_s, start_s));
        }
    }
    out
}

fn balance(
    a: &AttemptAnalysis,
    flap: &str,
    span_s: (f64, f64),
    start_s: f64,
) -> Option<GlideEnergy> {
    let drawn: Vec<(EnergyTerms, f64, f64)> = a
        .draws
        .iter()
        .filter_map(|d| {
            let terms = terms(&d.flown, d.known.best_glide_cas_mps, span_s)?;
            let within = d.flown.between(span_s.0, span_s.1);
            let ratio = within
                .iter()
                .map(|i| i.tas_mps / i.cas_mps.max(1.0))
                .sum::<f64>();
            Some((
                terms,
                d.expected_vertical_air_mps,
                ratio / within.len() as f64,
            ))
        })
        .collect();
    if 2 * drawn.len() < a.draws.len() || drawn.len() < 2 {
        return None;
    }
    let seconds = span_s.1 - span_s.0;
    let mean = |f: &dyn Fn(&(EnergyTerms, f64, f64)) -> f64| {
        drawn.iter().map(f).sum::<f64>() / drawn.len() as f64
    };
    let lost_m = mean(&|d| d.0.lost_m);
    let parasite_m = mean(&|d| d.0.parasite_m);
    let induced_m = mean(&|d| d.0.induced_m);
    let turning_m = mean(&|d| d.0.turning_m);
    let share = lost_m / (parasite_m + induced_m + turning_m);
    // The balance leaves the vertical air in, so that its doubt is all that is expected of it: what the other glides
    // of the recording tell of it, they tell the fleet themselves.
    let vertical_mps = mean(&|d| d.1);
    let mut off: Vec<f64> = drawn
        .iter()
        .map(|(t, vertical, _)| {
            t.lost_m - lost_m + (vertical - vertical_mps) * seconds
                - share
                    * (t.parasite_m - parasite_m + t.induced_m - induced_m + t.turning_m
                        - turning_m)
        })
        .collect();
    off.sort_by(f64::total_cmp);
    // from quantiles: a draw that went astray does not count
    let sd_m = (quantile_sorted(&off, 0.8413) - quantile_sorted(&off, 0.1587)) / 2.0;
    let found = GlideEnergy {
        flap: flap.into(),
        from_utc: rfc3339(start_s + span_s.0),
        seconds,
        lost_ft: ft(lost_m),
        parasite_ft: ft(parasite_m),
        induced_ft: ft(induced_m),
        turning_ft: ft(turning_m),
        distance_ft: ft(mean(&|d| d.0.distance_m)),
        sd_ft: ft(sd_m),
        tas_over_cas: mean(&|d| d.2),
    };
    (lost_m > 0.0 && sd_m.is_finite()).then_some(found)
}
