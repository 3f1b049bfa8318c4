//! Draws → document: medians, intervals, names.

use std::collections::BTreeMap;

use super::analyse::Analysis;
use super::attempt::{AttemptAnalysis, AttemptEnd};
use super::document::{
    Attempt, Debrief, Ending, KeyPoint, Leg, NotAnAttempt, RecordingSummary, Reference, SCHEMA,
    Series, Stretch, WindAtHeight,
};
use super::drawing::TURBULENCE_MPS;
use super::instants::{measured, rfc3339};
use super::reach::in_hand;
use super::reasons::reason;
use crate::briefing::Briefing;
use crate::flight_path::setting::AimSource;
use crate::key_points::flown::Instant;
use crate::key_points::turns::{orbits_in, turns};
use crate::measures::catalogue::CATALOGUE;
use crate::measures::{DrawnAttempt, DrawnEnd};
use crate::quantity::{Measured, from_draws, quantile_sorted};
use crate::random::Draws;
use crate::reading::Recording;
use crate::units::{M_PER_FT, fpm, ft, kt, wrap_180_deg, wrap_360_deg};

/// Tolerance around best glide drawn and measured when no standard is chosen, kt below and above:
/// FAA-S-ACS-6C and 7B, Area IX Task B (±10 kt).
pub const SPEED_BAND_KT: [f64; 2] = [10.0, 10.0];

/// The cautions every report carries.
pub const CAUTIONS: [&str; 6] = [
    "For review on the ground: not for navigation or use in flight.",
    "The aircraft's handbook, local regulations (minimum heights, low flying), a qualified instructor and the examiner come first.",
    "Heights are not altimeter readings; airspeed is estimated unless recorded.",
    "Idle is not a stopped engine.",
    "A track shows no look-out, checklists, carburettor heat or people below.",
    "Evidence, not a pass.",
];

