//! The key points of an attempt over its draws.

use super::analyse::Analysis;
use super::attempt::AttemptAnalysis;
use super::document::KeyPoint;
use super::gaps::Lost;
use super::instants::measured;
use crate::flight_path::Motion;
use crate::measures::{DrawnAttempt, DrawnEnd};
use crate::quantity::{Measured, from_draws, quantile_sorted};
use crate::units::{ft, kt};

/// A kind of key point, and its time in a draw.
pub(super) type Finder = (&'static str, fn(&DrawnAttempt) -> Option<f64>);

/// Every kind but the bursts that clear the engine, of which there may be several.
pub(super) const FINDERS: [Finder; 9] = [
    ("power_reduction", |d| Some(d.known.power_reduction_s)),
    ("best_glide_held", |d| d.times.best_glide_held_s),
    ("overhead", |d| d.times.overhead_s),
    ("abeam", |d| d.times.abeam_s),
    ("base_turn", |d| d.times.base_turn_s),
    ("on_final", |d| d.times.on_final_s),
    ("flare", flare_s),
    ("touchdown", |d| match d.end {
        DrawnEnd::Touchdown { at_s, .. } => Some(at_s),
        _ => None,
    }),
    ("go_around", |d| match d.end {
        DrawnEnd::GoAround { at_s } => Some(at_s),
        _ => None,
    }),
];

/// Start of the flare in a draw, s.
pub(super) fn flare_s(drawn: &DrawnAttempt) -> Option<f64> {
    match drawn.end {
        DrawnEnd::Touchdown { flare_s, .. } => Some(flare_s),
        _ => None,
    }
}

/// Airspeed at the key point `kind` of a draw, m/s: at the touchdown that of the contact, as the measures have it.
fn cas_mps(drawn: &DrawnAttempt, kind: &str, t_s: f64) -> f64 {
    match drawn.end {
        DrawnEnd::Touchdown { cas_mps, .. } if kind == "touchdown" => cas_mps,
        _ => drawn.flown.cas_mps_at(t_s),
    }
}

/// Median over the draws of `f`, `None` where fewer than half have one.
pub(super) fn median(
    draws: &[DrawnAttempt],
    f: impl Fn(&DrawnAttempt) -> Option<f64>,
) -> Option<f64> {
    let v: Vec<f64> = draws
        .iter()
        .filter_map(f)
        .filter(|x| x.is_finite())
        .collect();
    (v.len() * 2 >= draws.len()).then(|| middle_of(v)).flatten()
}

fn middle_of(mut values: Vec<f64>) -> Option<f64> {
    values.retain(|x| x.is_finite());
    values.sort_by(f64::total_cmp);
    (!values.is_empty()).then(|| quantile_sorted(&values, 0.5))
}

/// The key points on which most draws agree, in order of time.
pub(super) fn key_points(analysis: &Analysis, a: &AttemptAnalysis, lost: &Lost) -> Vec<KeyPoint> {
    let mut found: Vec<(f64, KeyPoint)> = FINDERS
        .iter()
        .filter_map(|(kind, time_of)| key_point(analysis, a, kind, time_of, lost))
        .collect();
    let clearings = a.draws.first().map_or(0, |d| d.clearings_s.len());
    found.extend((0..clearings).filter_map(|i| {
        let time_of = |d: &DrawnAttempt| d.clearings_s.get(i).copied();
        key_point(analysis, a, "engine_clearing", &time_of, lost)
    }));
    found.sort_by(|x, y| x.0.total_cmp(&y.0));
    found.into_iter().map(|f| f.1).collect()
}

/// The key point of this kind and its median time, if most draws have one.
fn key_point(
    analysis: &Analysis,
    a: &AttemptAnalysis,
    kind: &str,
    time_of: &dyn Fn(&DrawnAttempt) -> Option<f64>,
    lost: &Lost,
) -> Option<(f64, KeyPoint)> {
    let middle = median(&a.draws, time_of)?;
    let at = |f: &dyn Fn(&DrawnAttempt, f64) -> f64| -> Vec<f64> {
        a.draws
            .iter()
            .map(|d| time_of(d).map_or(f64::NAN, |t| f(d, t)))
            .collect()
    };
    let motions: Vec<Option<Motion>> = a
        .draws
        .iter()
        .map(|d| time_of(d).map(|t| d.flown.at(t)))
        .collect();
    let of = |f: fn(&Motion) -> f64| -> Vec<f64> {
        motions
            .iter()
            .map(|m| m.as_ref().map_or(f64::NAN, f))
            .collect()
    };
    let east_m = middle_of(of(|m| m.east_m))?;
    let north_m = middle_of(of(|m| m.north_m))?;
    let (latitude_deg, longitude_deg) = analysis
        .setting
        .frame
        .to_latitude_longitude(east_m, north_m);
    let times = at(&|_, t| t);
    let probability =
        times.iter().filter(|t| t.is_finite()).count() as f64 / times.len().max(1) as f64;
    let utc = measured(
        &times,
        analysis.setting.utc_start_s,
        "too uncertain to put a time to",
    );
    let (utc, height_ft, cas_kt) = match lost.reason_at(kind) {
        Some(why) => (
            // an attempt is named by when it began: that it began in the gap is known
            if kind == "power_reduction" {
                utc
            } else {
                Measured::unknown(why.clone())
            },
            Measured::unknown(why.clone()),
            Measured::unknown(why),
        ),
        None => (
            utc,
            from_draws(
                &of(|m| ft(m.height_m)),
                "no height could be worked out here",
            ),
            from_draws(
                &at(&|d, t| kt(cas_mps(d, kind, t))),
                "no airspeed could be worked out here",
            ),
        ),
    };
    let point = KeyPoint {
        kind: kind.into(),
        probability,
        utc,
        latitude_deg,
        longitude_deg,
        north_ft: ft(north_m),
        east_ft: ft(east_m),
        height_ft,
        cas_kt,
    };
    Some((middle, point))
}
