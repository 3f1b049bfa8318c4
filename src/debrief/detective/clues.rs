//! What the track shows whatever the briefing says: where the aeroplane stood, and how it came in.

use crate::cleaning::CleanTrack;
use crate::flight_path::Path;
use crate::geodesy::great_circle_m;
use crate::reading::Fix;
use crate::units::wrap_180_deg;

/// Altitudes as recorded, on no datum yet, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Altitudes {
    /// Satellite altitude.
    pub(super) gnss_m: Option<f64>,
    /// Pressure altitude.
    pub(super) pressure_m: Option<f64>,
}

/// Slower than this over ground is taxiing, if nothing of the recording is much lower, m/s.
const TAXI_MPS: f64 = 9.0;
/// Altitude that a place may have above the lowest of the recording and still be the field, m.
const FIELD_RELIEF_M: f64 = 30.0;

/// Median altitudes of the slow fixes within `radius_m` of a place; none with fewer than four.
pub(super) fn stood_near(
    track: &CleanTrack,
    place_deg: (f64, f64),
    radius_m: f64,
) -> Option<Altitudes> {
    let slow: Vec<&Fix> = slow_fixes(track)
        .into_iter()
        .filter(|f| distance_m(f, place_deg) < radius_m)
        .collect();
    let found = medians(&slow);
    let lowest = medians_of_lowest(&track.fixes.iter());
    let is_low = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => a - b < FIELD_RELIEF_M,
        _ => true,
    };
    (slow.len() >= 4
        && is_low(found.gnss_m, lowest.gnss_m)
        && is_low(found.pressure_m, lowest.pressure_m))
    .then_some(found)
}

/// The lowest altitudes near a place.
pub(super) fn lowest_near(track: &CleanTrack, place_deg: (f64, f64), radius_m: f64) -> Altitudes {
    medians_of_lowest(
        &track
            .fixes
            .iter()
            .filter(|f| distance_m(f, place_deg) < radius_m),
    )
}

/// Distance of the nearest fix from a place, m.
pub(super) fn nearest_m(track: &CleanTrack, place_deg: (f64, f64)) -> f64 {
    track
        .fixes
        .iter()
        .map(|f| distance_m(f, place_deg))
        .fold(f64::INFINITY, f64::min)
}

fn distance_m(fix: &Fix, place_deg: (f64, f64)) -> f64 {
    great_circle_m((fix.latitude_deg, fix.longitude_deg), place_deg)
}

/// Fixes from which the aeroplane moves slower than taxiing over the next three seconds or more.
fn slow_fixes(track: &CleanTrack) -> Vec<&Fix> {
    let fixes = &track.fixes;
    let mut slow = Vec::new();
    let mut i = 0;
    while i + 1 < fixes.len() {
        let mut j = i + 1;
        while j + 1 < fixes.len() && fixes[j].utc_s - fixes[i].utc_s < 3.0 {
            j += 1;
        }
        let dt_s = fixes[j].utc_s - fixes[i].utc_s;
        let moved_m = distance_m(&fixes[j], (fixes[i].latitude_deg, fixes[i].longitude_deg));
        if dt_s < 30.0 && moved_m / dt_s < TAXI_MPS {
            slow.extend(&fixes[i..j]);
        }
        i = j;
    }
    slow
}

fn medians(fixes: &[&Fix]) -> Altitudes {
    let median = |value: fn(&Fix) -> Option<f32>| {
        let mut values: Vec<f32> = fixes.iter().filter_map(|f| value(f)).collect();
        values.sort_by(f32::total_cmp);
        values.get(values.len() / 2).map(|v| f64::from(*v))
    };
    Altitudes {
        gnss_m: median(|f| f.gnss_altitude_m),
        pressure_m: median(|f| f.pressure_altitude_m),
    }
}

