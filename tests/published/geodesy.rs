//! The local plane against geodesics of others.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use proptest::prelude::*;
use stillprop::geodesy::LocalFrame;

use super::{M_PER_FT, expect};

/// WGS 84, from NIMA TR8350.2.
const A_M: f64 = 6_378_137.0;
const F: f64 = 1.0 / 298.257_223_563;

/// Radius of curvature of the ellipsoid at a latitude in a direction: Euler's formula.
fn radius_m(latitude_deg: f64, azimuth_deg: f64) -> f64 {
    let e2 = F * (2.0 - F);
    let w2 = 1.0 - e2 * latitude_deg.to_radians().sin().powi(2);
    let across_m = A_M / w2.sqrt();
    let along_m = A_M * (1.0 - e2) / w2.powf(1.5);
    let (sin, cos) = azimuth_deg.to_radians().sin_cos();
    (cos * cos / along_m + sin * sin / across_m).recip()
}

/// Where a geodesic of this length and azimuth ends on the plane: on the circle of curvature, seen from above.
fn on_plane_m(latitude_deg: f64, azimuth_deg: f64, distance_m: f64) -> (f64, f64) {
    let radius = radius_m(latitude_deg, azimuth_deg);
    let flat = radius * (distance_m / radius).sin();
    let (sin, cos) = azimuth_deg.to_radians().sin_cos();
    (flat * sin, flat * cos)
}

/// Against Karney's algorithm (J. Geodesy 87, 2013, 43-55) as in geographiclib.
///
/// Within 1 mm to 5 km and 5 mm to 20 km: there the curvature of the ellipsoid
/// itself changes along the line, which the expectation, not the plane, leaves out.
#[test]
fn east_and_north_agree_with_geodesics() {
    const SOURCE: &str = "geographiclib, direct problem";
    let earth = Geodesic::wgs84();
    for (latitude_deg, longitude_deg) in [
        (51.5, -0.46),
        (0.0, 0.0),
        (-37.95, 144.42),
        (-17.0, 179.99),
        (65.0, -179.99),
        (89.0, 12.0),
        (-89.0, 12.0),
    ] {
        let frame = LocalFrame::new(latitude_deg, longitude_deg, 0.0);
        for distance_m in [1.0, 60.96, 926.0, 5000.0, 20_000.0] {
            for azimuth_deg in (0..360).step_by(15).map(f64::from) {
                let (latitude, longitude) =
                    earth.direct(latitude_deg, longitude_deg, azimuth_deg, distance_m);
                let (east_m, north_m) = frame.to_east_north_m(latitude, longitude);
                let (east, north) = on_plane_m(latitude_deg, azimuth_deg, distance_m);
                let tolerance_m = if distance_m <= 5000.0 { 0.001 } else { 0.005 };
                let row =
                    format!("{latitude_deg} {longitude_deg}, {distance_m} m at {azimuth_deg}");
                expect(east_m, east, tolerance_m, &row, SOURCE);
                expect(north_m, north, tolerance_m, &row, SOURCE);
            }
        }
    }
}

/// Flinders Peak to Buninyong: 54972.271 m, 306° 52′ 05.37″.
///
/// Source: Vincenty's sample as in the geodetic manual of the Australian
/// surveys (GRS 80; WGS 84 differs by 0.1 mm), seen in a copy.
#[test]
fn flinders_peak_to_buninyong() {
    const SOURCE: &str = "Vincenty's sample line";
    let degrees = |d: f64, m: f64, s: f64| d + m / 60.0 + s / 3600.0;
    let (latitude, longitude) = (
        -degrees(37.0, 57.0, 3.72030),
        degrees(144.0, 25.0, 29.52440),
    );
    let (to_latitude, to_longitude) = (
        -degrees(37.0, 39.0, 10.15610),
        degrees(143.0, 55.0, 35.38390),
    );
    let frame = LocalFrame::new(latitude, longitude, 0.0);
    let (east_m, north_m, up_m) = frame.to_east_north_up_m(to_latitude, to_longitude, 0.0);
    let azimuth_deg = east_m.atan2(north_m).to_degrees().rem_euclid(360.0);
    // Normal section against geodesic: 0.005″ here.
    expect(
        azimuth_deg * 3600.0,
        degrees(306.0, 52.0, 5.37) * 3600.0,
        0.02,
        "azimuth",
        SOURCE,
    );
    // The straight line through the ground made an arc again.
    let chord_m = east_m.hypot(north_m).hypot(up_m);
    let radius = radius_m(latitude.midpoint(to_latitude), azimuth_deg);
    let arc_m = 2.0 * radius * (chord_m / (2.0 * radius)).asin();
    expect(arc_m, 54972.271, 0.003, "distance", SOURCE);
}

