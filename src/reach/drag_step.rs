//! Flap or a slip, told from the drag of one draw: one step up, or none.
//!
//! The drag in steps of some seconds, against the polar's at the speed and load factor flown, is
//! constant, or constant with one step up. Levels are integrated out with Gaussian priors; whether
//! there is a step, and where, is drawn by weight. The share of draws with a step is its probability.

use super::glide_as_flown::drag_in_steps;
use crate::air::drag::Polar;
use crate::key_points::Flown;
use crate::random::Draws;

/// A step of the drag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragStep {
    /// When, s.
    pub at_s: f64,
    /// By how much, share of the clean drag.
    pub by: f64,
}

/// Length of the steps looked at, s: long enough for gusts to even out, shorter than a final.
const STEP_LENGTH_S: f64 = 5.0;
/// Fewest steps that say something.
const LEAST_STEPS: usize = 6;
/// Fewest steps on either side of a change.
const ASIDE: usize = 2;
/// Drag before, share of what is expected, and its spread.
const BEFORE: (f64, f64) = (1.05, 0.2);
/// What flap or a slip adds, share of the clean drag, and its spread (10 degrees of flap about 0.1 to
/// 0.2, all of it about 0.8; a slip as much; common practice).
const ADDED: (f64, f64) = (0.45, 0.25);
/// Odds of a step in a glide before its drag is looked at.
const STEP_ODDS: f64 = 1.0;
/// Least noise of one step's drag, share: vertical air of some 0.3 m/s.
const LEAST_NOISE: f64 = 0.08;
/// Vertical air lasts longer than one step: its noise counts this much more.
const LASTING_NOISE: f64 = 1.5;

/// A step drawn from what the glide between `span_s` shows.
pub fn drawn_step(
    flown: &Flown,
    polar: &Polar,
    span_s: (f64, f64),
    draws: &mut Draws,
) -> Option<DragStep> {
    let drag = drag_in_steps(flown, polar, span_s, STEP_LENGTH_S);
    step_in(&drag, draws)
}

/// A step drawn from a series of times and drags.
pub fn step_in(drag: &[(f64, f64)], draws: &mut Draws) -> Option<DragStep> {
    // drawn first: the same stream whatever is found
    let (which, spread) = (draws.uniform(), draws.normal());
    let n = drag.len();
    if n < LEAST_STEPS {
        return None;
    }
    let noise = noise(drag);
    let mut sums = Vec::with_capacity(n + 1);
    sums.push(0.0);
    for (_, d) in drag {
        sums.push(sums[sums.len() - 1] + d.clamp(-1.0, 4.0));
    }
    let (whole, precision) = (sums[n], noise.powi(-2));
    let (of_before, of_added) = (BEFORE.1.powi(-2), ADDED.1.powi(-2));
    let flat = {
        let a = n as f64 * precision + of_before;
        let b = whole * precision + BEFORE.0 * of_before;
        0.5 * b * b / a - 0.5 * a.ln()
    };
    let places: Vec<(usize, f64, f64, f64)> = (ASIDE..=n - ASIDE)
        .map(|k| {
            let (after, sum_after) = ((n - k) as f64, whole - sums[k]);
            let a = n as f64 * precision + of_before;
            let c = after * precision;
            let d = c + of_added;
            let b = [
                whole * precision + BEFORE.0 * of_before,
                sum_after * precision + ADDED.0 * of_added,
            ];
            let determinant = a * d - c * c;
            let mean = (a * b[1] - c * b[0]) / determinant;
            let fit = (d * b[0] * b[0] - 2.0 * c * b[0] * b[1] + a * b[1] * b[1]) / determinant;
            let evidence = 0.5 * (fit - ADDED.0.powi(2) * of_added)
                - 0.5 * determinant.ln()
                - ADDED.1.ln();
            (k, evidence - flat, mean, (a / determinant).sqrt())
        })
        .collect();
    let most = places.iter().map(|p| p.1).fold(0.0, f64::max);
    let share = STEP_ODDS / places.len() as f64;
    let weights: Vec<f64> = places.iter().map(|p| share * (p.1 - most).exp()).collect();
    let all: f64 = weights.iter().sum::<f64>() + (-most).exp();
    let mut left = which * all;
    for (place, weight) in places.iter().zip(weights) {
        if left < weight {
            let (k, _, mean, sd) = *place;
            return Some(DragStep {
                at_s: 0.5 * (drag[k - 1].0 + drag[k].0),
                by: (mean + sd * spread).max(0.0),
            });
        }
        left -= weight;
    }
    None
}

/// Noise of one step's drag from neighbours but one: a step disturbs few of them.
fn noise(drag: &[(f64, f64)]) -> f64 {
    let mut apart: Vec<f64> = drag.windows(3).map(|w| (w[2].1 - w[0].1).abs()).collect();
    apart.sort_by(f64::total_cmp);
    let middle = apart.get(apart.len() / 2).copied().unwrap_or(0.0);
    // median of the absolute difference of two normal numbers over their standard deviation
    (LASTING_NOISE * middle / (0.6745 * std::f64::consts::SQRT_2)).max(LEAST_NOISE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(step_at: usize, by: f64, noise: f64, seed: u64) -> Vec<(f64, f64)> {
        let mut draws = Draws::new(seed, 9);
        (0..30)
            .map(|k| {
                let level = if k >= step_at { 1.05 + by } else { 1.05 };
                (2.5 + 5.0 * k as f64, level + noise * draws.normal())
            })
            .collect()
    }

    /// Share of 400 draws over 20 series with a step, and the median of when.
    fn found(step_at: usize, by: f64, noise: f64) -> (f64, f64) {
        let mut draws = Draws::new(3, 3);
        let mut times: Vec<f64> = (0..400)
            .filter_map(|i| step_in(&series(step_at, by, noise, i / 20), &mut draws))
            .map(|s| s.at_s)
            .collect();
        times.sort_by(f64::total_cmp);
        let middle = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
        (times.len() as f64 / 400.0, middle)
    }

    #[test]
    fn full_flap_is_seen_and_a_clean_glide_is_not() {
        let (share, at_s) = found(22, 0.7, 0.12);
        assert!(share > 0.95 && (at_s - 110.0).abs() <= 5.0, "{share} {at_s}");
        let (share, _) = found(30, 0.0, 0.12);
        assert!(share < 0.2, "{share}");
    }

    #[test]
    fn in_rough_air_little_can_be_said() {
        let (share, _) = found(22, 0.25, 0.5);
        assert!((0.1..0.75).contains(&share), "{share}");
    }

    #[test]
    fn too_short_says_nothing() {
        let mut draws = Draws::new(1, 1);
        assert_eq!(step_in(&series(3, 0.7, 0.1, 1)[..5], &mut draws), None);
        assert_eq!(step_in(&[], &mut draws), None);
    }
}
