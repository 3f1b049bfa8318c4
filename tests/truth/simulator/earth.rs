//! Places on the WGS 84 ellipsoid from metres east, north and up of the aim.

/// Semi-major axis, m, and flattening. Source: NIMA TR8350.2, 3rd ed., table 3.1.
const A_M: f64 = 6_378_137.0;
const F: f64 = 1.0 / 298.257_223_563;

/// A plane touching the ellipsoid at a place.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// Latitude, degrees.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// Height above the ellipsoid, m.
    pub ellipsoid_m: f64,
}

impl Place {
    /// Latitude and longitude, degrees, of the point east and north of here, at about this height.
    ///
    /// Radii of curvature to second order (T. Vincenty's direct solution agrees within centimetres at 20 km).
    pub fn at(&self, east_m: f64, north_m: f64) -> (f64, f64) {
        let e2 = F * (2.0 - F);
        let phi = self.latitude_deg.to_radians();
        let (mut lat, mut lon) = (phi, 0.0);
        for _ in 0..4 {
            let middle = f64::midpoint(phi, lat);
            let w = (1.0 - e2 * middle.sin().powi(2)).sqrt();
            let meridian = A_M * (1.0 - e2) / w.powi(3) + self.ellipsoid_m;
            let prime = A_M / (1.0 - e2 * lat.sin().powi(2)).sqrt() + self.ellipsoid_m;
            lon = (east_m / (prime * lat.cos())).asin();
            // meridians converge: going east along a great circle loses northing
            let bow = 0.5 * lat.sin() * east_m * lon;
            lat = phi + (north_m - bow) / meridian;
        }
        let longitude = self.longitude_deg + lon.to_degrees();
        (
            lat.to_degrees(),
            (longitude + 180.0).rem_euclid(360.0) - 180.0,
        )
    }
}
