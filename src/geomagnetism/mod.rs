//! How far magnetic north lies from true north.

mod wmm2025;

use wmm2025::{COEFFICIENTS, DEGREE, EPOCH_YEAR};

use crate::geodesy::{WGS84_FLATTENING, WGS84_SEMI_MAJOR_AXIS_M};

/// Reference radius of the model, m.
const MODEL_RADIUS_M: f64 = 6_371_200.0;

/// Magnetic variation at sea level, degrees: magnetic direction + this = true direction; east is positive.
///
/// # Definition
/// World Magnetic Model 2025, degree and order 12, with its linear change (technical report, doi
/// 10.25923/prbc-s316, equations 9 to 12).
///
/// # Valid for
/// 2025 to 2030 by the model; some years around it with an error that grows by a few tenths of a
/// degree a year. Away from the magnetic poles.
///
/// # Example
/// ```
/// // half way between New York and the Azores the compass points well west of north
/// let variation_deg = stillprop::geomagnetism::variation_deg(40.0, -50.0, 2026.0);
/// assert!((-18.0..-12.0).contains(&variation_deg));
/// ```
pub fn variation_deg(latitude_deg: f64, longitude_deg: f64, decimal_year: f64) -> f64 {
    let geodetic_rad = latitude_deg.to_radians();
    let (sin_geodetic, cos_geodetic) = geodetic_rad.sin_cos();
    let eccentricity_squared = WGS84_FLATTENING * (2.0 - WGS84_FLATTENING);
    let curvature_m =
        WGS84_SEMI_MAJOR_AXIS_M / (1.0 - eccentricity_squared * sin_geodetic.powi(2)).sqrt();
    let from_axis_m = curvature_m * cos_geodetic;
    let from_equator_m = curvature_m * (1.0 - eccentricity_squared) * sin_geodetic;
    let geocentric_rad = from_equator_m.atan2(from_axis_m);
    let radius_m = from_axis_m.hypot(from_equator_m);
    let (north, east, down) = field_nt(
        geocentric_rad,
        longitude_deg.to_radians(),
        radius_m,
        decimal_year,
    );
    let tilt_rad = geocentric_rad - geodetic_rad;
    let north_geodetic = north * tilt_rad.cos() - down * tilt_rad.sin();
    east.atan2(north_geodetic).to_degrees()
}

/// The years the model is made for.
pub const VALID_YEARS: (f64, f64) = (2025.0, 2030.0);

/// The year of an instant (seconds since 1970-01-01T00:00:00Z), with its fraction, good to a day or two.
///
/// # Example
/// ```
/// // 2026-07-02T12:00:00Z
/// assert!((stillprop::geomagnetism::decimal_year(1_782_993_600.0) - 2026.5).abs() < 0.01);
/// ```
pub fn decimal_year(utc_s: f64) -> f64 {
    const MEAN_YEAR_S: f64 = 365.2425 * 86_400.0;
    1970.0 + utc_s / MEAN_YEAR_S
}

/// Northward, eastward and downward field on a sphere, nT.
fn field_nt(
    latitude_rad: f64,
    longitude_rad: f64,
    radius_m: f64,
    decimal_year: f64,
) -> (f64, f64, f64) {
    let years = decimal_year - EPOCH_YEAR;
    // not on the axis, where east has no direction
    let cos_latitude = latitude_rad.cos().max(1e-8);
    let (p, slope) = legendre(latitude_rad.sin(), cos_latitude);
    let (mut north, mut east, mut down) = (0.0, 0.0, 0.0);
    let mut index = 0;
    for n in 1..=DEGREE {
        let far = (MODEL_RADIUS_M / radius_m).powi(n as i32 + 2);
        for m in 0..=n {
            let [g0, h0, g_a_year, h_a_year] = COEFFICIENTS[index];
            index += 1;
            let (g, h) = (g0 + years * g_a_year, h0 + years * h_a_year);
            let (sin_m, cos_m) = (m as f64 * longitude_rad).sin_cos();
            let along = g * cos_m + h * sin_m;
            north -= far * along * slope[n][m];
            east += far * m as f64 * (g * sin_m - h * cos_m) * p[n][m] / cos_latitude;
            down -= far * (n as f64 + 1.0) * along * p[n][m];
        }
    }
    (north, east, down)
}

type Table = [[f64; DEGREE + 1]; DEGREE + 1];

/// Schmidt semi-normalised associated Legendre functions of sin(latitude), and their slopes by latitude.
fn legendre(s: f64, c: f64) -> (Table, Table) {
    let mut p: Table = [[0.0; DEGREE + 1]; DEGREE + 1];
    let mut slope = p;
    p[0][0] = 1.0;
    for n in 1..=DEGREE {
        for m in 0..=n {
            let (nf, mf) = (n as f64, m as f64);
            (p[n][m], slope[n][m]) = if n == m {
                let k = if n == 1 { 1.0 } else { (1.0 - 0.5 / nf).sqrt() };
                let (a, b) = (p[n - 1][m - 1], slope[n - 1][m - 1]);
                (k * c * a, k * (c * b - s * a))
            } else {
                let k = (nf * nf - mf * mf).sqrt();
                let (a, b) = (p[n - 1][m], slope[n - 1][m]);
                let back = if n >= 2 {
                    ((nf - 1.0).powi(2) - mf * mf).max(0.0).sqrt()
                } else {
                    0.0
                };
                let (u, v) = if n >= 2 {
                    (p[n - 2][m], slope[n - 2][m])
                } else {
                    (0.0, 0.0)
                };
                let l = 2.0 * nf - 1.0;
                (
                    (l * s * a - back * u) / k,
                    (l * (s * b + c * a) - back * v) / k,
                )
            };
        }
    }
    (p, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_independent_implementation_agrees() {
        // latitude, longitude, year, variation by another program for the same model (in single precision)
        for (latitude_deg, longitude_deg, year, expected_deg) in [
            (51.0, -2.0, 2025.0, 0.325),
            (51.0, -2.0, 2028.0, 0.847),
            (39.1, -104.2, 2025.0, 7.165),
            (39.1, -104.2, 2028.0, 6.928),
            (-37.4, 144.2, 2028.0, 11.478),
            (61.2, -149.9, 2025.0, 14.484),
            (64.1, -21.9, 2028.0, -10.650),
            (-33.9, 18.5, 2025.0, -26.404),
            (-54.8, -68.3, 2028.0, 11.524),
            (0.0, 0.0, 2025.0, -4.016),
        ] {
            let found = variation_deg(latitude_deg, longitude_deg, year);
            assert!(
                (found - expected_deg).abs() < 0.02,
                "{latitude_deg} {longitude_deg}: {found}"
            );
        }
    }
}
