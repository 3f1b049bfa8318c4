//! The ground within glide of a moment: every place that can be overflown at the height of the aim.
//!
//! In the air mass the edge is made of turns of every size, left and right, each followed by a
//! straight: p(θ) = r·(sin θ, 1 − cos θ) + ℓ·(cos θ, sin θ), ℓ = E·h − c·r·θ, with r the turn radius
//! and c what a metre of turn costs against one of straight. The wind then moves each point by its
//! own time of flight.

use super::glider::Glider;
use super::setting::ReachSetting;

/// Points of the polygon on each side.
const SIDE: usize = 36;

/// Corners of the polygon, east and north of the aeroplane, m, clockwise from the turn to the right.
/// Empty where there is no height left.
pub fn glide_ring(
    glider: &Glider,
    setting: &ReachSetting,
    (heading_true_deg, height_m): (f64, f64),
) -> Vec<[f64; 2]> {
    if !(heading_true_deg.is_finite() && height_m > 0.0) {
        return Vec::new();
    }
    let bank = setting.bank_rad();
    let middle = 0.5 * height_m;
    let (radius, cost) = (glider.radius_m(bank, middle), glider.turn_cost(bank));
    let tas = glider.tas_mps(middle);
    let wind = glider.mean_wind(0.0, height_m);
    let (sin, cos) = heading_true_deg.to_radians().sin_cos();
    let corner = |side: f64, turn: f64| -> [f64; 2] {
        let straight = (glider.ratio * height_m - cost * radius * turn).max(0.0);
        let turn = turn.min(glider.ratio * height_m / (cost * radius));
        let ahead = radius * turn.sin() + straight * turn.cos();
        let aside = side * (radius * (1.0 - turn.cos()) + straight * turn.sin());
        let time_s = (radius * turn + straight) / tas;
        [
            ahead * sin + aside * cos + wind[0] * time_s,
            ahead * cos - aside * sin + wind[1] * time_s,
        ]
    };
    let most = last_turn_rad(glider.ratio * height_m, cost, radius);
    let size = |i: usize| most * i as f64 / SIDE as f64;
    let right = (0..=SIDE).map(|i| corner(1.0, size(i)));
    let left = (0..=SIDE).rev().map(|i| corner(-1.0, size(i)));
    right.chain(left).collect()
}

/// The turn after which the edge meets the line straight behind, rad; less where the height ends first.
fn last_turn_rad(all_m: f64, cost: f64, radius: f64) -> f64 {
    let (mut short, mut far) = (0.5 * std::f64::consts::PI, 1.5 * std::f64::consts::PI);
    let ends = all_m / (cost * radius);
    for _ in 0..40 {
        let turn = 0.5 * (short + far);
        let straight = (all_m - cost * radius * turn).max(0.0);
        let aside = radius * (1.0 - turn.cos()) + straight * turn.sin();
        if aside > 0.0 {
            short = turn;
        } else {
            far = turn;
        }
    }
    short.min(ends)
}

/// Whether `place` lies inside `polygon` (east and north of the same origin).
pub fn inside(polygon: &[[f64; 2]], place: [f64; 2]) -> bool {
    let mut within = false;
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        if (a[1] > place[1]) != (b[1] > place[1]) {
            let east = a[0] + (place[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
            within ^= place[0] < east;
        }
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::WindProfile;

    fn area(polygon: &[[f64; 2]]) -> f64 {
        let n = polygon.len();
        (0..n)
            .map(|i| {
                polygon[i][0] * polygon[(i + 1) % n][1] - polygon[(i + 1) % n][0] * polygon[i][1]
            })
            .sum::<f64>()
            .abs()
            / 2.0
    }

    #[test]
    fn area_in_still_air_is_the_closed_form() {
        let glider = Glider::new((35.0, 9.0), 35.0, (1.0, 0.0), &WindProfile::default());
        let setting = ReachSetting::default();
        let height = 900.0;
        let ring = glide_ring(&glider, &setting, (77.0, height));
        let bank = setting.bank_rad();
        let (r, c) = (glider.radius_m(bank, height / 2.0), glider.turn_cost(bank));
        let all = glider.ratio * height;
        // twice half the integral of p × dp over the turns, worked by hand
        let t = last_turn_rad(all, c, r);
        let rest = all - c * r * t;
        let expected = (all.powi(3) - rest.powi(3)) / (3.0 * c * r)
            + r * (all * (1.0 - t.cos()) - c * r * (t.sin() - t * t.cos()))
            + r * r * (1.0 - c) * (t - t.sin());
        assert!(
            (area(&ring) / expected - 1.0).abs() < 3e-3,
            "{} {expected}",
            area(&ring)
        );
    }

    #[test]
    fn wind_moves_the_ring_and_the_middle_is_inside() {
        let wind = WindProfile {
            knots_mps: vec![[10.0, 0.0]; 5],
        };
        let glider = Glider::new((35.0, 9.0), 35.0, (1.0, 0.0), &wind);
        let ring = glide_ring(&glider, &ReachSetting::default(), (0.0, 500.0));
        assert!(
            inside(&ring, [0.0, 10.0])
                && !inside(&ring, [-4000.0, 0.0])
                && inside(&ring, [4500.0, 0.0])
        );
        assert!(glide_ring(&glider, &ReachSetting::default(), (0.0, -5.0)).is_empty());
        assert!(glide_ring(&glider, &ReachSetting::default(), (f64::NAN, 100.0)).is_empty());
    }
}
