//! An interval that holds for each airframe, and is short where it is like the others.
//!
//! What is drawn towards the others is right on the average over a fleet, and wrong for the one that is like no
//! other: of one airframe 9 % worse among eleven equal ones, the 95 % interval of the draws held the truth 82 times in
//! 100. A heavier tail of the law between airframes hardly helps (87 in 100 with Cauchy's). So the interval is not
//! that of the draws. It starts from the airframe's own glides alone, where 95 % holds whichever airframe it is, and
//! spends the remaining 5 % unevenly: little on the side towards the others, more on the side away from them. That
//! costs no certainty, and is shortest when the airframe is like the others (Pratt 1961; Yu and Hoff, Adaptive
//! multigroup confidence intervals with constant coverage, Biometrika 105, 2018; memory).

use crate::quantity::quantile_sorted;
use crate::random::normal_quantile;

/// Probability of missing the truth.
const MISSED: f64 = 0.05;
/// Halvings that a root is found by.
const HALVINGS: usize = 60;

/// What the others of its type say of an airframe before its own glides are looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Others {
    /// Their middle.
    pub centre: f64,
    /// Their spread: standard deviation.
    pub spread: f64,
}

/// What an airframe's own glides say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Own {
    /// Middle.
    pub value: f64,
    /// Standard deviation, such that 95 % lie within 1.96 of it.
    pub sd: f64,
}

impl Own {
    /// From draws, of which there must be one or more.
    pub fn of(draws: &[f64]) -> Own {
        let mut sorted = draws.to_vec();
        sorted.sort_by(f64::total_cmp);
        let end = 0.5 * MISSED;
        let width = quantile_sorted(&sorted, 1.0 - end) - quantile_sorted(&sorted, end);
        Own {
            value: quantile_sorted(&sorted, 0.5),
            sd: width / (2.0 * normal_quantile(1.0 - end)),
        }
    }

    /// The 95 % interval. It holds the truth with that probability whatever `others` are; without any it is the value
    /// and 1.96 standard deviations to either side.
    pub fn interval(self, others: Option<Others>) -> (f64, f64) {
        let Own { value, sd } = self;
        let Some(Others { centre, spread }) = others else {
            let half = normal_quantile(1.0 - 0.5 * MISSED) * sd;
            return (value - half, value + half);
        };
        // `w` is the share of what is missed that lies below; at `place(w)` it is the best
        let place = |w: f64| {
            let lean = normal_quantile(MISSED * w) - normal_quantile(MISSED * (1.0 - w));
            centre + 0.5 * spread * spread / sd * lean
        };
        let high = |w: f64| value - sd * normal_quantile(MISSED * w);
        let low = |w: f64| value + sd * normal_quantile(MISSED * (1.0 - w));
        (low(met(low, place)), high(met(high, place)))
    }
}

/// The share at which the falling `end` and the rising `place` meet.
fn met(end: impl Fn(f64) -> f64, place: impl Fn(f64) -> f64) -> f64 {
    // not 0 and 1, which have no quantile
    let (mut low, mut high) = (1e-9, 1.0 - 1e-9);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if end(middle) > place(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Draws;

    const OWN: Own = Own {
        value: 3.0,
        sd: 1.0,
    };

    fn near((low, high): (f64, f64), expected: (f64, f64), within: f64) {
        assert!(
            (low - expected.0).abs() < within && (high - expected.1).abs() < within,
            "{low} {high}"
        );
    }

    #[test]
    fn ends_by_hand() {
        near(OWN.interval(None), (1.04, 4.96), 1e-3);
        // others that say nothing: both sides alike
        let vague = Others {
            centre: 0.0,
            spread: 1e4,
        };
        near(OWN.interval(Some(vague)), (1.04, 4.96), 1e-3);
        // others all alike: away from them all that is missed is on one side, 1.645; towards them it begins at them
        let alike = Others {
            centre: 0.0,
            spread: 1e-4,
        };
        near(OWN.interval(Some(alike)), (0.0, 3.0 + 1.645), 0.01);
        let in_the_middle = Own { value: 0.0, ..OWN };
        near(in_the_middle.interval(Some(alike)), (-1.645, 1.645), 0.01);
    }

    #[test]
    fn holds_whatever_the_truth_is() {
        // 2,000 figures for each truth: 95 % within four standard deviations of 0.5 %
        for others in [0.1, 0.5, 1.0, 3.0].map(|spread| Others {
            centre: 0.0,
            spread,
        }) {
            for truth in [0.0_f64, 0.5, 1.0, 2.0, 3.0, 5.0] {
                let mut draws = Draws::new(1, truth.to_bits());
                let held = (0..2000)
                    .filter(|_| {
                        let value = truth + draws.normal();
                        let (low, high) = Own { value, sd: 1.0 }.interval(Some(others));
                        (low..=high).contains(&truth)
                    })
                    .count();
                assert!((1861..=1939).contains(&held), "{others:?} {truth}: {held}");
            }
        }
    }

    #[test]
    fn draws_to_middle_and_width() {
        let draws: Vec<f64> = (0..=200).map(f64::from).collect();
        let own = Own::of(&draws);
        // 5 to 195
        assert!((own.value - 100.0).abs() < 1e-9 && (own.sd - 95.0 / 1.96).abs() < 1e-3);
    }
}
