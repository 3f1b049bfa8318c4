//! Energy balance, height plan and reach of invented glides, each worked by hand.

use super::glide_energy::terms;
use super::height_plan::{fitted, height_plan};
use super::invented::{POLAR, drawn, straight, turn};
use super::reach::{
    hand_of, judged_at_s, last_of_glide_s, least_between, projected_along_ft,
    ring_at_power_reduction,
};
use super::{DrawnAttempt, DrawnEnd, measure};
use crate::air::WindProfile;
use crate::flight_path::Motion;
use crate::reach::Hand;
use crate::units::ft;

#[track_caller]
fn near(found: f64, want: f64, within: f64) {
    assert!((found - want).abs() <= within, "{found}, not {want}");
}

#[test]
fn the_energy_balance_of_a_straight_glide() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 3.5));
    let t = terms(&of.flown, 30.0, (10.0, 40.0)).unwrap();
    // 3.5 m/s for 30 s at a steady speed; 35.17 m/s through the air
    near(t.lost_m, 105.0, 1e-6);
    near(t.distance_m, 1055.2, 0.5);
    // about 412 m up the air has 0.961 of its density: 34.48 m/s calibrated, 1.149 of best glide, 1.321 squared
    near(t.parasite_m, 1055.2 * 1.321, 3.0);
    near(t.induced_m, 1055.2 / 1.321, 2.0);
    near(t.turning_m, 0.0, 1e-6);
}

#[test]
fn a_level_turn_costs_by_its_load_factor() {
    let of = drawn(60.0, turn(35.0, 30.0, 500.0));
    let t = terms(&of.flown, 35.0, (10.0, 40.0)).unwrap();
    near(t.lost_m, 0.0, 0.1);
    // n² − 1 = tan² 30° = 1/3 of what the induced drag takes
    near(t.turning_m / t.induced_m, 1.0 / 3.0, 1e-3);
}

#[test]
fn wind_that_falls_off_on_the_way_down_is_taken_out() {
    // a tail wind that loses 0.02 m/s on each metre: 3.587 s of 35.2 m/s over g, times 0.677 m/s² per m/s and 3.5 m/s
    let mut of = drawn(60.0, straight((0.0, 450.0), 35.0, 3.5));
    of.flown.wind = WindProfile {
        knots_mps: vec![
            [0.0, 0.0],
            [0.0, 0.0],
            [0.0, 0.0],
            [0.0, 3.048],
            [0.0, 3.048],
        ],
    };
    let t = terms(&of.flown, 35.0, (10.0, 40.0)).unwrap();
    near(t.lost_m, 105.0 + 7.28, 0.3);
}

#[test]
fn a_stretch_of_less_than_three_seconds_has_no_balance() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 3.5));
    assert!(terms(&of.flown, 35.0, (10.0, 12.5)).is_none());
    assert!(terms(&of.flown, 35.0, (10.0, 13.0)).is_some());
}

/// Two orbits of 38.8 s from 800 m, coming down at 3 m/s, then straight on; abeam at two minutes, 300 m wanted there.
fn two_orbits() -> DrawnAttempt {
    let level = turn(35.0, 30.0, 0.0);
    let rolled_out_s = 77.66;
    let mut of = drawn(150.0, move |t_s| {
        let turning = level(t_s.min(rolled_out_s));
        let on_m = 35.0 * (t_s - rolled_out_s).max(0.0);
        let straight = t_s > rolled_out_s;
        Motion {
            t_s,
            north_m: turning.north_m + on_m,
            east_mps2: if straight { 0.0 } else { turning.east_mps2 },
            north_mps2: if straight { 0.0 } else { turning.north_mps2 },
            height_m: 800.0 - 3.0 * t_s,
            climb_mps: -3.0,
            ..turning
        }
    });
    of.times.abeam_s = Some(120.0);
    of.times.overhead_s = Some(5.0);
    of.abeam_target_m = Some(300.0);
    of
}

fn glider_of(of: &DrawnAttempt) -> Hand {
    Hand::new(&of.flown, 1.0, &POLAR, &of.approach.setting).unwrap()
}

#[test]
fn the_height_plan_of_two_orbits() {
    let of = two_orbits();
    let hand = glider_of(&of);
    let plan = height_plan(&of, hand.glider()).unwrap();
    // 440 m abeam; 77.7 s of orbits took 233 m, which with 440 - 300 makes 373 m for orbits
    near(plan.abeam_ft, ft(440.0), 1.0);
    near(plan.flown_ft, ft(233.0), 25.0);
    near(plan.for_orbits_ft, ft(373.0), 25.0);
    // from 785 m overhead one whole orbit of 116 m was still flown: without it 529 m would have led abeam at 300
    near(plan.overhead_without_orbits_ft, ft(529.0), 30.0);
    // at 486 m 35 m/s calibrated are 35.83 true: a circle of 1424 m, 7/6 of the drag, 9 to 1
    near(plan.orbit_ft[2], ft(1424.0 * 7.0 / 6.0 / 9.0), 4.0);
    assert!(plan.orbit_ft[0] > plan.orbit_ft[1] && plan.orbit_ft[2] > plan.orbit_ft[3]);
}

