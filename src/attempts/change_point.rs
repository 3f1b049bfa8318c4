//! When the power changed: a posterior over the instant.
//!
//! The specific power is modelled as one level before and another after, joined by a ramp, or with
//! a level of its own between two ramps (a throttle brought back in two steps): the instant is that
//! of the last one. Each ramp is what the smoother makes of it ([`StepResponse`]). After a closing,
//! idle reads too high at speed where the polar has the wrong shape: a tail with a scale of its own.
//! The noise around it is vertical air (slow) and what the smoothing leaves (fast), of several
//! strengths. Levels and tail are integrated out with Gaussian priors; ramps, noise and instant
//! are weighed on a grid, and all of it stays in the posterior.

use super::power::AirMotion;
use crate::air::noise_chain::{ChainNoise, whiten};
use crate::flight_path::StepResponse;
use crate::linear_algebra::Dense;
use crate::random::Draws;

/// What is expected of the change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expectation {
    /// Level before: mean and standard deviation, m/s.
    pub before_mps: (f64, f64),
    /// Level after: mean and standard deviation, m/s.
    pub after_mps: (f64, f64),
    /// First and last instant considered, s.
    pub between_s: (f64, f64),
    /// Level between two steps, where there may be two: mean and standard deviation, m/s.
    pub between_mps: Option<(f64, f64)>,
    /// Scale of the tail after the change (see [`AirMotion::shape_mps`]), where there is one: mean and standard deviation.
    pub tail: Option<(f64, f64)>,
    /// How far before and after a candidate the power is looked at, s.
    pub reach_s: (f64, f64),
}

/// Weights over instants.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangePoint {
    /// Candidates, s.
    pub time_s: Vec<f64>,
    /// Probability of each.
    pub weight: Vec<f64>,
}

/// Lengths of the ramp tried, s: a snatched throttle to a slow closing.
const RAMPS_S: [f64; 3] = [1.0, 2.2, 5.0];
/// How long before the last step the first one may lie, s.
const FIRST_STEPS_S: [f64; 5] = [4.0, 6.6, 9.6, 13.0, 17.0];
/// The ramp of both, s.
const TWO_STEP_RAMP_S: f64 = 1.8;
/// Prior odds of two steps against one.
const TWO_STEP_ODDS: f64 = 0.1;
/// Spacing of the candidates, s.
const SPACING_S: f64 = 0.2;
/// Noise tried, with equal odds: vertical air, m/s (calm, lively, rough), and what the smoothing leaves,
/// m/s and s (a good recorder, a coarse one, one whose speed jumps).
const NOISES: [(f64, (f64, f64)); 5] = [
    (0.4, (0.7, 1.0)),
    (0.8, (0.7, 1.0)),
    (1.4, (0.7, 1.0)),
    (0.8, (1.8, 1.5)),
    (0.8, (3.5, 2.0)),
];
/// Correlation time of the vertical air, s.
const SLOW_CORRELATION_S: f64 = 4.0;
/// Samples of the power this far from their neighbours' median are a jump of the recorder's, m/s.
const JUMP_MPS: f64 = 2.5;
/// Neighbours on either side.
const NEIGHBOURS: usize = 5;

/// Instants at which steps must be answered for [`posterior`] under `expected`, s.
pub fn steps_s(expected: &Expectation) -> Vec<f64> {
    let (first, last) = expected.between_s;
    let widest = 0.5 * RAMPS_S[RAMPS_S.len() - 1] + SPACING_S;
    let earliest = if expected.between_mps.is_some() {
        first - FIRST_STEPS_S[FIRST_STEPS_S.len() - 1]
    } else {
        first
    };
    let count = ((last - earliest + 2.0 * widest) / SPACING_S).ceil() as usize;
    (0..=count)
        .map(|i| earliest - widest + SPACING_S * i as f64)
        .collect()
}

/// The posterior of the instant of change in `trace` (ascending in time), `response` being what
/// the trace shows of steps at [`steps_s`].
pub fn posterior(
    trace: &[AirMotion],
    expected: &Expectation,
    response: &StepResponse,
) -> Option<ChangePoint> {
    let (first, last) = expected.between_s;
    let used: Vec<&AirMotion> = trace
        .iter()
        .filter(|a| a.t_s >= first - expected.reach_s.0 && a.t_s <= last + expected.reach_s.1)
        .collect();
    if used.len() < 6 || response.t_s.len() < 2 {
        return None;
    }
    let steps_s = steps_s(expected);
    let count = ((last - first) / SPACING_S).ceil() as usize;
    let time_s: Vec<f64> = (0..=count).map(|i| first + SPACING_S * i as f64).collect();
    let mut log_weight = vec![f64::NEG_INFINITY; time_s.len()];
    for noise in NOISES {
        let columns = Columns::new(&used, noise, &steps_s, response);
        for (total, &tau) in log_weight.iter_mut().zip(&time_s) {
            *total = log_add(*total, columns.log_evidence(tau, expected));
        }
    }
    let most = log_weight.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return None;
    }
    let mut weight: Vec<f64> = log_weight.iter().map(|w| (w - most).exp()).collect();
    let sum: f64 = weight.iter().sum();
    for w in &mut weight {
        *w /= sum;
    }
    Some(ChangePoint { time_s, weight })
}

