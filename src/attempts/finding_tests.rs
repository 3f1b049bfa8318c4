//! Idle stretches found in invented flights, each worked by hand.

use super::*;

/// Stretches of so many seconds, with this power and climb, m/s, from `start_m` up: the motion and the power each second.
fn flown(start_m: f64, stretches: &[(usize, f64, f64)]) -> (Vec<AirMotion>, Path) {
    let (mut trace, mut points) = (Vec::new(), Vec::new());
    let mut height_m = start_m;
    for &(seconds, power_mps, climb_mps) in stretches {
        for _ in 0..seconds {
            let t_s = points.len() as f64;
            let speed = if height_m > 0.5 { 32.0 } else { 3.0 };
            points.push(Motion {
                t_s,
                height_m: height_m.max(0.0),
                north_m: 32.0 * t_s - 4000.0,
                north_mps: speed,
                climb_mps: if height_m > 0.5 { climb_mps } else { 0.0 },
                ..Motion::default()
            });
            trace.push(AirMotion {
                t_s,
                tas_mps: speed,
                energy_rate_mps: 0.0,
                load_factor: 1.0,
                power_mps,
                shape_mps: 0.0,
            });
            height_m += climb_mps;
        }
    }
    (trace, Path { points })
}

fn found(start_m: f64, stretches: &[(usize, f64, f64)]) -> Vec<Candidate> {
    let (trace, path) = flown(start_m, stretches);
    find(&trace, &[], &path, true)
}

#[test]
fn a_glide_broken_off_by_a_climb() {
    let c = found(300.0, &[(60, 6.0, 0.0), (60, 0.0, -4.0), (60, 6.0, 3.0)]);
    assert_eq!(c.len(), 1, "{c:?}");
    let c = &c[0];
    assert!((c.start_s - 60.0).abs() <= 1.0 && (c.end_s - 120.0).abs() <= 1.0);
    assert_eq!(c.end, CandidateEnd::PowerBack);
    assert!(c.climbs_after && c.flies_on && c.after_glide_s.is_none());
    assert!((c.start_height_m - 300.0).abs() < 5.0 && (c.low_height_m - 60.0).abs() < 5.0);
    // the lowest point is 120 s of 32 m/s from where it began, 4,000 m before the aim
    assert!((c.low_distance_m - 160.0).abs() < 40.0);
    assert!((c.drop_mps - 6.0).abs() < 0.01 && c.mean_power_mps.abs() < 0.01);
    assert_eq!((c.powered_share, c.climb_before_mps), (0.0, 0.0));
    assert_eq!(c.reason, None);
}

#[test]
fn power_without_a_climb_is_an_approach_with_power() {
    let c = &found(300.0, &[(60, 6.0, 0.0), (40, 0.0, -4.0), (60, 4.0, 0.0)])[0];
    assert_eq!(c.end, CandidateEnd::PowerBack);
    assert!(!c.climbs_after && c.flies_on, "{c:?}");
    assert!(
        c.reason
            .as_ref()
            .is_some_and(|r| r.contains("without a climb"))
    );
}

#[test]
fn fifteen_metres_make_a_climb() {
    for (climbed_s, climbs) in [(6, false), (10, true)] {
        let c = &found(
            300.0,
            &[
                (60, 6.0, 0.0),
                (60, 0.0, -4.0),
                (climbed_s, 6.0, 2.0),
                (60, 5.0, 0.0),
            ],
        )[0];
        assert_eq!(c.climbs_after, climbs, "{c:?}");
    }
}

