//! When the power changed: a posterior over the instant.
//!
//! The specific power is modelled as one level before and another after, joined by a ramp, or with
//! a level of its own between two ramps (a throttle brought back in two steps): the instant is
//! that of the last one. The
//! noise around it is vertical air (slow) and what the smoothing leaves (fast). Levels are
//! integrated out with Gaussian priors, ramp length and instant are weighed on a grid.

use super::power::AirMotion;
use crate::air::noise_chain::{ChainNoise, whiten};
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
const RAMPS_S: [f64; 3] = [0.9, 2.2, 5.0];
/// How long before the last step the first one may lie, s, and the ramp of both.
const FIRST_STEPS_S: [f64; 5] = [4.0, 6.5, 9.5, 13.0, 17.0];
/// See above, s.
const TWO_STEP_RAMP_S: f64 = 1.8;
/// Prior odds of two steps against one.
const TWO_STEP_ODDS: f64 = 0.1;
/// Spacing of the candidates, s.
const SPACING_S: f64 = 0.2;
/// Vertical air in the power, m/s and s.
const SLOW: (f64, f64) = (0.6, 5.0);
/// What smoothing leaves, m/s and s.
const FAST: (f64, f64) = (0.7, 1.0);

/// Share of the change done at `x` seconds from its middle, for a ramp of `length_s`.
fn ramp(x: f64, length_s: f64) -> f64 {
    (x / length_s + 0.5).clamp(0.0, 1.0)
}

/// The posterior of the instant of change in `trace` (ascending in time).
pub fn posterior(trace: &[AirMotion], expected: &Expectation) -> Option<ChangePoint> {
    let (first, last) = expected.between_s;
    let used: Vec<&AirMotion> = trace
        .iter()
        .filter(|a| a.t_s >= first - expected.reach_s.0 && a.t_s <= last + expected.reach_s.1)
        .collect();
    if used.len() < 6 {
        return None;
    }
    let t_s: Vec<f64> = used.iter().map(|a| a.t_s).collect();
    let y: Vec<f64> = used
        .iter()
        .map(|a| a.power_mps.clamp(-15.0, 25.0))
        .collect();
    let heading = vec![[0.0; 2]; used.len()];
    let noise = ChainNoise {
        smooth: (0.0, 1.0),
        slow: SLOW,
        fast: FAST,
        white_mps: 0.3,
        drift_m2ps3: 0.0,
        drift_start_m2ps2: 0.0,
    };
    let mut time_s = Vec::new();
    let mut log_weight = Vec::new();
    let count = ((last - first) / SPACING_S).ceil() as usize;
    for i in 0..=count {
        let tau = first + SPACING_S * i as f64;
        let mut total = f64::NEG_INFINITY;
        for length in RAMPS_S {
            let after: Vec<f64> = t_s.iter().map(|t| ramp(t - tau, length)).collect();
            let before: Vec<f64> = after.iter().map(|a| 1.0 - a).collect();
            let mut columns = vec![before, after, y.clone()];
            whiten(&noise, &t_s, &heading, &mut columns);
            let levels = [expected.before_mps, expected.after_mps];
            total = log_add(total, log_evidence(&columns, &levels));
        }
        total -= (RAMPS_S.len() as f64).ln();
        if let Some(between_mps) = expected.between_mps {
            let mut two = f64::NEG_INFINITY;
            for earlier in FIRST_STEPS_S {
                let after: Vec<f64> = t_s.iter().map(|t| ramp(t - tau, TWO_STEP_RAMP_S)).collect();
                let begun: Vec<f64> = t_s
                    .iter()
                    .map(|t| ramp(t - tau + earlier, TWO_STEP_RAMP_S))
                    .collect();
                let before: Vec<f64> = begun.iter().map(|b| 1.0 - b).collect();
                let middle: Vec<f64> = begun.iter().zip(&after).map(|(b, a)| b - a).collect();
                let mut columns = vec![before, middle, after, y.clone()];
                whiten(&noise, &t_s, &heading, &mut columns);
                let levels = [expected.before_mps, between_mps, expected.after_mps];
                two = log_add(two, log_evidence(&columns, &levels));
            }
            total = log_add(
                total,
                two + (TWO_STEP_ODDS / FIRST_STEPS_S.len() as f64).ln(),
            );
        }
        time_s.push(tau);
        log_weight.push(total);
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

/// Log of the likelihood with the levels integrated out under their Gaussian priors; the last
/// column holds the data, the others one level each.
fn log_evidence(columns: &[Vec<f64>], levels: &[(f64, f64)]) -> f64 {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let n = levels.len();
    let data = &columns[n];
    let mut information = Dense::zero(n);
    let mut right = vec![0.0; n];
    let mut constant = dot(data, data);
    let mut prior = 0.0;
    for (i, (mean, sd)) in levels.iter().enumerate() {
        for j in 0..n {
            information[(i, j)] += dot(&columns[i], &columns[j]);
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
    /// Multiplies by an independent Gaussian opinion of the instant, floored so that it cannot rule anything out.
    pub fn weigh_with(&mut self, centre_s: f64, sd_s: f64) {
        for (t, w) in self.time_s.iter().zip(&mut self.weight) {
            *w *= (-0.5 * ((t - centre_s) / sd_s).powi(2)).exp() + 1e-4;
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
mod tests {
    use super::*;

    #[test]
    fn finds_a_step_in_noise_and_knows_how_well() {
        let mut rng = Draws::new(7, 0);
        let mut inside = 0;
        for _ in 0..60 {
            let tau = 20.0 + 4.0 * rng.uniform();
            let mut slow = 0.6 * rng.normal();
            let trace: Vec<AirMotion> = (0..100)
                .map(|i| {
                    let t_s = 0.5 * f64::from(i);
                    slow = slow * (-0.1f64).exp()
                        + 0.6 * (1.0 - (-0.2f64).exp()).sqrt() * rng.normal();
                    let power_mps = 6.0 * (1.0 - ramp(t_s - tau, 1.5)) + slow + 0.5 * rng.normal();
                    AirMotion {
                        t_s,
                        tas_mps: 35.0,
                        energy_rate_mps: 0.0,
                        load_factor: 1.0,
                        power_mps,
                    }
                })
                .collect();
            let expected = Expectation {
                before_mps: (6.0, 3.0),
                after_mps: (0.0, 1.0),
                between_s: (12.0, 34.0),
                between_mps: None,
                reach_s: (10.0, 8.0),
            };
            let change = posterior(&trace, &expected).unwrap();
            assert!((change.median_s() - tau).abs() < 2.5);
            let mut draws: Vec<f64> = (0..400).map(|_| change.draw(&mut rng)).collect();
            draws.sort_by(f64::total_cmp);
            inside += i32::from(draws[10] <= tau && tau <= draws[389]);
        }
        assert!(inside >= 51, "{inside} of 60");
    }
}
