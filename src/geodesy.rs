//! East and north on the WGS 84 ellipsoid, around a reference point.
//!
//! A practice forced landing fits in a circle of 20 km, so the library works in
//! a plane: east and north of a reference point, usually the aim point. The
//! plane touches the ellipsoid at the reference point; points are put on it
//! through earth-centred coordinates, not through radii of curvature, so there
//! is no special case at the antimeridian or near a pole.

use crate::units::wrap_180_deg;

/// Semi-major axis of the ellipsoid, m. Source: NIMA TR8350.2, 3rd ed., table 3.1.
pub const WGS84_SEMI_MAJOR_AXIS_M: f64 = 6_378_137.0;
/// Flattening of the ellipsoid. Source: NIMA TR8350.2, 3rd ed., table 3.1 (1/f).
pub const WGS84_FLATTENING: f64 = 1.0 / 298.257_223_563;

const ECCENTRICITY_SQUARED: f64 = WGS84_FLATTENING * (2.0 - WGS84_FLATTENING);

/// The plane that touches the ellipsoid, raised to a height, at a reference point.
///
/// # Definition
/// Points are taken to lie at the frame's own height above the ellipsoid, and
/// projected onto the plane along its normal. Height is kept apart, as height
/// above the aim point; it never bends the plane.
///
/// # Valid for
/// The projection shortens a distance d by d³/(6R²): 3 cm at 20 km, half a
/// metre at 50 km. An aeroplane 1000 m above the frame is placed 1.6 cm too
/// near per 100 m of distance (1000 m / R), which is 3 m at 20 km and nothing
/// at the aim point.
///
/// # Source
/// Earth-centred coordinates and their rotation: any text on satellite
/// positioning, for instance Misra and Enge, Global Positioning System, 2nd
/// ed., section 4.A.
///
/// # Example
/// ```
/// use stillprop::geodesy::LocalFrame;
/// let aim = LocalFrame::new(51.5, -0.46, 70.0);
/// let (east_m, north_m) = aim.to_east_north_m(51.491_676_985, -0.46);
/// assert!(east_m.abs() < 0.01 && (north_m + 926.0).abs() < 0.02);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalFrame {
    latitude_deg: f64,
    longitude_deg: f64,
    ellipsoid_height_m: f64,
    sin_latitude: f64,
    cos_latitude: f64,
    /// Of the reference point: distance from the axis of the earth, m.
    from_axis_m: f64,
    /// Of the reference point: distance from the equatorial plane, m.
    from_equator_m: f64,
}

impl LocalFrame {
    /// The frame at a point: degrees WGS 84, metres above the ellipsoid.
    pub fn new(latitude_deg: f64, longitude_deg: f64, ellipsoid_height_m: f64) -> Self {
        let (sin_latitude, cos_latitude) = latitude_deg.to_radians().sin_cos();
        let (from_axis_m, from_equator_m) =
            meridian_section(sin_latitude, cos_latitude, ellipsoid_height_m);
        LocalFrame {
            latitude_deg,
            longitude_deg,
            ellipsoid_height_m,
            sin_latitude,
            cos_latitude,
            from_axis_m,
            from_equator_m,
        }
    }

