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
use super::step_columns::{Columns, Ramp, RampAndTail, RawColumns};
use crate::flight_path::StepResponse;
use crate::linear_algebra::dot_slices;

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
/// Prior odds of two steps against one: before a practice many bring the power back to that of the circuit first (common practice).
const TWO_STEP_ODDS: f64 = 0.3;
/// Spacing of the candidates, s.
pub(super) const SPACING_S: f64 = 0.2;
/// Noise tried, with equal odds: vertical air, m/s (calm, lively, rough), and what the smoothing leaves,
/// m/s and s (a good recorder, a coarse one, one whose speed jumps).
const NOISES: [(f64, (f64, f64)); 5] = [
    (0.4, (0.7, 1.0)),
    (0.8, (0.7, 1.0)),
    (1.4, (0.7, 1.0)),
    (0.8, (1.8, 1.5)),
    (0.8, (3.5, 2.0)),
];

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

impl Columns {
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

    /// The posterior of an instant that lies earlier by `lead_s`: mean and standard deviation, independent of it.
    #[must_use]
    pub fn led_by(&self, lead_s: (f64, f64)) -> ChangePoint {
        let (Some(first), Some(last)) = (self.time_s.first(), self.time_s.last()) else {
            return self.clone();
        };
        let reach_s = 3.5 * lead_s.1;
        let from_s = first - lead_s.0 - reach_s;
        let count = ((last - first + 2.0 * reach_s) / SPACING_S).ceil() as usize;
        let time_s: Vec<f64> = (0..=count).map(|i| from_s + SPACING_S * i as f64).collect();
        let mut weight: Vec<f64> = time_s
            .iter()
            .map(|t| {
                self.time_s
                    .iter()
                    .zip(&self.weight)
                    .map(|(s, w)| w * (-0.5 * ((s - lead_s.0 - t) / lead_s.1).powi(2)).exp())
                    .sum()
            })
            .collect();
        let sum: f64 = weight.iter().sum();
        for w in &mut weight {
            *w /= sum;
        }
        ChangePoint { time_s, weight }
    }

    /// The instant before which this `share` of the probability lies, s: one drawn, where `share` is uniform.
    pub fn at_share(&self, share: f64) -> f64 {
        let mut left = share;
        for (t, w) in self.time_s.iter().zip(&self.weight) {
            if left < *w {
                return t + SPACING_S * (left / w - 0.5);
            }
            left -= w;
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
