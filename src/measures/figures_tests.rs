//! Figures of invented glides, each worked by hand.

use super::held_speed::ToHold;
use super::invented::{drawn, straight, turn};
use super::{DrawnAttempt, DrawnEnd, measure};
use crate::flight_path::Motion;
use crate::units::{M_PER_FT, MPS_PER_KT};

#[track_caller]
fn is(of: &DrawnAttempt, id: &str, want: f64, within: f64) {
    let found = measure(of).get(id).copied().unwrap_or(f64::NAN);
    assert!((found - want).abs() <= within, "{id}: {found}, not {want}");
}

#[test]
fn power_reduction_and_settling() {
    // 3.5 m/s down from 600 m: 582.5 m at 5 s, 24.5 m lower 7 s later
    let mut of = drawn(60.0, straight((3000.0, 600.0), 35.0, 3.5));
    of.known.power_reduction_s = 5.0;
    of.times.best_glide_held_s = Some(12.0);
    is(&of, "power_reduction_height_ft", 582.5 / M_PER_FT, 1.0);
    is(&of, "settling_time_s", 7.0, 1e-6);
    is(&of, "settling_height_lost_ft", 24.5 / M_PER_FT, 1.0);
    assert!(measure(&of).get("glide_time_s").is_none_or(|t| t.is_nan()));
    of.end = DrawnEnd::GoAround { at_s: 60.0 };
    is(&of, "glide_time_s", 55.0, 1e-6);
}

#[test]
fn a_steady_glide_that_gathers_speed_and_air_that_rises() {
    // 30 m/s and 0.1 m/s more each second: 31 to 35 m/s between 10 and 50 s
    let motion = |t_s: f64| Motion {
        north_m: 30.0 * t_s + 0.05 * t_s * t_s,
        north_mps: 30.0 + 0.1 * t_s,
        north_mps2: 0.1,
        ..straight((0.0, 250.0), 0.0, 3.5)(t_s)
    };
    let mut of = drawn(60.0, motion);
    of.steady_s = Some((10.0, 50.0));
    // 3.5 m/s are 689 ft/min; (35^2 - 31^2) / 2g = 13.46 m of height went into speed, 0.336 m/s of 40 s
    is(&of, "descent_rate_fpm", 689.0, 2.0);
    is(&of, "air_sink_rate_fpm", 622.8, 4.0);
    // rising air of 0.5 m/s hid 98 ft/min
    of.vertical_air_mps = 0.5;
    is(&of, "air_sink_rate_fpm", 622.8 + 98.4, 4.0);
    // 33 m/s over 3.66 m/s
    is(&of, "glide_ratio_air", 9.0, 0.1);
    is(&of, "glide_ratio_ground", 33.0 / 3.5, 0.1);
    // 31 m/s at 215 m are 30.68 calibrated, 35 at 75 m 34.87: evenly between, 4.19 / sqrt(12) = 1.21 m/s, 2.35 kt
    is(&of, "glide_cas_sd_kt", 2.35, 0.05);
    // 2 m/s below best glide of 35 m/s, calibrated, are 33.2 m/s true: the last 0.45 of the way
    (of.glide_to_hold.below_mps, of.glide_to_hold.above_mps) = (2.0, 8.0);
    is(&of, "glide_cas_within_share", 0.45, 0.05);
}

#[test]
fn orbits_and_what_they_cost() {
    // 35 m/s at 30 degrees: 38.8 s for a circle; 3 m/s down make 116.5 m of it
    let level = turn(35.0, 30.0, 500.0);
    let motion = move |t_s: f64| Motion {
        height_m: 500.0 - 3.0 * t_s,
        climb_mps: -3.0,
        ..level(t_s)
    };
    let mut of = drawn(100.0, motion);
    is(&of, "orbits", 2.0, 0.0);
    is(&of, "time_per_orbit_s", 38.8, 0.8);
    is(&of, "height_per_orbit_ft", 116.5 / M_PER_FT, 8.0);
    is(&of, "bank_max_deg", 30.0, 0.5);
    // 24 m/s times the root of 1.155, and 34.3 m/s calibrated
    is(&of, "stall_margin_min", 1.33, 0.02);
    of.bank_error_deg = 4.0;
    is(&of, "bank_max_deg", 34.0, 0.5);
    is(&of, "load_factor_max", 1.206, 0.01);
    // abeam ends the orbits
    of.times.abeam_s = Some(45.0);
    is(&of, "orbits", 1.0, 0.0);
}

