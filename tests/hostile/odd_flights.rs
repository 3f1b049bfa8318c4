//! Flights at odd places, times and rates, given to the whole debrief.

use std::time::{Duration, Instant};

use stillprop::briefing::Briefing;
use stillprop::debrief::document::Debrief;
use stillprop::debrief::{Options, debrief};
use stillprop::geodesy::LocalFrame;
use stillprop::reading::{AltitudeDatum, Fix, Format, Recording};

use super::sound::{faults, report_faults};

/// Longer than any of these takes by far, on a busy machine.
const LONGEST: Duration = Duration::from_mins(2);

/// 2026-05-03T10:00:00Z.
const SPRING_2026_S: f64 = 1_777_802_400.0;

/// Where, when and how a flight was recorded.
#[derive(Debug, Clone, Copy)]
struct Odd {
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    utc_s: f64,
    step_s: f64,
    /// Ground speed over that of a trainer.
    faster: f64,
}

const USUAL: Odd = Odd {
    latitude_deg: 51.0,
    longitude_deg: -2.0,
    elevation_m: 95.0,
    utc_s: SPRING_2026_S,
    step_s: 1.0,
    faster: 1.0,
};

/// East, north and up of the take-off place, m, and the direction of motion: take-off, climb, a cruise
/// back over the field, an orbit without power, a landing, and a stop.
fn flown(t_s: f64) -> (f64, f64, f64) {
    let leg = |from: f64, to: f64| (t_s - from).clamp(0.0, to - from);
    let straight_m = 35.0 * leg(60.0, 260.0) - 35.0 * leg(290.0, 490.0);
    let up = 4.0 * leg(75.0, 275.0) - 3.6 * leg(490.0, 712.0);
    let turned = (leg(490.0, 640.0) / 75.0) * std::f64::consts::TAU;
    let radius_m = 35.0 * 75.0 / std::f64::consts::TAU;
    let final_m = 32.0 * leg(640.0, 712.0) + 11.0 * leg(712.0, 740.0);
    let side_m = radius_m * (1.0 - turned.cos());
    (
        side_m,
        straight_m - radius_m * turned.sin() - final_m,
        up.max(0.0),
    )
}

impl Odd {
    /// The usual flight, there and then.
    fn recorded(self) -> Recording {
        let frame = LocalFrame::new(self.latitude_deg, self.longitude_deg, self.elevation_m);
        let count = (800.0 / self.step_s) as usize;
        let fixes = (0..count)
            .map(|i| {
                let t_s = i as f64 * self.step_s;
                let (east_m, north_m, up_m) = flown(t_s);
                let (latitude_deg, longitude_deg) =
                    frame.to_latitude_longitude(east_m * self.faster, north_m * self.faster);
                Fix {
                    utc_s: self.utc_s + t_s,
                    line: i as u32 + 1,
                    latitude_deg,
                    longitude_deg,
                    gnss_altitude_m: Some((self.elevation_m + up_m) as f32),
                    ..Fix::default()
                }
            })
            .collect();
        of(fixes)
    }
}

fn of(fixes: Vec<Fix>) -> Recording {
    Recording {
        file_name: "odd.csv".into(),
        format: Format::Csv,
        fixes,
        gnss_datum: AltitudeDatum::MeanSeaLevel,
        events: Vec::new(),
        notes: Vec::new(),
        about: Vec::new(),
    }
}

/// The debrief of `recording`, or the words of its refusal; it is sound either way, and in time.
#[track_caller]
fn sound(recording: &Recording, briefing: &Briefing) -> Result<Debrief, String> {
    let options = Options {
        draws: 40,
        seed: 1,
        standard: None,
    };
    let start = Instant::now();
    let outcome = debrief(recording, briefing, "", &options).map_err(|error| error.to_string());
    assert!(start.elapsed() < LONGEST, "took {:?}", start.elapsed());
    match &outcome {
        Ok(document) => {
            let found = faults(document);
            assert!(found.is_empty(), "\n{}", found.join("\n"));
            let found = report_faults(document);
            assert!(found.is_empty(), "\n{}", found.join("\n"));
        }
        Err(words) => assert!(words.contains("help: "), "{words}"),
    }
    outcome
}

#[track_caller]
fn attempts(odd: Odd) -> usize {
    let document = sound(&odd.recorded(), &Briefing::default()).unwrap();
    document.attempts.len()
}

#[test]
fn the_flight_itself_holds_one_attempt() {
    assert_eq!(attempts(USUAL), 1);
}

#[test]
fn places_at_the_seams_of_the_map_change_nothing() {
    for (latitude_deg, longitude_deg) in [
        (0.0, 0.0),
        (0.0, 180.0),
        (-16.8, 179.99),
        (-16.8, -179.99),
        (51.0, -180.0),
        (-84.0, 12.0),
    ] {
        let odd = Odd {
            latitude_deg,
            longitude_deg,
            ..USUAL
        };
        assert_eq!(attempts(odd), 1, "{latitude_deg}, {longitude_deg}");
    }
}

#[test]
fn at_the_poles_no_figure_is_nonsense() {
    for latitude_deg in [90.0, 89.99, -90.0, -89.95] {
        let odd = Odd {
            latitude_deg,
            longitude_deg: 33.0,
            ..USUAL
        };
        // East and north mean nothing there: what is found is not asked, only that it is sound.
        let _ = sound(&odd.recorded(), &Briefing::default());
    }
}

#[test]
fn ground_below_the_sea_and_high_ground_change_nothing() {
    for elevation_m in [-430.0, 0.0, 4000.0] {
        let odd = Odd {
            elevation_m,
            ..USUAL
        };
        assert_eq!(attempts(odd), 1, "{elevation_m} m");
    }
}

