//! Invented draws for the tests of measures: no flight was ever like them.

use super::held_speed::ToHold;
use super::{Approach, DrawnAttempt, DrawnEnd};
use crate::air::WindProfile;
use crate::air::drag::Polar;
use crate::atmosphere::{AirColumn, SpeedScale};
use crate::flight_path::{Motion, Path};
use crate::key_points::flown::DrawnAir;
use crate::key_points::{Flown, KeyTimes, Known};
use crate::reach::ReachSetting;

/// Best glide 35 m/s at 9 to 1.
pub(super) const POLAR: Polar = Polar {
    best_glide_cas_mps: 35.0,
    glide_ratio: 9.0,
};

/// A draw every half second, landing north in still air, that flies as `motion` says until `end_s`.
pub(super) fn drawn(end_s: f64, motion: impl Fn(f64) -> Motion) -> DrawnAttempt {
    let scale = SpeedScale::of(&AirColumn::standard(0.0));
    let points: Vec<Motion> = (0..=(2.0 * end_s) as usize)
        .map(|i| motion(0.5 * i as f64))
        .collect();
    let air = DrawnAir {
        scale: &scale,
        gust_mps: &[],
        recorded_tas_mps: &[],
        recorded_cas_mps: &[],
    };
    let wind = WindProfile {
        knots_mps: vec![[0.0, 0.0]; 8],
    };
    let flown = Flown::new(Path { points }, (0.0, end_s), wind, Some(0.0), &air);
    DrawnAttempt {
        flown,
        times: KeyTimes {
            best_glide_held_s: Some(0.0),
            ..KeyTimes::default()
        },
        known: Known {
            power_reduction_s: 0.0,
            end_s,
            best_glide_cas_mps: POLAR.best_glide_cas_mps,
            to_hold_cas_mps: POLAR.best_glide_cas_mps,
        },
        end: DrawnEnd::Recording,
        clearings_s: Vec::new(),
        steady_s: None,
        vertical_air_mps: 0.0,
        expected_vertical_air_mps: 0.0,
        turbulence_mps: Vec::new(),
        bank_error_deg: 0.0,
        airspeed_spread: 1.0,
        glide_to_hold: ToHold {
            cas_mps: POLAR.best_glide_cas_mps,
            below_mps: 5.0,
            above_mps: 5.0,
        },
        final_to_hold: None,
        stall_cas_mps: Some(24.0),
        abeam_target_m: None,
        polar: POLAR,
        glide_ratio_known: true,
        approach: Approach {
            setting: ReachSetting::default(),
            cas_mps: 32.0,
            full_flap_s: None,
        },
        stream: 7,
    }
}

/// Straight north at `speed_mps`, from `from_m` before the aim and `height_m` above it, sinking.
pub(super) fn straight(
    (from_m, height_m): (f64, f64),
    speed_mps: f64,
    sink_mps: f64,
) -> impl Fn(f64) -> Motion {
    move |t_s| Motion {
        t_s,
        north_m: speed_mps * t_s - from_m,
        north_mps: speed_mps,
        height_m: height_m - sink_mps * t_s,
        climb_mps: -sink_mps,
        ..Motion::default()
    }
}

/// A level turn to the left at `bank_deg`, ending with the nose to the north.
pub(super) fn turn(speed_mps: f64, bank_deg: f64, height_m: f64) -> impl Fn(f64) -> Motion {
    let across = crate::units::G0_MPS2 * bank_deg.to_radians().tan();
    let rate = across / speed_mps;
    let radius = speed_mps / rate;
    move |t_s| {
        let (sin, cos) = (rate * t_s).sin_cos();
        Motion {
            t_s,
            east_m: radius * cos,
            north_m: radius * sin - 1500.0,
            height_m,
            east_mps: -speed_mps * sin,
            north_mps: speed_mps * cos,
            east_mps2: -across * cos,
            north_mps2: -across * sin,
            ..Motion::default()
        }
    }
}
