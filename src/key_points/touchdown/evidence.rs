//! Evidence of one contact time and shape, everything linear integrated out.
//!
//! Rows before and after the contact share a few quantities at the contact:
//! position, speed, drag, height biases, lag of the speed, sink. Given these
//! the two sides are independent, so each side is reduced once to a quadratic
//! form in them (whitening by the Cholesky factor of its own noise, Schur
//! complement over its own nuisances) and the forms of all flares and all
//! rollouts are then combined at the price of one 7 × 7 factorisation.

use super::rows::{Kind, Sample};
use super::shapes::{BOUNCES, FLARES, Flare, Motion, QUIET, bounce, lagged_powers, step};

/// Shared quantities: position, speed, drag, bias GNSS, bias baro, speed lag, contact sink.
pub(super) const SHARED: usize = 7;
/// Nuisances of one side at most.
const OWN: usize = 6;
const SINK: usize = 6;

/// Approach sink, m/s: 300 to 1,500 ft/min.
const APPROACH_SINK_MPS: (f64, f64) = (4.2, 1.8);
/// Sink at the begin of a hold-off, m/s.
const HOLD_SINK_MPS: (f64, f64) = (0.45, 0.4);
/// Sink at a contact after a hold-off, m/s: 50 to 400 ft/min.
const HELD_CONTACT_MPS: (f64, f64) = (0.8, 0.6);
/// Sink at a contact in the round-out, m/s: 50 to 800 ft/min.
const ROUND_OUT_CONTACT_MPS: (f64, f64) = (1.9, 1.2);
/// Drag per mass with flap or without, m/s²: lift to drag of 4 to 12.
const DRAG_MPS2: (f64, f64) = (1.5, 0.5);
/// What the contact changes in it at once: wheels begin to roll at 0.02-0.1 g, brakes perhaps; and as the nose is
/// lowered: the induced drag goes. Mean and standard deviation of each, m/s².
const DRAG_CHANGE_MPS2: [(f64, f64); 2] = [(-0.15, 0.35), (-0.25, 0.35)];
/// Times over which these changes come, s.
const DRAG_CHANGE_TIME_S: [f64; 2] = [0.6, 2.5];
/// Rate at which the sink was being arrested at the contact, m/s²: only for what a lagging channel remembers of it.
const ARREST_MPS2: (f64, f64) = (0.7, 0.6);
/// Load of a round-out over level flight, m/s²: 0.05 to 0.25 g; more is rare.
const ROUND_OUT_MPS2: (f64, f64) = (1.3, 0.5);
/// Second bounce: share of the length of the first, and its initial climb, m/s.
const SECOND_BOUNCE: (f64, f64, f64) = (0.7, 0.15, 0.25);
/// Speed lost to spinning up the wheels and to friction under the impact: per m/s of sink, and spread, m/s.
const IMPACT_LOSS: (f64, f64) = (0.08, 0.12);
/// Initial climb of a bounce: share of the sink, and what is added (pilot, gust), m/s.
const REBOUND: (f64, f64, f64) = (0.25, 0.45, 0.35);
/// Random walks: drag in the air and in the quiet rollout, deceleration under brakes or power, m/s² per √s.
const DRAG_WALK: (f64, f64, f64) = (0.12, 0.15, 1.2);
/// Random walk of the sink, m/s per √s: near the contact and 2 s or more before it.
const SINK_WALK: (f64, f64) = (0.25, 0.7);
/// Relative doubt about g/V: headwind, load factor, gusts.
const ENERGY_SLOPE_SD: f64 = 0.10;
/// Slow receiver errors as random walks, m per √s (3 m and 5 m standard deviation over 150 s), and baro.
const BIAS_WALK: (f64, f64, f64) = (0.35, 0.58, 0.12);
/// Correlated part of the speed noise: m/s and s.
const SPEED_WANDER: (f64, f64) = (0.04, 1.5);
/// Knots of the random walks, one a second.
const WALK_KNOTS: usize = 14;