/// A pattern around an aim point at 51.5 N 0.46 W, runway 270 true.
#[test]
fn a_small_pattern_around_an_aim_point() {
    const SOURCE: &str = "computed with geographiclib";
    let frame = LocalFrame::new(51.5, -0.46, 0.0);
    for (what, east_m, north_m, latitude_deg, longitude_deg) in [
        (
            "abeam, 926 m south",
            0.0,
            -926.0,
            51.491676985,
            -0.460000000,
        ),
        (
            "150 ft beyond",
            -150.0 * M_PER_FT,
            0.0,
            51.499999998,
            -0.460658405,
        ),
        ("50 ft short", 50.0 * M_PER_FT, 0.0, 51.5, -0.459780532),
        (
            "400 ft beyond",
            -400.0 * M_PER_FT,
            0.0,
            51.499999987,
            -0.461755747,
        ),
    ] {
        // 1e-9 degrees are a tenth of a millimetre, the last digit of the rows.
        let (latitude, longitude) = frame.to_latitude_longitude(east_m, north_m);
        expect(latitude, latitude_deg, 2e-9, what, SOURCE);
        expect(longitude, longitude_deg, 2e-9, what, SOURCE);
        let (east, north) = frame.to_east_north_m(latitude_deg, longitude_deg);
        expect(east, east_m, 2e-4, what, SOURCE);
        expect(north, north_m, 2e-4, what, SOURCE);
    }
}

#[test]
fn lengths_of_a_degree_at_51_5_north() {
    const SOURCE: &str = "computed from the radii of curvature";
    let frame = LocalFrame::new(51.5, -0.46, 0.0);
    let (_, north_m) = frame.to_east_north_m(51.5005, -0.46);
    let (_, south_m) = frame.to_east_north_m(51.4995, -0.46);
    expect(
        (north_m - south_m) * 1000.0,
        111257.83,
        0.01,
        "a degree of latitude",
        SOURCE,
    );
    let (east_m, _) = frame.to_east_north_m(51.5, -0.459);
    expect(
        east_m * 1000.0,
        69440.52,
        0.01,
        "a degree of longitude",
        SOURCE,
    );
}

/// The height of the frame counts: lengths grow by h/R.
#[test]
fn a_field_high_up_lies_on_a_larger_earth() {
    const SOURCE: &str = "proportion of radii";
    let (_, low_m) = LocalFrame::new(40.0, -105.0, 0.0).to_east_north_m(40.05, -105.0);
    let (_, high_m) = LocalFrame::new(40.0, -105.0, 2000.0).to_east_north_m(40.05, -105.0);
    expect(
        high_m / low_m,
        1.0 + 2000.0 / radius_m(40.0, 0.0),
        1e-8,
        "2000 m",
        SOURCE,
    );
}

proptest! {
    #[test]
    fn places_come_back_at_the_distance_they_were_put(
        latitude_deg in -89.9..89.9_f64,
        longitude_deg in -180.0..180.0_f64,
        azimuth_deg in 0.0..360.0_f64,
        distance_m in 1.0..20_000.0_f64,
    ) {
        let frame = LocalFrame::new(latitude_deg, longitude_deg, 0.0);
        let (sin, cos) = azimuth_deg.to_radians().sin_cos();
        let (latitude, longitude) = frame.to_latitude_longitude(distance_m * sin, distance_m * cos);
        let along_m: f64 = Geodesic::wgs84().inverse(latitude_deg, longitude_deg, latitude, longitude);
        let radius = radius_m(latitude_deg, azimuth_deg);
        let expected_m = radius * (distance_m / radius).asin();
        prop_assert!((along_m - expected_m).abs() < 0.005, "{along_m} {expected_m}");
    }
}
