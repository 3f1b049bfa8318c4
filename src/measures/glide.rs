//! Power reduction, settling, the steady glide, turns.

use super::{DrawnAttempt, DrawnEnd, Values};
use crate::key_points::flown::Instant;
use crate::key_points::turns::{most_bank_deg, most_level_bank_deg, orbits_in, turns};
use crate::units::{G0_MPS2, fpm, ft, kt};

pub(super) fn measure(drawn: &DrawnAttempt, values: &mut Values) {
    let flown = &drawn.flown;
    let start_s = drawn.known.power_reduction_s;
    let start_height = flown.at(start_s).height_m;
    values.insert("power_reduction_height_ft", ft(start_height));
    let held = drawn.times.best_glide_held_s;
    values.insert("settling_time_s", held.map_or(f64::NAN, |t| t - start_s));
    values.insert(
        "settling_height_lost_ft",
        held.map_or(f64::NAN, |t| ft(start_height - flown.at(t).height_m)),
    );
    values.insert(
        "glide_time_s",
        if drawn.end == DrawnEnd::Recording {
            f64::NAN
        } else {
            drawn.known.end_s - start_s
        },
    );
    if let Some(steady) = drawn.steady_s {
        steady_glide(drawn, steady, values);
    }
    turning(drawn, values);
}

fn mean(instants: &[Instant], f: impl Fn(&Instant) -> f64) -> f64 {
    instants.iter().map(f).sum::<f64>() / instants.len().max(1) as f64
}

fn steady_glide(drawn: &DrawnAttempt, (from_s, to_s): (f64, f64), values: &mut Values) {
    let flown = &drawn.flown;
    let within = flown.between(from_s, to_s);
    if within.len() < 3 {
        return;
    }
    let cas = mean(within, |i| i.cas_mps);
    let variance = mean(within, |i| (i.cas_mps - cas).powi(2));
    values.insert("glide_cas_mean_kt", kt(cas));
    values.insert(
        "glide_cas_sd_kt",
        kt(drawn.airspeed_spread * variance.sqrt()),
    );
    // extremes of a two-second mean: a pilot cannot hold, nor an instrument show, a gust of half a second
    let smooth: Vec<f64> = within
        .windows(5.min(within.len()))
        .map(|w| w.iter().map(|i| i.cas_mps).sum::<f64>() / w.len() as f64)
        .collect();
    let least = smooth.iter().copied().fold(f64::INFINITY, f64::min);
    let most = smooth.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let spread = |extreme: f64| kt(cas + drawn.airspeed_spread * (extreme - cas));
    values.insert("glide_cas_min_kt", spread(least));
    values.insert("glide_cas_max_kt", spread(most));
    values.insert(
        "glide_cas_within_share",
        drawn.glide_to_hold.share(within, drawn.airspeed_spread),
    );

    let seconds = to_s - from_s;
    let (a, b) = (flown.at(from_s), flown.at(to_s));
    let descent = (a.height_m - b.height_m) / seconds;
    values.insert("descent_rate_fpm", fpm(descent));
    let kinetic = |i: &Instant| i.tas_mps.powi(2) / (2.0 * G0_MPS2);
    let (first, last) = (
        at_end(within, false, kinetic),
        at_end(within, true, kinetic),
    );
    let sink = descent - (last - first) / seconds + drawn.vertical_air_mps;
    values.insert("air_sink_rate_fpm", fpm(sink));
    values.insert(
        "glide_ratio_air",
        ratio(mean(within, |i| i.level_air_mps), sink),
    );
    values.insert(
        "glide_ratio_ground",
        ratio(mean(within, |i| i.motion.ground_speed_mps()), descent),
    );
}

/// Sink below which a glide ratio means nothing: above 100 at any speed of a light aeroplane, m/s.
const LEAST_SINK_MPS: f64 = 0.2;

/// Way over height lost. Beyond any bound where there is next to no sink: such a draw counts at the upper end, where
/// leaving it out would make the rest look sure.
fn ratio(way_mps: f64, sink_mps: f64) -> f64 {
    if sink_mps > LEAST_SINK_MPS {
        way_mps / sink_mps
    } else {
        f64::INFINITY
    }
}

/// Value at the first or last instant, by the straight line through the three seconds next to it.
pub(super) fn at_end(instants: &[Instant], last: bool, f: impl Fn(&Instant) -> f64) -> f64 {
    let n = 7.min(instants.len());
    let near = if last {
        &instants[instants.len() - n..]
    } else {
        &instants[..n]
    };
    let middle = mean(near, |i| i.motion.t_s);
    let level = mean(near, &f);
    let spread = mean(near, |i| (i.motion.t_s - middle).powi(2));
    if spread <= 0.0 {
        return level;
    }
    let slope = mean(near, |i| (i.motion.t_s - middle) * f(i)) / spread;
    let end = if last {
        near[n - 1].motion.t_s
    } else {
        near[0].motion.t_s
    };
    level + slope * (end - middle)
}

fn turning(drawn: &DrawnAttempt, values: &mut Values) {
    let flown = &drawn.flown;
    let start_s = drawn.known.power_reduction_s;
    // the flare and the go-around are not gliding turns
    let glide_end_s = drawn.known.end_s - 3.0;
    let within = flown.between(start_s, glide_end_s);
    if within.len() < 6 {
        return;
    }
    let bank = (most_bank_deg(within) + drawn.bank_error_deg).abs();
    values.insert("bank_max_deg", bank);
    let level = (most_level_bank_deg(within) + drawn.bank_error_deg).abs();
    values.insert("load_factor_max", 1.0 / level.to_radians().cos());
    if let Some(stall) = drawn.stall_cas_mps {
        let margin = within
            .windows(5.min(within.len()))
            .map(|w| {
                let n = w.len() as f64;
                let cas = w.iter().map(|i| i.cas_mps).sum::<f64>() / n;
                let load = w.iter().map(|i| i.load_factor).sum::<f64>() / n;
                cas / (stall * load.sqrt())
            })
            .fold(f64::INFINITY, f64::min);
        values.insert("stall_margin_min", margin);
    }
    let pattern_s = drawn
        .times
        .abeam_s
        .map_or(drawn.known.end_s, |t| t.min(drawn.known.end_s));
    let to_s = drawn.times.base_turn_s.unwrap_or(pattern_s).max(start_s);
    let mut orbits = 0.0;
    let (mut turned, mut lost, mut seconds) = (0.0, 0.0, 0.0);
    for turn in turns(flown, start_s, to_s) {
        let count = orbits_in(&turn);
        if count >= 1.0 {
            orbits += count;
            turned += turn.turned_deg.abs() / 360.0;
            lost += flown.at(turn.from_s).height_m - flown.at(turn.to_s).height_m;
            seconds += turn.to_s - turn.from_s;
        }
    }
    values.insert("orbits", orbits);
    if turned > 0.0 {
        values.insert("height_per_orbit_ft", ft(lost / turned));
        values.insert("time_per_orbit_s", seconds / turned);
    }
}