#[test]
fn a_plan_needs_a_height_wanted_and_time_to_plan() {
    let with = |change: fn(&mut DrawnAttempt)| {
        let mut of = two_orbits();
        change(&mut of);
        let hand = glider_of(&of);
        height_plan(&of, hand.glider())
    };
    assert!(with(|of| of.abeam_target_m = None).is_none());
    assert!(with(|of| of.times.abeam_s = None).is_none());
    assert!(with(|of| of.times.abeam_s = Some(30.0)).is_none());
    assert!(with(|of| of.times.abeam_s = Some(31.0)).is_some());
    assert!(
        with(|of| {
            of.known.power_reduction_s = 10.0;
            of.times.abeam_s = Some(39.0);
        })
        .is_none()
    );
    // overhead before the power came off, or after abeam, is none of this plan
    for overhead_s in [None, Some(0.0), Some(120.0), Some(130.0)] {
        let mut of = two_orbits();
        of.times.overhead_s = overhead_s;
        let hand = glider_of(&of);
        let plan = height_plan(&of, hand.glider()).unwrap();
        assert!(plan.overhead_without_orbits_ft.is_nan(), "{overhead_s:?}");
    }
    // too low even without an orbit: less than nothing for orbits
    let low = with(|of| of.abeam_target_m = Some(700.0)).unwrap();
    near(low.for_orbits_ft, ft(233.0 + 440.0 - 700.0), 25.0);
}

#[test]
fn one_orbit_more_or_less_where_the_nearest_does_not_fit() {
    // height of an orbit falls evenly from the first figure at 15° to the second at 30° and the third at 45°
    let orbit = |[flat, planned, steep]: [f64; 3]| {
        move |bank: f64| {
            if bank < 30.0 {
                flat + (planned - flat) * (bank - 15.0) / 15.0
            } else {
                planned + (steep - planned) * (bank - 30.0) / 15.0
            }
        }
    };
    // 700 ft are one orbit at 30°, of more than the 600 ft at 15°: two of 350
    let (n, bank) = fitted(700.0, orbit([600.0, 500.0, 200.0])).unwrap();
    assert_eq!(n, 2);
    near(bank, 37.5, 0.01);
    // 760 ft are two, of less than the 450 ft at 45°: one of 760
    let (n, bank) = fitted(760.0, orbit([1000.0, 500.0, 450.0])).unwrap();
    assert_eq!(n, 1);
    near(bank, 22.2, 0.01);
    // exactly the height at the flattest or the steepest fits
    assert_eq!(
        fitted(600.0, orbit([600.0, 500.0, 200.0])).map(|f| f.0),
        Some(1)
    );
    assert!(fitted(400.0, orbit([600.0, 500.0, 450.0])).is_none());
}

#[test]
fn height_in_hand_of_a_glide_at_the_handbooks_ratio() {
    let mut of = drawn(80.0, straight((3000.0, 500.0), 35.0, 35.0 / 9.0));
    let found = |of: &DrawnAttempt, id: &str| measure(of).get(id).copied().unwrap_or(f64::NAN);
    // 3000 m less 60 of float, at the ratio that this draw has for the aeroplane: 9, or what its prior makes of it
    let ratio = hand_of(&of).unwrap().glider().ratio;
    assert!((6.5..11.0).contains(&ratio), "{ratio}");
    let at_start = found(&of, "height_in_hand_at_power_reduction_ft");
    near(at_start, ft(500.0 - 2940.0 / ratio), 10.0);
    assert!(found(&of, "height_in_hand_at_abeam_ft").is_nan());
    // 700 m on, and 78 m lower
    of.times.abeam_s = Some(20.0);
    let abeam = found(&of, "height_in_hand_at_abeam_ft");
    near(abeam, ft(422.2 - 2240.0 / ratio), 10.0);
    // it flies better than this draw has it: the least is at the start
    near(found(&of, "height_in_hand_min_ft"), at_start, 10.0);
    // abeam before the power came off is none of this glide
    of.known.power_reduction_s = 25.0;
    assert!(found(&of, "height_in_hand_at_abeam_ft").is_nan());
    // twice the sink is half the ratio: 3000 m need 653 m, if the draw learns it
    let steep = drawn(60.0, straight((3000.0, 500.0), 35.0, 70.0 / 9.0));
    assert!(found(&steep, "height_in_hand_at_power_reduction_ft") < at_start - 300.0);
}

