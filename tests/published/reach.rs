//! Glide in wind, height lost in turns, shortest paths.

use std::f64::consts::{PI, TAU};

use stillprop::air::WindProfile;
use stillprop::reach::dubins::{Journey, cheapest};
use stillprop::reach::setting::optimum_bank_deg;
use stillprop::reach::{Glider, Position, Reach, ReachSetting};

use super::{M_PER_FT, MPS_PER_KT, expect};

/// Best glide 68 kt, ratio 9, sea level, the same wind at all heights.
fn reference(wind_mps: [f64; 2], cas_kt: f64, ratio: f64) -> Glider {
    Glider::new(
        (cas_kt * MPS_PER_KT, ratio),
        68.0 * MPS_PER_KT,
        (1.0, 0.0),
        &WindProfile {
            knots_mps: vec![wind_mps; 6],
        },
    )
}

#[test]
fn shortest_paths() {
    const SOURCE: &str = "computed; Dubins, On curves of minimal length, 1957, from memory";
    for (x, y, to_deg, length) in [
        (10.0, 0.0, 0.0, 10.0),
        (0.0, 2.0, 180.0, PI),
        (0.0, 0.0, 180.0, 7.0 * PI / 3.0),
        (4.0, 4.0, 90.0, 5.813437),
    ] {
        let journey = Journey {
            by: [x, y],
            from_rad: 0.0,
            to_rad: f64::to_radians(to_deg),
        };
        let found = cheapest(&journey, 1.0).map_or(f64::NAN, |p| p.length());
        expect(
            found,
            length,
            1e-6,
            &format!("to ({x}, {y}) facing {to_deg}"),
            SOURCE,
        );
    }
    for (aside_m, length_m) in [(926.0, 1172.698), (500.0, 746.698)] {
        let journey = Journey {
            by: [0.0, aside_m / 216.1],
            from_rad: 0.0,
            to_rad: PI,
        };
        let found = 216.1 * cheapest(&journey, 1.0).map_or(f64::NAN, |p| p.length());
        expect(
            found,
            length_m,
            0.01,
            &format!("radius 216.1 m, {aside_m} m aside"),
            SOURCE,
        );
    }
}

#[test]
fn radius_and_height_lost_in_a_full_circle() {
    const SOURCE: &str = "computed; drag of a parabolic polar, from memory";
    // 68 kt and 9:1: bank, radius m, height lost in 360 and in 180 degrees, ft
    for (bank_deg, radius_m, circle_ft, half_ft) in [
        (15.0, 465.7, 1105.0, 552.0),
        (30.0, 216.1, 578.0, 289.0),
        (45.0, 124.8, 429.0, 214.0),
    ] {
        let glider = reference([0.0, 0.0], 68.0, 9.0);
        let bank = f64::to_radians(bank_deg);
        let radius = glider.radius_m(bank, 0.0);
        expect(
            radius,
            radius_m,
            0.06,
            &format!("radius at {bank_deg} degrees"),
            SOURCE,
        );
        let lost = TAU * radius * glider.turn_cost(bank) / glider.ratio / M_PER_FT;
        expect(
            lost,
            circle_ft,
            0.6,
            &format!("circle at {bank_deg} degrees"),
            SOURCE,
        );
        expect(
            lost / 2.0,
            half_ft,
            0.6,
            &format!("half circle at {bank_deg} degrees"),
            SOURCE,
        );
    }
    // 75 kt, 45 degrees: 8.830:1 level there, 497 ft in a full circle
    let glider = reference([0.0, 0.0], 75.0, 8.830);
    let bank = f64::to_radians(45.0);
    let lost = TAU * glider.radius_m(bank, 0.0) * glider.turn_cost(bank) / glider.ratio / M_PER_FT;
    expect(lost, 497.0, 0.6, "circle at 75 kt and 45 degrees", SOURCE);
}

#[test]
fn bank_of_least_loss() {
    expect(
        optimum_bank_deg(0.116),
        45.4,
        0.05,
        "k = 0.116",
        "Lowry, Performance of Light Aircraft, 1999, pp. 294-296, by quotation",
    );
}

#[test]
fn glide_over_the_ground() {
    const SOURCE: &str = "computed; (V - w)/sink of the same aeroplane, small angles";
    for (wind_kt, ratio) in [
        (0.0, 9.000),
        (-10.0, 7.677),
        (-20.0, 6.353),
        (-30.0, 5.029),
        (10.0, 10.324),
        (20.0, 11.647),
    ] {
        let glider = reference([0.0, wind_kt * MPS_PER_KT], 68.0, 9.0);
        let setting = ReachSetting {
            wings_level_m: 0.0,
            float_m: 0.0,
            ..ReachSetting::default()
        };
        let at = Position {
            along_m: -900.0,
            across_m: 0.0,
            heading_deg: 0.0,
            tas_mps: glider.tas_mps(100.0),
        };
        let height = Reach::new(&glider, 0.0, &setting)
            .and_then(|r| r.least_height_m(&at))
            .unwrap_or(f64::NAN);
        // true airspeed grows by 0.3 % over these heights
        expect(
            900.0 / height,
            ratio,
            0.004 * ratio,
            &format!("{wind_kt} kt along"),
            SOURCE,
        );
    }
    // 9:1 is 1.481 nm for 1,000 ft
    let glider = reference([0.0, 0.0], 68.0, 9.0);
    expect(
        glider.ratio * 1000.0 * M_PER_FT / 1852.0,
        1.481,
        5e-4,
        "nm for 1,000 ft",
        "computed",
    );
}