    /// Latitude of the reference point, degrees.
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }

    /// Longitude of the reference point, degrees.
    pub fn longitude_deg(&self) -> f64 {
        self.longitude_deg
    }

    /// Height of the reference point above the ellipsoid, m.
    pub fn ellipsoid_height_m(&self) -> f64 {
        self.ellipsoid_height_m
    }

    /// East and north of the reference point, m, of a point at the frame's height.
    pub fn to_east_north_m(&self, latitude_deg: f64, longitude_deg: f64) -> (f64, f64) {
        let (east_m, north_m, _) =
            self.to_east_north_up_m(latitude_deg, longitude_deg, self.ellipsoid_height_m);
        (east_m, north_m)
    }

    /// East, north and up of the reference point, m, of a point at any height above the ellipsoid.
    ///
    /// Up is measured from the plane: the earth curves away below it, by 31 m at 20 km.
    pub fn to_east_north_up_m(
        &self,
        latitude_deg: f64,
        longitude_deg: f64,
        ellipsoid_height_m: f64,
    ) -> (f64, f64, f64) {
        let (sin_latitude, cos_latitude) = latitude_deg.to_radians().sin_cos();
        let (sin_apart, cos_apart) = (longitude_deg - self.longitude_deg).to_radians().sin_cos();
        let (from_axis_m, from_equator_m) =
            meridian_section(sin_latitude, cos_latitude, ellipsoid_height_m);
        // The axes of the earth turned so that the reference meridian is the first one.
        let outward_m = from_axis_m * cos_apart - self.from_axis_m;
        let along_axis_m = from_equator_m - self.from_equator_m;
        (
            from_axis_m * sin_apart,
            self.cos_latitude * along_axis_m - self.sin_latitude * outward_m,
            self.cos_latitude * outward_m + self.sin_latitude * along_axis_m,
        )
    }

    /// Latitude and longitude, degrees, of the point at the frame's height that is this far east and north.
    ///
    /// The inverse of [`LocalFrame::to_east_north_m`], to better than 1 mm within 50 km.
    pub fn to_latitude_longitude(&self, east_m: f64, north_m: f64) -> (f64, f64) {
        // The surface lies below the plane by an amount that depends on the answer:
        // a handful of steps, each about d/R as large as the one before.
        const STEPS: usize = 6;
        let mut up_m = -(east_m * east_m + north_m * north_m) / (2.0 * WGS84_SEMI_MAJOR_AXIS_M);
        let mut answer = (self.latitude_deg, self.longitude_deg);
        for _ in 0..STEPS {
            let outward_m =
                self.from_axis_m + self.cos_latitude * up_m - self.sin_latitude * north_m;
            let from_equator_m =
                self.from_equator_m + self.sin_latitude * up_m + self.cos_latitude * north_m;
            let (latitude_rad, height_m) =
                latitude_and_height(outward_m.hypot(east_m), from_equator_m);
            let apart_rad = east_m.atan2(outward_m);
            answer = (
                latitude_rad.to_degrees(),
                wrap_180_deg(self.longitude_deg + apart_rad.to_degrees()),
            );
            let too_high_m = height_m - self.ellipsoid_height_m;
            if too_high_m.abs() < 1e-7 {
                break;
            }
            up_m -= too_high_m;
        }
        answer
    }
}

/// Distance over the surface between two places (latitude, longitude in degrees), m.
///
/// # Definition
/// Haversine on the sphere of the mean radius 6,371,008.8 m (IUGG).
///
/// # Uncertainty
/// 0.6 % (the flattening of the ellipsoid): to see what is near and what is far. Measures use [`LocalFrame`].
///
/// # Example
/// ```
/// // a quarter of the equator
/// let quarter_m = stillprop::geodesy::great_circle_m((0.0, 0.0), (0.0, 90.0));
/// assert!((quarter_m - 10_007_557.0).abs() < 1.0);
/// ```
pub fn great_circle_m(from_deg: (f64, f64), to_deg: (f64, f64)) -> f64 {
    const MEAN_RADIUS_M: f64 = 6_371_008.8;
    let half_rad = |degrees: f64| degrees.to_radians() / 2.0;
    let haversine = half_rad(to_deg.0 - from_deg.0).sin().powi(2)
        + from_deg.0.to_radians().cos()
            * to_deg.0.to_radians().cos()
            * half_rad(to_deg.1 - from_deg.1).sin().powi(2);
    2.0 * MEAN_RADIUS_M * haversine.clamp(0.0, 1.0).sqrt().asin()
}

/// Distances from the axis of the earth and from the equatorial plane, m.
fn meridian_section(sin_latitude: f64, cos_latitude: f64, ellipsoid_height_m: f64) -> (f64, f64) {
    let prime_vertical_m =
        WGS84_SEMI_MAJOR_AXIS_M / (1.0 - ECCENTRICITY_SQUARED * sin_latitude * sin_latitude).sqrt();
    (
        (prime_vertical_m + ellipsoid_height_m) * cos_latitude,
        (prime_vertical_m * (1.0 - ECCENTRICITY_SQUARED) + ellipsoid_height_m) * sin_latitude,
    )
}

