//! Evidence of one contact time and shape, everything linear integrated out.
//!
//! Rows before and after the contact share a few quantities at the contact:
//! position, speed, drag, height biases, lag of the speed, sink. Given these
//! the two sides are independent, so each side is reduced once to a quadratic
//! form in them (whitening by the Cholesky factor of its own noise, Schur
//! complement over its own nuisances) and the forms of all flares and all
//! rollouts are then combined at the price of one 8 × 8 factorisation.

use super::gaussian::{Form, SHARED, SINK};
use super::rows::{Kind, Sample};
use super::shapes::Flare;
use super::{air, ground};
use crate::random::normal_below;

/// Approach sink, m/s: 300 to 1,500 ft/min.
pub(super) const APPROACH_SINK_MPS: (f64, f64) = (4.2, 1.8);
/// Sink at the begin of a hold-off, m/s.
pub(super) const HOLD_SINK_MPS: (f64, f64) = (0.45, 0.4);
/// Sink at a contact after a hold-off, m/s: 50 to 400 ft/min.
pub(super) const HELD_CONTACT_MPS: (f64, f64) = (0.8, 0.6);
/// Sink at a contact in the round-out, m/s: 50 to 800 ft/min.
const ROUND_OUT_CONTACT_MPS: (f64, f64) = (2.0, 1.4);
/// Drag per mass with flap or without, m/s²: lift to drag of 4 to 12.
const DRAG_MPS2: (f64, f64) = (1.5, 0.5);
/// Airspeed at the contact over that on the approach: an approach at 1.2 to 1.5 times the stalling speed ends at 1.0 to 1.25.
const CONTACT_SPEED_SHARE: (f64, f64) = (0.85, 0.07);
/// The same over the usual approach speed, 1.3 times the stalling speed: the stall is at 0.77, and 0.73 at light
/// weight. Where doubt begins, and its standard deviation, a doubt of 2 kt about the headwind in it.
const SLOWEST_CONTACT_SHARE: (f64, f64) = (0.85, 0.05);
/// Above its usual approach speed an aeroplane does not stay on the ground.
const FASTEST_CONTACT_SHARE: (f64, f64) = (1.0, 0.1);
/// Forms that are alone less likely than the best by this (natural log) are not combined.
const LONG_SHOT: f64 = 10.0;
/// Power to which the evidence is taken: shapes and noise laws are cruder than the truth.
const TEMPER: f64 = 0.45;
/// Load of a round-out over level flight, m/s²: 0.05 to 0.25 g; more is rare.
const ROUND_OUT_MPS2: (f64, f64) = (1.3, 0.5);
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
    /// Airspeed on the approach and headwind, m/s.
    pub(super) approach_airspeed_mps: f64,
    pub(super) headwind_mps: f64,
    /// Whether that speed is the aeroplane's usual one, not the one flown this time.
    pub(super) approach_is_usual: bool,
    /// Usual approach sink of this landing, m/s, for the doubt about g/V.
    pub(super) approach_sink_mps: f64,
}

/// One shape at one contact time: log weight and what it says of the shared quantities.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub(super) log_weight: f64,
    pub(super) flare: Flare,
    /// Mean and standard deviation of position along, m.
    pub(super) along_m: (f64, f64),
    /// Ground speed, m/s.
    pub(super) speed_mps: (f64, f64),
    /// Sink, m/s.
    pub(super) sink_mps: (f64, f64),
}

/// All shapes at contact time `tau_s` that can weigh.
pub(super) fn cells(samples: &[Sample], setting: &Setting, tau_s: f64) -> Vec<Cell> {
    let before: Vec<&Sample> = samples.iter().filter(|s| s.t_s < tau_s).collect();
    let after: Vec<&Sample> = samples.iter().filter(|s| s.t_s >= tau_s).collect();
    let priors = priors(setting);
    let air = contenders(air::forms(&before, setting, tau_s), |f| &f.1, &priors);
    let ground = contenders(ground::forms(&after, setting, tau_s), |g| &g.2, &priors);
    let mut out: Vec<Cell> = Vec::with_capacity(air.len() * ground.len());
    let mut best = f64::NEG_INFINITY;
    for (flare, a) in &air {
        let sink = if flare.hold_s > 0.0 {
            HELD_CONTACT_MPS
        } else {
            ROUND_OUT_CONTACT_MPS
        };
        let mut priors = priors;
        priors[SINK] = sink;
        let side = Side {
            flare: *flare,
            log_prior: flare.prior.ln() - normal_below(sink.0 / sink.1).ln(),
            form: Primed::new(a, &priors),
        };
        for (_, log_prior, g) in &ground {
            if let Some(cell) = side.combined(*log_prior, g, (setting, tau_s), best - NOWHERE) {
                best = best.max(cell.log_weight);
                out.push(cell);
            }
        }
    }
    out
}

