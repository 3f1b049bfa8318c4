//! Flap or a slip, told from the drag of one draw: one step up, or none.
//!
//! The drag in stretches of some seconds, against the polar's at the speed and load factor flown, is
//! constant, or constant with one step up; and it follows the speed where the polar's best glide
//! speed is not the aeroplane's. Level, step and speed are integrated out with Gaussian priors;
//! whether there is a step, and where, is drawn by weight. The share of draws with a step is its
//! probability: where flap came with a change of speed, much of it stays open, as it should.

use super::glide_as_flown::{DragOver, drag_in_steps};
use crate::air::drag::Polar;
use crate::key_points::Flown;
use crate::random::{Draws, above_zero, normal_below};

/// A step of the drag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragStep {
    /// When, s.
    pub at_s: f64,
    /// By how much, share of the clean drag.
    pub by: f64,
}

/// Length of the stretches looked at, s: long enough for gusts to even out, shorter than a final.
const STRETCH_S: f64 = 5.0;
/// Fewest stretches that say something.
const LEAST_STRETCHES: usize = 6;
/// Fewest stretches on either side of a change.
const ASIDE: usize = 3;
/// A stretch with more change of speed than this, or more bank, tells of handling, not of flap, m/s² and degrees.
const STEADY: (f64, f64) = (0.5, 35.0);
/// Drag before, share of what is expected, and its spread.
const BEFORE: (f64, f64) = (1.05, 0.2);
/// Doubt of the speed of best glide, share: handbooks give the speed to fly, not that of the best ratio.
const BEST_SPEED_SD: f64 = 0.12;
/// What flap or a slip adds, share of the clean drag, and its spread (10 degrees of flap about 0.1 to
/// 0.2, all of it about 0.8; a slip as much; common practice).
const ADDED: (f64, f64) = (0.45, 0.25);
/// Odds of a step in a glide before its drag is looked at.
const STEP_ODDS: f64 = 1.0;
/// Least noise of one stretch's drag, share: vertical air of some 0.3 m/s.
const LEAST_NOISE: f64 = 0.08;
/// Vertical air lasts longer than one stretch (correlation 0.7 from one to the next): its noise counts this
/// much more, √((1 + 0.7)/(1 − 0.7)).
const LASTING_NOISE: f64 = 2.5;

/// A step drawn from what the glide between `span_s` shows.
pub fn drawn_step(
    flown: &Flown,
    polar: &Polar,
    span_s: (f64, f64),
    draws: &mut Draws,
) -> Option<DragStep> {
    let mut drag = drag_in_steps(flown, polar, span_s, STRETCH_S);
    drag.retain(|of| of.speeding_mps2.abs() < STEADY.0 && of.bank_deg < STEADY.1);
    step_in(&drag, draws)
}

/// A step drawn from a series of drags.
pub fn step_in(drag: &[DragOver], draws: &mut Draws) -> Option<DragStep> {
    // drawn first: the same stream whatever is found
    let (which, spread) = (draws.uniform(), draws.normal());
    let n = drag.len();
    if n < LEAST_STRETCHES {
        return None;
    }
    let precision = noise(drag).powi(-2);
    let prior_above = normal_below(ADDED.0 / ADDED.1).ln();
    let priors = [BEFORE, (0.0, BEST_SPEED_SD), ADDED].map(|(mean, sd)| (mean, sd.powi(-2)));
    let mut normal = Normal::default();
    for of in drag {
        normal.add(of, false, precision);
    }
    let flat = normal.evidence(&priors[..2]).0;
    let mut places = Vec::with_capacity(n);
    // from the end: one stretch more lies after the step each time
    for k in (ASIDE..n).rev() {
        normal.move_after(&drag[k], precision);
        if n - k >= ASIDE {
            let (evidence, mean, sd) = normal.evidence(&priors);
            places.push((
                0.5 * (drag[k - 1].t_s + drag[k].t_s),
                // flap and slips add drag: the part of the law above zero, after against before
                evidence - flat + normal_below(mean / sd).ln() - prior_above,
                mean,
                sd,
            ));
        }
    }
    let most = places.iter().map(|p| p.1).fold(0.0, f64::max);
    let share = STEP_ODDS / places.len() as f64;
    let weights: Vec<f64> = places.iter().map(|p| share * (p.1 - most).exp()).collect();
    let all: f64 = weights.iter().sum::<f64>() + (-most).exp();
    let mut left = which * all;
    for ((at_s, _, mean, sd), weight) in places.into_iter().zip(weights) {
        if left < weight {
            return Some(DragStep {
                at_s,
                by: above_zero(mean, sd, spread),
            });
        }
        left -= weight;
    }
    None
}

/// Normal equations of level, shape and step.
#[derive(Debug, Clone, Copy, Default)]
struct Normal {
    a: [[f64; 3]; 3],
    b: [f64; 3],
}

impl Normal {
    fn add(&mut self, of: &DragOver, after: bool, precision: f64) {
        let row = [1.0, of.shape, f64::from(u8::from(after))];
        let drag = of.drag.clamp(-1.0, 4.0);
        for i in 0..3 {
            for j in 0..3 {
                self.a[i][j] += precision * row[i] * row[j];
            }
            self.b[i] += precision * row[i] * drag;
        }
    }