/// Not the very lowest: the fifth, for one bad fix must not accuse anybody.
fn medians_of_lowest<'a>(fixes: &(impl Iterator<Item = &'a Fix> + Clone)) -> Altitudes {
    let low = |value: fn(&Fix) -> Option<f32>| {
        let mut values: Vec<f32> = fixes.clone().filter_map(value).collect();
        (values.len() > 4).then(|| f64::from(*values.select_nth_unstable_by(4, f32::total_cmp).1))
    };
    Altitudes {
        gnss_m: low(|f| f.gnss_altitude_m),
        pressure_m: low(|f| f.pressure_altitude_m),
    }
}

/// An approach: straight, descending, to a low point near the aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Approach {
    /// Track over the ground on short final, degrees true.
    pub(super) track_deg: f64,
    /// Whether it ended on the ground.
    pub(super) landed: bool,
}

/// Around a low point nothing is lower for this long, s.
const ALONE_S: usize = 45;
/// Height lost in the ninety seconds before a low point that makes it an approach, m.
const DESCENT_M: f64 = 60.0;
/// Height above the low point where the track is taken, m: short final, not the rollout and its turns.
const SHORT_FINAL_M: f64 = 15.0;
/// Change of track over the last ten seconds that is still straight, degrees.
const STRAIGHT_DEG: f64 = 8.0;
/// A short final points at the aim; a downwind leg passes farther beside it, m.
const BESIDE_M: f64 = 250.0;
/// Broken off higher than this above the aim, a glide had no short final yet, m (common practice: a
/// practice without a clearance to land goes on to 500 ft or so).
const SHORT_FINAL_BELOW_M: f64 = 200.0;

/// The approaches of `path` whose short final is within `radius_m` of the aim.
pub(super) fn approaches(path: &Path, radius_m: f64) -> Vec<Approach> {
    let (from_s, to_s) = path.span_s();
    if to_s - from_s < 120.0 || from_s.is_nan() || to_s.is_nan() {
        return Vec::new();
    }
    let points = path.resampled(from_s, to_s, 1.0);
    let mut out = Vec::new();
    let mut i = 0;
    while i < points.len() {
        let around = i.saturating_sub(ALONE_S)..(i + ALONE_S + 1).min(points.len());
        let here_m = points[i].height_m;
        let lost_m = points[i.saturating_sub(90)..i]
            .iter()
            .map(|p| p.height_m - here_m)
            .fold(0.0, f64::max);
        if lost_m < DESCENT_M
            || here_m > SHORT_FINAL_BELOW_M
            || points[around].iter().any(|p| p.height_m < here_m)
        {
            i += 1;
            continue;
        }
        let short_final = (0..i)
            .rev()
            .find(|&k| points[k].height_m > here_m + SHORT_FINAL_M);
        if let Some(k) = short_final.filter(|k| *k >= 12) {
            // over some seconds of ground: gusts and coarse fixes jostle the track of an instant
            let track = |j: usize| {
                let (from, to) = (&points[j - 2], &points[(j + 2).min(points.len() - 1)]);
                (to.east_m - from.east_m)
                    .atan2(to.north_m - from.north_m)
                    .to_degrees()
            };
            let straight =
                (k - 10..k).all(|j| wrap_180_deg(track(j) - track(k)).abs() < STRAIGHT_DEG);
            let (a, b) = (&points[k - 8], &points[(k + 2).min(points.len() - 1)]);
            let (east_m, north_m) = (b.east_m - a.east_m, b.north_m - a.north_m);
            let beside_m = (a.east_m * north_m - a.north_m * east_m) / east_m.hypot(north_m);
            if straight && beside_m.abs() < BESIDE_M && points[k].distance_m() < radius_m {
                out.push(Approach {
                    track_deg: east_m.atan2(north_m).to_degrees(),
                    landed: points[k..(k + 60).min(points.len())]
                        .iter()
                        .any(|p| p.ground_speed_mps() < 0.5 * points[k].ground_speed_mps()),
                });
            }
        }
        i += ALONE_S;
    }
    out
}
