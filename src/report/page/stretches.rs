//! From which stretch of time a measure was taken, so that the page can show it.

use super::super::panel::marks::{self, end_s};
use super::super::words;
use crate::debrief::document::Attempt;

/// Start and end in seconds since the power reduction; `None` where a key point it needs is not known.
pub(super) fn of(attempt: &Attempt, id: &str) -> Option<(f64, f64)> {
    let marks = marks::marks(attempt);
    let at = |kind: &str| marks.iter().find(|m| m.kind == kind).map(|m| m.elapsed_s);
    let around = |kind: &str| at(kind).map(|t| (t - 1.0, t + 1.0));
    let end = end_s(attempt, &marks);
    let legs = |kind: &str| {
        let mut found = attempt.legs.iter().filter(|leg| leg.kind == kind);
        let first = found.next()?;
        let last = found.next_back().unwrap_or(first);
        Some((
            words::elapsed_s(attempt, &first.from_utc)?,
            words::elapsed_s(attempt, &last.to_utc)?,
        ))
    };
    match id {
        "power_reduction_height_ft" | "height_in_hand_at_power_reduction_ft" => {
            around("power_reduction")
        }
        "settling_time_s" | "settling_height_lost_ft" => Some((0.0, at("best_glide_held")?)),
        "orbits" | "height_per_orbit_ft" | "time_per_orbit_s" => legs("orbit"),
        "bank_max_deg" | "load_factor_max" | "stall_margin_min" | "glide_time_s" => {
            Some((0.0, end))
        }
        "overhead_height_ft" => around("overhead"),
        "height_in_hand_at_abeam_ft" => around("abeam"),
        "base_turn_height_ft" => around("base_turn"),
        "on_final_height_ft" | "on_final_distance_ft" => around("on_final"),
        "final_cas_mean_kt" | "final_cas_sd_kt" | "final_cas_within_share" => {
            Some((at("on_final")?, at("flare").unwrap_or(end)))
        }
        "float_distance_ft" => Some((at("flare")?, at("touchdown")?)),
        "go_around_height_ft" => around("go_around"),
        "height_in_hand_min_ft" => Some((0.0, at("on_final").unwrap_or(end))),
        _ if id.starts_with("abeam_") => around("abeam"),
        _ if id.starts_with("touchdown_") => around("touchdown"),
        _ if id.starts_with("projected_") => None,
        _ => {
            let glide = attempt.steady_glide.as_ref()?;
            Some((
                words::elapsed_s(attempt, &glide.from_utc)?,
                words::elapsed_s(attempt, &glide.to_utc)?,
            ))
        }
    }
}