#[test]
fn abeam_and_final_against_the_aim() {
    let north = straight((3000.0, 600.0), 35.0, 3.5);
    let mut of = drawn(60.0, move |t_s| Motion {
        east_m: -800.0,
        ..north(t_s)
    });
    of.times.abeam_s = Some(10.0);
    of.times.on_final_s = Some(20.0);
    of.abeam_target_m = Some(300.0);
    is(&of, "abeam_height_ft", 565.0 / M_PER_FT, 1.0);
    is(&of, "abeam_height_error_ft", 265.0 / M_PER_FT, 1.0);
    is(&of, "abeam_distance_ft", 800.0 / M_PER_FT, 1.0);
    is(&of, "on_final_distance_ft", 2300.0 / M_PER_FT, 1.0);
}

#[test]
fn a_touchdown_and_a_go_around() {
    let mut of = drawn(60.0, straight((3000.0, 600.0), 35.0, 3.5));
    of.end = DrawnEnd::Touchdown {
        at_s: 50.0,
        flare_s: 45.0,
        sink_mps: 1.0,
        ground_speed_mps: 30.0,
        cas_mps: 29.0,
    };
    is(&of, "float_distance_ft", 175.0 / M_PER_FT, 1.0);
    is(&of, "touchdown_along_ft", -1250.0 / M_PER_FT, 1.0);
    is(&of, "touchdown_sink_fpm", 196.9, 0.1);
    // down at 3 m/s to 36 s, then up: 92 m, six seconds after the power
    let mut of = drawn(60.0, |t_s| Motion {
        t_s,
        north_m: 30.0 * t_s,
        north_mps: 30.0,
        height_m: 200.0 - 3.0 * t_s.min(36.0) + 4.0 * (t_s - 36.0).max(0.0),
        ..Motion::default()
    });
    of.end = DrawnEnd::GoAround { at_s: 30.0 };
    is(&of, "go_around_height_ft", 92.0 / M_PER_FT, 2.0);
}

#[test]
fn extremes_are_means_of_two_seconds_and_the_band_has_two_sides() {
    // 31 to 35 m/s between 10 and 50 s, as above: the first and last five instants are 31.1 and 34.9 m/s true
    let motion = |t_s: f64| Motion {
        north_m: 30.0 * t_s + 0.05 * t_s * t_s,
        north_mps: 30.0 + 0.1 * t_s,
        north_mps2: 0.1,
        ..straight((0.0, 250.0), 0.0, 3.5)(t_s)
    };
    let mut of = drawn(60.0, motion);
    of.steady_s = Some((10.0, 50.0));
    is(&of, "glide_cas_min_kt", 60.1, 0.4);
    is(&of, "glide_cas_max_kt", 67.6, 0.4);
    is(&of, "glide_cas_mean_kt", 63.8, 0.4);
    // 1 m/s above 32 calibrated are 33.2 true: the first 0.55 of the way
    of.glide_to_hold = ToHold {
        cas_mps: 32.0,
        below_mps: 5.0,
        above_mps: 1.0,
    };
    is(&of, "glide_cas_within_share", 0.53, 0.06);
    // three instants make a steady glide, two do not
    of.steady_s = Some((10.0, 11.0));
    assert!(measure(&of).contains_key("glide_cas_mean_kt"));
    of.steady_s = Some((10.0, 10.5));
    assert!(!measure(&of).contains_key("glide_cas_mean_kt"));
}

#[test]
fn the_value_at_an_end_is_that_of_the_line_through_three_seconds() {
    let of = drawn(60.0, straight((0.0, 500.0), 35.0, 3.5));
    let within = of.flown.between(10.0, 40.0);
    let line = |i: &crate::key_points::flown::Instant| 7.0 + 3.0 * i.motion.t_s;
    for (last, want) in [(false, 37.0), (true, 127.0)] {
        let found = super::glide::at_end(within, last, line);
        assert!((found - want).abs() < 1e-9, "{found}");
    }
    // of as many as there are, where there are fewer
    let few = of.flown.between(10.0, 12.0);
    assert!((super::glide::at_end(few, true, line) - 43.0).abs() < 1e-9);
    assert!((super::glide::at_end(&few[..1], true, line) - 37.0).abs() < 1e-9);
}

