//! Overhead, abeam, base, final.

use super::held_speed::{final_s, is_long_enough};
use super::{DrawnAttempt, Values};
use crate::key_points::flown::along_across;
use crate::units::{ft, kt};

pub(super) fn measure(drawn: &DrawnAttempt, values: &mut Values) {
    let flown = &drawn.flown;
    let times = &drawn.times;
    let height = |t: Option<f64>| t.map_or(f64::NAN, |t| ft(flown.at(t).height_m));
    values.insert("overhead_height_ft", height(times.overhead_s));
    values.insert("abeam_height_ft", height(times.abeam_s));
    if let Some(target) = drawn.abeam_target_m {
        values.insert("abeam_height_error_ft", height(times.abeam_s) - ft(target));
    }
    values.insert("base_turn_height_ft", height(times.base_turn_s));
    values.insert("on_final_height_ft", height(times.on_final_s));
    if let Some(landing) = flown.landing_true_deg {
        if let Some(t) = times.abeam_s {
            let m = flown.at(t);
            values.insert(
                "abeam_distance_ft",
                ft(along_across(m.east_m, m.north_m, landing).1.abs()),
            );
        }
        if let Some(t) = times.on_final_s {
            let m = flown.at(t);
            values.insert(
                "on_final_distance_ft",
                ft(-along_across(m.east_m, m.north_m, landing).0),
            );
        }
    }
    if let Some((from_s, to_s)) = final_s(drawn) {
        let within = flown.between(from_s, to_s);
        if within.len() >= 6 {
            let n = within.len() as f64;
            let mean = within.iter().map(|i| i.cas_mps).sum::<f64>() / n;
            let variance = within
                .iter()
                .map(|i| (i.cas_mps - mean).powi(2))
                .sum::<f64>()
                / n;
            values.insert("final_cas_mean_kt", kt(mean));
            values.insert(
                "final_cas_sd_kt",
                kt(drawn.airspeed_spread * variance.sqrt()),
            );
        }
        if let Some(speed) = drawn.final_to_hold
            && is_long_enough((from_s, to_s))
        {
            let share = speed.share(within, drawn.airspeed_spread);
            values.insert("final_cas_within_share", share);
        }
    }
}