/// Priors that depend on the recording.
#[derive(Debug, Clone)]
pub(super) struct Setting {
    /// Nominal line taken off the positions: time, position, speed.
    pub(super) line: (f64, f64, f64),
    /// Gravity over airspeed, 1/s.
    pub(super) kappa: f64,
    /// Standard deviation of the lag of the recorded speed, s.
    pub(super) lag_sd_s: f64,
    /// The same of the pressure height.
    pub(super) baro_lag_sd_s: f64,
    /// Standard deviation of the height datum, m.
    pub(super) datum_sd_m: f64,
    /// Height of the recorder when rolling, m.
    pub(super) rollout_m: f64,
    /// Usual approach sink of this landing, m/s, for the doubt about g/V.
    pub(super) approach_sink_mps: f64,
}

/// Quadratic form `constant + ηᵀθ − θᵀΛθ/2` of the log evidence.
#[derive(Clone, Copy)]
struct Form {
    lambda: [[f64; SHARED]; SHARED],
    eta: [f64; SHARED],
    constant: f64,
}

/// One shape at one contact time: log weight and what it says of the shared quantities.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub(super) log_weight: f64,
    pub(super) flare: Flare,
    pub(super) bounce_s: f64,
    /// Mean and standard deviation of position along, m.
    pub(super) along_m: (f64, f64),
    /// Ground speed, m/s.
    pub(super) speed_mps: (f64, f64),
    /// Sink, m/s.
    pub(super) sink_mps: (f64, f64),
}

/// All shapes at contact time `tau_s`.
pub(super) fn cells(samples: &[Sample], setting: &Setting, tau_s: f64) -> Vec<Cell> {
    let before: Vec<&Sample> = samples.iter().filter(|s| s.t_s < tau_s).collect();
    let after: Vec<&Sample> = samples.iter().filter(|s| s.t_s >= tau_s).collect();
    let air = air_forms(&before, setting, tau_s);
    let ground = ground_forms(&after, setting, tau_s);
    let mut out = Vec::with_capacity(air.len() * ground.len());
    for (flare, a) in &air {
        for (bounce_s, prior, g) in &ground {
            if let Some(cell) = combined(*flare, *bounce_s, *prior, a, g, setting, tau_s) {
                out.push(cell);
            }
        }
    }
    out
}

/// Value less the nominal motion.
fn reduced(s: &Sample, setting: &Setting) -> f64 {
    let (t, x, v) = setting.line;
    match s.kind {
        Kind::Position => s.value - x - v * (s.t_s - t),
        Kind::Speed => s.value - v,
        Kind::Gnss | Kind::Baro => s.value - setting.rollout_m,
        Kind::Climb => s.value,
    }
}

/// A vertical motion (sink, height, integral over u) as each channel sees it.
fn seen_before(kind: Kind, m: Motion, kappa: f64) -> f64 {
    match kind {
        Kind::Position => kappa * m[2],
        Kind::Speed => -kappa * m[1],
        Kind::Gnss | Kind::Baro => m[1],
        Kind::Climb => -m[0],
    }
}

/// A vertical motion (climb, height, integral over time) after the contact.
fn seen_after(kind: Kind, m: Motion, kappa: f64) -> f64 {
    match kind {
        Kind::Position => -kappa * m[2],
        Kind::Speed => -kappa * m[1],
        Kind::Gnss | Kind::Baro => m[1],
        Kind::Climb => m[0],
    }
}

/// A deceleration (itself, integral, double integral) as each channel sees it, `time` +1 after and −1 before.
fn slowed(kind: Kind, m: Motion, time: f64) -> f64 {
    match kind {
        Kind::Position => -m[2],
        Kind::Speed => -time * m[1],
        _ => 0.0,
    }
}

