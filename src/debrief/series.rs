//! The attempt as series in time.

use super::analyse::Analysis;
use super::attempt::AttemptAnalysis;
use super::document::Series;
use super::gaps;
use super::instants::rfc3339;
use super::key_points::median;
use crate::key_points::flown::Instant;
use crate::quantity::quantile_sorted;
use crate::units::{fpm, ft, kt};

/// Seconds drawn before the power reduction and after the end.
const SERIES_AROUND_S: (f64, f64) = (20.0, 12.0);

/// The instants of the series: one a second.
pub(super) fn series_steps(a: &AttemptAnalysis) -> Vec<usize> {
    let Some(first) = a.draws.first() else {
        return Vec::new();
    };
    let reduction = median(&a.draws, |d| Some(d.known.power_reduction_s)).unwrap_or(0.0);
    let end = median(&a.draws, |d| Some(d.known.end_s)).unwrap_or(reduction);
    let from = first.flown.index(reduction - SERIES_AROUND_S.0);
    let to = first.flown.index(end + SERIES_AROUND_S.1);
    (from..=to).step_by(2).collect()
}

/// Seconds as the steps of the document have them.
fn hundredths(seconds: f64) -> f64 {
    (seconds * 100.0).round() / 100.0
}

/// The series of an attempt: medians over the draws, with the interval of height and airspeed.
pub(super) fn series(analysis: &Analysis, a: &AttemptAnalysis) -> Series {
    let mut out = Series::default();
    let Some(first) = a.draws.first() else {
        return out;
    };
    let start = analysis.setting.utc_start_s;
    let reduction = median(&a.draws, |d| Some(d.known.power_reduction_s)).unwrap_or(0.0);
    for k in series_steps(a) {
        let at: Vec<&Instant> = a
            .draws
            .iter()
            .filter_map(|d| d.flown.instants.get(k))
            .collect();
        let middle = |f: &dyn Fn(&Instant) -> f64| -> [f64; 3] {
            let mut v: Vec<f64> = at.iter().map(|i| f(i)).collect();
            v.sort_by(f64::total_cmp);
            [
                quantile_sorted(&v, 0.5),
                quantile_sorted(&v, 0.025),
                quantile_sorted(&v, 0.975),
            ]
        };
        let t_s = first.flown.instants[k].motion.t_s;
        let east = middle(&|i| i.motion.east_m)[0];
        let north = middle(&|i| i.motion.north_m)[0];
        let (latitude, longitude) = analysis.setting.frame.to_latitude_longitude(east, north);
        let height = middle(&|i| ft(i.motion.height_m));
        let cas = middle(&|i| kt(i.cas_mps));
        out.utc.push(rfc3339(start + t_s));
        out.elapsed_s.push(t_s - reduction);
        out.latitude_deg.push(latitude);
        out.longitude_deg.push(longitude);
        out.north_ft.push(ft(north));
        out.east_ft.push(ft(east));
        out.height_ft.push(height[0]);
        out.height_low_ft.push(height[1]);
        out.height_high_ft.push(height[2]);
        out.cas_kt.push(cas[0]);
        out.cas_low_kt.push(cas[1]);
        out.cas_high_kt.push(cas[2]);
        let climb = middle(&|i| fpm(i.motion.climb_mps));
        out.descent_rate_fpm.push(-climb[0]);
        out.descent_rate_low_fpm.push(-climb[2]);
        out.descent_rate_high_fpm.push(-climb[1]);
        out.ground_speed_kt
            .push(kt(middle(&|i| i.motion.ground_speed_mps())[0]));
        out.bank_deg.push(middle(&|i| i.bank_deg)[0]);
    }
    let (first_s, last_s) = (
        out.elapsed_s.first().copied().unwrap_or(0.0),
        out.elapsed_s.last().copied().unwrap_or(0.0),
    );
    out.bridged_s = gaps::long_gaps(&analysis.track, start)
        .into_iter()
        .map(|(from_s, to_s)| [from_s, to_s].map(|at_s| hundredths(at_s - reduction)))
        .filter(|[from_s, to_s]| *to_s > first_s && *from_s < last_s)
        .collect();
    out
}
