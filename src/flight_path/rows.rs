//! Fixes → what the filters observe: positions in the plane of the aim, heights above it.

use super::smoother::Epoch;
use super::vertical::{CLIMB, GNSS_HEIGHT, ON_GROUND, PARKED_HEIGHT_M, PRESSURE_HEIGHT};
use super::{Setting, horizontal};
use crate::cleaning::CleanTrack;

/// One fix in the plane of the aim. Channels that stay as they were recorded stay as narrow as they were read: a long recording has
/// hundreds of thousands of rows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Row {
    /// Seconds on the recording's clock.
    pub t_s: f64,
    /// East of the reference point, m.
    pub east_m: f64,
    /// North of it, m.
    pub north_m: f64,
    /// Recorded ground velocity, east and north, m/s.
    pub velocity_mps: Option<[f64; 2]>,
    /// GNSS height above the aim, m, as if above mean sea level.
    pub gnss_height_m: Option<f64>,
    /// Height above the aim from pressure, QNH and temperature, m.
    pub pressure_height_m: Option<f64>,
    /// Recorded climb, m/s.
    pub climb_mps: Option<f32>,
    /// Recorded true airspeed, m/s.
    pub tas_mps: Option<f32>,
    /// Recorded indicated airspeed, m/s.
    pub ias_mps: Option<f32>,
    /// Recorded engine speed, 1/min.
    pub engine_rpm: Option<f32>,
    /// Recorded engine noise, 0..999.
    pub engine_noise: Option<f32>,
    /// Recorded flap, degrees.
    pub flap_deg: Option<f32>,
}

/// Every fix of `track` in the plane of the aim.
pub fn rows(track: &CleanTrack, setting: &Setting) -> Vec<Row> {
    track
        .fixes
        .iter()
        .map(|fix| {
            let (east_m, north_m) = setting
                .frame
                .to_east_north_m(fix.latitude_deg, fix.longitude_deg);
            let velocity_mps = match (fix.ground_speed_mps, fix.track_deg_true) {
                (Some(speed), Some(direction)) => {
                    let angle_rad = f64::from(direction).to_radians();
                    Some([
                        f64::from(speed) * angle_rad.sin(),
                        f64::from(speed) * angle_rad.cos(),
                    ])
                }
                _ => None,
            };
            Row {
                t_s: fix.utc_s - setting.utc_start_s,
                east_m,
                north_m,
                velocity_mps,
                gnss_height_m: fix
                    .gnss_altitude_m
                    .map(|a| f64::from(a) - setting.gnss_offset_m - setting.elevation_m),
                pressure_height_m: fix
                    .pressure_altitude_m
                    .map(|a| setting.air.height_above_elevation_m(f64::from(a))),
                climb_mps: fix.vertical_speed_mps,
                tas_mps: fix.tas_mps,
                ias_mps: fix.ias_mps,
                engine_rpm: fix.engine_rpm,
                engine_noise: fix.engine_noise,
                flap_deg: fix.flap_deg,
            }
        })
        .collect()
}

/// Least spacing of fixes used outside the windows, s.
const THINNED_STEP_S: f64 = 0.95;
/// Least spacing used inside them, s.
const FINEST_STEP_S: f64 = 0.09;
/// Most spacing of epochs inside the windows, s.
const WINDOW_STEP_S: f64 = 0.5;

/// Indices of the rows to use: all inside `windows`, about one a second outside.
pub fn chosen(rows: &[Row], windows: &[(f64, f64)]) -> Vec<usize> {
    let mut out = Vec::with_capacity(rows.len());
    let mut last_s = f64::NEG_INFINITY;
    for (i, row) in rows.iter().enumerate() {
        let inside = windows.iter().any(|w| row.t_s >= w.0 && row.t_s <= w.1);
        let least = if inside {
            FINEST_STEP_S
        } else {
            THINNED_STEP_S
        };
        if row.t_s - last_s >= least {
            out.push(i);
            last_s = row.t_s;
        }
    }
    out
}

/// Epochs of both filters at the chosen rows, with empty ones between them inside the windows.
pub fn epochs(
    rows: &[Row],
    chosen: &[usize],
    windows: &[(f64, f64)],
) -> (Vec<Epoch<2>>, Vec<Epoch<1>>) {
    let mut level: Vec<Epoch<2>> = Vec::with_capacity(chosen.len() * 2);
    let mut upright: Vec<Epoch<1>> = Vec::with_capacity(chosen.len() * 2);
    for &i in chosen {
        let row = &rows[i];
        if let Some(previous) = level.last().map(|e| e.t_s) {
            let inside = windows.iter().any(|w| row.t_s >= w.0 && previous <= w.1);
            let gap = row.t_s - previous;
            if inside && gap > WINDOW_STEP_S * 1.01 && gap < 600.0 {
                let pieces = (gap / WINDOW_STEP_S).ceil() as usize;
                for p in 1..pieces {
                    let t_s = previous + gap * p as f64 / pieces as f64;
                    level.push(Epoch::new(t_s));
                    upright.push(Epoch::new(t_s));
                }
            }
        }
        let mut e = Epoch::new(row.t_s);
        e.observe(horizontal::POSITION, [row.east_m, row.north_m]);
        if let Some(v) = row.velocity_mps {
            e.observe(horizontal::VELOCITY, v);
        }
        level.push(e);
        let mut e = Epoch::new(row.t_s);
        for (kind, value) in [
            (GNSS_HEIGHT, row.gnss_height_m),
            (PRESSURE_HEIGHT, row.pressure_height_m),
            (CLIMB, row.climb_mps.map(f64::from)),
        ] {
            if let Some(value) = value {
                e.observe(kind, [value]);
            }
        }
        upright.push(e);
    }
    (level, upright)
}

/// Ground speed below which the wheels carry the aeroplane, m/s (about 21 kt).
const ROLLING_MPS: f64 = 11.0;
/// Distance from the aim within which the field is taken for level with it, m.
const SAME_FIELD_M: f64 = 2500.0;
/// Time between ground observations, s: nearer ones would say the same twice.
const GROUND_STEP_S: f64 = 4.0;

/// Adds the ground as a height reference wherever the aeroplane rolls slowly on the field of the aim.
/// Returns how many seconds of it there are.
pub fn observe_ground(
    upright: &mut [Epoch<1>],
    ground_speed_mps: &[f64],
    distance_m: &[f64],
    rough_height_m: &[f64],
) -> f64 {
    let mut last_s = f64::NEG_INFINITY;
    let mut total_s = 0.0;
    for (k, epoch) in upright.iter_mut().enumerate() {
        let rolling = ground_speed_mps[k] < ROLLING_MPS
            && distance_m[k] < SAME_FIELD_M
            && rough_height_m[k].abs() < 90.0;
        if rolling && epoch.t_s - last_s >= GROUND_STEP_S {
            epoch.observe(ON_GROUND, [PARKED_HEIGHT_M]);
            total_s += (epoch.t_s - last_s).min(GROUND_STEP_S * 1.5);
            last_s = epoch.t_s;
        }
    }
    total_s
}
