//! The table of the program: its form, and that its rows do not contradict themselves.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use stillprop::airfields::Airfields;

const M_PER_FT: f64 = 0.3048;

#[test]
fn it_is_whole_sorted_and_dated() {
    let table = Airfields::embedded();
    // scripts/runway_table.py said so when it was made
    assert_eq!(table.runways.len(), 13_699);
    assert!(table.runways.is_sorted_by(|a, b| a.airfield <= b.airfield));
    assert_eq!(table.date, "2026-02-28");
    assert!(table.caution().contains("may be wrong or old"));
    let with_elevation = table
        .runways
        .iter()
        .filter(|r| r.ends[0].elevation_ft.is_some());
    assert!(with_elevation.count() > 13_000);
}

#[test]
fn directions_and_lengths_are_those_of_the_geodesic_between_the_ends() {
    // Karney's geodesics (geographiclib), J. Geodesy 87, 43-55 (2013)
    let geodesic = Geodesic::wgs84();
    let mut published_errors_deg = Vec::new();
    for runway in &Airfields::embedded().runways {
        let [low, high] = &runway.ends;
        let (distance_m, azimuth_deg, _, _): (f64, f64, f64, f64) = geodesic.inverse(
            low.latitude_deg,
            low.longitude_deg,
            high.latitude_deg,
            high.longitude_deg,
        );
        let [landing, back] = runway.landings();
        let apart = |a: f64, b: f64| ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs();
        assert!(
            apart(landing.landing_true_deg, azimuth_deg) < 0.01,
            "{runway:?}: {azimuth_deg}"
        );
        // meridians converge: near a pole the way back is not quite the opposite
        assert!(
            apart(back.landing_true_deg, azimuth_deg + 180.0) < 0.5,
            "{runway:?}: {azimuth_deg}"
        );
        // measured at the runway's own height, up to 16,000 ft: 0.08 % longer than on the ellipsoid
        let ratio = landing.between_ends_ft * M_PER_FT / distance_m;
        assert!((ratio - 1.0).abs() < 0.001, "{runway:?}: {ratio}");
        let found_ft = distance_m / M_PER_FT;
        assert!(
            (found_ft - runway.length_ft).abs() <= (0.2 * runway.length_ft).max(500.0) + 20.0,
            "{runway:?}: {found_ft} ft between the ends"
        );
        if let Some(published_deg) = runway.published_true_deg {
            published_errors_deg.push(apart(published_deg, azimuth_deg));
        }
    }
    published_errors_deg.sort_by(f64::total_cmp);
    let at =
        |share: f64| published_errors_deg[(share * published_errors_deg.len() as f64) as usize];
    assert!(published_errors_deg.len() > 12_000);
    assert!(
        at(0.5) < 0.5 && at(0.95) < 2.0 && at(0.999) < 8.5,
        "{} {}",
        at(0.5),
        at(0.95)
    );
}

#[test]
fn a_point_past_the_threshold_is_that_of_the_geodesic() {
    let geodesic = Geodesic::wgs84();
    for runway in Airfields::embedded().runways.iter().step_by(20) {
        for (landing, end) in runway.landings().iter().zip(&runway.ends) {
            let along_m = (end.displaced_ft + 500.0) * M_PER_FT;
            let (latitude_deg, longitude_deg): (f64, f64) = geodesic.direct(
                end.latitude_deg,
                end.longitude_deg,
                landing.landing_true_deg,
                along_m,
            );
            let spot = landing.spot(500.0);
            let (apart_m, _, _, _): (f64, f64, f64, f64) = geodesic.inverse(
                latitude_deg,
                longitude_deg,
                spot.latitude_deg,
                spot.longitude_deg,
            );
            // 0.08 % of the distance at the highest airfields, as above
            assert!(
                apart_m < 0.001 * along_m + 0.01,
                "{landing:?}: {apart_m} m apart"
            );
        }
    }
}