/// Columns of the shared quantities, the contact sink left out.
fn shared_columns(s: &Sample, signed_s: f64) -> [f64; SINK] {
    match s.kind {
        Kind::Position => [1.0, signed_s, -signed_s * signed_s / 2.0, 0.0, 0.0, 0.0],
        Kind::Speed => [0.0, 1.0, -signed_s, 0.0, 0.0, -s.slope],
        Kind::Gnss => [0.0, 0.0, 0.0, 1.0, 0.0, 0.0],
        Kind::Baro => [0.0, 0.0, 0.0, 0.0, 1.0, 0.0],
        Kind::Climb => [0.0, 0.0, 0.0, 0.0, 0.0, -s.slope],
    }
}

/// Forms of all flares from the rows before the contact.
fn air_forms(rows: &[&Sample], setting: &Setting, tau_s: f64) -> Vec<(Flare, Form)> {
    let n = rows.len();
    let kappa = setting.kappa;
    let mut noise = Noise::new(rows, tau_s);
    for k in 0..WALK_KNOTS {
        let q = if k < 2 { SINK_WALK.0 } else { SINK_WALK.1 };
        noise.add(rows, |s| {
            let m = step(tau_s - s.t_s + s.lag_s, k as f64, 1.0);
            q * seen_before(s.kind, m, kappa)
        });
        noise.add(rows, |s| {
            let m = step(tau_s - s.t_s + s.lag_s, k as f64, 1.0);
            DRAG_WALK.0 * slowed(s.kind, m, -1.0)
        });
    }
    let Some(factor) = noise.factor() else {
        return Vec::new();
    };
    let data = factor.whitened(&mut rows.iter().map(|s| reduced(s, setting)));
    let mut shared: Vec<Vec<f64>> = (0..SINK)
        .map(|j| {
            factor.whitened(
                &mut rows
                    .iter()
                    .map(|s| shared_columns(s, s.t_s - s.lag_s - tau_s)[j]),
            )
        })
        .collect();
    shared.push(vec![0.0; n]);
    let lag = factor.whitened(
        &mut rows
            .iter()
            .map(|s| if s.kind == Kind::Baro { -s.slope } else { 0.0 }),
    );
    FLARES
        .iter()
        .map(|flare| {
            let motions: Vec<[Motion; 3]> = rows
                .iter()
                .map(|s| flare.motions(tau_s - s.t_s + s.lag_s))
                .collect();
            let column = |j: usize| {
                factor.whitened(
                    &mut rows
                        .iter()
                        .zip(&motions)
                        .map(|(s, m)| seen_before(s.kind, m[j], kappa)),
                )
            };
            shared[SINK] = column(0);
            let nominal = [
                HELD_CONTACT_MPS.0,
                HOLD_SINK_MPS.0,
                setting.approach_sink_mps,
            ];
            let slope = factor.whitened(&mut rows.iter().zip(&motions).map(|(s, m)| {
                match s.kind {
                    Kind::Position | Kind::Speed => (0..3)
                        .map(|j| nominal[j] * seen_before(s.kind, m[j], kappa))
                        .sum(),
                    _ => 0.0,
                }
            }));
            let own = [column(1), column(2), slope, lag.clone()];
            let priors = [
                HOLD_SINK_MPS,
                APPROACH_SINK_MPS,
                (0.0, ENERGY_SLOPE_SD),
                (0.0, setting.baro_lag_sd_s),
            ];
            (
                *flare,
                form(&data, &shared, &own, &priors, factor.log_determinant),
            )
        })
        .collect()
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
fn ground_forms(rows: &[&Sample], setting: &Setting, tau_s: f64) -> Vec<(f64, f64, Form)> {
    let n = rows.len();
    let kappa = setting.kappa;
    let after: Vec<f64> = rows.iter().map(|s| s.t_s - tau_s).collect();
    let each = |f: &dyn Fn(&Sample, f64) -> f64| -> Vec<f64> {
        rows.iter().zip(&after).map(|(s, r)| f(s, *r)).collect()
    };
    let mut out = Vec::new();
    for (quiet_s, quiet_prior) in QUIET {
        let mut noise = Noise::new(rows, tau_s);
        for k in 0..WALK_KNOTS {
            let q = if (k as f64) < quiet_s {
                DRAG_WALK.1
            } else {
                DRAG_WALK.2
            };
            noise.add(rows, |s| q * braked(s, s.t_s - tau_s, k as f64, 1.0));
        }
        let Some(factor) = noise.factor() else {
            continue;
        };
        let white = |f: &dyn Fn(&Sample, f64) -> f64| factor.whitened(&mut each(f).into_iter());
        let data = white(&|s, _| reduced(s, setting));
        let mut shared: Vec<Vec<f64>> = (0..SINK)
            .map(|j| {
                white(&|s, r| {
                    shared_columns(
                        s,
                        if s.kind == Kind::Speed {
                            r - s.lag_s
                        } else {
                            r
                        },
                    )[j]
                })
            })
            .collect();
        shared.push(vec![0.0; n]);
        let change = [0, 1].map(|i| white(&|s, r| braked(s, r, 0.0, DRAG_CHANGE_TIME_S[i])));
        let impact = white(&|s, r| struck(s, r, 0.5));
        let memory = white(&|s, r| remembered(s, r, kappa).0);
        let arrest = white(&|s, r| remembered(s, r, kappa).1);
        for (bounce_s, bounce_prior) in BOUNCES {
            let rebound =
                white(&|s, r| seen_after(s.kind, bounce(r, 0.0, bounce_s, s.lag_s), kappa));
            let second = white(&|s, r| {
                seen_after(
                    s.kind,
                    bounce(r, bounce_s, SECOND_BOUNCE.0 * bounce_s, s.lag_s),
                    kappa,
                )
            });
            shared[SINK] = (0..n)
                .map(|i| memory[i] + IMPACT_LOSS.0 * impact[i] + REBOUND.0 * rebound[i])
                .collect();
            let [c0, c1] = change.clone();
            let own = [c0, c1, impact.clone(), arrest.clone(), rebound, second];
            let priors = [
                DRAG_CHANGE_MPS2[0],
                DRAG_CHANGE_MPS2[1],
                (0.0, IMPACT_LOSS.1),
                ARREST_MPS2,
                (REBOUND.1, REBOUND.2),
                (SECOND_BOUNCE.1, SECOND_BOUNCE.2),
            ];
            let f = form(&data, &shared, &own, &priors, factor.log_determinant);
            out.push((bounce_s, (quiet_prior * bounce_prior).ln(), f));
        }
    }
    out
}

/// Noise covariance of one side.
struct Noise {
    n: usize,
    covariance: Vec<f64>,
}

/// Its Cholesky factor.
struct Factor {
    n: usize,
    lower: Vec<f64>,
    log_determinant: f64,
}

impl Noise {
    fn new(rows: &[&Sample], tau_s: f64) -> Self {
        let n = rows.len();
        let mut covariance = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                let (a, b) = (rows[i], rows[j]);
                if a.kind != b.kind {
                    continue;
                }
                let shared_s = (a.t_s - tau_s).abs().min((b.t_s - tau_s).abs());
                covariance[i * n + j] = match a.kind {
                    Kind::Position => BIAS_WALK.0 * BIAS_WALK.0 * shared_s,
                    Kind::Gnss => BIAS_WALK.1 * BIAS_WALK.1 * shared_s,
                    Kind::Baro => BIAS_WALK.2 * BIAS_WALK.2 * shared_s,
                    Kind::Speed | Kind::Climb => {
                        SPEED_WANDER.0
                            * SPEED_WANDER.0
                            * (-(a.t_s - b.t_s).abs() / SPEED_WANDER.1).exp()
                    }
                };
            }
            covariance[i * n + i] += rows[i].variance;
        }
        Noise { n, covariance }
    }

    /// Adds one independent standard normal source with the given effect on each row.
    fn add(&mut self, rows: &[&Sample], effect: impl Fn(&Sample) -> f64) {
        let e: Vec<f64> = rows.iter().map(|s| effect(s)).collect();
        for i in 0..self.n {
            if e[i] != 0.0 {
                let row = &mut self.covariance[i * self.n..i * self.n + i + 1];
                for (c, ej) in row.iter_mut().zip(&e) {
                    *c += e[i] * ej;
                }
            }
        }
    }

    fn factor(self) -> Option<Factor> {
        let (n, mut a) = (self.n, self.covariance);
        let mut log_determinant = 0.0;
        for i in 0..n {
            for j in 0..=i {
                let dot: f64 = a[i * n..i * n + j]
                    .iter()
                    .zip(&a[j * n..j * n + j])
                    .map(|(x, y)| x * y)
                    .sum();
                let value = a[i * n + j] - dot;
                if i == j {
                    if value.is_nan() || value <= 0.0 {
                        return None;
                    }
                    a[i * n + i] = value.sqrt();
                    log_determinant += value.ln();
                } else {
                    a[i * n + j] = value / a[j * n + j];
                }
            }
        }
        Some(Factor {
            n,
            lower: a,
            log_determinant,
        })
    }
}

