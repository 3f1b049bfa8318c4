//! A descent far steeper than the glide, which the mean over the glide hides.

use super::analyse::Analysis;
use super::attempt::AttemptAnalysis;
use super::instants::rfc3339;
use crate::measures::{DrawnAttempt, DrawnEnd};
use crate::quantity::{Measured, from_draws};
use crate::units::{fpm, ft};

/// A descent is a dive from this many times the mean of the glide: a turn of 45° bank alone sinks 1.7 times
/// as fast (load factor to the power 3/2).
const DIVE_RATIO: f64 = 2.0;
/// Time over which a greatest descent rate is taken, s: shorter is a gust, or noise of the recorder.
const DIVE_OVER_S: f64 = 2.0;

/// When, how high and how fast, where a descent was far steeper than the glide.
pub(super) fn remark(analysis: &Analysis, a: &AttemptAnalysis) -> Option<String> {
    let means: Vec<f64> = a
        .values
        .iter()
        .map(|v| v.get("descent_rate_fpm").copied().unwrap_or(f64::NAN))
        .collect();
    let mean_fpm = from_draws(&means, "").value()?;
    // the greatest of many noisy rates is biased: the instant is chosen once, then every draw is asked about it
    let mut times: Vec<f64> = a.draws.iter().filter_map(steepest_s).collect();
    times.sort_by(f64::total_cmp);
    let at_s = *times.get(times.len() / 2)?;
    let of = |f: &dyn Fn(&DrawnAttempt) -> f64| -> Measured {
        from_draws(&a.draws.iter().map(f).collect::<Vec<f64>>(), "")
    };
    let rate = of(&|d| rate_fpm(d, at_s));
    let (low, high) = rate.interval()?;
    if mean_fpm <= 0.0 || low < DIVE_RATIO * mean_fpm {
        return None;
    }
    let utc = rfc3339(analysis.setting.utc_start_s + at_s);
    let inside = a
        .steady_s
        .is_some_and(|(from, to)| at_s > from && at_s < to);
    Some(format!(
        "descended at {:.0} ft/min ({:.0} to {:.0}) at {} UTC, {:.0} ft above the aim: the mean over the steady glide is {:.0} ft/min{}",
        (rate.value()? / 100.0).round() * 100.0,
        (low / 100.0).floor() * 100.0,
        (high / 100.0).ceil() * 100.0,
        utc.get(11..19).unwrap_or(&utc),
        (of(&|d| ft(d.flown.at(at_s).height_m)).value()? / 10.0).round() * 10.0,
        (mean_fpm / 10.0).round() * 10.0,
        if inside { " and hides it" } else { "" },
    ))
}

/// Rate of descent around an instant, ft/min.
fn rate_fpm(d: &DrawnAttempt, at_s: f64) -> f64 {
    let height_m = |t: f64| d.flown.at(t).height_m;
    let lost_m = height_m(at_s - 0.5 * DIVE_OVER_S) - height_m(at_s + 0.5 * DIVE_OVER_S);
    fpm(lost_m / DIVE_OVER_S)
}

/// When the descent of this draw was steepest between the power reduction and the flare or go-around.
fn steepest_s(d: &DrawnAttempt) -> Option<f64> {
    let to_s = match d.end {
        DrawnEnd::Touchdown { flare_s, .. } => flare_s,
        DrawnEnd::GoAround { at_s } => at_s,
        DrawnEnd::Recording => d.known.end_s,
    };
    let last_s = d.flown.instants.last()?.motion.t_s.min(to_s) - 0.5 * DIVE_OVER_S;
    let first_s = d.known.power_reduction_s + 0.5 * DIVE_OVER_S;
    let seconds = (last_s - first_s).floor().max(-1.0) + 1.0;
    (0..seconds as usize)
        .map(|i| first_s + i as f64)
        .map(|at_s| (at_s, rate_fpm(d, at_s)))
        .filter(|(_, rate)| rate.is_finite())
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(at_s, _)| at_s)
}