/// Latitude (radians) and height above the ellipsoid (m) from the distances to axis and equator.
///
/// Source: Bowring, Survey Review 23(181), 1976, 323-327; one step, good to
/// 1e-9 m for heights an aeroplane reaches.
fn latitude_and_height(from_axis_m: f64, from_equator_m: f64) -> (f64, f64) {
    let semi_minor_axis_m = WGS84_SEMI_MAJOR_AXIS_M * (1.0 - WGS84_FLATTENING);
    let second_eccentricity_squared = ECCENTRICITY_SQUARED / (1.0 - ECCENTRICITY_SQUARED);
    let parametric_rad =
        (from_equator_m * WGS84_SEMI_MAJOR_AXIS_M).atan2(from_axis_m * semi_minor_axis_m);
    let (sin_parametric, cos_parametric) = parametric_rad.sin_cos();
    let latitude_rad = (from_equator_m
        + second_eccentricity_squared * semi_minor_axis_m * sin_parametric.powi(3))
    .atan2(from_axis_m - ECCENTRICITY_SQUARED * WGS84_SEMI_MAJOR_AXIS_M * cos_parametric.powi(3));
    let (sin_latitude, cos_latitude) = latitude_rad.sin_cos();
    let prime_vertical_m =
        WGS84_SEMI_MAJOR_AXIS_M / (1.0 - ECCENTRICITY_SQUARED * sin_latitude * sin_latitude).sqrt();
    // Projected on the normal, so that it stays well conditioned at the poles.
    let height_m = from_axis_m * cos_latitude + from_equator_m * sin_latitude
        - WGS84_SEMI_MAJOR_AXIS_M * WGS84_SEMI_MAJOR_AXIS_M / prime_vertical_m;
    (latitude_rad, height_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_reference_point_is_the_origin() {
        for (latitude_deg, longitude_deg) in
            [(51.5, -0.46), (90.0, 0.0), (-90.0, 77.0), (0.0, 180.0)]
        {
            let frame = LocalFrame::new(latitude_deg, longitude_deg, 120.0);
            let (east_m, north_m) = frame.to_east_north_m(latitude_deg, longitude_deg);
            assert!(
                east_m.hypot(north_m) < 1e-6,
                "{latitude_deg} {longitude_deg}"
            );
        }
    }

    #[test]
    fn either_name_of_the_antimeridian_is_one_place() {
        let frame = LocalFrame::new(-17.0, 179.999, 0.0);
        let one = frame.to_east_north_m(-17.0, -179.999);
        let other = frame.to_east_north_m(-17.0, 180.001);
        assert!(
            (one.0 - other.0).abs() < 1e-6 && (one.0 - 213.0).abs() < 0.1,
            "{one:?}"
        );
        let (_, longitude_deg) = frame.to_latitude_longitude(one.0, one.1);
        assert!((longitude_deg + 179.999).abs() < 1e-9);
    }

    #[test]
    fn not_a_number_stays_not_a_number() {
        let frame = LocalFrame::new(51.5, -0.46, 0.0);
        assert!(frame.to_east_north_m(f64::NAN, 0.0).1.is_nan());
        assert!(frame.to_latitude_longitude(f64::NAN, 0.0).0.is_nan());
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same_place(
            latitude_deg in -90.0..90.0_f64,
            longitude_deg in -180.0..180.0_f64,
            height_m in -100.0..4000.0_f64,
            distance_m in 0.0..50_000.0_f64,
            azimuth_rad in 0.0..std::f64::consts::TAU,
        ) {
            let frame = LocalFrame::new(latitude_deg, longitude_deg, height_m);
            let (east_m, north_m) = (distance_m * azimuth_rad.sin(), distance_m * azimuth_rad.cos());
            let (latitude, longitude) = frame.to_latitude_longitude(east_m, north_m);
            prop_assert!((-180.0..180.0).contains(&longitude));
            let (east_again_m, north_again_m) = frame.to_east_north_m(latitude, longitude);
            prop_assert!((east_again_m - east_m).abs() < 1e-4, "{east_again_m} {east_m}");
            prop_assert!((north_again_m - north_m).abs() < 1e-4, "{north_again_m} {north_m}");
        }
    }
}
