//! Defects put into a flown track, and taken out again.

use super::*;
use crate::reading::Format;
use proptest::prelude::*;

/// Metres per degree of latitude, for making tracks.
const M_PER_DEG: f64 = 111_195.0;

/// 2026-05-03T10:21:40Z.
const START_S: f64 = 1_777_803_700.0;

/// A flight at 45 m/s: straight, a turn at `turn_dps`, straight, every `step_s`; descending 4 m/s.
fn flown(count: usize, step_s: f64, turn_dps: f64) -> Vec<Fix> {
    let (mut east_m, mut north_m, mut heading_deg) = (0.0_f64, 0.0_f64, 40.0_f64);
    let mut fixes = Vec::new();
    let substeps = 50;
    for i in 0..count {
        let t = i as f64 * step_s;
        fixes.push(Fix {
            utc_s: START_S + t,
            line: i as u32 + 1,
            latitude_deg: 51.0 + north_m / M_PER_DEG,
            longitude_deg: -2.0 + east_m / (M_PER_DEG * 51.0_f64.to_radians().cos()),
            gnss_altitude_m: Some((20_900.0 - 4.0 * t) as f32),
            pressure_altitude_m: Some((20_860.0 - 4.0 * t) as f32),
            ..Fix::default()
        });
        let is_turning = (count / 3..2 * count / 3).contains(&i);
        for _ in 0..substeps {
            let dt = step_s / f64::from(substeps);
            heading_deg += if is_turning { turn_dps * dt } else { 0.0 };
            east_m += 45.0 * dt * heading_deg.to_radians().sin();
            north_m += 45.0 * dt * heading_deg.to_radians().cos();
        }
    }
    fixes
}

fn recording(fixes: Vec<Fix>) -> Recording {
    Recording {
        file_name: "made.gpx".to_owned(),
        format: Format::Gpx,
        fixes,
        gnss_datum: AltitudeDatum::Unstated,
        events: Vec::new(),
        notes: Vec::new(),
        about: Vec::new(),
    }
}

fn cleaned(fixes: Vec<Fix>) -> CleanTrack {
    clean(&recording(fixes)).unwrap()
}

/// Moves a fix by metres.
fn shift(fix: &mut Fix, north_m: f64, east_m: f64) {
    fix.latitude_deg += north_m / M_PER_DEG;
    fix.longitude_deg += east_m / (M_PER_DEG * 51.0_f64.to_radians().cos());
}

fn lines(track: &CleanTrack) -> Vec<u32> {
    track.fixes.iter().map(|f| f.line).collect()
}

#[test]
fn a_clean_flight_stays_as_it_is_at_every_rate_and_in_steep_turns() {
    // 45 m/s at 12 degrees a second is a bank of 44 degrees; at 20, of 58 degrees.
    for (step_s, turn_dps) in [
        (0.1, 20.0),
        (0.2, 20.0),
        (1.0, 20.0),
        (2.0, 12.0),
        (3.0, 10.0),
        (5.0, 6.0),
    ] {
        let fixes = flown(300, step_s, turn_dps);
        let track = cleaned(fixes.clone());
        assert_eq!(
            track.fixes, fixes,
            "every {step_s} s, {turn_dps} deg/s: {:?}",
            track.notes
        );
        assert!(track.notes.is_empty(), "{:?}", track.notes);
        assert!(track.gaps.is_empty());
        assert!((track.median_step_s - step_s).abs() < 1e-6);
    }
}

#[test]
fn spikes_go_and_their_neighbours_stay() {
    for step_s in [0.1, 0.2, 1.0, 2.0, 5.0] {
        for length in 1..=3 {
            let mut fixes = flown(300, step_s, 6.0);
            for i in [50, 150, 250] {
                for fix in &mut fixes[i..i + length] {
                    shift(fix, 180.0, -240.0);
                }
            }
            let track = cleaned(fixes);
            let want: Vec<u32> = (1..=300)
                .filter(|l| {
                    ![51, 151, 251]
                        .iter()
                        .any(|s| (*s..*s + length as u32).contains(l))
                })
                .collect();
            assert_eq!(lines(&track), want, "every {step_s} s, {length} in a row");
            assert_eq!(track.dropped_fixes, 3 * length as u32);
            assert_eq!(track.notes.len(), 1);
            assert_eq!(track.notes[0].first_line, 51);
        }
    }
}

