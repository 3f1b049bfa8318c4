//! What height in hand took for granted, as sentences.

use super::Over;
use crate::quantity::from_draws;
use crate::units::{ft, kt};

/// A length taken for granted is no more exact than this.
fn tens(value_ft: f64) -> f64 {
    (value_ft / 10.0).round() * 10.0
}

pub(super) fn rests_on(over: &Over<'_>) -> Vec<String> {
    let ratios: Vec<f64> = over
        .each()
        .map(|(_, hand)| hand.map_or(f64::NAN, |h| h.glider().ratio))
        .collect();
    let glide = from_draws(&ratios, "");
    let (Some(ratio), Some((low, high)), Some(first)) =
        (glide.value(), glide.interval(), over.draws.first())
    else {
        return Vec::new();
    };
    let setting = &first.approach.setting;
    let targets = &over.briefing.targets;
    let aircraft = &over.briefing.aircraft;
    let source = |said: bool| if said { "briefing" } else { "common practice" };
    let brought = match (aircraft.reference_weight_lb, aircraft.weight_lb) {
        (Some(_), Some(weight_lb)) => format!(", the best at {weight_lb:.0} lb"),
        _ => String::new(),
    };
    vec![
        format!(
            "a glide ratio of {ratio:.1} ({low:.1} to {high:.1}) at {:.0} kt{brought}, flown straight, worked out from this glide: an unusual day or technique is in it",
            kt(first.polar.best_glide_cas_mps)
        ),
        format!(
            "turns at up to {:.0}° of bank ({}), wings level at {:.0} ft, {:.0} ft allowed for a float (not the one flown)",
            setting.bank_limit_deg,
            source(targets.bank_limit_deg.is_some()),
            tens(ft(setting.wings_level_m)),
            tens(ft(setting.float_m))
        ),
        format!(
            "with full flap a glide ratio of {:.1} ({}) at {:.0} kt ({})",
            setting.steepest_ratio,
            source(aircraft.full_flap_glide_ratio.is_some()),
            kt(first.approach.cas_mps),
            source(aircraft.approach_kcas.is_some())
        ),
    ]
}
