//! Mean sea level against the ellipsoid.

/// Height of the geoid (mean sea level) above the WGS 84 ellipsoid, m.
///
/// # Definition
/// EGM96, the full spherical harmonic model, computed at the point: height
/// above the ellipsoid = altitude above mean sea level + this.
///
/// # Valid for
/// Latitude −90 to 90; any longitude (−90 and 270 are one place). Half a
/// millisecond to a millisecond a call: ask once for a recording, the separation changes by
/// centimetres over a practice forced landing.
///
/// # Uncertainty
/// The model itself is good to about 0.5 to 1 m (NASA/TP-1998-206861, chapter 10).
///
/// # Example
/// ```
/// let separation_m = stillprop::geoid::geoid_separation_m(46.874319, 102.448729);
/// assert!((separation_m + 43.575).abs() < 0.02);
/// ```
pub fn geoid_separation_m(latitude_deg: f64, longitude_deg: f64) -> f64 {
    egm96::egm96_compute_altitude_offset(latitude_deg, longitude_deg)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_names_of_a_longitude_agree() {
        let west = geoid_separation_m(38.628155, -90.220845);
        let east = geoid_separation_m(38.628155, 269.779155);
        assert!((west - east).abs() < 1e-6, "{west} {east}");
    }

    #[test]
    fn poles_and_antimeridian_have_a_value() {
        for (latitude_deg, longitude_deg) in
            [(90.0, 0.0), (-90.0, 0.0), (0.0, 180.0), (0.0, -180.0)]
        {
            let separation_m = geoid_separation_m(latitude_deg, longitude_deg);
            assert!(
                separation_m.abs() < 110.0,
                "{latitude_deg} {longitude_deg}: {separation_m}"
            );
        }
    }
}