/// A cell this much less likely (natural log) than another of its contact time is left out: all of them together are
/// less than a hundred thousandth.
const NOWHERE: f64 = 18.0;

/// The forms worth combining: alone not less likely than the best of their side by more than [`LONG_SHOT`].
fn contenders<T>(
    forms: Vec<T>,
    form: impl Fn(&T) -> &Form,
    priors: &[(f64, f64); SHARED],
) -> Vec<T> {
    let alone: Vec<f64> = forms
        .iter()
        .map(|f| {
            let solved = Primed::new(form(f), priors).solved(&Form::flat());
            solved.map_or(f64::NEG_INFINITY, |s| s.log_evidence)
        })
        .collect();
    let best = alone.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    forms
        .into_iter()
        .zip(alone)
        .filter(|f| f.1 > best - LONG_SHOT)
        .map(|f| f.0)
        .collect()
}

/// Priors of the shared quantities.
fn priors(setting: &Setting) -> [(f64, f64); SHARED] {
    // Position and speed are as good as unknown: 60 m and 12 m/s about the nominal line.
    [
        (0.0, 60.0),
        (0.0, 12.0),
        DRAG_MPS2,
        (0.0, setting.datum_sd_m),
        (0.0, setting.datum_sd_m),
        (0.0, setting.lag_sd_s),
        (0.0, setting.baro_lag_sd_s),
        ROUND_OUT_CONTACT_MPS,
    ]
}

/// Value less the nominal motion.
pub(super) fn reduced(s: &Sample, setting: &Setting) -> f64 {
    let (t, x, v) = setting.line;
    match s.kind {
        Kind::Position => s.value - x - v * (s.t_s - t),
        Kind::Speed => s.value - v,
        Kind::Gnss | Kind::Baro => s.value - setting.rollout_m,
        Kind::Climb => s.value,
    }
}

/// Columns of the shared quantities, the contact sink left out.
pub(super) fn shared_columns(s: &Sample, signed_s: f64) -> [f64; SINK] {
    match s.kind {
        Kind::Position => [
            1.0,
            signed_s,
            -signed_s * signed_s / 2.0,
            0.0,
            0.0,
            0.0,
            0.0,
        ],
        Kind::Speed => [0.0, 1.0, -signed_s, 0.0, 0.0, -s.slope, 0.0],
        Kind::Gnss => [0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0],
        Kind::Baro => [0.0, 0.0, 0.0, 0.0, 1.0, 0.0, -s.slope],
        Kind::Climb => [0.0, 0.0, 0.0, 0.0, 0.0, -s.slope, 0.0],
    }
}

/// Evidence and posterior of the shared quantities: `L Lᵀ` is their precision, `half` is `Lᵀ` times their mean.
struct Solved {
    log_evidence: f64,
    half: [f64; SHARED],
    /// Below the diagonal.
    lower: [[f64; SHARED]; SHARED],
    /// One over the diagonal.
    inverse: [f64; SHARED],
}

impl Solved {
    fn mean(&self) -> [f64; SHARED] {
        let mut mean = self.half;
        for i in (0..SHARED).rev() {
            for c in i + 1..SHARED {
                mean[i] -= self.lower[c][i] * mean[c];
            }
            mean[i] *= self.inverse[i];
        }
        mean
    }

    /// Standard deviation of one quantity: length of `L⁻¹ e`.
    fn sd(&self, k: usize) -> f64 {
        let mut e = [0.0; SHARED];
        let mut sum = 0.0;
        for i in k..SHARED {
            let mut value = if i == k { 1.0 } else { 0.0 };
            for c in k..i {
                value -= self.lower[i][c] * e[c];
            }
            e[i] = value * self.inverse[i];
            sum += e[i] * e[i];
        }
        sum.sqrt()
    }
}

