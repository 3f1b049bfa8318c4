//! Positions as metres on a plane, near enough to hold a fix against its neighbours.

use super::CleanProblem;
use crate::reading::Fix;
use crate::units::wrap_180_deg;

/// Metres in a degree of latitude, mean radius of the Earth (6,371,008.8 m, IUGG).
const M_PER_DEG: f64 = 6_371_008.8 * std::f64::consts::PI / 180.0;

/// A recorder that stays within this never flew, m.
const STANDING_M: f64 = 30.0;

/// A place on the plane, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) east_m: f64,
    pub(super) north_m: f64,
}

impl Place {
    pub(super) fn distance_m(self, other: Self) -> f64 {
        (self.east_m - other.east_m).hypot(self.north_m - other.north_m)
    }
}

/// Where a fix is, seen from another.
pub(super) fn seen_from(origin: &Fix, fix: &Fix) -> Place {
    Place {
        east_m: wrap_180_deg(fix.longitude_deg - origin.longitude_deg)
            * M_PER_DEG
            * origin.latitude_deg.to_radians().cos(),
        north_m: (fix.latitude_deg - origin.latitude_deg) * M_PER_DEG,
    }
}

/// Metres between two fixes.
pub(super) fn distance_m(a: &Fix, b: &Fix) -> f64 {
    let place = seen_from(a, b);
    place.east_m.hypot(place.north_m)
}

/// The error for a recorder that stood still all the time, if it did.
pub(super) fn never_moved(fixes: &[Fix]) -> Option<CleanProblem> {
    let (first, last) = (fixes.first()?, fixes.last()?);
    let mut extent_m = 0.0_f64;
    for fix in fixes {
        extent_m = extent_m.max(distance_m(first, fix));
        if extent_m > STANDING_M {
            return None;
        }
    }
    Some(CleanProblem::NeverMoved {
        fixes: fixes.len() as u32,
        extent_m,
        span_s: last.utc_s - first.utc_s,
    })
}
