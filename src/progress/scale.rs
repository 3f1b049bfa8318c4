//! The scale on which a measure is averaged, and the way back.
//!
//! A share is averaged as the arcsine of its root: there its doubt does not depend on where it is, and no interval
//! leaves 0 to 1. A miss to either side is averaged as its distance from zero, with the noise of the recorder taken
//! out: a noisy recorder makes small misses look large, and a better one later would look like learning.

use super::document::ProgressPoint;
use super::statistics::{Estimate, Figure, law, student_quantile};
use super::yardsticks::{Better, Yardstick};
use crate::quantity::Measured;
use crate::random::normal_below;

/// Half-width of a 95 % interval in standard deviations.
const TWO_SIDED: f64 = 1.959_964;
/// Draws that a debrief takes its intervals from.
const DRAWS: f64 = 200.0;

/// How the values of a measure are averaged. On each scale less is better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// As they are, times the sign that makes less better.
    Plain(f64),
    /// Shares, 0 to 1, more is better: minus the arcsine of the root.
    Share,
    /// Distance from zero.
    Distance,
}

impl Scale {
    pub(super) fn of(yardstick: &Yardstick) -> Self {
        match yardstick.better {
            _ if yardstick.measure.ends_with("_share") => Scale::Share,
            Better::Less | Better::AtLeast => Scale::Plain(1.0),
            Better::More => Scale::Plain(-1.0),
            Better::NearerZero => Scale::Distance,
        }
    }

    /// A value on this scale, and its standard deviation. `step` is the least that two printed values differ by.
    fn taken(self, p: &ProgressPoint, step: f64) -> (f64, f64) {
        match self {
            Scale::Share => {
                let [value, low, high] = [p.value, p.low, p.high].map(angle);
                // a share of so many draws is not known better than this, were it 0 or 1 in all of them
                let least = 0.5 / DRAWS.sqrt();
                (-value, ((high - low) / (2.0 * TWO_SIDED)).max(least))
            }
            Scale::Plain(sign) => (sign * p.value, sd_of(p, step)),
            Scale::Distance => (p.value, sd_of(p, step)),
        }
    }

    /// The values on this scale.
    pub(super) fn figures(self, points: &[(f64, &ProgressPoint)], step: f64) -> Vec<Figure> {
        let mut figures: Vec<Figure> = points
            .iter()
            .map(|(at, p)| {
                let (value, sd) = self.taken(p, step);
                Figure { at: *at, value, sd }
            })
            .collect();
        if self == Scale::Distance {
            distances(&mut figures);
        }
        figures
    }

    /// Probability that the value is within the yardstick.
    pub(super) fn met(self, yardstick: &Yardstick, p: &ProgressPoint, step: f64) -> f64 {
        let (value, sd) = self.taken(p, step);
        let below = |limit: f64| normal_below((limit - value) / sd);
        let limit = yardstick.limit;
        match (self, yardstick.better) {
            (Scale::Share, _) => below(-angle(limit)),
            (_, Better::Less) => below(limit),
            (_, Better::More) => below(-limit),
            (_, Better::AtLeast) => 1.0 - below(limit),
            (_, Better::NearerZero) => below(limit) - below(-limit),
        }
    }

    fn natural(self, value: f64) -> f64 {
        match self {
            Scale::Plain(sign) => sign * value,
            Scale::Share => (-value)
                .clamp(0.0, std::f64::consts::FRAC_PI_2)
                .sin()
                .powi(2),
            Scale::Distance => value.max(0.0),
        }
    }

    /// A mean in the unit of the measure.
    pub(super) fn mean(self, e: &Estimate) -> Measured {
        let half = student_quantile(0.975, e.freedom) * e.sd;
        ordered(
            self.natural(e.value),
            self.natural(e.value - half),
            self.natural(e.value + half),
        )
    }

    /// Last less first in the unit of the measure.
    pub(super) fn difference(self, first: &Estimate, last: &Estimate) -> Measured {
        match self {
            Scale::Plain(sign) => signed(&last.less(first), sign),
            Scale::Distance => signed(&last.less(first), 1.0),
            // from the two intervals, so that it stays within -1 to 1 (Zou and Donner, Construction of confidence
            // limits about effect measures, Statistics in Medicine 27, 2008; memory)
            Scale::Share => {
                let (a, b) = (self.mean(first), self.mean(last));
                let known = |m: &Measured| m.value().zip(m.interval()).unwrap_or_default();
                let ((a, (a_low, a_high)), (b, (b_low, b_high))) = (known(&a), known(&b));
                ordered(
                    b - a,
                    b - a - (b - b_low).hypot(a_high - a),
                    b - a + (b_high - b).hypot(a - a_low),
                )
            }
        }
    }