#[test]
fn a_spike_at_either_end_goes_too() {
    let mut fixes = flown(120, 1.0, 6.0);
    shift(&mut fixes[0], 340_000.0, 0.0);
    shift(&mut fixes[119], 0.0, 4000.0);
    assert_eq!(lines(&cleaned(fixes)), (2..=119).collect::<Vec<u32>>());
}

#[test]
fn a_vertical_spike_costs_the_altitude_only() {
    let mut fixes = flown(120, 1.0, 6.0);
    fixes[40].gnss_altitude_m = Some(1500.0);
    fixes[80].pressure_altitude_m = Some(0.5);
    let track = cleaned(fixes);
    assert_eq!(track.fixes.len(), 120);
    assert_eq!(track.fixes[40].gnss_altitude_m, None);
    assert!(track.fixes[40].pressure_altitude_m.is_some());
    assert_eq!(track.fixes[80].pressure_altitude_m, None);
    assert_eq!(track.notes.iter().map(|n| n.dropped_fixes).sum::<u32>(), 0);
    assert_eq!(track.notes.len(), 2);
}

#[test]
fn the_same_instant_is_kept_once() {
    let mut fixes = flown(60, 1.0, 6.0);
    let copy = fixes[30];
    fixes.insert(31, Fix { line: 999, ..copy });
    let track = cleaned(fixes);
    assert_eq!(lines(&track), (1..=60).collect::<Vec<u32>>());
    assert_eq!(track.dropped_fixes, 1);
}

#[test]
fn fixes_out_of_turn_are_put_in_their_place() {
    let mut fixes = flown(60, 1.0, 6.0);
    fixes.swap(20, 21);
    fixes.swap(40, 43);
    let track = cleaned(fixes);
    assert_eq!(lines(&track), (1..=60).collect::<Vec<u32>>());
    assert_eq!(track.dropped_fixes, 0);
    assert_eq!(track.notes.len(), 1);
}

#[test]
fn a_stamp_that_is_off_by_itself_goes() {
    for off_s in [3600.0, -3600.0] {
        let mut fixes = flown(60, 1.0, 6.0);
        fixes[20].utc_s += off_s;
        let track = cleaned(fixes);
        assert_eq!(track.fixes.len(), 59, "{:?}", track.notes);
        assert!(!lines(&track).contains(&21));
    }
}

#[test]
fn of_a_clock_set_back_the_longer_part_stays() {
    let mut fixes = flown(300, 1.0, 6.0);
    for fix in &mut fixes[..80] {
        fix.utc_s += 150.0;
    }
    let track = cleaned(fixes);
    assert_eq!(lines(&track), (81..=300).collect::<Vec<u32>>());
    assert_eq!(track.notes[0].dropped_fixes, 80);
    assert_eq!(track.notes[0].first_line, 1);
}

#[test]
fn parts_in_the_wrong_order_are_only_sorted() {
    let fixes = flown(300, 1.0, 6.0);
    let turned = [&fixes[200..], &fixes[..200]].concat();
    assert_eq!(cleaned(turned).fixes, fixes);
}

#[test]
fn a_track_that_is_in_the_file_twice_is_used_once() {
    let fixes = flown(300, 1.0, 6.0);
    let twice = [fixes.as_slice(), fixes.as_slice()].concat();
    let track = cleaned(twice);
    assert_eq!(track.fixes, fixes);
    assert!(track.notes[0].what.contains("twice"));
}

#[test]
fn gaps_and_new_segments_are_listed() {
    let mut fixes = flown(200, 1.0, 6.0);
    fixes.drain(50..62);
    for fix in &mut fixes[100..] {
        fix.segment = 1;
    }
    let track = cleaned(fixes);
    assert_eq!(track.gaps.len(), 2);
    assert_eq!(
        (track.gaps[0].from_s, track.gaps[0].to_s),
        (START_S + 49.0, START_S + 62.0)
    );
    assert!(!track.gaps[0].new_segment && track.gaps[1].new_segment);
    // Every 5 s, 10 s is no gap yet.
    let mut slow = flown(100, 5.0, 3.0);
    slow.remove(50);
    assert!(cleaned(slow).gaps.is_empty());
}

