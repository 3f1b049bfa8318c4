//! Rows before the contact: approach, round-out, hold-off.

use super::evidence::{
    APPROACH_SINK_MPS, HELD_CONTACT_MPS, HOLD_SINK_MPS, Setting, reduced, shared_columns,
};
use super::gaussian::{Factor, Form, Gram, Noise, SINK, effects, products};
use super::rows::{Kind, Sample};
use super::shapes::{FLARES, Flare, Motion, knots, step};

/// Relative doubt about g/V: headwind, load factor, gusts.
const ENERGY_SLOPE_SD: f64 = 0.10;
/// Random walk of the drag per mass in the air, m/s² per √s: pitch, ground effect, gusts.
const DRAG_WALK_MPS2: f64 = 0.10;
/// Random walk of the sink, m/s per √s: in the hold-off and the end of the round-out, and before.
const SINK_WALK_MPS: (f64, f64) = (0.25, 0.7);

/// A vertical motion (sink, height, integral over u) as each channel sees it.
fn seen(kind: Kind, m: Motion, kappa: f64) -> f64 {
    match kind {
        Kind::Position => kappa * m[2],
        Kind::Speed => -kappa * m[1],
        Kind::Gnss | Kind::Baro => m[1],
        Kind::Climb => -m[0],
    }
}

/// A drag (itself, integral, double integral over u) as each channel sees it.
fn dragged(kind: Kind, m: Motion) -> f64 {
    match kind {
        Kind::Position => -m[2],
        Kind::Speed => m[1],
        _ => 0.0,
    }
}

/// Forms of all flares from the rows before the contact.
pub(super) fn forms(rows: &[&Sample], setting: &Setting, tau_s: f64) -> Vec<(Flare, Form)> {
    let kappa = setting.kappa;
    let before: Vec<f64> = rows.iter().map(|s| tau_s - s.t_s + s.lag_s).collect();
    let knots = knots(longest(&before));
    let mut noise = Noise::new(rows, tau_s);
    for k in 0..knots {
        let drag = effects(rows, &before, |s, u| {
            dragged(s.kind, step(u, k as f64, 1.0))
        });
        noise.add(DRAG_WALK_MPS2.powi(2), &drag);
    }
    let sinks: Vec<Vec<f64>> = (0..knots)
        .map(|k| {
            effects(rows, &before, |s, u| {
                seen(s.kind, step(u, k as f64, 1.0), kappa)
            })
        })
        .collect();
    let base: Vec<[f64; BASE]> = rows
        .iter()
        .zip(&before)
        .map(|(s, u)| {
            let shared = shared_columns(s, -u);
            std::array::from_fn(|c| match c {
                0 => reduced(s, setting),
                c => shared[c - 1],
            })
        })
        .collect();
    // flares that hold off alike share their noise; the longest first, so that from one to the next noise only grows
    let (calm_variance, free_variance) = (SINK_WALK_MPS.0.powi(2), SINK_WALK_MPS.1.powi(2));
    let mut calm = knots;
    for sink in &sinks {
        noise.add(calm_variance, sink);
    }
    let mut groups: Vec<Vec<(Flare, Form)>> = Vec::new();
    for flares in FLARES.chunk_by(|a, b| calm_knots(a) == calm_knots(b)).rev() {
        let now_calm = calm_knots(&flares[0]).min(calm);
        for sink in &sinks[now_calm..calm] {
            noise.add(free_variance - calm_variance, sink);
        }
        calm = now_calm;
        groups.push(match noise.factor() {
            Some(factor) => group_forms(flares, &factor, base.clone(), rows, &before, setting),
            None => Vec::new(),
        });
    }
    groups.into_iter().rev().flatten().collect()
}

/// Columns that all flares have in common: the data, and the shared quantities but for the sink.
const BASE: usize = 1 + SINK;

/// The longest of the times before the contact, s.
fn longest(before: &[f64]) -> f64 {
    before.iter().copied().fold(0.0, f64::max)
}

/// Seconds before the contact in which the sink is held steady.
fn calm_knots(flare: &Flare) -> usize {
    (flare.hold_s.round() as usize + 1).max(2)
}

/// Forms of flares that share their noise.
fn group_forms(
    flares: &[Flare],
    factor: &Factor,
    mut base: Vec<[f64; BASE]>,
    rows: &[&Sample],
    before: &[f64],
    setting: &Setting,
) -> Vec<(Flare, Form)> {
    let kappa = setting.kappa;
    factor.whiten(&mut base);
    let mut gram = Gram::new();
    gram.put((0, 0), &products(&base, &base));
    let nominal = [
        HELD_CONTACT_MPS.0,
        HOLD_SINK_MPS.0,
        setting.approach_sink_mps,
    ];
    let priors = [HOLD_SINK_MPS, APPROACH_SINK_MPS, (0.0, ENERGY_SLOPE_SD)];
    flares
        .iter()
        .map(|flare| {
            // contact sink, hold-off sink, approach sink, slope of the energy
            let mut own: Vec<[f64; 4]> = rows
                .iter()
                .zip(before)
                .map(|(s, u)| {
                    let sinks = flare.motions(*u).map(|m| seen(s.kind, m, kappa));
                    let slope = match s.kind {
                        Kind::Position | Kind::Speed => (0..3).map(|j| nominal[j] * sinks[j]).sum(),
                        _ => 0.0,
                    };
                    [sinks[0], sinks[1], sinks[2], slope]
                })
                .collect();
            factor.whiten(&mut own);
            gram.put((0, BASE), &products(&base, &own));
            gram.put((BASE, BASE), &products(&own, &own));
            (*flare, gram.form(&priors, factor.log_determinant))
        })
        .collect()
}
