//! Rows after the contact: perhaps a bounce, a quiet rollout, then brakes or power.

use super::evidence::{Setting, reduced, shared_columns};
use super::gaussian::{Factor, Form, Gram, Noise, SHARED, SINK, effects, products};
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

/// Columns that all bounces have in common: the data, the shared quantities, and four own nuisances (both changes of
/// the drag, impact, arrest).
const BASE: usize = 1 + SHARED + 4;

/// Forms of all rollouts from the rows after the contact: length of the bounce, log prior, form.
pub(super) fn forms(rows: &[&Sample], setting: &Setting, tau_s: f64) -> Vec<(f64, f64, Form)> {
    let kappa = setting.kappa;
    let after: Vec<f64> = rows.iter().map(|s| s.t_s - tau_s).collect();
    let smooth = Noise::new(rows, tau_s);
    let knots = knots(after.iter().copied().fold(0.0, f64::max));
    let brakes: Vec<Vec<f64>> = (0..knots)
        .map(|k| effects(rows, &after, |s, r| braked(s, r, k as f64, 1.0)))
        .collect();
    let base: Vec<[f64; BASE]> = rows
        .iter()
        .zip(&after)
        .map(|(s, r)| base_columns(s, *r, setting))
        .collect();
    // from the longest quiet rollout to the shortest: from one to the next noise only grows
    let (quiet_variance, free_variance) = (ROLL_WALK_MPS2.0.powi(2), ROLL_WALK_MPS2.1.powi(2));
    let mut out = Vec::new();
    for hops in [false, true] {
        let mut noise = smooth.clone();
        if hops {
            for k in 0..ROUGH_HOPS.0 {
                let begin_s = f64::from(k) * ROUGH_HOPS.1;
                let hop = effects(rows, &after, |s, r| {
                    let hop = bounce(r, begin_s, 2.0 * ROUGH_HOPS.1, s.lag_s);
                    seen(s.kind, hop, kappa)
                });
                noise.add(ROUGH_HOP_MPS.powi(2), &hop);
            }
        }
        for brake in &brakes {
            noise.add(quiet_variance, brake);
        }
        let bounces: Vec<Bounce> = BOUNCES
            .into_iter()
            .filter(|(bounce_s, _)| (*bounce_s > 0.0) == hops)
            .map(|bounce| Bounce::new(bounce, rows, &after, kappa))
            .collect();
        let mut quiet_knots = knots;
        let mut each: Vec<Vec<(f64, f64, Form)>> = Vec::new();
        for (quiet_s, quiet_prior) in QUIET.into_iter().rev() {
            // the knots at `quiet_s` and later
            let now_quiet = (quiet_s.ceil() as usize).min(quiet_knots);
            for brake in &brakes[now_quiet..quiet_knots] {
                noise.add(free_variance - quiet_variance, brake);
            }
            quiet_knots = now_quiet;
            each.push(match noise.factor() {
                Some(factor) => quiet_forms(quiet_prior, &factor, base.clone(), &bounces),
                None => Vec::new(),
            });
        }
        out.extend(each.into_iter().rev().flatten());
    }
    out
}

/// The columns of one row that all bounces have in common.
fn base_columns(s: &Sample, r_s: f64, setting: &Setting) -> [f64; BASE] {
    let at_s = if s.kind == Kind::Speed {
        r_s - s.lag_s
    } else {
        r_s
    };
    let shared = shared_columns(s, at_s);
    let impact = struck(s, r_s, 0.5);
    let (memory, arrest) = remembered(s, r_s, setting.kappa);
    let own = [
        memory + IMPACT_LOSS.0 * impact,
        braked(s, r_s, 0.0, DRAG_CHANGE_TIME_S[0]),
        braked(s, r_s, 0.0, DRAG_CHANGE_TIME_S[1]),
        impact,
        arrest,
    ];
    std::array::from_fn(|c| match c {
        0 => reduced(s, setting),
        c if c <= SINK => shared[c - 1],
        c => own[c - 1 - SINK],
    })
}

/// A bounce and the second one after it, as the rows show them.
struct Bounce {
    len_s: f64,
    prior: f64,
    shown: Vec<[f64; 2]>,
}

impl Bounce {
    fn new((len_s, prior): (f64, f64), rows: &[&Sample], after: &[f64], kappa: f64) -> Self {
        let shown = rows
            .iter()
            .zip(after)
            .map(|(s, r)| {
                let hop = |begin_s: f64, len_s: f64| {
                    seen(s.kind, bounce(*r, begin_s, len_s, s.lag_s), kappa)
                };
                [
                    hop(GEAR_S, len_s),
                    hop(GEAR_S + len_s, SECOND_BOUNCE * len_s),
                ]
            })
            .collect();
        Bounce {
            len_s,
            prior,
            shown,
        }
    }
}

/// Forms of the bounces under the noise of one quiet rollout.
fn quiet_forms(
    quiet_prior: f64,
    factor: &Factor,
    mut base: Vec<[f64; BASE]>,
    bounces: &[Bounce],
) -> Vec<(f64, f64, Form)> {
    factor.whiten(&mut base);
    let mut gram = Gram::new();
    gram.put((0, 0), &products(&base, &base));
    bounces
        .iter()
        .map(|bounce| {
            let mut shown = bounce.shown.clone();
            factor.whiten(&mut shown);
            gram.put((0, BASE), &products(&base, &shown));
            gram.put((BASE, BASE), &products(&shown, &shown));
            let priors = [
                DRAG_CHANGE_MPS2[0],
                DRAG_CHANGE_MPS2[1],
                (0.0, IMPACT_LOSS.1),
                ARREST_MPS2,
                rebound_mps(REBOUND_MPS2, bounce.len_s),
                rebound_mps(SECOND_REBOUND_MPS2, SECOND_BOUNCE * bounce.len_s),
            ];
            let form = gram.form(&priors, factor.log_determinant);
            (bounce.len_s, (quiet_prior * bounce.prior).ln(), form)
        })
        .collect()
}
