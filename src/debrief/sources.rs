//! What the document says of its sources: channels, heights, the briefing.

use super::analyse::Analysis;
use super::assemble::SPEED_BAND_KT;
use super::document::Reference;
use crate::briefing::Briefing;
use crate::flight_path::setting::AimSource;
use crate::key_points::pattern;
use crate::units::{ft, kt};

/// What the recorder wrote, by name.
pub(super) fn channels(analysis: &Analysis) -> Vec<String> {
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

/// What heights rest on.
pub(super) fn height_reference(analysis: &Analysis) -> Vec<String> {
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

/// What the attempts are held against.
pub(super) fn reference(briefing: &Briefing, analysis: &Analysis) -> Reference {
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
        aircraft_type: briefing.aircraft.kind.clone(),
        best_glide_kcas: Some((kt(analysis.polar.best_glide_cas_mps) * 10.0).round() / 10.0),
        best_glide_from_briefing: analysis.best_glide_from_briefing,
        glide_to_hold_kcas: Some((kt(analysis.to_hold_cas_mps) * 10.0).round() / 10.0),
        handbook_best_glide_kcas: briefing.aircraft.best_glide_kcas,
        reference_weight_lb: briefing.aircraft.reference_weight_lb,
        weight_lb: briefing.aircraft.weight_lb,
        held_within_kt: Some(kt(pattern::HELD_WITHIN_MPS)),
        held_for_s: Some(pattern::HELD_FOR_S),
        approach_kcas: briefing.aircraft.approach_kcas,
        handbook_glide_ratio: briefing.aircraft.glide_ratio,
        abeam_target_ft: briefing.targets.abeam_height_ft,
        speed_band_kt: SPEED_BAND_KT,
        approach_band_kt: None,
        pilot: briefing.people.pilot.clone(),
        instructor: briefing.people.instructor.clone(),
    }
}
