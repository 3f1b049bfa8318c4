//! Dangers on invented glides.

use super::*;

fn spell(states: &[(f64, bool, f64)]) -> Option<(f64, f64, f64)> {
    first_spell(states.iter().copied(), 2.0, f64::min)
}

#[test]
fn the_first_spell_that_lasts_and_its_worst() {
    let states = [
        (0.0, true, 9.0),
        (1.0, false, 1.0),
        (2.0, true, 7.0),
        (3.0, true, 5.0),
        (4.0, true, 6.0),
        (5.0, false, 1.0),
        (6.0, true, 2.0),
    ];
    assert_eq!(spell(&states), Some((2.0, 4.0, 5.0)));
    assert_eq!(spell(&states[..4]), None);
    // a spell that lasts until the end counts
    assert_eq!(spell(&states[..5]), Some((2.0, 4.0, 5.0)));
}

use super::super::invented::{POLAR, drawn, straight, turn};

fn hand(of: &DrawnAttempt) -> Hand {
    Hand::new(&of.flown, 1.0, &POLAR, &of.approach.setting).unwrap()
}

fn kinds(of: &DrawnAttempt) -> Vec<DangerKind> {
    dangers(of, Some(&hand(of)))
        .iter()
        .map(|d| d.kind)
        .collect()
}

#[test]
fn slow_and_out_of_reach_is_stretching() {
    // 3000 m out need 327 m: at 250 m the aim is out of reach
    let slow = drawn(30.0, straight((3000.0, 250.0), 29.0, 3.5));
    let found = dangers(&slow, Some(&hand(&slow)));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].kind, DangerKind::Stretching);
    // 29 m/s are 56 kt
    assert!((found[0].worst - 56.0).abs() < 1.0, "{found:?}");
    assert!(found[0].from_s < 1.0 && found[0].to_s > 25.0);
    // a metre or two short of what is needed is not judged, six are
    let needed_m = {
        let of = drawn(30.0, straight((3000.0, 320.0), 29.0, 29.0 / 9.0));
        let (hand, first) = (hand(&of), of.flown.instants[0]);
        let reach = hand.reach().unwrap();
        reach.least_height_m(&Position::of(&first, 0.0)).unwrap()
    };
    // 2940 m at 9 to 1, and the 20 m of height that 29 m/s are worth less than 35
    assert!((needed_m - 346.6).abs() < 2.0, "{needed_m}");
    let kept = |by_m: f64| {
        let from = (3000.0, needed_m + by_m);
        kinds(&drawn(30.0, straight(from, 29.0, 29.0 / 9.0)))
    };
    assert_eq!(kept(-1.5), []);
    assert_eq!(kept(1.5), []);
    assert_eq!(kept(-6.0), [DangerKind::Stretching]);
    // at best glide it is only low, and high enough it is only slow
    assert_eq!(
        kinds(&drawn(30.0, straight((3000.0, 250.0), 35.0, 3.9))),
        []
    );
    assert_eq!(
        kinds(&drawn(30.0, straight((3000.0, 480.0), 29.0, 3.5))),
        []
    );
}

#[test]
fn beyond_where_the_float_begins_nothing_is_out_of_reach() {
    let mut long = drawn(8.0, straight((20.0, 60.0), 29.0, 3.0));
    assert_eq!(kinds(&long), [DangerKind::Stretching]);
    long.times.on_final_s = Some(0.0);
    assert_eq!(kinds(&long), []);
    // 60 m before the aim is where it begins
    let on_final = |from_m: f64, height_m: f64| {
        let mut of = drawn(8.0, straight((from_m, height_m), 29.0, 3.0));
        of.times.on_final_s = Some(0.0);
        kinds(&of)
    };
    assert_eq!(on_final(55.0, 60.0), []);
    assert_eq!(on_final(900.0, 60.0), [DangerKind::Stretching]);
}

#[test]
fn full_flap_counts_against_its_own_glide() {
    // 1500 m out at 230 m: clean that is plenty, at 5 to 1 it needs 288 m
    let mut flapped = drawn(10.0, straight((1500.0, 230.0), 29.0, 3.0));
    assert_eq!(kinds(&flapped), []);
    flapped.approach.full_flap_s = Some(2.0);
    assert_eq!(kinds(&flapped), [DangerKind::SlowWithFullFlap]);
}

#[test]
fn slow_and_steep_turns_onto_final() {
    let in_turn = |speed, bank| {
        let mut of = drawn(10.0, turn(speed, bank, 200.0));
        of.times.base_turn_s = Some(0.0);
        dangers(&of, None)
    };
    // 33 m/s at 30 degrees: 33 / (24 x 1.0746) = 1.28
    assert_eq!(in_turn(33.0, 30.0), []);
    // 29 m/s: 1.12
    let slow = in_turn(29.0, 30.0);
    assert_eq!(slow[0].kind, DangerKind::SlowTurn);
    assert!((slow[0].worst - 1.12).abs() < 0.02, "{slow:?}");
    let steep = in_turn(40.0, 48.0);
    assert_eq!(steep.len(), 1, "{steep:?}");
    assert_eq!(steep[0].kind, DangerKind::SteepTurn);
    assert!((steep[0].worst - 48.0).abs() < 1.0, "{steep:?}");
    // without a base turn no turn is judged
    assert_eq!(dangers(&drawn(10.0, turn(40.0, 48.0, 200.0)), None), []);
}