/// The document of one recording.
pub fn document(
    recording: &Recording,
    briefing: &Briefing,
    sha256: &str,
    analysis: &Analysis,
) -> Debrief {
    let setting = &analysis.setting;
    let track = &analysis.track;
    let start = setting.utc_start_s;
    let (_, last_s) = analysis.path.mean.span_s();
    let dropped: u64 = recording
        .notes
        .iter()
        .chain(&track.notes)
        .map(|n| u64::from(n.dropped_fixes))
        .sum();
    let mut warnings: Vec<String> = Vec::new();
    for note in recording.notes.iter().chain(&track.notes) {
        let place = if note.first_line > 0 {
            format!(" (first at line {}, {} times)", note.first_line, note.count)
        } else {
            String::new()
        };
        warnings.push(format!("{}{place}", note.what));
    }
    warnings.extend(setting.warnings.iter().cloned());
    match setting.aim {
        AimSource::Touchdown => warnings.push(
            "no aim point in the briefing: the touchdown itself stands in for it, so distances from the aim say nothing about accuracy".into(),
        ),
        AimSource::None => warnings.push(
            "no aim point in the briefing and no touchdown in the recording: figures about the aim are not measured".into(),
        ),
        AimSource::Briefing => {}
    }
    Debrief {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        recording: RecordingSummary {
            file: recording.file_name.clone(),
            format: format!("{:?}", recording.format).to_lowercase(),
            fixes: track.fixes.len() as u64,
            dropped,
            rate_hz: if track.median_step_s > 0.0 {
                1.0 / track.median_step_s
            } else {
                0.0
            },
            start_utc: rfc3339(start),
            end_utc: rfc3339(start + last_s),
            sha256: sha256.into(),
            channels: channels(analysis),
        },
        reference: reference(briefing, analysis),
        height_reference: height_reference(analysis),
        warnings,
        attempts: analysis
            .attempts
            .iter()
            .enumerate()
            .map(|(i, a)| attempt(analysis, a, i))
            .collect(),
        not_attempts: analysis
            .rejected
            .iter()
            .map(|c| NotAnAttempt {
                utc: rfc3339(start + c.start_s),
                height_ft: ft(c.start_height_m),
                confidence: c.confidence,
                reason: c.reason.clone().unwrap_or_default(),
            })
            .collect(),
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

fn channels(analysis: &Analysis) -> Vec<String> {
    let rows = &analysis.path.rows;
    let mut out = Vec::new();
    let mut add = |name: &str, there: bool| {
        if there {
            out.push(name.to_string());
        }
    };
    add(
        "gnss_altitude",
        rows.iter().any(|r| r.gnss_height_m.is_some()),
    );
    add(
        "pressure_altitude",
        rows.iter().any(|r| r.pressure_height_m.is_some()),
    );
    add(
        "ground_velocity",
        rows.iter().any(|r| r.velocity_mps.is_some()),
    );
    add("vertical_speed", rows.iter().any(|r| r.climb_mps.is_some()));
    add("tas", rows.iter().any(|r| r.tas_mps.is_some()));
    add("ias", rows.iter().any(|r| r.ias_mps.is_some()));
    add("engine_rpm", rows.iter().any(|r| r.engine_rpm.is_some()));
    add(
        "engine_noise",
        rows.iter().any(|r| r.engine_noise.is_some()),
    );
    add("flap", rows.iter().any(|r| r.flap_deg.is_some()));
    out
}

fn height_reference(analysis: &Analysis) -> Vec<String> {
    let rows = &analysis.path.rows;
    let mut out = Vec::new();
    if analysis.path.ground_reference_s > 8.0 {
        out.push("ground".into());
    }
    if analysis.setting.qnh_known && rows.iter().any(|r| r.pressure_height_m.is_some()) {
        out.push("qnh".into());
    }
    if rows.iter().any(|r| r.gnss_height_m.is_some()) {
        out.push(
            if analysis.setting.gnss_offset_m == 0.0 {
                "recorder"
            } else {
                "geoid"
            }
            .into(),
        );
    }
    out
}

fn reference(briefing: &Briefing, analysis: &Analysis) -> Reference {
    let setting = &analysis.setting;
    let known = setting.aim != AimSource::None;
    let resolved = briefing.air_resolved().unwrap_or_default();
    Reference {
        aim_name: briefing.aim.name.clone(),
        aim_source: match setting.aim {
            AimSource::Briefing => "briefing",
            AimSource::Touchdown => "touchdown",
            AimSource::None => "none",
        }
        .into(),
        aim_latitude_deg: known.then(|| setting.frame.latitude_deg()),
        aim_longitude_deg: known.then(|| setting.frame.longitude_deg()),
        aim_elevation_ft: Some((ft(setting.elevation_m) * 10.0).round() / 10.0),
        landing_true_deg: setting.landing_true_deg,
        qnh_hpa: resolved.qnh_hpa.map(|q| q.value),
        temperature_c: resolved.temperature_c.map(|t| t.value),
        registration: briefing.aircraft.registration.clone(),
        best_glide_kcas: Some((kt(analysis.polar.best_glide_cas_mps) * 10.0).round() / 10.0),
        best_glide_from_briefing: analysis.best_glide_from_briefing,
        approach_kcas: briefing.aircraft.approach_kcas,
        handbook_glide_ratio: briefing.aircraft.glide_ratio,
        abeam_target_ft: briefing.targets.abeam_height_ft,
        speed_band_kt: SPEED_BAND_KT,
        pilot: briefing.people.pilot.clone(),
        instructor: briefing.people.instructor.clone(),
    }
}

/// Median over the draws of `f`, NaN where fewer than half have one.
fn median(draws: &[DrawnAttempt], f: impl Fn(&DrawnAttempt) -> Option<f64>) -> Option<f64> {
    let mut v: Vec<f64> = draws
        .iter()
        .filter_map(f)
        .filter(|x| x.is_finite())
        .collect();
    if v.len() * 2 < draws.len() || v.is_empty() {
        return None;
    }
    v.sort_by(f64::total_cmp);
    Some(quantile_sorted(&v, 0.5))
}

fn attempt(analysis: &Analysis, a: &AttemptAnalysis, index: usize) -> Attempt {
    let start = analysis.setting.utc_start_s;
    let mut measures = BTreeMap::new();
    for info in CATALOGUE {
        let drawn: Vec<f64> = a
            .values
            .iter()
            .map(|v| v.get(info.id).copied().unwrap_or(f64::NAN))
            .collect();
        let why = reason(info.id, analysis, a);
        measures.insert(info.id.to_string(), from_draws(&drawn, &why));
    }
    let key_points = key_points(analysis, a);
    let mut series = series(analysis, a);
    let in_hand = in_hand(&a.draws, &series_steps(a), start);
    series.height_in_hand_ft = in_hand.height_ft;
    Attempt {
        number: index as u32 + 1,
        confidence: a.candidate.confidence,
        ending: match a.end {
            AttemptEnd::Touchdown => Ending::Touchdown,
            AttemptEnd::GoAround => Ending::GoAround,
            AttemptEnd::Recording => Ending::EndOfRecording,
        },
        legs: legs(start, a),
        key_points,
        steady_glide: a.steady_s.map(|(from, to)| Stretch {
            from_utc: rfc3339(start + from),
            to_utc: rfc3339(start + to),
        }),
        wind: wind(a),
        measures,
        grade: None,
        checklist: None,
        remarks: remarks(analysis, a),
        events: in_hand.events,
        glide_ring_ft: in_hand.ring_ft,
        series,
    }
}

/// Least heading change from which wind and airspeed can be told apart, degrees.
const LEAST_TURN_FOR_WIND_DEG: f64 = 90.0;

fn remarks(analysis: &Analysis, a: &AttemptAnalysis) -> Vec<String> {
    let mut out = Vec::new();
    if a.turned_deg < LEAST_TURN_FOR_WIND_DEG && !a.has_recorded_airspeed {
        out.push(format!(
            "the glide turned only {:.0}°: wind cannot be told from airspeed; give a METAR or fly one orbit",
            a.turned_deg
        ));
    }
    if a.never_held && analysis.best_glide_from_briefing {
        out.push("best glide was never held for 5 s: the steady glide is taken from 15 s after the power reduction".into());
    }
    if !analysis.best_glide_from_briefing {
        out.push(format!(
            "best glide speed is not in the briefing: {:.0} kt, the speed usually held at idle in this recording, stands in for it",
            kt(analysis.polar.best_glide_cas_mps)
        ));
    }
    out
}

/// A kind of key point, its time in a draw, and what to say where there is none.
type Finder = (&'static str, fn(&DrawnAttempt) -> Option<f64>);

const FINDERS: [Finder; 9] = [
    ("power_reduction", |d| Some(d.known.power_reduction_s)),
    ("best_glide_held", |d| d.times.best_glide_held_s),
    ("overhead", |d| d.times.overhead_s),
    ("abeam", |d| d.times.abeam_s),
    ("base_turn", |d| d.times.base_turn_s),
    ("on_final", |d| d.times.on_final_s),
    ("flare", |d| match d.end {
        DrawnEnd::Touchdown { flare_s, .. } => Some(flare_s),
        _ => None,
    }),
    ("touchdown", |d| match d.end {
        DrawnEnd::Touchdown { at_s, .. } => Some(at_s),
        _ => None,
    }),
    ("go_around", |d| match d.end {
        DrawnEnd::GoAround { at_s } => Some(at_s),
        _ => None,
    }),
];

fn key_points(analysis: &Analysis, a: &AttemptAnalysis) -> Vec<KeyPoint> {
    let mut found: Vec<(f64, KeyPoint)> = FINDERS
        .iter()
        .filter_map(|(kind, time_of)| key_point(analysis, a, kind, time_of))
        .collect();
    let clearings = a.draws.first().map_or(0, |d| d.clearings_s.len());
    found.extend((0..clearings).filter_map(|i| {
        key_point(analysis, a, "engine_clearing", &|d| {
            d.clearings_s.get(i).copied()
        })
    }));
    found.sort_by(|x, y| x.0.total_cmp(&y.0));
    found.into_iter().map(|f| f.1).collect()
}

/// The key point of this kind and its median time, if most draws have one.
fn key_point(
    analysis: &Analysis,
    a: &AttemptAnalysis,
    kind: &str,
    time_of: &dyn Fn(&DrawnAttempt) -> Option<f64>,
) -> Option<(f64, KeyPoint)> {
    let middle = median(&a.draws, time_of)?;
    let times: Vec<f64> = a
        .draws
        .iter()
        .map(|d| time_of(d).unwrap_or(f64::NAN))
        .collect();
    let at = |f: &dyn Fn(&DrawnAttempt, f64) -> f64| -> Vec<f64> {
        a.draws
            .iter()
            .map(|d| time_of(d).map_or(f64::NAN, |t| f(d, t)))
            .collect()
    };
    let east_m = middle_of(&at(&|d, t| d.flown.at(t).east_m));
    let north_m = middle_of(&at(&|d, t| d.flown.at(t).north_m));
    let (latitude_deg, longitude_deg) = analysis
        .setting
        .frame
        .to_latitude_longitude(east_m, north_m);
    let point = KeyPoint {
        kind: kind.into(),
        utc: measured(
            &times,
            analysis.setting.utc_start_s,
            "the draws do not agree that there is one",
        ),
        latitude_deg,
        longitude_deg,
        north_ft: ft(north_m),
        east_ft: ft(east_m),
        height_ft: from_draws(&at(&|d, t| ft(d.flown.at(t).height_m)), "no height"),
        cas_kt: from_draws(&at(&|d, t| kt(d.flown.cas_mps_at(t))), "no airspeed"),
    };
    Some((middle, point))
}

fn middle_of(values: &[f64]) -> f64 {
    let mut v: Vec<f64> = values.iter().copied().filter(|x| x.is_finite()).collect();
    v.sort_by(f64::total_cmp);
    if v.is_empty() {
        0.0
    } else {
        quantile_sorted(&v, 0.5)
    }
}

fn legs(start: f64, a: &AttemptAnalysis) -> Vec<Leg> {
    let draws = &a.draws;
    let Some(reduction) = median(draws, |d| Some(d.known.power_reduction_s)) else {
        return Vec::new();
    };
    let end = median(draws, |d| Some(d.known.end_s)).unwrap_or(reduction);
    let held = median(draws, |d| d.times.best_glide_held_s);
    let abeam = median(draws, |d| d.times.abeam_s).filter(|t| *t > reduction);
    let base = median(draws, |d| d.times.base_turn_s);
    let on_final = median(draws, |d| d.times.on_final_s);
    let flare = median(draws, FINDERS[6].1);
    let mut marks: Vec<(f64, &str)> = vec![(reduction, "settling")];
    if let Some(t) = held {
        marks.push((t, "glide"));
    }
    // the downwind starts where the last turn before the abeam point ended
    if let Some(t) = abeam {
        let from = draws
            .first()
            .map(|d| turns(&d.flown, reduction, t))
            .and_then(|turns| turns.last().map(|turn| turn.to_s))
            .unwrap_or(reduction);
        marks.push((from.max(held.unwrap_or(reduction)).min(t), "downwind"));
    }
    if let Some(t) = base {
        marks.push((t, "base"));
    }
    if let Some(t) = on_final {
        marks.push((t, "final"));
    }
    if let Some(t) = flare {
        marks.push((t, "flare"));
    }
    marks.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut out: Vec<Leg> = Vec::new();
    for (i, (from, kind)) in marks.iter().enumerate() {
        let to = marks.get(i + 1).map_or(end, |m| m.0);
        if to - from > 0.5 {
            out.push(leg(kind, start + from, start + to));
        }
    }
    if let Some(d) = draws.first() {
        for turn in turns(&d.flown, reduction, base.unwrap_or(end)) {
            if orbits_in(&turn) >= 1.0 {
                out.push(leg("orbit", start + turn.from_s, start + turn.to_s));
            }
        }
        if a.end == AttemptEnd::Touchdown {
            let last = d.flown.instants.last().map_or(end, |i| i.motion.t_s);
            out.push(leg("rollout", start + end, start + last));
        }
    }
    out.sort_by(|x, y| x.from_utc.cmp(&y.from_utc));
    out
}

fn leg(kind: &str, from: f64, to: f64) -> Leg {
    Leg {
        kind: kind.into(),
        from_utc: rfc3339(from),
        to_utc: rfc3339(to),
    }
}

/// Heights at which the wind is given, ft: one near the ground, then every 500.
fn wind(a: &AttemptAnalysis) -> Vec<WindAtHeight> {
    let top_ft = ft(a.candidate.start_height_m);
    let mut heights = vec![200.0];
    let mut next = 500.0;
    while next < top_ft + 100.0 {
        heights.push(next);
        next += 500.0;
    }
    let mut rng = Draws::new(11, 3);
    heights
        .into_iter()
        .map(|height_ft| {
            let at: Vec<[f64; 2]> = a
                .draws
                .iter()
                .map(|d| {
                    let w = d.flown.wind.at(height_ft * M_PER_FT);
                    [
                        kt(w[0] + TURBULENCE_MPS * rng.normal()),
                        kt(w[1] + TURBULENCE_MPS * rng.normal()),
                    ]
                })
                .collect();
            let pick = |f: &dyn Fn(&[f64; 2]) -> f64| -> Vec<f64> { at.iter().map(f).collect() };
            let none = "no wind";
            WindAtHeight {
                height_ft,
                from_deg_true: direction(&at),
                speed_kt: from_draws(&pick(&|w| w[0].hypot(w[1])), none),
                north_kt: from_draws(&pick(&|w| w[1]), none),
                east_kt: from_draws(&pick(&|w| w[0]), none),
            }
        })
        .collect()
}

/// Direction the wind comes from: spread around the direction of the mean.
fn direction(at: &[[f64; 2]]) -> Measured {
    let n = at.len().max(1) as f64;
    let mean = [
        at.iter().map(|w| w[0]).sum::<f64>() / n,
        at.iter().map(|w| w[1]).sum::<f64>() / n,
    ];
    let middle = (-mean[0]).atan2(-mean[1]).to_degrees();
    let around: Vec<f64> = at
        .iter()
        .map(|w| wrap_180_deg((-w[0]).atan2(-w[1]).to_degrees() - middle))
        .collect();
    match from_draws(&around, "no wind") {
        Measured::Known { value, low, high } if high - low < 240.0 => Measured::Known {
            value: wrap_360_deg(middle + value),
            low: wrap_360_deg(middle + low),
            high: wrap_360_deg(middle + high),
        },
        _ => Measured::unknown("too light to have a direction"),
    }
}

/// Seconds drawn before the power reduction and after the end.
const SERIES_AROUND_S: (f64, f64) = (20.0, 12.0);

/// The instants of the series: one a second.
fn series_steps(a: &AttemptAnalysis) -> Vec<usize> {
    let Some(first) = a.draws.first() else {
        return Vec::new();
    };
    let reduction = median(&a.draws, |d| Some(d.known.power_reduction_s)).unwrap_or(0.0);
    let end = median(&a.draws, |d| Some(d.known.end_s)).unwrap_or(reduction);
    let from = first.flown.index(reduction - SERIES_AROUND_S.0);
    let to = first.flown.index(end + SERIES_AROUND_S.1);
    (from..=to).step_by(2).collect()
}

fn series(analysis: &Analysis, a: &AttemptAnalysis) -> Series {
    let mut out = Series::default();
    let Some(first) = a.draws.first() else {
        return out;
    };
    let start = analysis.setting.utc_start_s;
    let reduction = median(&a.draws, |d| Some(d.known.power_reduction_s)).unwrap_or(0.0);
    for k in series_steps(a) {
        let at: Vec<&Instant> = a
            .draws
            .iter()
            .filter_map(|d| d.flown.instants.get(k))
            .collect();
        let middle = |f: &dyn Fn(&Instant) -> f64| -> [f64; 3] {
            let mut v: Vec<f64> = at.iter().map(|i| f(i)).collect();
            v.sort_by(f64::total_cmp);
            [
                quantile_sorted(&v, 0.5),
                quantile_sorted(&v, 0.025),
                quantile_sorted(&v, 0.975),
            ]
        };
        let t_s = first.flown.instants[k].motion.t_s;
        let east = middle(&|i| i.motion.east_m)[0];
        let north = middle(&|i| i.motion.north_m)[0];
        let (latitude, longitude) = analysis.setting.frame.to_latitude_longitude(east, north);
        let height = middle(&|i| ft(i.motion.height_m));
        let cas = middle(&|i| kt(i.calm_cas_mps));
        let band = middle(&|i| kt(i.cas_mps));
        out.utc.push(rfc3339(start + t_s));
        out.elapsed_s.push(t_s - reduction);
        out.latitude_deg.push(latitude);
        out.longitude_deg.push(longitude);
        out.north_ft.push(ft(north));
        out.east_ft.push(ft(east));
        out.height_ft.push(height[0]);
        out.height_low_ft.push(height[1]);
        out.height_high_ft.push(height[2]);
        out.cas_kt.push(cas[0]);
        out.cas_low_kt.push(band[1].min(cas[0]));
        out.cas_high_kt.push(band[2].max(cas[0]));
        out.descent_rate_fpm
            .push(-fpm(middle(&|i| i.motion.climb_mps)[0]));
        out.ground_speed_kt
            .push(kt(middle(&|i| i.motion.ground_speed_mps())[0]));
        out.bank_deg.push(middle(&|i| i.bank_deg)[0]);
    }
    out
}