#[test]
fn any_year_is_a_year() {
    // 1970-01-01, across a leap second (2016-12-31T23:59:60Z), 2100-01-01, and before 1970.
    for utc_s in [0.0, 1_483_228_200.0, 4_102_444_000.0, -86_400.0] {
        let odd = Odd { utc_s, ..USUAL };
        assert_eq!(attempts(odd), 1, "{utc_s} s");
    }
}

#[test]
fn times_no_calendar_has_are_sound() {
    for utc_s in [1e15, -1e15, 1e18, f64::MAX, f64::MIN] {
        let odd = Odd { utc_s, ..USUAL };
        let _ = sound(&odd.recorded(), &Briefing::default());
    }
}

#[test]
fn twenty_fixes_a_second_are_as_good_as_one() {
    let odd = Odd {
        step_s: 0.05,
        ..USUAL
    };
    assert_eq!(attempts(odd), 1);
}

#[test]
fn coarse_recordings_are_sound() {
    for step_s in [10.0, 60.0, 200.0, 3600.0] {
        let odd = Odd { step_s, ..USUAL };
        let _ = sound(&odd.recorded(), &Briefing::default());
    }
    let hourly = of((0..20)
        .map(|i| Fix {
            utc_s: SPRING_2026_S + 3600.0 * f64::from(i),
            line: i as u32 + 1,
            latitude_deg: 51.0 + 0.1 * f64::from(i % 5),
            longitude_deg: -2.0,
            gnss_altitude_m: Some(1000.0 - 40.0 * i as f32),
            ..Fix::default()
        })
        .collect());
    assert_eq!(
        sound(&hourly, &Briefing::default()).unwrap().attempts.len(),
        0
    );
}

#[test]
fn two_thousand_knots_are_no_glide() {
    let odd = Odd {
        faster: 30.0,
        ..USUAL
    };
    assert_eq!(attempts(odd), 0);
}

#[test]
fn a_clock_set_back_is_put_in_order() {
    let mut recording = USUAL.recorded();
    for fix in &mut recording.fixes[300..] {
        fix.utc_s -= 90.0;
    }
    let _ = sound(&recording, &Briefing::default()).unwrap();
    for fix in &mut recording.fixes[300..] {
        fix.utc_s -= 36_000.0;
    }
    let _ = sound(&recording, &Briefing::default()).unwrap();
}

#[test]
fn nothing_but_gaps_is_sound() {
    let mut recording = USUAL.recorded();
    let mut index = 0;
    recording.fixes.retain(|_| {
        index += 1;
        index % 40 < 2
    });
    let _ = sound(&recording, &Briefing::default());
    for (segment, fix) in recording.fixes.iter_mut().enumerate() {
        fix.segment = segment as u32;
    }
    let _ = sound(&recording, &Briefing::default());
}

#[test]
fn standing_still_with_noise_is_no_attempt() {
    let mut noise = 1_u64;
    let mut metres = || {
        noise = noise
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (noise >> 33) as f64 / f64::from(1_u32 << 31) * 60.0 - 30.0
    };
    let fixes = (0..1200)
        .map(|i| Fix {
            utc_s: SPRING_2026_S + f64::from(i),
            line: i as u32 + 1,
            latitude_deg: 51.0 + metres() / 111_195.0,
            longitude_deg: -2.0 + metres() / 70_000.0,
            gnss_altitude_m: Some(300.0 + metres() as f32),
            ..Fix::default()
        })
        .collect();
    let document = sound(&of(fixes), &Briefing::default()).unwrap();
    assert_eq!(document.attempts.len(), 0);
}

#[test]
fn two_fixes_are_sound() {
    for (apart_s, apart_deg) in [(1.0, 0.001), (0.001, 1.0), (80_000.0, 40.0), (1e-9, 1e-3)] {
        let mut fixes = vec![USUAL.recorded().fixes[0]; 2];
        fixes[1].utc_s += apart_s;
        fixes[1].latitude_deg += apart_deg;
        let _ = sound(&of(fixes), &Briefing::default());
    }
}

#[test]
fn an_aim_on_the_other_side_of_the_earth_is_sound() {
    let mut briefing = Briefing::default();
    for (latitude_deg, longitude_deg) in [(-51.0, 178.0), (90.0, 0.0), (51.0, -2.0)] {
        briefing.aim.latitude_deg = Some(latitude_deg);
        briefing.aim.longitude_deg = Some(longitude_deg);
        briefing.aim.elevation_ft = Some(312.0);
        briefing.aim.landing_true_deg = Some(360.0);
        let _ = sound(&USUAL.recorded(), &briefing).unwrap();
    }
}

#[test]
fn values_no_sensor_has_are_left_out() {
    let mut recording = USUAL.recorded();
    for (index, fix) in recording.fixes.iter_mut().enumerate() {
        let odd = [1e36, -1e36, f32::INFINITY, f32::NAN][index % 4];
        fix.ground_speed_mps = Some(odd);
        fix.track_deg_true = Some(odd);
        fix.tas_mps = Some(odd);
        fix.engine_rpm = Some(odd);
        fix.pressure_altitude_m = Some(odd);
        fix.vertical_speed_mps = Some(odd);
        fix.bank_deg = Some(odd);
        fix.oat_c = Some(odd);
    }
    let document = sound(&recording, &Briefing::default()).unwrap();
    assert_eq!(document.attempts.len(), 1);
    assert!(
        document
            .warnings
            .iter()
            .any(|w| w.contains("a value out of any range")),
        "{:?}",
        document.warnings
    );
}
