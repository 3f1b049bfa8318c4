//! Mean sea level against the ellipsoid.

use stillprop::geoid::geoid_separation_m;

use super::expect;

#[test]
fn the_six_points_of_the_interpolation_sample() {
    const SOURCE: &str = "NGA EGM96 geoid interpolation, sample output of F477/INTPT";
    for (latitude_deg, longitude_deg, separation_m) in [
        (38.6281550, 269.7791550, -31.628),
        (-14.6212170, 305.0211140, -2.969),
        (46.8743190, 102.4487290, -43.575),
        (-23.6174460, 133.8747120, 15.871),
        (38.6254730, 359.9995000, 50.066),
        (-0.4667440, 0.0023000, 17.329),
    ] {
        let row = format!("{latitude_deg} {longitude_deg}");
        expect(
            geoid_separation_m(latitude_deg, longitude_deg),
            separation_m,
            0.02,
            &row,
            SOURCE,
        );
        // The same place by its other name.
        let west_deg = if longitude_deg > 180.0 {
            longitude_deg - 360.0
        } else {
            longitude_deg
        };
        expect(
            geoid_separation_m(latitude_deg, west_deg),
            separation_m,
            0.02,
            &row,
            SOURCE,
        );
    }
}