#[test]
fn a_landing_ends_where_it_rolls() {
    let c = found(240.0, &[(60, 6.0, 0.0), (60, 0.0, -4.0), (120, 0.0, 0.0)]);
    assert_eq!(c.len(), 1);
    assert_eq!(c[0].end, CandidateEnd::Ground);
    assert!((c[0].end_s - 120.0).abs() <= 1.0, "{c:?}");
    assert!(!c[0].climbs_after && !c[0].flies_on);
    // and a touch-and-go flies on
    let again = &found(
        240.0,
        &[
            (60, 6.0, 0.0),
            (60, 0.0, -4.0),
            (20, 0.0, 0.0),
            (40, 7.0, 3.0),
        ],
    )[0];
    assert_eq!(again.end, CandidateEnd::Ground);
    assert!(again.climbs_after && again.flies_on, "{again:?}");
}

#[test]
fn a_recording_that_stops_at_idle() {
    let c = &found(300.0, &[(60, 6.0, 0.0), (50, 0.0, -4.0)])[0];
    assert_eq!(c.end, CandidateEnd::Recording);
    assert!(!c.flies_on);
}

#[test]
fn a_second_stretch_knows_how_long_ago_the_first_was() {
    let c = found(
        600.0,
        &[
            (60, 6.0, 0.0),
            (60, 0.0, -4.0),
            (40, 7.0, 2.0),
            (60, 0.0, -4.0),
            (40, 7.0, 2.0),
        ],
    );
    assert_eq!(c.len(), 2, "{c:?}");
    let after_s = c[1].after_glide_s.unwrap();
    assert!((after_s - 40.0).abs() <= 2.0, "{after_s}");
    assert!((c[1].climb_before_mps - 2.0).abs() < 0.3);
}

#[test]
fn parking_and_taxiing_are_no_glides() {
    assert!(found(0.0, &[(60, 0.0, 0.0), (60, 6.0, 0.0), (60, 0.0, 0.0)]).is_empty());
}

/// Idle, so many seconds at which the engine says power, climbing so fast, and idle again: how many glides.
fn glides_around(seconds: usize, climb_mps: f64, start_m: f64) -> usize {
    let stretches = [
        (60, 7.0, 0.0),
        (60, 0.0, -2.0),
        (seconds, 7.0, climb_mps),
        (60, 0.0, -2.0),
    ];
    let (trace, path) = flown(start_m, &stretches);
    let power: Vec<f64> = trace.iter().map(|a| a.power_mps).collect();
    let engine: Vec<f64> = power
        .iter()
        .map(|p| if *p > 3.0 { -1.2 } else { 1.2 })
        .collect();
    glides(&power, &engine, &path.points).len()
}

#[test]
fn a_short_burst_of_power_without_a_climb_leaves_one_glide() {
    assert_eq!(glides_around(12, -2.0, 600.0), 1);
    assert_eq!(glides_around(12, 2.0, 600.0), 2, "a climb");
    assert_eq!(glides_around(16, -2.0, 600.0), 2, "too long");
    assert_eq!(glides_around(12, -2.0, 150.0), 2, "on short final");
}

#[test]
fn rolling_is_slow_and_low() {
    let at = |speed: f64, height_m: f64| {
        let motion = Motion {
            east_mps: speed,
            height_m,
            ..Motion::default()
        };
        first_on_ground(&[motion; 3], 1, 3)
    };
    // the calibration of heights is rough before: a slow aeroplane may seem well above the ground
    assert_eq!([at(11.0, 14.0), at(4.0, 59.0)], [1, 1]);
    assert_eq!([at(13.0, 5.0), at(11.0, 16.0), at(4.0, 61.0)], [3, 3, 3]);
}

/// Power of 12 m/s for 40 s, so much for 20 s, and none for 40 s: where a start thought to be at 60 s comes to.
fn started_again(between_mps: f64) -> f64 {
    let (trace, _) = flown(
        900.0,
        &[(40, 12.0, 0.0), (20, between_mps, -1.0), (40, 0.0, -4.0)],
    );
    start_again(&trace, 60.0)
}