/// Whitened columns under one noise; whitening is linear, so those of a ramp are
/// means of those of its steps.
struct Columns {
    /// First step, s.
    from_s: f64,
    /// Running sums over the steps: of the steps, and of the tails after them.
    steps: Vec<Vec<f64>>,
    tails: Vec<Vec<f64>>,
    one: Vec<f64>,
    data: Vec<f64>,
    /// Sum of the logarithms of the innovation variances.
    log_variance: f64,
}

impl Columns {
    fn new(
        used: &[&AirMotion],
        (slow_mps, fast): (f64, (f64, f64)),
        steps_s: &[f64],
        response: &StepResponse,
    ) -> Self {
        let t_s: Vec<f64> = used.iter().map(|a| a.t_s).collect();
        let noise = ChainNoise {
            smooth: (0.0, 1.0),
            slow: (slow_mps, SLOW_CORRELATION_S),
            fast,
            white_mps: 0.3,
            drift_m2ps3: 0.0,
            drift_start_m2ps2: 0.0,
        };
        let mut columns: Vec<Vec<f64>> = response
            .shown
            .iter()
            .map(|shown| {
                t_s.iter()
                    .map(|t| interpolated(&response.t_s, shown, *t))
                    .collect()
            })
            .collect();
        let tails: Vec<Vec<f64>> = columns
            .iter()
            .map(|c| c.iter().zip(used).map(|(s, a)| s * a.shape_mps).collect())
            .collect();
        columns.extend(tails);
        columns.push(vec![1.0; used.len()]);
        columns.push(without_jumps(used));
        let heading = vec![[0.0; 2]; used.len()];
        let log_variance = whiten(&noise, &t_s, &heading, &mut columns);
        let data = columns.pop().unwrap_or_default();
        let one = columns.pop().unwrap_or_default();
        let tails = running_sums(&columns.split_off(response.shown.len()));
        Columns {
            from_s: steps_s[0],
            steps: running_sums(&columns),
            tails,
            one,
            data,
            log_variance,
        }
    }

    /// Whitened ramp of this length around `tau`.
    fn ramp(sums: &[Vec<f64>], from_s: f64, tau: f64, length_s: f64) -> Vec<f64> {
        let index =
            |t: f64| (((t - from_s) / SPACING_S).round().max(0.0) as usize).min(sums.len() - 2);
        let a = index(tau - 0.5 * length_s);
        let b = index(tau + 0.5 * length_s).max(a) + 1;
        let scale = 1.0 / (b - a) as f64;
        sums[b]
            .iter()
            .zip(&sums[a])
            .map(|(y, x)| scale * (y - x))
            .collect()
    }

    fn log_evidence(&self, tau: f64, expected: &Expectation) -> f64 {
        let ramp = |tau: f64, length: f64| Self::ramp(&self.steps, self.from_s, tau, length);
        let less =
            |a: &[f64], b: &[f64]| -> Vec<f64> { a.iter().zip(b).map(|(x, y)| x - y).collect() };
        let with_tail = |mut columns: Vec<Vec<f64>>, mut levels: Vec<(f64, f64)>, length: f64| {
            if let Some(tail) = expected.tail {
                columns.push(Self::ramp(&self.tails, self.from_s, tau, length));
                levels.push(tail);
            }
            log_evidence(&columns, &self.data, &levels)
        };
        let mut one = f64::NEG_INFINITY;
        for length in RAMPS_S {
            let after = ramp(tau, length);
            let columns = vec![less(&self.one, &after), after];
            let levels = vec![expected.before_mps, expected.after_mps];
            one = log_add(one, with_tail(columns, levels, length));
        }
        let mut total = one - (RAMPS_S.len() as f64).ln();
        if let Some(between_mps) = expected.between_mps {
            let mut two = f64::NEG_INFINITY;
            let after = ramp(tau, TWO_STEP_RAMP_S);
            for earlier in FIRST_STEPS_S {
                let begun = ramp(tau - earlier, TWO_STEP_RAMP_S);
                let columns = vec![less(&self.one, &begun), less(&begun, &after), after.clone()];
                let levels = vec![expected.before_mps, between_mps, expected.after_mps];
                two = log_add(two, with_tail(columns, levels, TWO_STEP_RAMP_S));
            }
            total = log_add(
                total,
                two + (TWO_STEP_ODDS / FIRST_STEPS_S.len() as f64).ln(),
            );
        }
        total - 0.5 * self.log_variance
    }
}