#[test]
fn a_stuck_position_goes_and_a_parked_aeroplane_stays() {
    let mut fixes = flown(200, 1.0, 6.0);
    let held = fixes[20];
    for fix in &mut fixes[21..26] {
        fix.latitude_deg = held.latitude_deg;
        fix.longitude_deg = held.longitude_deg;
    }
    let track = cleaned(fixes.clone());
    assert_eq!(track.fixes.len(), 195, "{:?}", track.notes);
    assert!(track.notes[0].what.contains("repeated"));

    // Fifteen seconds to a stop, then a minute at one place.
    let mut parked = fixes;
    let step = {
        let (a, b) = (parked[198], parked[199]);
        (
            b.latitude_deg - a.latitude_deg,
            b.longitude_deg - a.longitude_deg,
        )
    };
    for i in 1..=75 {
        let mut next = parked[198 + i];
        let left = (15.0 - i as f64).max(0.0) / 15.0;
        next.utc_s += 1.0;
        next.line += 1;
        next.latitude_deg += step.0 * left;
        next.longitude_deg += step.1 * left;
        parked.push(next);
    }
    let track = cleaned(parked);
    assert_eq!(track.fixes.len(), 195 + 75, "{:?}", track.notes);
}

#[test]
fn stamps_without_fractions_are_spread_over_their_second() {
    let mut fixes = flown(300, 0.2, 6.0);
    let truth: Vec<f64> = fixes.iter().map(|f| f.utc_s).collect();
    for fix in &mut fixes {
        fix.utc_s = (fix.utc_s + 1e-6).floor();
    }
    let track = cleaned(fixes.clone());
    assert!(track.stamps_whole_seconds && track.spread_stamps);
    assert_eq!(track.fixes.len(), 300);
    for (fix, want_s) in track.fixes.iter().zip(&truth) {
        assert!((fix.utc_s - want_s).abs() < 1e-5);
    }
    // A duplicate among them, and a gap that ends within a second.
    let copy = fixes[101];
    fixes.insert(102, copy);
    fixes.drain(202..218);
    let track = cleaned(fixes);
    assert_eq!(track.fixes.len(), 300 - 16);
    for fix in &track.fixes {
        assert!(
            (fix.utc_s - truth[fix.line as usize - 1]).abs() < 1e-5,
            "line {}",
            fix.line
        );
    }
}

#[test]
fn a_step_of_pressure_altitude_is_told_by_the_gnss_altitude() {
    let mut fixes = flown(120, 1.0, 6.0);
    for fix in &mut fixes[100..] {
        fix.pressure_altitude_m = fix.pressure_altitude_m.map(|a| a + 200.0);
    }
    let track = cleaned(fixes);
    assert!(
        track.fixes[..100]
            .iter()
            .all(|f| f.pressure_altitude_m.is_some())
    );
    assert!(
        track.fixes[100..]
            .iter()
            .all(|f| f.pressure_altitude_m.is_none())
    );
    assert_eq!((track.notes[0].count, track.notes[0].first_line), (20, 101));
}

#[test]
fn a_step_of_position_costs_no_fixes() {
    for step_s in [0.2, 1.0, 5.0] {
        let mut fixes = flown(200, step_s, 3.0);
        for fix in &mut fixes[100..] {
            shift(fix, 120.0, 0.0);
        }
        assert_eq!(cleaned(fixes).fixes.len(), 200, "every {step_s} s");
    }
}

/// FAI/IGC Technical Specification for GNSS Flight Recorders, second edition, AL8, A9.2
/// (the longitude of the first line without the blank that is printed in it). The first fix
/// lies 340.6 km from the next, five seconds later; at 16:03:15 pressure altitude has risen by
/// 201 m in five seconds and GNSS altitude by 1 m.
#[test]
fn the_published_example_file() {
    let fix = |utc_s: f64,
               latitude_deg: f64,
               longitude_deg: f64,
               pressure_m: f32,
               gnss_m: f32,
               line: u32| Fix {
        utc_s: START_S + utc_s,
        line,
        latitude_deg,
        longitude_deg,
        pressure_altitude_m: Some(pressure_m),
        gnss_altitude_m: Some(gnss_m),
        ..Fix::default()
    };
    let fixes = vec![
        fix(0.0, 54.118683, -2.822367, 280.0, 421.0, 1),
        fix(5.0, 51.118767, -1.821667, 288.0, 429.0, 2),
        fix(15.0, 51.119000, -1.820350, 290.0, 430.0, 3),
        fix(20.0, 51.119167, -1.820033, 291.0, 432.0, 4),
        fix(25.0, 51.119667, -1.819750, 291.0, 435.0, 5),
        fix(35.0, 51.120333, -1.819167, 494.0, 436.0, 6),
        fix(40.0, 51.122167, -1.818783, 496.0, 439.0, 7),
    ];
    let track = cleaned(fixes);
    assert_eq!(
        lines(&track)[0],
        2,
        "the first fix is refused: {:?}",
        track.notes
    );
    let flagged = track
        .notes
        .iter()
        .find(|n| n.what.contains("pressure altitude"))
        .unwrap();
    assert_eq!(flagged.first_line, 6);
    assert!(
        track
            .fixes
            .iter()
            .all(|f| f.line < 6 || f.pressure_altitude_m.is_none())
    );
}

