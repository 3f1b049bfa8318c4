//! Fields on invented glides, worked by hand.

use super::super::invented::{POLAR, drawn, straight};
use super::*;

fn field(east_m: f64, north_m: f64, above_aim_m: f64) -> FieldPlace {
    FieldPlace {
        east_m,
        north_m,
        above_aim_m,
        landing_true_deg: None,
    }
}

fn reach_of(of: &DrawnAttempt, place: &FieldPlace) -> FieldReach {
    let hand = Hand::new(&of.flown, 1.0, &POLAR, &of.approach.setting).unwrap();
    field_reach(of, &hand, place)
}

#[test]
fn straight_ahead_is_distance_over_ratio() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let found = reach_of(&of, &field(0.0, 1800.0, 0.0));
    assert!((found.arrival_height_m - 300.0).abs() < 3.0, "{found:?}");
    // to land, the float counts as well: 1740 m
    assert!(
        (found.in_hand_m - (500.0 - 1740.0 / 9.0)).abs() < 3.0,
        "{found:?}"
    );
    let higher = reach_of(&of, &field(0.0, 1800.0, 100.0));
    assert!((higher.arrival_height_m - 200.0).abs() < 3.0, "{higher:?}");
}

#[test]
fn too_far_is_out_of_reach_from_the_start() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let found = reach_of(&of, &field(0.0, 6000.0, 0.0));
    assert!(
        found.arrival_height_m < -150.0 && found.within_reach_s == 0.0,
        "{found:?}"
    );
}

#[test]
fn flying_away_loses_a_field_when_nothing_is_left_in_hand() {
    let of = drawn(80.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let behind = field(0.0, -1500.0, 0.0);
    let found = reach_of(&of, &behind);
    assert!(found.in_hand_m > 0.0);
    assert!(
        found.within_reach_s > 5.0 && found.within_reach_s < 80.0,
        "{found:?}"
    );
    // from there on, there is nothing in hand: a draw that begins then says so
    let t = found.within_reach_s;
    let later = drawn(
        5.0,
        straight((-35.0 * t, 500.0 - 35.0 / 9.0 * t), 35.0, 35.0 / 9.0),
    );
    let left = reach_of(&later, &behind).in_hand_m;
    assert!(left.abs() < 6.0, "{left}");
}

#[test]
fn a_landing_direction_costs_the_turns_it_takes() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let ahead = field(0.0, 1500.0, 0.0);
    let along = FieldPlace {
        landing_true_deg: Some(0.0),
        ..ahead
    };
    let back = FieldPlace {
        landing_true_deg: Some(180.0),
        ..ahead
    };
    let (any, along, back) = (
        reach_of(&of, &ahead).in_hand_m,
        reach_of(&of, &along).in_hand_m,
        reach_of(&of, &back).in_hand_m,
    );
    assert!((any - along).abs() < 0.1, "{any} {along}");
    // half a circle and more
    assert!(back < along - 80.0, "{back} {along}");
}

#[test]
fn any_direction_is_one_of_all_round() {
    // flown east towards a field 1,500 m on: landed on the way it is flown at, and not from the south
    let of = drawn(60.0, |t_s| crate::flight_path::Motion {
        t_s,
        east_m: 700.0 + 35.0 * t_s,
        east_mps: 35.0,
        height_m: 500.0 - 35.0 / 9.0 * t_s,
        climb_mps: -35.0 / 9.0,
        ..crate::flight_path::Motion::default()
    });
    let ahead = field(2200.0, 0.0, 0.0);
    let towards = |landing: f64| {
        let one_way = FieldPlace {
            landing_true_deg: Some(landing),
            ..ahead
        };
        reach_of(&of, &one_way).in_hand_m
    };
    let any = reach_of(&of, &ahead).in_hand_m;
    assert!((any - (500.0 - 1440.0 / 9.0)).abs() < 4.0, "{any}");
    assert!((any - towards(90.0)).abs() < 0.1);
    assert!(towards(0.0) < any - 20.0 && towards(270.0) < any - 80.0);
}

#[test]
fn time_within_reach_counts_from_the_power_reduction() {
    let lost_s = |start_s: f64| {
        let mut of = drawn(80.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
        of.known.power_reduction_s = start_s;
        reach_of(&of, &field(0.0, -1500.0, 0.0)).within_reach_s
    };
    // 7.78 m/s of height in hand are lost, of what 500 m leave after 1,440 and a turn: some 38 s
    let from_start = lost_s(0.0);
    assert!((25.0..45.0).contains(&from_start), "{from_start}");
    assert!((lost_s(8.0) - (from_start - 8.0)).abs() < 0.5);
}

#[test]
fn a_field_flown_over_is_lost_on_the_way_beyond_it() {
    let of = drawn(80.0, straight((0.0, 500.0), 35.0, 35.0 / 9.0));
    let ahead = field(0.0, 700.0, 0.0);
    let t = reach_of(&of, &ahead).within_reach_s;
    // it is passed at 20 s, with 400 m to spare
    assert!(t > 40.0 && t < 80.0, "{t}");
    let later = drawn(
        5.0,
        straight((-35.0 * t, 500.0 - 35.0 / 9.0 * t), 35.0, 35.0 / 9.0),
    );
    let left = reach_of(&later, &ahead).in_hand_m;
    assert!(left.abs() < 6.0, "{left}");
}
