//! The runway that a landing or a low approach was to.

use super::{Airfields, Landing};
use crate::units::{M_PER_NM, wrap_180_deg};

/// Where a recording came down, or how low it came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flown {
    /// Latitude, degrees: of the touchdown, or of the lowest point lined up.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// Direction of motion there, degrees true.
    pub track_deg: f64,
    /// Whether it landed there (else it flew over or towards it).
    pub landed: bool,
}

/// A runway that fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Used {
    /// It, in the direction flown.
    pub landing: Landing,
    /// Where, ft after the threshold.
    pub past_threshold_ft: f64,
    /// How far beside its line, ft.
    pub across_ft: f64,
}

/// Direction of motion on a runway against its own, degrees: after a touchdown, and in the air with drift
/// and the last of a turn.
const ALIGNED_DEG: (f64, f64) = (12.0, 15.0);
/// Beside the line of the ends, ft: half a wide runway and what table and receiver may err; more in the air.
const BESIDE_FT: (f64, f64) = (150.0, 350.0);
/// Before and after the ends, ft, where wheels still met the ground for this runway.
const OVER_THE_ENDS_FT: f64 = 300.0;
/// Before the end, NM: where a go-around was still for this runway.
const BEFORE_NM: f64 = 1.0;
/// Another runway whose line is no farther by more than this fits as well, ft.
const AS_WELL_FT: f64 = 80.0;

impl Airfields {
    /// The runways that fit, best first: the one whose line is nearest, and those that fit as well (parallel
    /// runways close together, one runway under two idents).
    pub fn used(&self, flown: &Flown) -> Vec<Used> {
        let pick = |pair: (f64, f64)| if flown.landed { pair.0 } else { pair.1 };
        let mut found: Vec<Used> = self
            .within((flown.latitude_deg, flown.longitude_deg), 3.0)
            .iter()
            .flat_map(|runway| runway.landings())
            .filter_map(|landing| {
                let (past_threshold_ft, across_ft) =
                    landing.along_across_ft(flown.latitude_deg, flown.longitude_deg);
                let before_ft = if flown.landed {
                    OVER_THE_ENDS_FT
                } else {
                    crate::units::ft(BEFORE_NM * M_PER_NM)
                };
                let along_ft = past_threshold_ft + landing.displaced_ft;
                let off_deg = wrap_180_deg(flown.track_deg - landing.landing_true_deg).abs();
                let fits = off_deg <= pick(ALIGNED_DEG)
                    && across_ft.abs() <= pick(BESIDE_FT)
                    && along_ft >= -before_ft
                    && along_ft <= landing.between_ends_ft + OVER_THE_ENDS_FT;
                fits.then_some(Used {
                    landing,
                    past_threshold_ft,
                    across_ft,
                })
            })
            .collect();
        found.sort_by(|a, b| a.across_ft.abs().total_cmp(&b.across_ft.abs()));
        let nearest_ft = found.first().map_or(0.0, |used| used.across_ft.abs());
        found.retain(|used| used.across_ft.abs() <= nearest_ft + AS_WELL_FT);
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // two parallel runways 600 ft apart, and one across them
    const FIELD: &str = "ZZLA\t\t09L\t27R\t3650\t\t0.00165\t20\t\t\t0.00165\t20.01\t\t\n\
        ZZLA\t\t09R\t27L\t3650\t\t0\t20\t\t\t0\t20.01\t\t\n\
        ZZLA\t\t18\t36\t3650\t\t0.005\t20.005\t\t\t-0.005\t20.005\t\t\n";

    fn names(latitude_deg: f64, longitude_deg: f64, track_deg: f64, landed: bool) -> Vec<String> {
        let table = Airfields::read(FIELD).unwrap();
        let flown = Flown {
            latitude_deg,
            longitude_deg,
            track_deg,
            landed,
        };
        let used = table.used(&flown);
        used.into_iter().map(|used| used.landing.runway).collect()
    }

    #[test]
    fn direction_and_line_tell_the_runway() {
        assert_eq!(names(0.00001, 20.002, 88.0, true), ["09R"]);
        assert_eq!(names(0.0016, 20.002, 272.0, true), ["27R"]);
        assert_eq!(names(0.001, 20.005, 181.0, true), ["18"]);
        // across the field in no runway's direction, and beside it
        assert!(names(0.001, 20.005, 135.0, true).is_empty());
        assert!(names(0.01, 20.005, 90.0, true).is_empty());
    }

    #[test]
    fn a_go_around_before_the_end_is_for_the_runway_ahead() {
        assert_eq!(names(0.0, 19.99, 90.0, false), ["09R"]);
        assert!(names(0.0, 19.99, 90.0, true).is_empty());
        // half way between the parallels both fit
        assert_eq!(names(0.0008, 19.99, 90.0, false).len(), 2);
    }
}
