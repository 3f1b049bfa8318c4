//! An invented document: no flight was ever like it.

use std::collections::BTreeMap;

use stillprop::debrief::document::{
    Attempt, Debrief, Ending, InHandStory, KeyPoint, Leg, NotAnAttempt, RecordingSummary,
    Reference, SCHEMA, Series, Stretch, WindAtHeight,
};
use stillprop::measures::catalogue::CATALOGUE;
use stillprop::quantity::Measured;

pub(super) fn known(value: f64, half_width: f64) -> Measured {
    Measured::Known {
        value,
        low: value - half_width,
        high: value + half_width,
    }
}

pub(super) fn utc(second: f64) -> String {
    let whole = second.round() as u32;
    format!("2026-05-03T10:{:02}:{:02}Z", 10 + whole / 60, whole % 60)
}

fn known_utc(second: f64) -> Measured<String> {
    Measured::Known {
        value: utc(second),
        low: utc(second - 1.0),
        high: utc(second + 1.0),
    }
}

/// Twenty seconds level, straight in, two orbits, downwind, base, final, rollout.
fn series() -> Series {
    let legs: [(usize, f64); 8] = [
        (70, 0.0),
        (120, 6.0),
        (40, 0.0),
        (20, 4.5),
        (12, 0.0),
        (20, 4.5),
        (30, 0.0),
        (18, 0.0),
    ];
    let turn_rates: Vec<f64> = legs
        .iter()
        .flat_map(|(n, rate)| std::iter::repeat_n(*rate, *n))
        .collect();
    let mut out = Series::default();
    let (mut east, mut north, mut heading_deg) = (0.0_f64, 0.0_f64, 270.0_f64);
    let touchdown = 311;
    for (i, rate) in turn_rates.iter().enumerate() {
        let elapsed = i as f64 - 20.0;
        let down = (elapsed.max(0.0) / 291.0).min(1.0);
        let speed_fps = if i < touchdown {
            118.0
        } else {
            (118.0 - 6.0 * (i - touchdown) as f64).max(20.0)
        };
        let height = 3200.0 * (1.0 - down);
        let cas = if i < 20 {
            95.0
        } else {
            71.0 + 20.0 * (-elapsed / 8.0).exp() + 1.5 * (elapsed / 9.0).sin()
        };
        out.utc.push(utc(100.0 + elapsed));
        out.elapsed_s.push(elapsed);
        out.east_ft.push(east);
        out.north_ft.push(north);
        out.height_ft.push(height);
        out.height_low_ft.push(height - 25.0);
        out.height_high_ft.push(height + 25.0);
        out.cas_kt.push(cas);
        out.cas_low_kt.push(cas - 1.6);
        out.cas_high_kt.push(cas + 1.6);
        out.descent_rate_fpm
            .push(if down > 0.0 && down < 1.0 { 660.0 } else { 0.0 });
        let descent = out.descent_rate_fpm[i];
        out.descent_rate_low_fpm.push(descent - 90.0);
        out.descent_rate_high_fpm.push(descent + 90.0);
        out.ground_speed_kt.push(speed_fps / 1.688);
        out.bank_deg.push(rate * 5.0);
        out.height_in_hand_ft
            .push((elapsed >= 0.0).then_some(0.4 * height - 50.0));
        heading_deg += rate;
        east += speed_fps * heading_deg.to_radians().sin();
        north += speed_fps * heading_deg.to_radians().cos();
    }
    let (aim_east, aim_north) = (
        out.east_ft[touchdown] - 310.0,
        out.north_ft[touchdown] + 12.0,
    );
    for (east, north) in out.east_ft.iter_mut().zip(&mut out.north_ft) {
        *east -= aim_east;
        *north -= aim_north;
    }
    out.latitude_deg = out.north_ft.iter().map(|n| 51.0 + n / 364_800.0).collect();
    out.longitude_deg = out.east_ft.iter().map(|e| -2.0 + e / 229_600.0).collect();
    out
}

pub(super) fn key_point(series: &Series, kind: &str, elapsed: usize) -> KeyPoint {
    let i = elapsed + 20;
    KeyPoint {
        kind: kind.to_owned(),
        probability: 1.0,
        utc: known_utc(100.0 + elapsed as f64),
        latitude_deg: series.latitude_deg[i],
        longitude_deg: series.longitude_deg[i],
        north_ft: series.north_ft[i],
        east_ft: series.east_ft[i],
        height_ft: known(series.height_ft[i], 14.0),
        cas_kt: known(series.cas_kt[i], 1.4),
    }
}

pub(super) fn wind(height_ft: f64, from_deg: f64, speed_kt: f64) -> WindAtHeight {
    WindAtHeight {
        height_ft,
        from_deg_true: known(from_deg, 9.0),
        speed_kt: known(speed_kt, 1.3),
        north_kt: known(-speed_kt * from_deg.to_radians().cos(), 1.2),
        east_kt: known(-speed_kt * from_deg.to_radians().sin(), 1.2),
    }
}

