//! One runway, and landing on it one way or the other.

use crate::geodesy::LocalFrame;
use crate::units::{M_PER_FT, wrap_360_deg};

/// One end of a runway.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// Name in the direction of landing, as `09L`.
    pub name: String,
    /// Latitude, degrees, WGS 84.
    pub latitude_deg: f64,
    /// Longitude, degrees, WGS 84.
    pub longitude_deg: f64,
    /// Elevation above mean sea level, ft.
    pub elevation_ft: Option<f64>,
    /// How far after this end the landing threshold is, ft.
    pub displaced_ft: f64,
}

/// A runway with both ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Runway {
    /// Ident of the airfield.
    pub airfield: String,
    /// Its other codes.
    pub codes: Vec<String>,
    /// Both ends.
    pub ends: [End; 2],
    /// Length as published, ft.
    pub length_ft: f64,
    /// Direction from the first end as published, degrees true; for checks, the ends themselves say it better.
    pub published_true_deg: Option<f64>,
}

/// Landing on a runway in one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Landing {
    /// Ident of the airfield.
    pub airfield: String,
    /// Name of the runway in this direction.
    pub runway: String,
    /// Direction of landing, degrees true: from this end to the other.
    pub landing_true_deg: f64,
    /// From this end to the other, ft.
    pub between_ends_ft: f64,
    /// How far after this end the threshold is, ft.
    pub displaced_ft: f64,
    frame: LocalFrame,
    /// Of this end and the other, ft.
    elevations_ft: (Option<f64>, Option<f64>),
}

/// A point of a runway.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Latitude, degrees, WGS 84.
    pub latitude_deg: f64,
    /// Longitude, degrees, WGS 84.
    pub longitude_deg: f64,
    /// Elevation above mean sea level, ft.
    pub elevation_ft: Option<f64>,
}

impl Runway {
    /// Landing from the first end, and from the second.
    pub fn landings(&self) -> [Landing; 2] {
        let [low, high] = &self.ends;
        [self.landing(low, high), self.landing(high, low)]
    }

    fn landing(&self, near: &End, far: &End) -> Landing {
        let height_m = near.elevation_ft.unwrap_or(0.0) * M_PER_FT;
        let frame = LocalFrame::new(near.latitude_deg, near.longitude_deg, height_m);
        let (east_m, north_m) = frame.to_east_north_m(far.latitude_deg, far.longitude_deg);
        Landing {
            airfield: self.airfield.clone(),
            runway: near.name.clone(),
            landing_true_deg: wrap_360_deg(east_m.atan2(north_m).to_degrees()),
            between_ends_ft: east_m.hypot(north_m) / M_PER_FT,
            displaced_ft: near.displaced_ft,
            frame,
            elevations_ft: (near.elevation_ft, far.elevation_ft),
        }
    }
}

impl Landing {
    /// The point this far after the threshold in the direction of landing, ft; before it where negative.
    ///
    /// # Definition
    /// On the line between the ends; the elevation between those of the ends in proportion, that of one
    /// end where the other's is not known.
    pub fn spot(&self, past_threshold_ft: f64) -> Spot {
        let along_ft = self.displaced_ft + past_threshold_ft;
        let (sin, cos) = self.landing_true_deg.to_radians().sin_cos();
        let along_m = along_ft * M_PER_FT;
        let (latitude_deg, longitude_deg) = self
            .frame
            .to_latitude_longitude(along_m * sin, along_m * cos);
        let share = (along_ft / self.between_ends_ft).clamp(0.0, 1.0);
        let elevation_ft = match self.elevations_ft {
            (Some(near), Some(far)) => Some(near + share * (far - near)),
            (near, far) => near.or(far),
        };
        Spot {
            latitude_deg,
            longitude_deg,
            elevation_ft,
        }
    }

    /// From the threshold to the far end, ft.
    pub fn after_threshold_ft(&self) -> f64 {
        self.between_ends_ft - self.displaced_ft
    }

    /// How far after the threshold, and how far to the right of the line, a place is, ft.
    pub fn along_across_ft(&self, latitude_deg: f64, longitude_deg: f64) -> (f64, f64) {
        let (east_m, north_m) = self.frame.to_east_north_m(latitude_deg, longitude_deg);
        let (sin, cos) = self.landing_true_deg.to_radians().sin_cos();
        (
            (east_m * sin + north_m * cos) / M_PER_FT - self.displaced_ft,
            (east_m * cos - north_m * sin) / M_PER_FT,
        )
    }

    /// As `--runway` takes it: `ZZLA/09`, or `ZZLA/09+500`.
    pub fn as_flag(&self, past_threshold_ft: f64) -> String {
        let past_ft = past_threshold_ft.round();
        if past_ft == 0.0 {
            format!("{}/{}", self.airfield, self.runway)
        } else {
            format!("{}/{}{past_ft:+.0}", self.airfield, self.runway)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn runway() -> Runway {
        let end = |name: &str, longitude_deg, elevation_ft, displaced_ft| End {
            name: name.into(),
            latitude_deg: 0.0,
            longitude_deg,
            elevation_ft,
            displaced_ft,
        };
        Runway {
            airfield: "ZZLA".into(),
            codes: Vec::new(),
            // on the equator a hundredth of a degree of longitude is 1113.19 m, 3652.2 ft
            ends: [
                end("09", 20.0, Some(300.0), 0.0),
                end("27", 20.01, Some(340.0), 400.0),
            ],
            length_ft: 3652.0,
            published_true_deg: None,
        }
    }

    #[test]
    fn a_point_past_the_threshold_by_hand() {
        let [east, west] = runway().landings();
        assert!((east.landing_true_deg - 90.0).abs() < 1e-6);
        assert!((west.landing_true_deg - 270.0).abs() < 1e-6);
        assert!((east.between_ends_ft - 3652.2).abs() < 0.5);
        let half_way = east.spot(3652.2 / 2.0);
        assert!((half_way.longitude_deg - 20.005).abs() < 1e-6);
        assert!((half_way.elevation_ft.unwrap() - 320.0).abs() < 0.05);
        // 400 ft displaced and 600 past it are 1000 ft from the end
        let displaced = west.spot(600.0);
        let expected_deg = 20.01 - 0.01 * 1000.0 / 3652.2;
        assert!((displaced.longitude_deg - expected_deg).abs() < 1e-6);
        assert!((west.after_threshold_ft() - 3252.2).abs() < 0.5);
    }

    #[test]
    fn along_and_across_are_the_way_back() {
        let [_, west] = runway().landings();
        let spot = west.spot(750.0);
        let (along_ft, across_ft) = west.along_across_ft(spot.latitude_deg, spot.longitude_deg);
        assert!((along_ft - 750.0).abs() < 0.01 && across_ft.abs() < 0.01);
        // north of a landing to the west is to the right
        assert!(west.along_across_ft(0.001, 20.005).1 > 300.0);
    }

    #[test]
    fn one_elevation_stands_for_both() {
        let mut runway = runway();
        runway.ends[1].elevation_ft = None;
        let [east, west] = runway.landings();
        assert_eq!(east.spot(500.0).elevation_ft, Some(300.0));
        assert_eq!(west.spot(500.0).elevation_ft, Some(300.0));
    }

    #[test]
    fn the_flag_is_short() {
        let [east, _] = runway().landings();
        assert_eq!(east.as_flag(0.2), "ZZLA/09");
        assert_eq!(east.as_flag(500.0), "ZZLA/09+500");
        assert_eq!(east.as_flag(-50.0), "ZZLA/09-50");
    }
}