/// The power, no sample further from the median around it than [`JUMP_MPS`]: a step keeps its place.
fn without_jumps(used: &[&AirMotion]) -> Vec<f64> {
    (0..used.len())
        .map(|k| {
            let near = &used[k.saturating_sub(NEIGHBOURS)..(k + NEIGHBOURS + 1).min(used.len())];
            let mut values: Vec<f64> = near.iter().map(|a| a.power_mps).collect();
            values.sort_by(f64::total_cmp);
            let middle = crate::quantity::quantile_sorted(&values, 0.5);
            used[k]
                .power_mps
                .clamp(middle - JUMP_MPS, middle + JUMP_MPS)
        })
        .collect()
}

/// `[0] = 0`, `[k + 1] = [k] + columns[k]`.
fn running_sums(columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut sum = vec![0.0; columns.first().map_or(0, Vec::len)];
    let mut out = vec![sum.clone()];
    for column in columns {
        for (s, c) in sum.iter_mut().zip(column) {
            *s += c;
        }
        out.push(sum.clone());
    }
    out
}

fn interpolated(t_s: &[f64], values: &[f64], t: f64) -> f64 {
    let after = t_s.partition_point(|x| *x < t).clamp(1, t_s.len() - 1);
    let (a, b) = (t_s[after - 1], t_s[after]);
    let share = ((t - a) / (b - a)).clamp(0.0, 1.0);
    values[after - 1] + share * (values[after] - values[after - 1])
}

/// Log of the likelihood of `data` with the coefficient of each column integrated out under its Gaussian prior.
fn log_evidence(columns: &[Vec<f64>], data: &[f64], levels: &[(f64, f64)]) -> f64 {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let n = levels.len();
    let mut information = Dense::zero(n);
    let mut right = vec![0.0; n];
    let mut constant = dot(data, data);
    let mut prior = 0.0;
    for (i, (mean, sd)) in levels.iter().enumerate() {
        for j in 0..=i {
            let value = dot(&columns[i], &columns[j]);
            information[(i, j)] += value;
            if i != j {
                information[(j, i)] += value;
            }
        }
        information[(i, i)] += 1.0 / (sd * sd);
        right[i] = dot(&columns[i], data) + mean / (sd * sd);
        constant += mean * mean / (sd * sd);
        prior += sd.ln();
    }
    let Some(lower) = information.cholesky() else {
        return f64::NEG_INFINITY;
    };
    let half = lower.solve_lower(&right);
    -0.5 * (constant - dot(&half, &half) + lower.log_determinant_of_cholesky()) - prior
}

fn log_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if low == f64::NEG_INFINITY {
        high
    } else {
        high + (low - high).exp().ln_1p()
    }
}

impl ChangePoint {
    /// Multiplies by an independent opinion: Gaussian with probability `trust`, else no opinion.
    pub fn weigh_with(&mut self, centre_s: f64, sd_s: f64, trust: f64) {
        let span_s = SPACING_S * self.time_s.len() as f64;
        let peak = trust / (sd_s * std::f64::consts::TAU.sqrt());
        for (t, w) in self.time_s.iter().zip(&mut self.weight) {
            *w *= peak * (-0.5 * ((t - centre_s) / sd_s).powi(2)).exp() + (1.0 - trust) / span_s;
        }
        let sum: f64 = self.weight.iter().sum();
        for w in &mut self.weight {
            *w /= sum;
        }
    }

    /// One instant, s.
    pub fn draw(&self, rng: &mut Draws) -> f64 {
        let mut left = rng.uniform();
        for (t, w) in self.time_s.iter().zip(&self.weight) {
            left -= w;
            if left <= 0.0 {
                return t + SPACING_S * (rng.uniform() - 0.5);
            }
        }
        self.time_s.last().copied().unwrap_or(f64::NAN)
    }

    /// Median instant, s.
    pub fn median_s(&self) -> f64 {
        let mut sum = 0.0;
        for (t, w) in self.time_s.iter().zip(&self.weight) {
            sum += w;
            if sum >= 0.5 {
                return *t;
            }
        }
        f64::NAN
    }
}

#[cfg(test)]
#[path = "change_point_tests.rs"]
mod tests;
