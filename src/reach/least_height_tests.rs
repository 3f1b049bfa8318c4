//! The least height by hand, and its symmetries.

use super::glider::Glider;
use super::least_height::*;
use super::setting::ReachSetting;
use crate::air::WindProfile;
use crate::units::{M_PER_FT, MPS_PER_KT};
use proptest::prelude::*;

const V: f64 = 68.0 * MPS_PER_KT;

/// Best glide 68 kt, ratio 9, in a wind the same at all heights.
fn glider(wind: [f64; 2]) -> Glider {
    Glider::new(
        (V, 9.0),
        V,
        (1.0, 0.0),
        &WindProfile {
            knots_mps: vec![wind; 8],
        },
    )
}

/// No float, no last straight: bare geometry.
fn bare() -> ReachSetting {
    ReachSetting {
        wings_level_m: 0.0,
        float_m: 0.0,
        ..ReachSetting::default()
    }
}

fn at(along_m: f64, across_m: f64, heading_deg: f64) -> Position {
    Position {
        along_m,
        across_m,
        heading_deg,
        tas_mps: V,
    }
}

fn needed(glider: &Glider, setting: &ReachSetting, position: &Position) -> Needed {
    Reach::new(glider, 0.0, setting)
        .and_then(|r| r.needed(position))
        .expect("within reach")
}

#[test]
fn straight_in_without_wind_is_distance_over_ratio() {
    let g = glider([0.0, 0.0]);
    let found = needed(&g, &bare(), &at(-1852.0, 0.0, 0.0));
    // 1 nm at 9:1 (1.481 nm per 1,000 ft)
    assert!((found.height_m - 1852.0 / 9.0).abs() < 0.1, "{found:?}");
    // float brings the ground nearer, the last straight changes nothing
    let found = needed(&g, &ReachSetting::default(), &at(-1852.0, 0.0, 0.0));
    assert!((found.height_m - 1792.0 / 9.0).abs() < 0.1, "{found:?}");
}

#[test]
fn glide_over_the_ground_in_wind() {
    // landing north, wind along: 68 kt and 9:1 go 6.353 over the ground against 20 kt, 10.324
    // with 10 kt (worked by hand)
    for (wind_kt, ratio) in [
        (-20.0, 6.353),
        (-10.0, 7.677),
        (10.0, 10.324),
        (20.0, 11.647),
    ] {
        let g = glider([0.0, wind_kt * MPS_PER_KT]);
        let found = needed(&g, &bare(), &at(-1500.0, 0.0, 0.0));
        // airspeed grows by 0.4 % over these heights
        assert!(
            (1500.0 / found.height_m / ratio - 1.0).abs() < 5e-3,
            "{wind_kt}: {found:?}"
        );
    }
}

#[test]
fn half_circle_onto_final() {
    let g = glider([0.0, 0.0]);
    let radius = g.radius_m(30f64.to_radians(), 44.0);
    let found = needed(&g, &bare(), &at(0.0, 2.0 * radius + 2.0, 180.0));
    // 289 ft in a half circle at 30 degrees of bank (worked by hand), airspeed at height aside
    assert!((found.height_m / M_PER_FT - 289.0).abs() < 3.0, "{found:?}");
}

#[test]
fn overhead_and_low_needs_a_whole_pattern() {
    let g = glider([0.0, 0.0]);
    let found = needed(&g, &bare(), &at(0.0, 0.0, 0.0)).height_m;
    // already there
    assert!(found.abs() < 0.1, "{found}");
    let back = needed(&g, &bare(), &at(0.0, 0.0, 180.0)).height_m / M_PER_FT;
    // three turns of seven thirds of a half circle: 7/3 x 289 ft
    assert!((back - 674.0).abs() < 12.0, "{back}");
}

#[test]
fn no_way_against_a_gale() {
    let g = glider([0.0, -40.0]);
    assert!(Reach::new(&g, 0.0, &bare()).is_none());
    let g = glider([34.0, 0.0]);
    assert!(Reach::new(&g, 0.0, &bare()).is_none());
}

#[test]
fn nothing_finite_in_nothing_out() {
    let g = glider([1.0, 2.0]);
    let r = Reach::new(&g, 0.0, &bare()).expect("light wind");
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(r.least_height_m(&at(bad, 0.0, 0.0)).is_none());
        assert!(r.least_height_m(&at(0.0, 0.0, bad)).is_none());
    }
}

proptest! {
    #[test]
    fn mirror_symmetry(x in -3000.0..3000.0, y in -3000.0..3000.0, heading in -180.0..180.0,
                       east in -8.0..8.0, north in -8.0..8.0) {
        let (g, m) = (glider([east, north]), glider([-east, north]));
        let one = needed(&g, &ReachSetting::default(), &at(x, y, heading)).height_m;
        let other = needed(&m, &ReachSetting::default(), &at(x, -y, -heading)).height_m;
        prop_assert!((one - other).abs() < 0.5, "{one} {other}");
    }

    #[test]
    fn it_does_not_matter_where_north_is(x in -3000.0..3000.0, y in -3000.0..3000.0,
            heading in -180.0..180.0, east in -8.0..8.0, north in -8.0..8.0, turn in 0.0..360.0) {
        let (sin, cos) = f64::to_radians(turn).sin_cos();
        let turned = glider([east * cos + north * sin, north * cos - east * sin]);
        let plain = glider([east, north]);
        let one = needed(&plain, &ReachSetting::default(), &at(x, y, heading)).height_m;
        let other = Reach::new(&turned, turn, &ReachSetting::default())
            .and_then(|r| r.needed(&at(x, y, heading))).expect("within reach").height_m;
        prop_assert!((one - other).abs() < 0.5, "{one} {other}");
    }

    #[test]
    fn never_less_than_straight_there(x in -3000.0..3000.0, y in -3000.0..3000.0,
            heading in -180.0..180.0) {
        let g = glider([0.0, 0.0]);
        let found = needed(&g, &bare(), &at(x, y, heading)).height_m;
        prop_assert!(found >= x.hypot(y) / 9.0 - 0.5);
    }

    #[test]
    fn a_better_glide_needs_less(x in -3000.0..3000.0, y in -3000.0..3000.0,
            heading in -180.0..180.0, east in -8.0..8.0, north in -8.0..8.0) {
        let g = glider([east, north]);
        let better = g.flown_at(V, 10.0);
        let with = |g: &Glider, dx: f64, turn: f64| needed(g, &bare(), &at(x + dx, y, heading + turn)).height_m;
        // where a metre or a degree makes the difference between straight in and a whole circle, the
        // dearer side counts
        let one = [(0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
            .map(|(dx, turn)| with(&g, dx, turn)).into_iter().fold(0.0, f64::max);
        prop_assert!(with(&better, 0.0, 0.0) <= one + 0.5);
    }
}