#[test]
fn an_orbit_is_timed_from_where_it_begins() {
    // straight for 20 s, then one circle of 38.8 s at 3 m/s down
    let level = turn(35.0, 30.0, 0.0);
    let mut of = drawn(70.0, move |t_s| {
        let turning = level((t_s - 20.0).clamp(0.0, 38.83));
        let straight = !(20.0..58.83).contains(&t_s);
        let on_m = 35.0 * ((t_s - 20.0).min(0.0) + (t_s - 58.83).max(0.0));
        Motion {
            t_s,
            north_m: turning.north_m + on_m,
            east_mps2: if straight { 0.0 } else { turning.east_mps2 },
            north_mps2: if straight { 0.0 } else { turning.north_mps2 },
            height_m: 500.0 - 3.0 * t_s,
            climb_mps: -3.0,
            ..turning
        }
    });
    is(&of, "orbits", 1.0, 0.0);
    is(&of, "time_per_orbit_s", 38.8, 1.5);
    is(&of, "height_per_orbit_ft", 116.5 / M_PER_FT, 14.0);
    // banks of the last three seconds are those of the flare or the go-around
    of.known.end_s = 22.0;
    is(&of, "bank_max_deg", 0.0, 2.0);
    of.known.end_s = 45.0;
    is(&of, "bank_max_deg", 30.0, 1.0);
}

#[test]
fn the_speed_on_final_from_lined_up_to_the_flare() {
    // 30 m/s at 100 m up, and 0.1 m/s more each second
    let mut of = drawn(60.0, |t_s| Motion {
        t_s,
        north_m: 30.0 * t_s + 0.05 * t_s * t_s - 2000.0,
        north_mps: 30.0 + 0.1 * t_s,
        north_mps2: 0.1,
        height_m: 100.0,
        ..Motion::default()
    });
    of.times.on_final_s = Some(20.0);
    of.end = DrawnEnd::Touchdown {
        at_s: 50.0,
        flare_s: 45.0,
        sink_mps: 1.0,
        ground_speed_mps: 30.0,
        cas_mps: 29.0,
    };
    // 32 to 34.5 m/s true, 0.9952 of it calibrated at 100 m: 33.09 m/s, spread 2.5 over the root of 12
    is(&of, "final_cas_mean_kt", 64.3, 0.2);
    is(&of, "final_cas_sd_kt", 1.40, 0.06);
    of.airspeed_spread = 2.0;
    is(&of, "final_cas_sd_kt", 2.80, 0.12);
    // less than three seconds are no final
    of.times.on_final_s = Some(43.0);
    assert!(!measure(&of).contains_key("final_cas_mean_kt"));
    of.times.on_final_s = Some(42.5);
    assert!(measure(&of).contains_key("final_cas_mean_kt"));
}

#[test]
fn the_lowest_of_a_go_around_is_around_its_power() {
    let lowest = |lowest_s: f64| {
        let mut of = drawn(60.0, move |t_s| Motion {
            t_s,
            north_m: 30.0 * t_s,
            north_mps: 30.0,
            height_m: 50.0 + 3.0 * (t_s - lowest_s).abs(),
            ..Motion::default()
        });
        of.end = DrawnEnd::GoAround { at_s: 30.0 };
        measure(&of)["go_around_height_ft"] * M_PER_FT
    };
    // a second before the power is told late; 20 s after it is another descent, of which 14 s are looked at
    assert!((lowest(29.0) - 50.0).abs() < 0.1);
    assert!((lowest(50.0) - 68.0).abs() < 0.1);
    // nor what was before it
    assert!((lowest(20.0) - 74.0).abs() < 0.1);
}

#[test]
fn a_float_is_measured_from_place_to_place() {
    let north = straight((3000.0, 600.0), 35.0, 3.5);
    let mut of = drawn(60.0, move |t_s| Motion {
        east_m: 40.0,
        ..north(t_s)
    });
    of.end = DrawnEnd::Touchdown {
        at_s: 50.0,
        flare_s: 45.0,
        sink_mps: 1.0,
        ground_speed_mps: 30.0,
        cas_mps: 29.0,
    };
    is(&of, "float_distance_ft", 175.0 / M_PER_FT, 1.0);
    is(&of, "touchdown_across_ft", 40.0 / M_PER_FT, 1.0);
}

#[test]
fn what_needs_a_turn_or_a_glide_is_not_there_without() {
    // straight: no orbit, and no height of one
    let straight_in = drawn(60.0, straight((3000.0, 600.0), 35.0, 3.5));
    let values = measure(&straight_in);
    assert_eq!(values.get("orbits"), Some(&0.0));
    assert!(!values.contains_key("height_per_orbit_ft"));
    assert!(!values.contains_key("time_per_orbit_s"));
    // the last three seconds are no gliding turn: six instants of half a second are left of 5.5 s, five of 5
    let bank = |end_s: f64| {
        let of = drawn(end_s, turn(35.0, 30.0, 500.0));
        measure(&of).contains_key("bank_max_deg")
    };
    assert!(bank(5.5) && !bank(5.0));
}