fn measures() -> BTreeMap<String, Measured> {
    let value = |unit: &str, id: &str| match (unit, id) {
        (_, "glide_cas_within_share") => known(0.82, 0.05),
        (_, "touchdown_along_ft") => known(310.0, 48.0),
        (_, "touchdown_across_ft") => known(-12.0, 9.0),
        (_, "abeam_height_ft") => known(942.0, 14.0),
        (_, "abeam_height_error_ft") => known(-58.0, 14.0),
        (_, "go_around_height_ft" | "projected_touchdown_along_ft") => {
            Measured::unknown("the attempt ended in a touchdown")
        }
        (_, "touchdown_sink_fpm") => Measured::unknown("a fix a second is too coarse for it"),
        ("kt", _) => known(71.3, 1.2),
        ("ft/min", _) => known(812.0, 40.0),
        ("s", _) => known(61.0, 1.5),
        ("", _) => known(1.9, 0.2),
        ("°", _) => known(34.0, 2.5),
        ("g", _) => known(1.22, 0.04),
        _ => known(1234.0, 60.0),
    };
    CATALOGUE
        .iter()
        .map(|info| (info.id.to_owned(), value(info.unit, info.id)))
        .collect()
}

pub(crate) fn attempt(number: u32) -> Attempt {
    let series = series();
    let points = [
        ("power_reduction", 0),
        ("best_glide_held", 14),
        ("overhead", 52),
        ("abeam", 190),
        ("base_turn", 212),
        ("on_final", 262),
        ("flare", 285),
        ("touchdown", 291),
    ];
    Attempt {
        number,
        confidence: 0.99,
        ending: Ending::Touchdown,
        touched_probability: Some(1.0),
        key_points: points
            .iter()
            .map(|(kind, t)| key_point(&series, kind, *t))
            .collect(),
        legs: vec![Leg {
            kind: "glide".to_owned(),
            from_utc: utc(114.0),
            to_utc: utc(362.0),
        }],
        steady_glide: Some(Stretch {
            from_utc: utc(114.0),
            to_utc: utc(362.0),
        }),
        wind: (0..7)
            .map(|i| {
                wind(
                    500.0 * f64::from(i),
                    110.0 + 6.0 * f64::from(i),
                    8.0 + f64::from(i),
                )
            })
            .collect(),
        measures: measures(),
        grade: None,
        checklist: None,
        events: Vec::new(),
        glide_ring_ft: Vec::new(),
        glide_energy: Vec::new(),
        in_hand: InHandStory::default(),
        remarks: vec!["the wind below 500 ft rests on the surface wind of the briefing".to_owned()],
        series,
    }
}

pub(crate) fn debrief(attempts: Vec<Attempt>) -> Debrief {
    Debrief {
        schema: SCHEMA.to_owned(),
        program: "stillprop 0.0.0".to_owned(),
        recording: RecordingSummary {
            file: "evening.igc".to_owned(),
            format: "igc".to_owned(),
            fixes: 1200,
            dropped: 3,
            rate_hz: 1.0,
            start_utc: utc(0.0),
            end_utc: utc(600.0),
            sha256: "0".repeat(64),
            channels: Vec::new(),
        },
        reference: Reference {
            aim_name: Some("Larkfield strip, 09".to_owned()),
            aim_source: "briefing".to_owned(),
            aim_latitude_deg: Some(51.0),
            aim_longitude_deg: Some(-2.0),
            aim_elevation_ft: Some(310.0),
            landing_true_deg: Some(90.0),
            qnh_hpa: Some(1018.0),
            temperature_c: Some(14.0),
            registration: Some("Trainer 3".to_owned()),
            aircraft_type: None,
            best_glide_kcas: Some(71.0),
            best_glide_from_briefing: true,
            glide_to_hold_kcas: Some(71.0),
            handbook_best_glide_kcas: Some(74.0),
            reference_weight_lb: Some(2551.0),
            weight_lb: Some(2350.0),
            held_within_kt: Some(5.0),
            held_for_s: Some(5.0),
            approach_kcas: Some(63.0),
            handbook_glide_ratio: Some(9.4),
            abeam_target_ft: Some(1000.0),
            speed_band_kt: [5.0, 5.0],
            approach_band_kt: Some([5.0, 10.0]),
            pilot: Some("P-07".to_owned()),
            instructor: Some("I-02".to_owned()),
        },
        height_reference: vec!["ground".to_owned(), "qnh".to_owned()],
        warnings: vec!["3 fixes were dropped".to_owned()],
        attempts,
        not_attempts: vec![NotAnAttempt {
            utc: utc(500.0),
            height_ft: 2310.0,
            confidence: 0.31,
            reason: "levelled off after 40 s with the power back on".to_owned(),
        }],
        cautions: vec![
            "A practice aid: not for navigation and not for use in flight.".to_owned(),
            "The aircraft's own handbook, local regulations, a qualified instructor and the \
             examiner come first."
                .to_owned(),
        ],
    }
}

pub(super) fn two_orbits_to_touchdown() -> Debrief {
    debrief(vec![attempt(1)])
}
