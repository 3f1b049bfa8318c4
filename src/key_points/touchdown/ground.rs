//! Rows after the contact: perhaps a bounce, a quiet rollout, then brakes or power.

use super::evidence::{Setting, reduced, shared_columns};
use super::gaussian::{Form, Noise, SINK, form};
use super::rows::{Kind, Sample};
use super::shapes::{BOUNCES, Motion, QUIET, bounce, knots, lagged_powers, step};

/// What the contact changes in it at once: wheels begin to roll at 0.02-0.1 g, brakes perhaps; and as the nose is
/// lowered: the induced drag goes. Mean and standard deviation of each, m/s².
const DRAG_CHANGE_MPS2: [(f64, f64); 2] = [(-0.15, 0.35), (-0.25, 0.35)];
/// Times over which these changes come, s.
const DRAG_CHANGE_TIME_S: [f64; 2] = [0.6, 2.5];
/// Rate at which the sink was being arrested at the contact, m/s²: only for what a lagging channel remembers of it.
const ARREST_MPS2: (f64, f64) = (0.7, 0.6);
/// Speed lost to spinning up the wheels and to friction under the impact: per m/s of sink, and spread, m/s.
const IMPACT_LOSS: (f64, f64) = (0.08, 0.12);
/// Initial climb of a bounce per second of its length, and spread, m/s²: half of what weighs on the wheels, and the
/// wing carries most of the weight. A ballooned bounce of six seconds so climbs at 1 to 4 m/s.
const REBOUND_MPS2: (f64, f64) = (0.4, 0.2);
/// The same of a second bounce, which may be none; its length as a share of the first.
const SECOND_REBOUND_MPS2: (f64, f64) = (0.2, 0.2);
const SECOND_BOUNCE: f64 = 0.7;
/// Spread of the climb of the shortest bounces, m/s.
const REBOUND_SD_MPS: f64 = 0.15;
/// Tyres and legs take this long to give back what they took, s.
const GEAR_S: f64 = 0.35;
/// Random walk of the deceleration in the quiet rollout, and under brakes or power, m/s² per √s.
const ROLL_WALK_MPS2: (f64, f64) = (0.09, 1.2);
/// Bounces are no clean parabolas: number and spacing (s) of small hops added to them, and their initial climb, m/s.
const ROUGH_HOPS: (u32, f64) = (8, 0.6);
const ROUGH_HOP_MPS: f64 = 0.4;

/// Initial climb of a bounce of `len_s`: mean and standard deviation, m/s.
fn rebound_mps((per_s, spread): (f64, f64), len_s: f64) -> (f64, f64) {
    (per_s * len_s, REBOUND_SD_MPS + spread * len_s)
}

/// A vertical motion (climb, height, integral over time) as each channel sees it.
fn seen(kind: Kind, m: Motion, kappa: f64) -> f64 {
    match kind {
        Kind::Position => -kappa * m[2],
        Kind::Speed => -kappa * m[1],
        Kind::Gnss | Kind::Baro => m[1],
        Kind::Climb => m[0],
    }
}

/// A change of deceleration that grows over `len_s` from `k_s` on, as each channel sees it after the contact.
fn braked(s: &Sample, r_s: f64, k_s: f64, len_s: f64) -> f64 {
    match s.kind {
        Kind::Position => -step(r_s, k_s, len_s)[2] / len_s,
        Kind::Speed => {
            let (a, b) = (
                lagged_powers(r_s, k_s, s.lag_s),
                lagged_powers(r_s, k_s + len_s, s.lag_s),
            );
            -(a[2] - b[2]) / len_s
        }
        _ => 0.0,
    }
}

/// A speed lost over `len_s` from the contact on.
fn struck(s: &Sample, r_s: f64, len_s: f64) -> f64 {
    match s.kind {
        Kind::Position => -step(r_s, 0.0, len_s)[1] / len_s,
        Kind::Speed => {
            let (a, b) = (
                lagged_powers(r_s, 0.0, s.lag_s),
                lagged_powers(r_s, len_s, s.lag_s),
            );
            -(a[1] - b[1]) / len_s
        }
        _ => 0.0,
    }
}