impl Factor {
    /// `L⁻¹ column`.
    fn whitened(&self, column: &mut dyn Iterator<Item = f64>) -> Vec<f64> {
        let n = self.n;
        let mut z: Vec<f64> = column.take(n).collect();
        for i in 0..n {
            let dot: f64 = self.lower[i * n..i * n + i]
                .iter()
                .zip(&z)
                .map(|(l, x)| l * x)
                .sum();
            z[i] = (z[i] - dot) / self.lower[i * n + i];
        }
        z
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Log evidence of whitened data as a form in the shared quantities, own nuisances integrated out.
fn form(
    data: &[f64],
    shared: &[Vec<f64>],
    own: &[Vec<f64>],
    priors: &[(f64, f64)],
    log_determinant: f64,
) -> Form {
    let mut residual = data.to_vec();
    for (column, prior) in own.iter().zip(priors) {
        for (r, c) in residual.iter_mut().zip(column) {
            *r -= prior.0 * c;
        }
    }
    let mut lambda = [[0.0; SHARED]; SHARED];
    let mut eta = [0.0; SHARED];
    for i in 0..SHARED {
        for j in 0..=i {
            lambda[i][j] = dot(&shared[i], &shared[j]);
        }
        eta[i] = dot(&shared[i], &residual);
    }
    let mut constant = -0.5 * (dot(&residual, &residual) + log_determinant);
    // Own nuisances scaled to unit prior, then the Schur complement by their Cholesky factor.
    let mut precision = [[0.0; OWN]; OWN];
    let mut cross = [[0.0; SHARED]; OWN];
    let mut pull = [0.0; OWN];
    for a in 0..own.len() {
        for b in 0..=a {
            precision[a][b] = priors[a].1 * priors[b].1 * dot(&own[a], &own[b]);
        }
        precision[a][a] += 1.0;
        for j in 0..SHARED {
            cross[a][j] = priors[a].1 * dot(&own[a], &shared[j]);
        }
        pull[a] = priors[a].1 * dot(&own[a], &residual);
    }
    let mut lower = precision;
    for a in 0..own.len() {
        for b in 0..=a {
            let mut value = lower[a][b];
            for c in 0..b {
                value -= lower[a][c] * lower[b][c];
            }
            lower[a][b] = if a == b {
                value.max(1e-12).sqrt()
            } else {
                value / lower[b][b]
            };
        }
        constant -= lower[a][a].ln();
        for b in 0..a {
            let l = lower[a][b];
            for j in 0..SHARED {
                cross[a][j] -= l * cross[b][j];
            }
            pull[a] -= l * pull[b];
        }
        for j in 0..SHARED {
            cross[a][j] /= lower[a][a];
        }
        pull[a] /= lower[a][a];
    }
    for a in 0..own.len() {
        constant += 0.5 * pull[a] * pull[a];
        for i in 0..SHARED {
            eta[i] -= cross[a][i] * pull[a];
            for j in 0..=i {
                lambda[i][j] -= cross[a][i] * cross[a][j];
            }
        }
    }
    Form {
        lambda,
        eta,
        constant,
    }
}

/// Both sides and the priors together.
fn combined(
    flare: Flare,
    bounce_s: f64,
    ground_prior: f64,
    a: &Form,
    g: &Form,
    setting: &Setting,
    tau_s: f64,
) -> Option<Cell> {
    let sink = if flare.hold_s > 0.0 {
        HELD_CONTACT_MPS
    } else {
        ROUND_OUT_CONTACT_MPS
    };
    // Position and speed are as good as unknown: 60 m and 12 m/s about the nominal line.
    let priors: [(f64, f64); SHARED] = [
        (0.0, 60.0),
        (0.0, 12.0),
        DRAG_MPS2,
        (0.0, setting.datum_sd_m),
        (0.0, setting.datum_sd_m),
        (0.0, setting.lag_sd_s),
        sink,
    ];
    let mut lower = [[0.0; SHARED]; SHARED];
    let mut z = [0.0; SHARED];
    let mut log = a.constant + g.constant + ground_prior + flare.prior.ln();
    for i in 0..SHARED {
        let (mean, sd) = priors[i];
        let weight = 1.0 / (sd * sd);
        log -= sd.ln() + 0.5 * mean * mean * weight;
        for j in 0..=i {
            let mut value = a.lambda[i][j] + g.lambda[i][j];
            if i == j {
                value += weight;
            }
            for c in 0..j {
                value -= lower[i][c] * lower[j][c];
            }
            if i == j {
                if value.is_nan() || value <= 0.0 {
                    return None;
                }
                lower[i][i] = value.sqrt();
                log -= 0.5 * value.ln();
            } else {
                lower[i][j] = value / lower[j][j];
            }
        }
        let mut value = a.eta[i] + g.eta[i] + mean * weight;
        for c in 0..i {
            value -= lower[i][c] * z[c];
        }
        z[i] = value / lower[i][i];
        log += 0.5 * z[i] * z[i];
    }
    let mut mean = z;
    for i in (0..SHARED).rev() {
        for c in i + 1..SHARED {
            mean[i] -= lower[c][i] * mean[c];
        }
        mean[i] /= lower[i][i];
    }
    // Variance of one quantity: squared length of L⁻¹ e.
    let sd = |k: usize| {
        let mut e = [0.0; SHARED];
        e[k] = 1.0;
        let mut sum = 0.0;
        for i in 0..SHARED {
            for c in 0..i {
                e[i] -= lower[i][c] * e[c];
            }
            e[i] /= lower[i][i];
            sum += e[i] * e[i];
        }
        sum.sqrt()
    };
    let sink_mps = (mean[SINK], sd(SINK));
    // A contact has a sink: the part of the normal law above zero, after against before.
    log += (normal_below(sink_mps.0 / sink_mps.1) / normal_below(sink.0 / sink.1)).ln();
    // A round-out harder than usual is unlikely; a softer one is a hard landing, which has its own prior.
    let end_mps = if flare.hold_s > 0.0 {
        HOLD_SINK_MPS.0
    } else {
        sink_mps.0
    };
    let load = (setting.approach_sink_mps - end_mps) / flare.round_out_s;
    log -= 0.5 * ((load - ROUND_OUT_MPS2.0).max(0.0) / ROUND_OUT_MPS2.1).powi(2);
    if !log.is_finite() {
        return None;
    }
    let (t, x, v) = setting.line;
    Some(Cell {
        log_weight: log,
        flare,
        bounce_s,
        along_m: (x + v * (tau_s - t) + mean[0], sd(0)),
        speed_mps: (v + mean[1], sd(1)),
        sink_mps,
    })
}

/// Standard normal probability below `z`; Abramowitz and Stegun 26.2.17, error below 7.5e-8.
pub(super) fn normal_below(z: f64) -> f64 {
    let x = z.abs();
    let t = 1.0 / (1.0 + 0.2316419 * x);
    let series = t
        * (0.319381530
            + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    let tail = (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt() * series;
    (if z >= 0.0 { 1.0 - tail } else { tail }).max(1e-300)
}
