//! The edge of the ground within glide against the least height: each corner must be reachable, in
//! the best direction, with just the height there was.

use stillprop::air::WindProfile;
use stillprop::reach::ring::glide_ring;
use stillprop::reach::{Glider, Position, Reach, ReachSetting};

const HEIGHT_M: f64 = 600.0;
const CAS_MPS: f64 = 35.0;

/// Least height to overfly a place east and north of the aeroplane, which flies north, in whatever
/// direction is best.
fn least_m(glider: &Glider, setting: &ReachSetting, place: [f64; 2]) -> f64 {
    (0..72)
        .filter_map(|i| {
            let landing = 5.0 * f64::from(i);
            let reach = Reach::new(glider, landing, setting)?;
            let (sin, cos) = f64::to_radians(landing).sin_cos();
            // the aeroplane seen from the place
            let (east, north) = (-place[0], -place[1]);
            let at = Position {
                along_m: east * sin + north * cos,
                across_m: east * cos - north * sin,
                heading_deg: -landing,
                tas_mps: glider.tas_mps(HEIGHT_M),
            };
            Some(reach.needed(&at)?.height_m)
        })
        .fold(f64::INFINITY, f64::min)
}

fn edge_is_just_within_reach(wind: [f64; 2]) {
    let wind = WindProfile {
        knots_mps: vec![wind; 6],
    };
    let glider = Glider::new((CAS_MPS, 9.0), CAS_MPS, (1.0, 0.0), &wind);
    let setting = ReachSetting {
        wings_level_m: 0.0,
        float_m: 0.0,
        ..ReachSetting::default()
    };
    let ring = glide_ring(&glider, &setting, (0.0, HEIGHT_M));
    assert!(ring.len() > 40);
    for corner in ring.iter().step_by(3) {
        let least = least_m(&glider, &setting, *corner);
        assert!(
            (least - HEIGHT_M).abs() < 0.02 * HEIGHT_M,
            "corner {corner:?} needs {least:.0} m of {HEIGHT_M}"
        );
    }
}

#[test]
fn the_edge_in_still_air() {
    edge_is_just_within_reach([0.0, 0.0]);
}

#[test]
fn the_edge_in_wind() {
    edge_is_just_within_reach([7.0, -5.0]);
}