/// A final from 20 to 60 s at 100 m, landing north: airspeed by time, calibrated m/s, constant over each half second.
fn on_final(cas_mps: impl Fn(f64) -> f64) -> DrawnAttempt {
    let at = crate::atmosphere::AirColumn::standard(0.0);
    let scale = crate::atmosphere::SpeedScale::of(&at);
    let mut of = drawn(70.0, move |t_s| Motion {
        t_s,
        north_m: 30.0 * t_s - 2000.0,
        north_mps: scale.tas_mps(cas_mps(t_s), 100.0),
        height_m: 100.0,
        ..Motion::default()
    });
    of.times.on_final_s = Some(20.0);
    of.end = DrawnEnd::Touchdown {
        at_s: 64.0,
        flare_s: 60.0,
        sink_mps: 1.0,
        ground_speed_mps: 30.0,
        cas_mps: 29.0,
    };
    of.final_to_hold = Some(ToHold::within_kt(60.0 * MPS_PER_KT, [5.0, 10.0]));
    of
}

#[test]
fn how_long_the_speed_was_held_on_final() {
    let share = |kt: &dyn Fn(f64) -> f64| measure(&on_final(|t_s| kt(t_s) * MPS_PER_KT))["final_cas_within_share"];
    assert_eq!(share(&|_| 60.0), 1.0);
    // before it and after it is not final
    let only_on_final = |t_s: f64| {
        if (20.0..=60.0).contains(&t_s) {
            60.0
        } else {
            90.0
        }
    };
    assert_eq!(share(&only_on_final), 1.0);
    // 5 kt below and 10 above are held, a little more is not
    for (kt, want) in [(55.01, 1.0), (54.99, 0.0), (69.99, 1.0), (70.01, 0.0)] {
        assert_eq!(share(&|_| kt), want, "{kt}");
    }
    // 15 kt too fast before 40 s: 40 of the 81 instants from 20 to 60 s
    let half = share(&|t_s| if t_s < 40.0 { 75.0 } else { 60.0 });
    assert!((half - 41.0 / 81.0).abs() < 1e-9, "{half}");
}

#[test]
fn a_speed_that_swings_to_both_sides_is_not_held_though_its_mean_is() {
    // 62 kt, and 12 kt to either side of it once in 10 s; 55 to 70 kt are held
    let of =
        on_final(|t_s| (62.0 + 12.0 * (t_s * std::f64::consts::TAU / 10.0).sin()) * MPS_PER_KT);
    is(&of, "final_cas_mean_kt", 62.0, 0.2);
    // a sine between -7/12 and 8/12: 35.7 + 41.8 degrees, twice in each 360
    is(&of, "final_cas_within_share", 0.43, 0.03);
    // half of the swing, 6 kt, is within all the time; twice of it, 24 kt, where the sine is between -7/24 and 8/24:
    // 17.0 + 19.5 degrees, twice in each 360
    let mut calmer = of.clone();
    calmer.airspeed_spread = 0.5;
    is(&calmer, "final_cas_within_share", 1.0, 0.0);
    calmer.airspeed_spread = 2.0;
    is(&calmer, "final_cas_within_share", 0.20, 0.03);
}

#[test]
fn a_final_too_short_or_without_a_speed_tells_nothing() {
    let mut of = on_final(|_| 60.0 * MPS_PER_KT);
    of.times.on_final_s = Some(55.0);
    is(&of, "final_cas_within_share", 1.0, 0.0);
    // best glide is held that is held for 5 s: so is this
    of.times.on_final_s = Some(55.1);
    assert!(!measure(&of).contains_key("final_cas_within_share"));
    // a go-around has no flare
    of.times.on_final_s = Some(50.0);
    of.end = DrawnEnd::GoAround { at_s: 60.0 };
    of.known.end_s = 60.0;
    is(&of, "final_cas_within_share", 1.0, 0.0);
    of.final_to_hold = None;
    assert!(!measure(&of).contains_key("final_cas_within_share"));
    of.times.on_final_s = None;
    assert!(!measure(&of).contains_key("final_cas_mean_kt"));
}
