//! Rows before the contact: approach, round-out, hold-off.

use super::evidence::{
    APPROACH_SINK_MPS, HELD_CONTACT_MPS, HOLD_SINK_MPS, Setting, reduced, shared_columns,
};
use super::gaussian::{Form, Noise, SINK, form};
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
    let mut base = Noise::new(rows, tau_s);
    for k in 0..knots(longest(&before)) {
        base.add(rows, &before, |s, u| {
            DRAG_WALK_MPS2 * dragged(s.kind, step(u, k as f64, 1.0))
        });
    }
    let mut out = Vec::with_capacity(FLARES.len());
    let mut first = 0;
    while first < FLARES.len() {
        let calm = calm_knots(&FLARES[first]);
        let group = FLARES[first..]
            .iter()
            .take_while(|f| calm_knots(f) == calm)
            .count();
        out.extend(group_forms(
            &FLARES[first..first + group],
            calm,
            &base,
            rows,
            &before,
            setting,
            kappa,
        ));
        first += group;
    }
    out
}

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
    calm: usize,
    base: &Noise,
    rows: &[&Sample],
    before: &[f64],
    setting: &Setting,
    kappa: f64,
) -> Vec<(Flare, Form)> {
    let mut noise = base.clone();
    for k in 0..knots(longest(before)) {
        let q = if k < calm {
            SINK_WALK_MPS.0
        } else {
            SINK_WALK_MPS.1
        };
        noise.add(rows, before, |s, u| {
            q * seen(s.kind, step(u, k as f64, 1.0), kappa)
        });
    }
    let Some(factor) = noise.factor() else {
        return Vec::new();
    };
    let white = |f: &dyn Fn(usize, &Sample) -> f64| {
        factor.whitened(&mut rows.iter().enumerate().map(|(i, s)| f(i, s)))
    };
    let data = white(&|_, s| reduced(s, setting));
    let mut shared: Vec<Vec<f64>> = (0..SINK)
        .map(|j| white(&|i, s| shared_columns(s, -before[i])[j]))
        .collect();
    shared.push(Vec::new());
    let mut out = Vec::with_capacity(flares.len());
    for flare in flares {
        let motions: Vec<[Motion; 3]> = before.iter().map(|u| flare.motions(*u)).collect();
        let column = |j: usize| white(&|i, s| seen(s.kind, motions[i][j], kappa));
        shared[SINK] = column(0);
        let nominal = [
            HELD_CONTACT_MPS.0,
            HOLD_SINK_MPS.0,
            setting.approach_sink_mps,
        ];
        let slope = white(&|i, s| match s.kind {
            Kind::Position | Kind::Speed => (0..3)
                .map(|j| nominal[j] * seen(s.kind, motions[i][j], kappa))
                .sum(),
            _ => 0.0,
        });
        let own = [column(1), column(2), slope];
        let priors = [HOLD_SINK_MPS, APPROACH_SINK_MPS, (0.0, ENERGY_SLOPE_SD)];
        out.push((
            *flare,
            form(&data, &shared, &own, &priors, factor.log_determinant),
        ));
    }
    out
}