/// What a lagging channel still remembers of a unit sink before the contact, and of a unit rate of its arrest.
///
/// The first-order lag of a line that breaks at the contact: the break decays as `e^{−r/L}`.
fn remembered(s: &Sample, r_s: f64, kappa: f64) -> (f64, f64) {
    if s.lag_s <= 1e-6 {
        return (0.0, 0.0);
    }
    let memory = (-r_s / s.lag_s).exp();
    match s.kind {
        Kind::Speed => (
            -kappa * s.lag_s * memory,
            -kappa * s.lag_s * s.lag_s * memory,
        ),
        Kind::Climb => (-memory, -s.lag_s * memory),
        Kind::Baro => (s.lag_s * memory, s.lag_s * s.lag_s * memory),
        _ => (0.0, 0.0),
    }
}

/// Forms of all rollouts from the rows after the contact: length of the bounce, log prior, form.
pub(super) fn forms(rows: &[&Sample], setting: &Setting, tau_s: f64) -> Vec<(f64, f64, Form)> {
    let n = rows.len();
    let kappa = setting.kappa;
    let after: Vec<f64> = rows.iter().map(|s| s.t_s - tau_s).collect();
    let base = Noise::new(rows, tau_s);
    let mut out = Vec::new();
    for hops in [false, true] {
        let mut rough = base.clone();
        if hops {
            for k in 0..ROUGH_HOPS.0 {
                let begin_s = f64::from(k) * ROUGH_HOPS.1;
                rough.add(rows, &after, |s, r| {
                    ROUGH_HOP_MPS
                        * seen(
                            s.kind,
                            bounce(r, begin_s, 2.0 * ROUGH_HOPS.1, s.lag_s),
                            kappa,
                        )
                });
            }
        }
        for (quiet_s, quiet_prior) in QUIET {
            let mut noise = rough.clone();
            for k in 0..knots(after.iter().copied().fold(0.0, f64::max)) {
                let q = if (k as f64) < quiet_s {
                    ROLL_WALK_MPS2.0
                } else {
                    ROLL_WALK_MPS2.1
                };
                noise.add(rows, &after, |s, r| q * braked(s, r, k as f64, 1.0));
            }
            let Some(factor) = noise.factor() else {
                continue;
            };
            let white = |f: &dyn Fn(&Sample, f64) -> f64| {
                factor.whitened(&mut rows.iter().zip(&after).map(|(s, r)| f(s, *r)))
            };
            let data = white(&|s, _| reduced(s, setting));
            let at = |s: &Sample, r: f64| {
                if s.kind == Kind::Speed {
                    r - s.lag_s
                } else {
                    r
                }
            };
            let mut shared: Vec<Vec<f64>> = (0..SINK)
                .map(|j| white(&|s, r| shared_columns(s, at(s, r))[j]))
                .collect();
            shared.push(vec![0.0; n]);
            let change = [0, 1].map(|i| white(&|s, r| braked(s, r, 0.0, DRAG_CHANGE_TIME_S[i])));
            let impact = white(&|s, r| struck(s, r, 0.5));
            let memory = white(&|s, r| remembered(s, r, kappa).0);
            let arrest = white(&|s, r| remembered(s, r, kappa).1);
            for (bounce_s, bounce_prior) in BOUNCES.into_iter().filter(|b| (b.0 > 0.0) == hops) {
                let hop = |begin_s: f64, len_s: f64| {
                    white(&|s, r| seen(s.kind, bounce(r, begin_s, len_s, s.lag_s), kappa))
                };
                let rebound = hop(GEAR_S, bounce_s);
                let second = hop(GEAR_S + bounce_s, SECOND_BOUNCE * bounce_s);
                shared[SINK] = (0..n)
                    .map(|i| memory[i] + IMPACT_LOSS.0 * impact[i])
                    .collect();
                let [at_once, lowering] = change.clone();
                let own = [
                    at_once,
                    lowering,
                    impact.clone(),
                    arrest.clone(),
                    rebound,
                    second,
                ];
                let priors = [
                    DRAG_CHANGE_MPS2[0],
                    DRAG_CHANGE_MPS2[1],
                    (0.0, IMPACT_LOSS.1),
                    ARREST_MPS2,
                    rebound_mps(REBOUND_MPS2, bounce_s),
                    rebound_mps(SECOND_REBOUND_MPS2, SECOND_BOUNCE * bounce_s),
                ];
                let f = form(&data, &shared, &own, &priors, factor.log_determinant);
                out.push((bounce_s, (quiet_prior * bounce_prior).ln(), f));
            }
        }
    }
    out
}