    /// Counts a stretch, already added, as one after the step.
    fn move_after(&mut self, of: &DragOver, precision: f64) {
        self.add(of, true, precision);
        self.add(of, false, -precision);
    }

    /// Logarithm of the evidence but for what all have in common, and the last unknown: mean and
    /// standard deviation. `priors` are mean and precision of as many unknowns as count.
    fn evidence(&self, priors: &[(f64, f64)]) -> (f64, f64, f64) {
        let n = priors.len();
        let (mut a, mut b) = (self.a, self.b);
        let mut out = 0.0;
        for (i, (mean, precision)) in priors.iter().enumerate() {
            a[i][i] += precision;
            b[i] += precision * mean;
            out += 0.5 * (precision.ln() - precision * mean * mean);
        }
        // elimination: what is left of the last unknown is its own mean and precision
        for i in 0..n {
            out += 0.5 * (b[i] * b[i] / a[i][i] - a[i][i].ln());
            for j in i + 1..n {
                let share = a[j][i] / a[i][i];
                for k in i..n {
                    a[j][k] -= share * a[i][k];
                }
                b[j] -= share * b[i];
            }
        }
        let last = n - 1;
        (out, b[last] / a[last][last], a[last][last].powf(-0.5))
    }
}

/// Noise of one stretch's drag from neighbours but one: a step disturbs few of them.
fn noise(drag: &[DragOver]) -> f64 {
    let mut apart: Vec<f64> = drag
        .windows(3)
        .map(|w| (w[2].drag - w[0].drag).abs())
        .collect();
    apart.sort_by(f64::total_cmp);
    let middle = apart.get(apart.len() / 2).copied().unwrap_or(0.0);
    // median of the absolute difference of two normal numbers over their standard deviation
    (LASTING_NOISE * middle / (0.6745 * std::f64::consts::SQRT_2)).max(LEAST_NOISE)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Drag with a step `by` at stretch `step_at`, the polar's shape wrong by `wrong` from there on.
    fn series(step_at: usize, by: f64, wrong: f64, noise: f64, seed: u64) -> Vec<DragOver> {
        let mut draws = Draws::new(seed, 9);
        (0..30)
            .map(|k| {
                let after = k >= step_at;
                let shape = if after { 0.6 } else { 0.0 };
                let level = 1.05 + wrong * shape + if after { by } else { 0.0 };
                DragOver {
                    t_s: 2.5 + 5.0 * k as f64,
                    drag: level + noise * draws.normal(),
                    shape: if wrong == 0.0 { 0.0 } else { shape },
                    speeding_mps2: 0.0,
                    bank_deg: 0.0,
                }
            })
            .collect()
    }

    /// Share of 400 draws over 20 series with a step, and the median of when.
    fn found(step_at: usize, by: f64, wrong: f64, noise: f64) -> (f64, f64) {
        let mut draws = Draws::new(3, 3);
        let mut times: Vec<f64> = (0..400)
            .filter_map(|i| step_in(&series(step_at, by, wrong, noise, i / 20), &mut draws))
            .map(|s| s.at_s)
            .collect();
        times.sort_by(f64::total_cmp);
        let middle = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
        (times.len() as f64 / 400.0, middle)
    }

    #[test]
    fn full_flap_is_seen_and_a_clean_glide_is_not() {
        let (share, at_s) = found(22, 0.7, 0.0, 0.08);
        assert!(share > 0.9 && (at_s - 110.0).abs() <= 5.0, "{share} {at_s}");
        let (share, _) = found(30, 0.0, 0.0, 0.08);
        assert!(share < 0.2, "{share}");
    }

    #[test]
    fn less_drag_is_no_flap() {
        let (share, _) = found(22, -0.3, 0.0, 0.04);
        assert!(share < 0.3, "{share}");
    }

    #[test]
    fn flying_slower_with_a_wrong_polar_is_no_flap() {
        // a best glide speed wrong by 15 % at two thirds of it: 9 % more drag
        let (share, _) = found(22, 0.0, 0.15, 0.05);
        assert!(share < 0.3, "{share}");
    }

    #[test]
    fn in_rough_air_little_can_be_said() {
        let (share, _) = found(22, 0.25, 0.0, 0.5);
        assert!((0.1..0.75).contains(&share), "{share}");
    }

    #[test]
    fn evidence_of_one_unknown_by_hand() {
        // one datum 2 with precision 1, prior mean 0 with precision 1: posterior 1 ± sqrt(1/2)
        let mut normal = Normal::default();
        let datum = DragOver {
            t_s: 0.0,
            drag: 2.0,
            shape: 0.0,
            speeding_mps2: 0.0,
            bank_deg: 0.0,
        };
        normal.add(&datum, false, 1.0);
        let (evidence, mean, sd) = normal.evidence(&[(0.0, 1.0)]);
        assert!((mean - 1.0).abs() < 1e-12 && (sd - 0.5f64.sqrt()).abs() < 1e-12);
        // N(2; 0, 2) over N(2; 0 known exactly) left out: b²/2a - ln a/2
        assert!((evidence - (1.0 - 0.5 * 2f64.ln())).abs() < 1e-12);
    }

    #[test]
    fn too_short_says_nothing() {
        let mut draws = Draws::new(1, 1);
        assert_eq!(step_in(&series(3, 0.7, 0.0, 0.1, 1)[..5], &mut draws), None);
        assert_eq!(step_in(&[], &mut draws), None);
    }
}
