//! When the power changed: a posterior over the instant.
//!
//! The specific power is modelled as one level before and another after, joined by a ramp, or with
//! a level of its own between two ramps (a throttle brought back in two steps): the instant is that
//! of the last one. Each ramp is what the smoother makes of it ([`StepResponse`]). After a closing,
//! idle reads too high at speed where the polar has the wrong shape: a tail with a scale of its own.
//! The noise around it is vertical air (slow) and what the smoothing leaves (fast), of several
//! strengths. Levels and tail are integrated out with Gaussian priors; ramps, noise and instant
//! are weighed on a grid, and all of it stays in the posterior.

use super::levels::Levels;
use super::power::AirMotion;
use crate::air::noise_chain::{Block, ChainNoise, LANES, blocks, whiten};
use crate::flight_path::StepResponse;
use crate::linear_algebra::dot_slices;
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
    let raw = RawColumns::new(&used, response, expected.tail.is_some());
    for noise in NOISES {
        let columns = Columns::new(&raw, noise, steps_s[0]);
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

/// What each step, and the tail after it, would show of itself; then a level, and the power. By rows, for whitening.
struct RawColumns {
    t_s: Vec<f64>,
    rows: Vec<Block>,
    blocks: usize,
    steps: usize,
    tails: usize,
}

impl RawColumns {
    fn new(used: &[&AirMotion], response: &StepResponse, with_tails: bool) -> Self {
        let steps = response.shown.len();
        let tails = if with_tails { steps } else { 0 };
        let blocks = blocks(steps + tails + 2);
        let mut rows = vec![[0.0; LANES]; blocks * used.len()];
        let power = without_jumps(used);
        for (k, row) in rows.chunks_exact_mut(blocks).enumerate() {
            let between = Between::of(&response.t_s, used[k].t_s);
            let mut put = |column: usize, value: f64| row[column / LANES][column % LANES] = value;
            for (i, shown) in response.shown.iter().enumerate() {
                let value = between.of_values(shown);
                put(i, value);
                if with_tails {
                    put(steps + i, value * used[k].shape_mps);
                }
            }
            put(steps + tails, 1.0);
            put(steps + tails + 1, power[k]);
        }
        RawColumns {
            t_s: used.iter().map(|a| a.t_s).collect(),
            rows,
            blocks,
            steps,
            tails,
        }
    }
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
    /// Products of `one` and `data` with themselves and each other.
    one_one: f64,
    one_data: f64,
    data_data: f64,
    /// Sum of the logarithms of the innovation variances.
    log_variance: f64,
}

/// A whitened ramp, or the tail after one, with its products with itself, the level and the power.
struct Ramp {
    shown: Vec<f64>,
    own: f64,
    one: f64,
    data: f64,
}

/// A ramp with the tail after it, where there is one, and the product of the two.
struct RampAndTail {
    ramp: Ramp,
    tail: Option<(Ramp, f64)>,
}

impl Columns {
    fn new(raw: &RawColumns, (slow_mps, fast): (f64, (f64, f64)), from_s: f64) -> Self {
        let noise = ChainNoise {
            smooth: (0.0, 1.0),
            slow: (slow_mps, SLOW_CORRELATION_S),
            fast,
            white_mps: 0.3,
            drift_m2ps3: 0.0,
            drift_start_m2ps2: 0.0,
        };
        let count = raw.t_s.len();
        let sums = |of: usize| vec![vec![0.0; count]; if of > 0 { of + 1 } else { 0 }];
        let (mut steps, mut tails) = (sums(raw.steps), sums(raw.tails));
        let (mut one, mut data) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let heading = vec![[0.0; 2]; count];
        let rows = (&raw.rows[..], raw.blocks);
        let log_variance = whiten(&noise, &raw.t_s, &heading, rows, |row| {
            let at = |column: usize| row[column / LANES][column % LANES];
            let k = one.len();
            for (first, sums) in [(0, &mut steps), (raw.steps, &mut tails)] {
                let mut sum = 0.0;
                for (i, sums) in sums.iter_mut().skip(1).enumerate() {
                    sum += at(first + i);
                    sums[k] = sum;
                }
            }
            one.push(at(raw.steps + raw.tails));
            data.push(at(raw.steps + raw.tails + 1));
        });
        Columns {
            from_s,
            steps,
            tails,
            one_one: dot_slices(&one, &one),
            one_data: dot_slices(&one, &data),
            data_data: dot_slices(&data, &data),
            one,
            data,
            log_variance,
        }
    }

    /// Steps, by their running sums, from the first to before the second of two indices.
    fn mean(&self, sums: &[Vec<f64>], (a, b): (usize, usize)) -> Ramp {
        let scale = 1.0 / (b - a) as f64;
        let shown: Vec<f64> = sums[b]
            .iter()
            .zip(&sums[a])
            .map(|(y, x)| scale * (y - x))
            .collect();
        Ramp {
            own: dot_slices(&shown, &shown),
            one: dot_slices(&shown, &self.one),
            data: dot_slices(&shown, &self.data),
            shown,
        }
    }

    /// The steps of a ramp of this length around `tau`.
    fn steps_of(&self, tau: f64, length_s: f64) -> (usize, usize) {
        let most = self.steps.len() - 2;
        let index = |t: f64| (((t - self.from_s) / SPACING_S).round().max(0.0) as usize).min(most);
        let a = index(tau - 0.5 * length_s);
        (a, index(tau + 0.5 * length_s).max(a) + 1)
    }

    fn ramp(&self, tau: f64, length_s: f64) -> Ramp {
        self.mean(&self.steps, self.steps_of(tau, length_s))
    }

    fn ramp_and_tail(&self, tau: f64, length_s: f64) -> RampAndTail {
        let ramp = self.ramp(tau, length_s);
        let tail = (!self.tails.is_empty()).then(|| {
            let tail = self.mean(&self.tails, self.steps_of(tau, length_s));
            let both = dot_slices(&tail.shown, &ramp.shown);
            (tail, both)
        });
        RampAndTail { ramp, tail }
    }

    /// The level before, the ramp, and the tail.
    fn one_step(&self, after: &RampAndTail, expected: &Expectation) -> f64 {
        let (a, mut fit) = (&after.ramp, Levels::new(self.data_data));
        fit.add(
            &[self.one_one - 2.0 * a.one + a.own],
            self.one_data - a.data,
            expected.before_mps,
        );
        fit.add(&[a.one - a.own, a.own], a.data, expected.after_mps);
        if let (Some((tail, both)), Some(prior)) = (&after.tail, expected.tail) {
            fit.add(&[tail.one - both, *both, tail.own], tail.data, prior);
        }
        fit.log_evidence()
    }

    /// The level before, that between the two ramps, that after, and the tail.
    fn two_steps(
        &self,
        begun: &Ramp,
        after: &RampAndTail,
        between_mps: (f64, f64),
        expected: &Expectation,
    ) -> f64 {
        let (b, a, mut fit) = (begun, &after.ramp, Levels::new(self.data_data));
        let both = dot_slices(&b.shown, &a.shown);
        fit.add(
            &[self.one_one - 2.0 * b.one + b.own],
            self.one_data - b.data,
            expected.before_mps,
        );
        fit.add(
            &[b.one - b.own - a.one + both, b.own - 2.0 * both + a.own],
            b.data - a.data,
            between_mps,
        );
        fit.add(
            &[a.one - both, both - a.own, a.own],
            a.data,
            expected.after_mps,
        );
        if let (Some((tail, with_after)), Some(prior)) = (&after.tail, expected.tail) {
            let with_begun = dot_slices(&tail.shown, &b.shown);
            fit.add(
                &[
                    tail.one - with_begun,
                    with_begun - with_after,
                    *with_after,
                    tail.own,
                ],
                tail.data,
                prior,
            );
        }
        fit.log_evidence()
    }

    fn log_evidence(&self, tau: f64, expected: &Expectation) -> f64 {
        let one = RAMPS_S
            .map(|length_s| self.one_step(&self.ramp_and_tail(tau, length_s), expected))
            .into_iter()
            .fold(f64::NEG_INFINITY, log_add);
        let mut total = one - (RAMPS_S.len() as f64).ln();
        if let Some(between_mps) = expected.between_mps {
            let after = self.ramp_and_tail(tau, TWO_STEP_RAMP_S);
            let two = FIRST_STEPS_S
                .map(|earlier_s| {
                    let begun = self.ramp(tau - earlier_s, TWO_STEP_RAMP_S);
                    self.two_steps(&begun, &after, between_mps, expected)
                })
                .into_iter()
                .fold(f64::NEG_INFINITY, log_add);
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

/// Where an instant lies among others: after which, and how far towards the next.
struct Between {
    before: usize,
    share: f64,
}

impl Between {
    fn of(t_s: &[f64], t: f64) -> Self {
        let after = t_s.partition_point(|x| *x < t).clamp(1, t_s.len() - 1);
        let (a, b) = (t_s[after - 1], t_s[after]);
        Between {
            before: after - 1,
            share: ((t - a) / (b - a)).clamp(0.0, 1.0),
        }
    }

    fn of_values(&self, values: &[f64]) -> f64 {
        let (a, b) = (values[self.before], values[self.before + 1]);
        a + self.share * (b - a)
    }
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