#[test]
fn power_taken_off_in_two_steps_starts_at_the_one_that_left_no_flight() {
    // 5 m/s is still flight with power: the second step is the start, though the first was larger
    assert!((started_again(5.0) - 60.0).abs() <= 1.0);
    // 3 m/s is not: the first and larger step is
    assert!((started_again(3.0) - 40.0).abs() <= 1.0);
    // behind the trace there is nothing to look for
    let (trace, _) = flown(900.0, &[(40, 12.0, 0.0)]);
    assert_eq!(start_again(&trace, 50.0), 50.0);
}

#[test]
fn a_start_is_where_the_power_falls() {
    let mut power = vec![7.0; 40];
    power.extend([0.0; 40]);
    for thought in [36, 40, 50, 60] {
        assert_eq!(refine_start(&power, thought), 40, "{thought}");
    }
}

#[test]
fn means_and_shares_by_hand() {
    assert_eq!(mean(&[1.0, 2.0, 6.0], 1, 2), 4.0);
    assert_eq!(mean(&[1.0, 2.0, 6.0], -5, 9), 3.0);
    assert!(mean(&[1.0, 2.0, 6.0], 5, 4).is_nan());
    assert_eq!(mean_of_next(&[9.0, 1.0, 2.0, 3.0, 6.0], 1), 3.0);
    assert_eq!(mean_of_next(&[9.0, 1.0, 2.0], 1), f64::NEG_INFINITY);
    // 40 s at 0.5 m/s and 20 at 5: idle is what the lower third shows, and of the 51 means of ten seconds those with
    // five or more powered seconds, 2.75 m/s, are above 2.7
    let mut power = vec![0.5; 40];
    power.extend([5.0; 20]);
    assert!((powered_share(&power, 0, 60) - 16.0 / 51.0).abs() < 1e-12);
    assert_eq!(powered_share(&power, 0, 9), 0.0);
    assert_eq!(powered_share(&power, 55, 600), 0.0);
    // four of six seconds known, one of them power
    let engine = [0.0, 1.2, 1.2, -1.2, 0.1, 0.0];
    assert_eq!(engine_powered_share(&engine, 0, 9), Some(0.25));
    assert_eq!(engine_powered_share(&engine, 4, 9), None);
    let heights = [100.0, 90.0, 104.0, 95.0, 101.0];
    let motions = heights.map(|height_m| Motion {
        height_m,
        ..Motion::default()
    });
    assert_eq!(climb_from_lowest(&motions), 14.0);
}

#[test]
fn the_climb_before_is_that_of_fifteen_seconds() {
    let (_, path) = flown(500.0, &[(30, 0.0, 1.0), (30, 0.0, 3.0)]);
    assert!((mean_climb(&path.points, 60) - 3.0).abs() < 1e-9);
    // from 22 to 37 s: eight seconds of 1 m/s and seven of 3
    assert!((mean_climb(&path.points, 39) - 29.0 / 15.0).abs() < 1e-9);
    assert!((mean_climb(&path.points, 0) - 1.0).abs() < 1e-9);
}

#[test]
fn drop_and_power_are_means_of_their_own_seconds() {
    let (mut trace, path) = flown(500.0, &[(60, 0.0, 0.0), (80, 0.0, -4.0), (60, 6.0, 3.0)]);
    for (k, a) in trace.iter_mut().enumerate().take(140) {
        let since = k as f64 - 60.0;
        a.power_mps = if since < 0.0 {
            6.0 + 0.1 * since
        } else {
            0.02 * since
        };
    }
    let c = &find(&trace, &[], &path, true)[0];
    assert_eq!((c.start_s, c.end_s), (60.0, 140.0));
    // seconds 52 to 59 before, 62 to 68 after
    assert!((c.drop_mps - (5.55 - 0.1)).abs() < 1e-9, "{c:?}");
    // seconds 65 to 132 of the ramp
    assert!((c.mean_power_mps - 0.02 * 38.5).abs() < 1e-9, "{c:?}");
}

