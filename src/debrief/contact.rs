//! Whether and when the wheels met the ground: the rows near the ground put before the touchdown model.

use super::attempt::Ground;
use crate::atmosphere::SpeedScale;
use crate::attempts::Candidate;
use crate::key_points::flown::along_across;
use crate::key_points::touchdown::{
    GroundContext, GroundRow, TouchdownPosterior, contact_candidates, posterior,
};
use crate::units::MPS_PER_KT;

/// How long before and after the search rows are taken, s.
const AROUND_S: f64 = 20.0;
/// The contact is looked for this long before and after the rough end of the idle stretch, s.
const SEARCH_S: (f64, f64) = (40.0, 12.0);
/// The contact is looked for this long before and after the low pass, s: floats last long.
const SEARCH_AROUND_S: (f64, f64) = (12.0, 18.0);
/// Doubt of the heights near the ground once the slow errors are taken off, m.
const HEIGHT_DATUM_SD_M: f64 = 1.5;

/// The posterior of the touchdown that ends `candidate`, if there is one.
pub(super) fn posterior_of(g: &Ground<'_>, candidate: &Candidate) -> TouchdownPosterior {
    let mean = &g.path.mean;
    let low = lowest(g, candidate);
    let from_s = (low - SEARCH_S.0).max(candidate.start_s + 5.0);
    let to_s = low + SEARCH_S.1;
    let near = mean.resampled(from_s - AROUND_S, to_s + AROUND_S, 0.5);
    // the low pass nearest to the end is the one asked about
    let middle_s =
        contact_candidates(&near.iter().map(|m| (m.t_s, m.height_m)).collect::<Vec<_>>())
            .into_iter()
            .filter(|t| *t >= from_s && *t <= to_s)
            .min_by(|a, b| (a - low).abs().total_cmp(&(b - low).abs()));
    let direction = direction_of_landing(g, middle_s.unwrap_or(low));
    let rows: Vec<GroundRow> = g
        .path
        .rows
        .iter()
        .filter(|r| r.t_s >= from_s - AROUND_S && r.t_s <= to_s + AROUND_S)
        .map(|r| {
            let (along_m, across_m) = along_across(r.east_m, r.north_m, direction);
            let k = mean.index_before(r.t_s);
            GroundRow {
                t_s: r.t_s,
                along_m,
                across_m,
                ground_speed_mps: r.velocity_mps.map(|v| v[0].hypot(v[1])),
                gnss_height_m: r.gnss_height_m.map(|h| h - g.path.gnss_error_m[k]),
                baro_height_m: r.pressure_height_m.map(|h| h - g.path.pressure_error_m[k]),
                vertical_speed_mps: r.climb_mps.map(f64::from),
                engine: r.engine_rpm.or(r.engine_noise).map(f64::from),
            }
        })
        .collect();
    let wind = g.rough_wind.at(5.0);
    let has_velocity = rows.iter().any(|r| r.ground_speed_mps.is_some());
    let (search_from_s, search_to_s) = middle_s.map_or((from_s, to_s), |t| {
        (t - SEARCH_AROUND_S.0, t + SEARCH_AROUND_S.1)
    });
    let context = GroundContext {
        gnss_quantum_m: g.track.gnss_altitude_quantum_m.unwrap_or(0.0),
        baro_quantum_m: g.track.pressure_altitude_quantum_m.unwrap_or(0.0),
        position_quantum_m: g.setting.position_quantum_m(g.track),
        speed_quantum_mps: 0.05,
        step_s: g.track.median_step_s,
        headwind_mps: -along_across(wind[0], wind[1], direction).0,
        usual_approach_mps: usual_approach_mps(g),
        doppler_lag_s: has_velocity.then_some(g.path.horizontal_model.velocity_lag_s),
        height_datum_sd_m: HEIGHT_DATUM_SD_M,
        rollout_height_m: crate::flight_path::vertical::PARKED_HEIGHT_M,
        search_from_s,
        search_to_s,
    };
    posterior(&rows, &context)
}

/// Approach speed of this aeroplane as true airspeed at the aim, m/s, where the briefing tells: as such, or by the
/// usual rule of 1.3 times the stalling speed; of the handbook's weight: few fly slower for being lighter (common practice).
fn usual_approach_mps(g: &Ground<'_>) -> Option<f64> {
    let aircraft = &g.briefing.aircraft;
    let kcas = aircraft
        .stall_landing_kcas
        .map(|stall| 1.3 * stall)
        .or(aircraft.approach_kcas)?;
    Some(SpeedScale::of(&g.setting.air).tas_mps(kcas * MPS_PER_KT, 0.0))
}

/// When the path is lowest around the end of the candidate, s.
fn lowest(g: &Ground<'_>, candidate: &Candidate) -> f64 {
    g.path
        .mean
        .resampled(candidate.start_s + 5.0, candidate.end_s + 10.0, 0.5)
        .iter()
        .min_by(|a, b| a.height_m.total_cmp(&b.height_m))
        .map_or(candidate.end_s, |m| m.t_s)
}

/// Direction of motion about the contact, degrees true: the landing direction, where the track agrees with it.
///
/// Not about the lowest height: that may be anywhere on the rollout, the way off the runway included.
fn direction_of_landing(g: &Ground<'_>, contact_s: f64) -> f64 {
    let points = g.path.mean.resampled(contact_s - 6.0, contact_s + 3.0, 0.5);
    let (east, north) = points.iter().fold((0.0, 0.0), |sum, m| {
        (sum.0 + m.east_mps, sum.1 + m.north_mps)
    });
    let track = east.atan2(north).to_degrees();
    g.setting
        .landing_true_deg
        .filter(|landing| crate::units::wrap_180_deg(track - landing).abs() < 20.0)
        .unwrap_or(track)
}