#[test]
fn a_turn_is_judged_above_the_round_out_and_with_the_bank_not_seen() {
    let in_turn = |speed, bank, height_m, unseen_deg| {
        let mut of = drawn(10.0, turn(speed, bank, height_m));
        of.times.base_turn_s = Some(0.0);
        of.bank_error_deg = unseen_deg;
        dangers(&of, None)
    };
    // slow, but rounding out
    assert_eq!(in_turn(29.0, 30.0, 10.0, 0.0), []);
    // 38 and 4 degrees are more than 40, 34 are not
    let steep = in_turn(40.0, 38.0, 200.0, 4.0);
    assert_eq!(steep.len(), 1, "{steep:?}");
    assert_eq!(steep[0].kind, DangerKind::SteepTurn);
    assert_eq!(in_turn(40.0, 34.0, 200.0, 0.0), []);
}

#[test]
fn a_spell_is_as_long_as_from_its_start() {
    // not since the clock began
    let late = [(100.0, true, 5.0), (101.0, true, 4.0), (102.0, false, 1.0)];
    assert_eq!(spell(&late), None);
    assert_eq!(spell(&late[..2]), None);
    let lasting = [
        (100.0, true, 5.0),
        (101.0, true, 4.0),
        (102.0, true, 6.0),
        (103.0, false, 1.0),
    ];
    assert_eq!(spell(&lasting), Some((100.0, 102.0, 4.0)));
    assert_eq!(spell(&lasting[..3]), Some((100.0, 102.0, 4.0)));
}

#[test]
fn speeds_are_means_of_three_seconds() {
    // 30 m/s and 1 m/s more each second: seven instants around each
    let of = drawn(20.0, |t_s| crate::flight_path::Motion {
        t_s,
        north_mps: 30.0 + t_s,
        height_m: 100.0,
        ..crate::flight_path::Motion::default()
    });
    let within = of.flown.between(0.0, 20.0);
    let found = means(within, |i| i.motion.north_mps);
    assert_eq!(found.len(), within.len());
    // in the middle the value itself, at the ends the mean of the four there are
    assert!((found[20] - 40.0).abs() < 1e-9, "{found:?}");
    assert!((found[0] - 30.75).abs() < 1e-9 && (found[40] - 49.25).abs() < 1e-9);
    assert!((found[2] - 31.25).abs() < 1e-9);
}

#[test]
fn stretching_is_looked_for_from_settled_to_the_flare() {
    let slow = || drawn(30.0, straight((3000.0, 250.0), 29.0, 3.5));
    let span = |of: &DrawnAttempt| {
        let found = dangers(of, Some(&hand(of)));
        (found[0].from_s, found[0].to_s)
    };
    // without a moment at which best glide was held: 15 s after the power
    let mut of = slow();
    of.times.best_glide_held_s = None;
    of.known.power_reduction_s = 2.0;
    assert_eq!(span(&of), (17.0, 28.0));
    // a second before the flare the nose comes up
    of.end = DrawnEnd::Touchdown {
        at_s: 28.0,
        flare_s: 25.0,
        sink_mps: 1.0,
        ground_speed_mps: 28.0,
        cas_mps: 28.0,
    };
    assert_eq!(span(&of), (17.0, 24.0));
    // and once full flap is out, from there
    let mut flapped = drawn(20.0, straight((1500.0, 230.0), 29.0, 3.0));
    flapped.approach.full_flap_s = Some(6.0);
    assert_eq!(span(&flapped).0, 6.0);
}

#[test]
fn a_turn_is_judged_until_three_seconds_after_it() {
    // steep from 20 s on: looked at where lined up at 19, not where at 16
    let found = |lined_up_s: f64| {
        let (flat, steep) = (turn(40.0, 20.0, 200.0), turn(40.0, 48.0, 200.0));
        let mut of = drawn(
            60.0,
            move |t_s| {
                if t_s < 20.0 { flat(t_s) } else { steep(t_s) }
            },
        );
        of.times.base_turn_s = Some(0.0);
        of.times.on_final_s = Some(lined_up_s);
        dangers(&of, None)
            .iter()
            .any(|d| d.kind == DangerKind::SteepTurn)
    };
    assert!(found(20.0) && !found(12.0));
    // without a stall speed it is held against the approach speed of 32 m/s: 30 at 30° is 0.86 of it
    let mut of = drawn(10.0, turn(30.0, 30.0, 200.0));
    of.times.base_turn_s = Some(0.0);
    of.stall_cas_mps = None;
    let slow = dangers(&of, None);
    assert_eq!(slow[0].kind, DangerKind::SlowTurn);
    assert!(
        (slow[0].worst - 30.0 * 0.9904 / (32.0 * 1.0746)).abs() < 0.01,
        "{slow:?}"
    );
}