#[test]
fn says_when_there_is_no_flight() {
    let one = clean(&recording(flown(1, 1.0, 0.0))).unwrap_err();
    assert_eq!(one.problem, CleanProblem::OneFix { fixes: 1 });
    let fix = flown(1, 1.0, 0.0)[0];
    let parked: Vec<Fix> = (0..100)
        .map(|i| Fix {
            utc_s: START_S + f64::from(i),
            ..fix
        })
        .collect();
    let error = clean(&recording(parked)).unwrap_err();
    assert!(error.to_string().contains("never moved"), "{error}");
    assert!(matches!(
        error.problem,
        CleanProblem::NeverMoved { fixes: 100, .. }
    ));
}

#[test]
fn the_antimeridian_is_no_jump() {
    let mut fixes = flown(200, 1.0, 6.0);
    for fix in &mut fixes {
        fix.longitude_deg = crate::units::wrap_180_deg(fix.longitude_deg + 2.0 + 179.98);
    }
    let track = cleaned(fixes);
    assert_eq!(track.fixes.len(), 200, "{:?}", track.notes);
}

/// A flight with noise and defects of every kind, by the numbers drawn.
fn spoiled(noise: &[(f64, f64)], step_s: f64, spikes: &[(usize, f64)]) -> Vec<Fix> {
    let mut fixes = flown(noise.len(), step_s, 8.0);
    for (fix, (north_m, east_m)) in fixes.iter_mut().zip(noise) {
        shift(fix, *north_m, *east_m);
    }
    for (at, far_m) in spikes {
        let at = at % fixes.len();
        shift(&mut fixes[at], *far_m, -*far_m);
        let copy = fixes[(at + 7) % fixes.len()];
        fixes.insert((at + 8) % fixes.len(), copy);
    }
    fixes
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn cleaning_twice_is_cleaning_once(
        noise in prop::collection::vec((-2.0..2.0_f64, -2.0..2.0_f64), 60..160),
        step in 0_usize..4,
        spikes in prop::collection::vec((0_usize..1000, 80.0..3000.0_f64), 0..5),
    ) {
        let step_s = [0.2, 1.0, 2.0, 5.0][step];
        let once = cleaned(spoiled(&noise, step_s, &spikes));
        let twice = cleaned(once.fixes.clone());
        prop_assert_eq!(&once.fixes, &twice.fixes);
        prop_assert!(once.fixes.windows(2).all(|w| w[0].utc_s < w[1].utc_s));
    }

    #[test]
    fn the_time_of_day_does_not_matter(
        noise in prop::collection::vec((-2.0..2.0_f64, -2.0..2.0_f64), 60..160),
        spikes in prop::collection::vec((0_usize..1000, 80.0..3000.0_f64), 0..5),
        shift_s in -100_000_000_i32..100_000_000,
    ) {
        let fixes = spoiled(&noise, 1.0, &spikes);
        let here = cleaned(fixes.clone());
        let there = cleaned(fixes.iter().map(|f| Fix { utc_s: f.utc_s + f64::from(shift_s), ..*f }).collect());
        prop_assert_eq!(lines(&here), lines(&there));
        prop_assert_eq!(&here.notes, &there.notes);
    }

    #[test]
    fn nothing_panics(
        fixes in prop::collection::vec((any::<f64>(), any::<f64>(), any::<f64>(), any::<Option<f32>>(), 0_u32..3), 0..40),
        scale in 0_usize..3,
    ) {
        let fixes = fixes.into_iter().map(|(utc_s, latitude_deg, longitude_deg, altitude_m, segment)| Fix {
            utc_s: if scale == 0 { utc_s } else { START_S + utc_s.rem_euclid(60.0) },
            latitude_deg: if scale == 0 { latitude_deg } else { latitude_deg.rem_euclid(0.1) },
            longitude_deg: if scale == 0 { longitude_deg } else { longitude_deg.rem_euclid(0.1) },
            gnss_altitude_m: altitude_m,
            pressure_altitude_m: altitude_m,
            ground_speed_mps: altitude_m,
            segment,
            ..Fix::default()
        }).collect();
        let _ = clean(&recording(fixes));
    }
}