    /// Change over `attempts` along a line of this slope through `centre`, in the unit of the measure.
    pub(super) fn change(self, slope: &Estimate, centre: f64, attempts: f64) -> Measured {
        match self {
            Scale::Share => {
                let half = student_quantile(0.975, slope.freedom) * slope.sd;
                let over = |slope: f64| {
                    let rise = 0.5 * attempts * slope;
                    self.natural(centre + rise) - self.natural(centre - rise)
                };
                ordered(
                    over(slope.value),
                    over(slope.value - half),
                    over(slope.value + half),
                )
            }
            Scale::Plain(sign) => signed(slope, sign * attempts),
            Scale::Distance => signed(slope, attempts),
        }
    }
}

fn angle(share: f64) -> f64 {
    share.clamp(0.0, 1.0).sqrt().asin()
}

/// From the interval; not below what rounding to `step` leaves (uniform law, JCGM 100:2008, 4.3.7).
fn sd_of(p: &ProgressPoint, step: f64) -> f64 {
    ((p.high - p.low) / (2.0 * TWO_SIDED)).max(step / 12_f64.sqrt())
}

fn signed(e: &Estimate, times: f64) -> Measured {
    let half = student_quantile(0.975, e.freedom) * e.sd;
    ordered(
        times * e.value,
        times * (e.value - half),
        times * (e.value + half),
    )
}

fn ordered(value: f64, one: f64, other: f64) -> Measured {
    Measured::Known {
        value,
        low: one.min(other),
        high: one.max(other),
    }
}

/// Values to either side of zero as distances from it: the mean of the distance, and its standard deviation, given the
/// value and the normal law that all of these values have without their noise. Under one law the mean distance is then
/// the same however noisy the recorder; a noisy one says less about its own attempt.
fn distances(figures: &mut [Figure]) {
    let Some((mean, variance)) = law(figures) else {
        for f in figures {
            (f.value, f.sd) = folded(f.value, f.sd);
        }
        return;
    };
    for f in figures {
        let own = f.sd * f.sd;
        let kept = variance / (variance + own);
        let (at, sd) = (mean + kept * (f.value - mean), (kept * own).sqrt());
        (f.value, f.sd) = folded(at, sd);
    }
}

/// Mean and standard deviation of the distance from zero of a normal law.
fn folded(mean: f64, sd: f64) -> (f64, f64) {
    let z = mean / sd;
    let distance = sd * (2.0 / std::f64::consts::PI).sqrt() * (-0.5 * z * z).exp()
        + mean * (1.0 - 2.0 * normal_below(-z));
    let variance = mean * mean + sd * sd - distance * distance;
    (distance, variance.max(1e-4 * sd * sd).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folded_normal_law_by_hand() {
        // about zero: √(2/π) and √(1 − 2/π); far off: the law itself
        let (mean, sd) = folded(0.0, 1.0);
        assert!((mean - 0.797_885).abs() < 1e-6 && (sd - 0.602_810).abs() < 1e-6);
        let (mean, sd) = folded(-8.0, 1.0);
        assert!((mean - 8.0).abs() < 1e-6 && (sd - 1.0).abs() < 1e-6);
    }

    #[test]
    fn shares_stay_shares() {
        let estimate = |value: f64, sd: f64| Estimate {
            value: -angle(value),
            sd,
            freedom: 3.0,
        };
        let (first, last) = (estimate(0.95, 0.4), estimate(0.1, 0.4));
        let within = |m: &Measured, from: f64| {
            let (low, high) = m.interval().unwrap();
            assert!(from <= low && low < high && high <= 1.0, "{m:?}");
        };
        within(&Scale::Share.mean(&first), 0.0);
        within(&Scale::Share.mean(&last), 0.0);
        within(&Scale::Share.difference(&first, &last), -1.0);
        within(&Scale::Share.change(&estimate(0.01, 0.3), 0.9, 10.0), -1.0);
        let mean = Scale::Share.mean(&first).value().unwrap();
        assert!((mean - 0.95).abs() < 1e-12);
    }

    #[test]
    fn an_exact_share_is_known_to_what_200_draws_can_know() {
        let p = ProgressPoint {
            utc: String::new(),
            value: 1.0,
            low: 1.0,
            high: 1.0,
        };
        let (value, sd) = Scale::Share.taken(&p, 0.01);
        // arcsine of 1 is a right angle; 1/(2√200)
        assert!((value + std::f64::consts::FRAC_PI_2).abs() < 1e-12);
        assert!((sd - 0.035_355).abs() < 1e-6);
        let (_, sd) = Scale::Plain(1.0).taken(&p, 0.1);
        assert!((sd - 0.028_868).abs() < 1e-6);
    }
}
