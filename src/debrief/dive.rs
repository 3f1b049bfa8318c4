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

/// The steepest of the descent in one draw: ft/min, when (s), and how high (ft).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Steepest {
    rate_fpm: f64,
    at_s: f64,
    height_ft: f64,
}

/// When, how high and how fast, where a descent was far steeper than the glide.
pub(super) fn remark(analysis: &Analysis, a: &AttemptAnalysis) -> Option<String> {
    let steepest: Vec<Option<Steepest>> = a.draws.iter().map(steepest).collect();
    let means: Vec<f64> = a
        .values
        .iter()
        .map(|v| v.get("descent_rate_fpm").copied().unwrap_or(f64::NAN))
        .collect();
    let mean_fpm = from_draws(&means, "").value()?;
    let of = |f: &dyn Fn(&Steepest) -> f64| -> Measured {
        let drawn: Vec<f64> = steepest
            .iter()
            .map(|s| s.as_ref().map_or(f64::NAN, f))
            .collect();
        from_draws(&drawn, "")
    };
    let rate = of(&|s| s.rate_fpm);
    let (low, high) = rate.interval()?;
    if mean_fpm <= 0.0 || low < DIVE_RATIO * mean_fpm {
        return None;
    }
    let at_s = of(&|s| s.at_s).value()?;
    let utc = rfc3339(analysis.setting.utc_start_s + at_s);
    let inside = a
        .steady_s
        .is_some_and(|(from, to)| at_s > from && at_s < to);
    Some(format!(
        "descended at {:.0} ft/min ({:.0} to {:.0}) at {} UTC, {:.0} ft above the aim: the mean over the steady glide is {:.0} ft/min{}",
        hundreds(rate.value()?),
        (low / 100.0).floor() * 100.0,
        (high / 100.0).ceil() * 100.0,
        utc.get(11..19).unwrap_or(&utc),
        (of(&|s| s.height_ft).value()? / 10.0).round() * 10.0,
        (mean_fpm / 10.0).round() * 10.0,
        if inside { " and hides it" } else { "" },
    ))
}

fn hundreds(value: f64) -> f64 {
    (value / 100.0).round() * 100.0
}

/// The steepest descent of this draw between the power reduction and the flare or go-around.
fn steepest(d: &DrawnAttempt) -> Option<Steepest> {
    let to_s = match d.end {
        DrawnEnd::Touchdown { flare_s, .. } => flare_s,
        DrawnEnd::GoAround { at_s } => at_s,
        DrawnEnd::Recording => d.known.end_s,
    };
    let last_s = d.flown.instants.last()?.motion.t_s.min(to_s);
    let first_s = d.known.power_reduction_s + 0.5 * DIVE_OVER_S;
    let steps = (last_s - 0.5 * DIVE_OVER_S - first_s).floor();
    (0..=(steps.max(-1.0) + 1.0) as usize)
        .map(|i| first_s + i as f64)
        .filter(|t| *t <= last_s - 0.5 * DIVE_OVER_S)
        .map(|at_s| {
            let height_m = |t: f64| d.flown.at(t).height_m;
            let lost_m = height_m(at_s - 0.5 * DIVE_OVER_S) - height_m(at_s + 0.5 * DIVE_OVER_S);
            Steepest {
                rate_fpm: fpm(lost_m / DIVE_OVER_S),
                at_s,
                height_ft: ft(height_m(at_s)),
            }
        })
        .filter(|s| s.rate_fpm.is_finite())
        .max_by(|a, b| a.rate_fpm.total_cmp(&b.rate_fpm))
}
