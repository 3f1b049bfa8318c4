//! Rows of the fit from the energy balance at idle: what the energy loses is drag and vertical air.
//!
//! With a wrong wind the energy through the air swings once per orbit.

use std::ops::Range;

use super::drag::load_factor;
use super::habits::Habits;
use super::noise_chain::ChainNoise;
use super::prepared::Prepared;
use super::rows::Rows;
use super::samples::{FitOptions, Sample};
use super::speed_rows::{ThroughAir, add_shear, add_wind};
use super::unknowns::Unknowns;
use super::wind::{Place, WindProfile};
use crate::units::G0_MPS2;

/// Steps of the balance, and the longest a gap may make them, s.
const STEP_S: (f64, f64) = (5.0, 8.0);
/// Correlation time of vertical air, s.
const VERTICAL_AIR_S: f64 = 5.0;
/// Noise of the height steps, m/s.
const WHITE_MPS: f64 = 0.1;

/// The rows of a gliding chain at the solution `x`, whose wind is `wind`.
pub(super) fn rows(
    x: &[f64],
    (wind, unknowns): (&WindProfile, &Unknowns),
    prepared: &Prepared<'_>,
    options: &FitOptions,
) -> Rows {
    let mut concerned = prepared.wind_unknowns.clone();
    let offset = unknowns.vertical_air(prepared.index);
    concerned.extend([offset, unknowns.drag(), unknowns.least_drag()]);
    let mut rows = Rows::new(concerned, unknowns.count());
    let scale = x[unknowns.drag()];
    let polar = (options.polar.glide_ratio, x[unknowns.least_drag()].exp());
    let mut drags: Vec<DragAt> = Vec::new();
    for steps in &prepared.idle_steps {
        let stretch = &prepared.chain.samples[steps.clone()];
        let places = &prepared.places[steps.clone()];
        let last = stretch.len() - 1;
        let (from, to) = (&stretch[0], &stretch[last]);
        let dt = to.t_s - from.t_s;
        let (a, b) = (
            ThroughAir::of(from, wind, &places[0]),
            ThroughAir::of(to, wind, &places[last]),
        );
        let energy_m =
            to.height_m - from.height_m + (b.tas.powi(2) - a.tas.powi(2)) / (2.0 * G0_MPS2);
        let share = 1.0 / stretch.len() as f64;
        drags.clear();
        drags.extend(
            stretch
                .iter()
                .zip(places)
                .map(|(s, place)| DragAt::of(s, (wind, place), polar)),
        );
        let mean = |of: fn(&DragAt) -> f64| share * drags.iter().map(of).sum::<f64>();
        let drag = mean(|d| d.sink_mps);
        let at_s = 0.5 * (from.t_s + to.t_s);
        let sheared = mean(|d| d.sheared_mps);
        let balance_mps = energy_m / dt + sheared + scale * drag - x[offset];
        rows.begin(at_s, [0.0; 2], balance_mps);
        rows.add(offset, -1.0);
        rows.add(unknowns.drag(), drag);
        rows.add(unknowns.least_drag(), scale * mean(|d| d.by_optimum));
        let kinetic = |air: &ThroughAir, sign: f64| air.velocity.map(|v| sign * v / (G0_MPS2 * dt));
        add_wind(&mut rows, unknowns, &places[last], kinetic(&b, -1.0));
        add_wind(&mut rows, unknowns, &places[0], kinetic(&a, 1.0));
        for (place, d) in places.iter().zip(&drags) {
            let slope = [0, 1].map(|k| share * (scale * d.by_wind[k] + d.sheared_by_wind[k]));
            add_wind(&mut rows, unknowns, place, slope);
            add_shear(
                &mut rows,
                unknowns,
                place,
                d.sheared_by_shear.map(|v| share * v),
            );
        }
    }
    rows
}

/// The noise along these rows where pilot and air have such habits.
pub(super) fn noise(habits: &Habits) -> ChainNoise {
    ChainNoise {
        smooth: (0.0, 1.0),
        slow: (habits.vertical_air_sd_mps, VERTICAL_AIR_S),
        fast: (0.0, 1.0),
        white_mps: WHITE_MPS,
        drift_m2ps3: 0.0,
        drift_start_m2ps2: 0.0,
    }
}

/// Stretches of about five seconds at idle, one after the other.
pub(super) fn idle_steps(samples: &[Sample]) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut from = 0;
    while from < samples.len() {
        let apart_s = |s: &Sample| (s.t_s - samples[from].t_s).abs();
        let Some(length) = samples[from..]
            .iter()
            .position(|s| apart_s(s) >= STEP_S.0 - 0.01)
        else {
            break;
        };
        let stretch = &samples[from..=from + length];
        if stretch.iter().all(|s| s.idle) && apart_s(&stretch[length]) <= STEP_S.1 {
            out.push(from..from + length + 1);
            from += length;
        } else {
            from += 1;
        }
    }
    out
}

/// Energy height taken by the nominal drag at one sample, and how it changes.
struct DragAt {
    /// m/s.
    sink_mps: f64,
    /// Derivative by the logarithm of the speed of least drag.
    by_optimum: f64,
    /// Derivative by the wind, east and north.
    by_wind: [f64; 2],
    /// Energy height that the wind changing with height takes: what the speed through the air loses on the way down
    /// into slower headwind is neither drag nor vertical air, m/s.
    sheared_mps: f64,
    /// Its derivatives by the wind, and by the shear.
    sheared_by_wind: [f64; 2],
    sheared_by_shear: [f64; 2],
}

impl DragAt {
    /// For a polar of this glide ratio, its speed of least drag so many times the nominal one.
    fn of(
        s: &Sample,
        (wind, place): (&WindProfile, &Place),
        (glide_ratio, least_drag): (f64, f64),
    ) -> Self {
        let air = ThroughAir::of(s, wind, place);
        let ratio = (air.tas / (s.best_glide_tas_mps * least_drag)).max(0.3);
        let load = load_factor(air.across_mps2(s));
        let (parasite, induced) = (ratio * ratio, load * load / (ratio * ratio));
        let slope = (3.0 * parasite - induced) / (2.0 * glide_ratio);
        let shear = wind.shear_at_place(place);
        let per_shear = air.velocity.map(|v| v * s.climb_mps / G0_MPS2);
        DragAt {
            sink_mps: air.tas * (parasite + induced) / (2.0 * glide_ratio),
            by_optimum: air.tas * (induced - parasite) / glide_ratio,
            by_wind: [
                -slope * air.velocity[0] / air.tas,
                -slope * air.velocity[1] / air.tas,
            ],
            sheared_mps: per_shear[0] * shear[0] + per_shear[1] * shear[1],
            sheared_by_wind: shear.map(|per_s| -per_s * s.climb_mps / G0_MPS2),
            sheared_by_shear: per_shear,
        }
    }
}