#[test]
fn near_the_ground_is_taken_for_the_ground() {
    let end = |sink_mps: f64| {
        let stretches = [(60, 6.0, 0.0), (50, 0.0, -sink_mps), (60, 6.0, 3.0)];
        found(200.0, &stretches)[0].end
    };
    // down to 10 and to 20 m
    assert_eq!(end(3.8), CandidateEnd::Ground);
    assert_eq!(end(3.6), CandidateEnd::PowerBack);
    // and a cut a few seconds before the ground, or on it, is none
    assert!(found(45.0, &[(60, 6.0, 0.0), (10, 0.0, -3.0), (60, 0.0, 0.0)]).len() <= 1);
    assert!(found(39.0, &[(60, 6.0, 0.0), (40, 0.0, -0.5), (60, 6.0, 3.0)]).is_empty());
}

#[test]
fn of_two_equal_falls_the_later_is_the_start() {
    let mut power = vec![7.0; 30];
    power.extend([3.5; 15]);
    power.extend([0.0; 40]);
    assert_eq!(refine_start(&power, 45), 45);
    // twice the fall is worth being early
    let mut power = vec![12.0; 30];
    power.extend([3.5; 15]);
    power.extend([0.0; 40]);
    assert_eq!(refine_start(&power, 45), 30);
    // within 25 s before, and 6 after
    assert!(refine_start(&power, 60) >= 35);
    assert!(refine_start(&power, 20) <= 26);
}

#[test]
fn a_start_is_looked_for_again_within_45_seconds_before_and_8_after() {
    let again = |fall_s: usize, thought_s: f64| {
        let (trace, _) = flown(900.0, &[(fall_s, 7.0, 0.0), (80, 0.0, -4.0)]);
        start_again(&trace, thought_s)
    };
    for thought_s in [60.0, 75.0, 100.0, 54.0] {
        assert_eq!(again(60, thought_s), 60.0, "{thought_s}");
    }
    assert!(again(60, 110.0) >= 65.0);
    assert!(again(60, 45.0) <= 53.0);
    // of two equal falls the later, but for a small price
    let (trace, _) = flown(900.0, &[(40, 6.0, 0.0), (20, 3.0, -1.0), (40, 0.0, -4.0)]);
    assert_eq!(start_again(&trace, 60.0), 60.0);
}

#[test]
fn taxiing_with_power_is_no_flight() {
    let c = &found(
        240.0,
        &[
            (60, 6.0, 0.0),
            (60, 0.0, -4.0),
            (20, 0.0, 0.0),
            (60, 5.0, 0.0),
        ],
    )[0];
    assert_eq!(c.end, CandidateEnd::Ground);
    assert!(!c.climbs_after && !c.flies_on, "{c:?}");
}

#[test]
fn a_climb_more_than_a_minute_after_is_another_matter() {
    for (level_s, climbs) in [(40, true), (70, false)] {
        let c = &found(
            300.0,
            &[
                (60, 6.0, 0.0),
                (60, 0.0, -4.0),
                (level_s, 5.0, 0.0),
                (40, 6.0, 3.0),
            ],
        )[0];
        assert_eq!(c.climbs_after, climbs, "{level_s}");
    }
}

#[test]
fn being_early_has_its_price() {
    // 3.6 m/s fall at 40 s and 3.4 at 60: a fifth more is not worth twenty seconds at 0.05 each
    let (trace, _) = flown(900.0, &[(40, 7.0, 0.0), (20, 3.4, -1.0), (40, 0.0, -4.0)]);
    assert_eq!(start_again(&trace, 60.0), 60.0);
    let power: Vec<f64> = trace.iter().map(|a| a.power_mps).collect();
    assert_eq!(refine_start(&power, 60), 60);
}

#[test]
fn a_start_soon_after_the_recording_begins_is_found_as_any_other() {
    let mut power = vec![7.0; 20];
    power.extend([0.0; 60]);
    assert_eq!(refine_start(&power, 22), 20);
    let (trace, _) = flown(900.0, &[(20, 7.0, 0.0), (60, 0.0, -4.0)]);
    assert_eq!(start_again(&trace, 24.0), 20.0);
}