/// A form together with the priors.
struct Primed {
    form: Form,
    /// Product of the standard deviations of the priors.
    widths: f64,
}

impl Primed {
    fn new(form: &Form, priors: &[(f64, f64); SHARED]) -> Self {
        let mut form = *form;
        let mut widths = 1.0;
        for (i, (mean, sd)) in priors.iter().enumerate() {
            let weight = 1.0 / (sd * sd);
            form.lambda[i][i] += weight;
            form.eta[i] += mean * weight;
            form.constant -= 0.5 * mean * mean * weight;
            widths *= sd;
        }
        Primed { form, widths }
    }

    /// Combined with the form of the other side.
    fn solved(&self, other: &Form) -> Option<Solved> {
        let mut lower = self.form.lambda;
        let mut half = self.form.eta;
        let mut inverse = [0.0; SHARED];
        let mut log = self.form.constant + other.constant;
        // Determinant and prior widths: one product, one logarithm.
        let mut scale = self.widths;
        for i in 0..SHARED {
            half[i] += other.eta[i];
            for j in 0..=i {
                let mut value = lower[i][j] + other.lambda[i][j];
                for c in 0..j {
                    value -= lower[i][c] * lower[j][c];
                }
                if j < i {
                    lower[i][j] = value * inverse[j];
                } else if value > 0.0 {
                    let root = value.sqrt();
                    scale *= root;
                    inverse[i] = 1.0 / root;
                } else {
                    return None;
                }
            }
            for c in 0..i {
                half[i] -= lower[i][c] * half[c];
            }
            half[i] *= inverse[i];
            log += 0.5 * half[i] * half[i];
        }
        Some(Solved {
            log_evidence: log - scale.ln(),
            half,
            lower,
            inverse,
        })
    }
}

/// The flight before the contact in one shape.
struct Side {
    flare: Flare,
    /// Logarithm of its prior, less that of the part of the contact sink's prior above zero.
    log_prior: f64,
    form: Primed,
}

impl Side {
    /// Together with the rollout `g`. Nothing where that is less likely than `least`.
    fn combined(
        &self,
        ground_prior: f64,
        g: &Form,
        (setting, tau_s): (&Setting, f64),
        least: f64,
    ) -> Option<Cell> {
        let solved = self.form.solved(g)?;
        // what comes now only takes away
        let mut log = TEMPER * solved.log_evidence + ground_prior + self.log_prior;
        if log.is_nan() || log < least {
            return None;
        }
        let flare = self.flare;
        let mean = solved.mean();
        let sink_mps = (mean[SINK], solved.sd(SINK));
        // A contact has a sink: the part of the normal law above zero, after against before.
        log += normal_below(sink_mps.0 / sink_mps.1).ln();
        // A round-out harder than usual is unlikely; a softer one is a hard landing, which has its own prior.
        let end_mps = if flare.hold_s > 0.0 {
            HOLD_SINK_MPS.0
        } else {
            sink_mps.0
        };
        let load = (setting.approach_sink_mps - end_mps) / flare.round_out_s;
        log -= 0.5 * ((load - ROUND_OUT_MPS2.0).max(0.0) / ROUND_OUT_MPS2.1).powi(2);
        // The wing must carry the weight up to the contact.
        let (t, x, v) = setting.line;
        let share = (v + mean[1] + setting.headwind_mps) / setting.approach_airspeed_mps;
        if setting.approach_is_usual {
            let (slow, fast) = (SLOWEST_CONTACT_SHARE, FASTEST_CONTACT_SHARE);
            log -= 0.5 * ((slow.0 - share).max(0.0) / slow.1).powi(2);
            log -= 0.5 * ((share - fast.0).max(0.0) / fast.1).powi(2);
        } else {
            let (least, sd) = CONTACT_SPEED_SHARE;
            log -= 0.5 * ((least - share).max(0.0) / sd).powi(2);
        }
        if !log.is_finite() || log < least {
            return None;
        }
        Some(Cell {
            log_weight: log,
            flare,
            along_m: (x + v * (tau_s - t) + mean[0], solved.sd(0)),
            speed_mps: (v + mean[1], solved.sd(1)),
            sink_mps,
        })
    }
}