#[test]
fn the_drag_is_that_of_the_glide_and_not_of_its_ends() {
    // the same 9 s to 57 s, but with 20 m/s of sink in the first seven and in the last two
    let plain = straight((3000.0, 500.0), 35.0, 35.0 / 9.0);
    let at_ends = straight((3000.0, 500.0), 35.0, 35.0 / 9.0);
    let ratio = |of: &DrawnAttempt| hand_of(of).unwrap().glider().ratio;
    let ends = drawn(60.0, move |t_s| Motion {
        height_m: at_ends(t_s).height_m + 20.0 * (7.0 - t_s).max(0.0)
            - 20.0 * (t_s - 58.0).max(0.0),
        ..at_ends(t_s)
    });
    let plain = drawn(60.0, plain);
    near(ratio(&ends), ratio(&plain), 0.05);
    // nor is a projection moved by how it began
    near(
        projected_along_ft(&ends, 50.0),
        projected_along_ft(&plain, 50.0),
        20.0,
    );
}

#[test]
fn a_touchdown_projected_from_500_ft() {
    // 152.4 m at 89.4 s, 2871 m short: 1372 m of glide, some 45 of float
    let of = drawn(100.0, straight((6000.0, 500.0), 35.0, 35.0 / 9.0));
    near(judged_at_s(&of).unwrap(), 89.4, 0.1);
    let along = projected_along_ft(&of, 89.4);
    near(along, ft(1372.0 + 45.0 - 2871.0), 700.0);
    near(measure(&of)["projected_from_500ft_along_ft"], along, 1.0);
    // judged nowhere where the glide ends above 500 ft
    let high = drawn(80.0, straight((6000.0, 500.0), 35.0, 35.0 / 9.0));
    assert_eq!(judged_at_s(&high), None);
    assert!(measure(&high)["projected_from_500ft_along_ft"].is_nan());
}

#[test]
fn a_go_around_is_judged_a_second_before_the_power() {
    let mut of = drawn(60.0, straight((3000.0, 500.0), 35.0, 35.0 / 9.0));
    assert_eq!(last_of_glide_s(&of), None);
    of.end = DrawnEnd::GoAround { at_s: 60.0 };
    assert_eq!(last_of_glide_s(&of), Some(59.0));
    let values = measure(&of);
    let along = values["projected_touchdown_along_ft"];
    near(along, projected_along_ft(&of, 59.0), 1e-6);
    assert!(along.is_finite());
    of.end = DrawnEnd::GoAround { at_s: 0.5 };
    assert_eq!(last_of_glide_s(&of), Some(0.0));
}

#[test]
fn the_least_height_in_hand_is_looked_for_in_the_glide() {
    let mut of = drawn(60.0, straight((3000.0, 500.0), 35.0, 35.0 / 9.0));
    of.times.best_glide_held_s = Some(5.0);
    assert_eq!(least_between(&of), (5.0, 60.0));
    of.times.on_final_s = Some(40.0);
    assert_eq!(least_between(&of), (5.0, 40.0));
    of.times.best_glide_held_s = Some(50.0);
    assert_eq!(least_between(&of), (40.0, 40.0));
    of.times.best_glide_held_s = None;
    of.known.power_reduction_s = 3.0;
    of.times.on_final_s = Some(70.0);
    assert_eq!(least_between(&of), (3.0, 60.0));
}

#[test]
fn the_ground_within_glide_lies_around_where_the_power_came_off() {
    let ring = |east_m: f64, from_m: f64, speed_mps: f64| {
        let north = straight((from_m, 500.0), speed_mps, 35.0 / 9.0);
        let of = drawn(60.0, move |t_s| Motion {
            east_m,
            ..north(t_s)
        });
        ring_at_power_reduction(&of)
    };
    let here = ring(0.0, 0.0, 35.0);
    assert!(here.len() > 10);
    let radius =
        |ring: &[[f64; 2]]| ring.iter().map(|p| p[0].hypot(p[1])).sum::<f64>() / ring.len() as f64;
    // 500 m at the ratio of this draw, less for turning round
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let straight_on_m = 500.0 * hand_of(&of).unwrap().glider().ratio;
    near(radius(&here) / straight_on_m, 0.94, 0.06);
    for (a, b) in here.iter().zip(ring(700.0, 1500.0, 35.0)) {
        near(b[0], a[0] + 700.0, 0.5);
        near(b[1], a[1] - 1500.0, 0.5);
    }
    // the speed of the moment counts as height: 45 m/s are worth some 40 m more than 35, of the same glide after
    let fast = drawn(60.0, |t_s| Motion {
        north_mps: 35.0 + 10.0 * (1.0 - t_s / 6.0).max(0.0),
        ..straight((0.0, 500.0), 35.0, 35.0 / 9.0)(t_s)
    });
    let more = radius(&ring_at_power_reduction(&fast)) - radius(&here);
    assert!((200.0..420.0).contains(&more), "{more}");
}
