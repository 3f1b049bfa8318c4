//! The history of one airframe: months, trend, and whether there was a step.
//!
//! The flight is what counts, not the glide: the glides of one flight share its air. Each flight is one
//! point, with the spread from flight to flight in its doubt.

use super::document::{Change, Month};
use super::glides::Glide;
use super::model::{Drawn, FREEDOM};
use crate::quantity::{Measured, from_draws};
use crate::random::{Draws, normal_below};

/// A flight of one airframe: its drag against the airframe's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// When, s since 1970.
    pub utc_s: f64,
    /// The same, RFC 3339.
    pub utc: String,
    /// Drag against the airframe's own mean, share: above zero is worse.
    pub drag: f64,
    /// Standard deviation of it, with what one flight differs from the next.
    pub sd: f64,
}

/// Trend and step.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Change of the glide ratio over a year, %.
    pub trend_percent_per_year: Measured,
    /// Probability that it is getting worse.
    pub probability_getting_worse: Option<f64>,
    /// The likeliest step and its probability, however small.
    pub change: Option<Change>,
}

/// Shortest history that a trend is told from, s: three months.
const LEAST_S: f64 = 91.0 * 86_400.0;
/// A year, s.
const YEAR_S: f64 = 365.25 * 86_400.0;
/// Fewest flights for a trend, and fewest on either side of a step.
const LEAST: (usize, usize) = (5, 3);
/// Expected size of steps and of the change over a year, share (common practice: dirt, a misrigged flap, a
/// bent fairing).
const PRIOR_SD: f64 = 0.06;
/// Probability of a step before the flights are looked at.
const STEP_BEFORE: f64 = 0.1;
/// Draws that the months are made of: every so many of the model's.
const MONTH_DRAWS: usize = 400;
/// 97.5 % point of the normal law.
const TWO_SIDED: f64 = 1.959_964;

/// A glide of the airframe and its mean weight in the law of errors.
pub(super) type Weighed<'a> = (&'a Glide, f64);

/// Precision of what a glide lost, from the scale of its law: an error of Student's law with ν degrees of freedom
/// tells as much as a normal one of (ν + 3)/(ν + 1) its variance (Fisher information of the location).
fn precision((glide, weight): Weighed<'_>, extra: f64) -> f64 {
    weight * (FREEDOM + 1.0) / (FREEDOM + 3.0) / (glide.sd.powi(2) + extra.powi(2))
}

/// The months of an airframe's glides, in the order of time; each from its own glides alone, given the polar of the
/// type. The doubts of the polar, of each flight's air and of each glide are in the intervals.
pub(super) fn months(glides: &[Weighed<'_>], draws: &[Drawn], seed: u64) -> Vec<Month> {
    let mut random = Draws::new(seed, 0x006d_6f6e_7468);
    let of = |g: &Weighed<'_>| g.0.utc.get(..7).unwrap_or_default().to_owned();
    let stride = (draws.len() / MONTH_DRAWS).max(1);
    glides
        .chunk_by(|a, b| of(a) == of(b))
        .map(|run| {
            let ratios: Vec<f64> = draws
                .iter()
                .step_by(stride)
                .map(|drawn| 1.0 / (alone(run, drawn, random.normal()) + drawn.shared[1]))
                .collect();
            Month {
                month: of(&run[0]),
                attempts: run.len() as u32,
                glide_ratio: from_draws(&ratios, "no draw"),
            }
        })
        .collect()
}

/// Parasite coefficient by these glides alone in one draw; `noise` is a standard normal number.
fn alone(glides: &[Weighed<'_>], drawn: &Drawn, noise: f64) -> f64 {
    let [_, b, c] = drawn.shared;
    let (mut s, mut t) = (0.0, 0.0);
    for flight in glides.chunk_by(|x, y| x.0.flight == y.0.flight) {
        // the air of each flight integrated out
        let (mut weights, mut terms, mut lost) = (drawn.flight.powi(-2), 0.0, 0.0);
        for g in flight {
            let weight = precision(*g, drawn.extra);
            let [parasite, induced, turning] = g.0.terms;
            let left = g.0.lost - b * induced - c * turning;
            weights += weight;
            terms += weight * parasite;
            lost += weight * left;
            s += weight * parasite * parasite;
            t += weight * parasite * left;
        }
        s -= terms * terms / weights;
        t -= terms * lost / weights;
    }
    t / s + noise / s.sqrt()
}

/// Trend and step of points in the order of time.
pub fn course(points: &[Point]) -> Course {
    let span_s = match (points.first(), points.last()) {
        (Some(first), Some(last)) => last.utc_s - first.utc_s,
        _ => 0.0,
    };
    if points.len() < LEAST.0 || span_s.is_nan() || span_s < LEAST_S {
        return Course {
            trend_percent_per_year: Measured::unknown(format!(
                "a trend needs {} flights over three months",
                LEAST.0
            )),
            probability_getting_worse: None,
            change: None,
        };
    }
    let (slope, sd) = slope(points);
    // more drag is a lower glide ratio
    let percent = |share: f64| -100.0 * share;
    Course {
        trend_percent_per_year: Measured::Known {
            value: percent(slope),
            low: percent(slope + TWO_SIDED * sd),
            high: percent(slope - TWO_SIDED * sd),
        },
        probability_getting_worse: Some(normal_below(slope / sd)),
        change: step(points),
    }
}

/// Change of drag over a year and its standard deviation, with the prior.
fn slope(points: &[Point]) -> (f64, f64) {
    let mut sums = [0.0; 5];
    let from_s = points[0].utc_s;
    for p in points {
        let (x, w) = ((p.utc_s - from_s) / YEAR_S, p.sd.powi(-2));
        for (sum, of) in sums.iter_mut().zip([1.0, x, x * x, p.drag, x * p.drag]) {
            *sum += w * of;
        }
    }
    let [n, x, xx, y, xy] = sums;
    let precision = xx - x * x / n + PRIOR_SD.powi(-2);
    ((xy - x * y / n) / precision, precision.powf(-0.5))
}

/// The likeliest step and the probability that there was one: level and step integrated out, its place uniform.
fn step(points: &[Point]) -> Option<Change> {
    let prior = PRIOR_SD.powi(-2);
    let n = points.len();
    let mut before = vec![(0.0, 0.0)];
    for p in points {
        let w = p.sd.powi(-2);
        let (weights, sum) = before[before.len() - 1];
        before.push((weights + w, sum + w * p.drag));
    }
    let (all_w, all_y) = before[n];
    // logarithm of the evidence of a level, and of a level with a step after `k`, but for what both share
    let flat = level(all_w + prior, all_y, prior);
    let mut places: Vec<(usize, f64, f64, f64)> = Vec::new();
    for k in LEAST.1..(n + 1).saturating_sub(LEAST.1) {
        let (w, y) = (all_w - before[k].0, all_y - before[k].1);
        // the level is taken out first: what is left of the step is its own precision and sum
        let a = all_w + prior;
        let precision = w + prior - w * w / a;
        let sum = y - w * all_y / a;
        let evidence = flat + level(precision, sum, prior);
        places.push((k, evidence, sum / precision, precision.powf(-0.5)));
    }
    let most = places.iter().map(|p| p.1).fold(flat, f64::max);
    let share = STEP_BEFORE / places.len().max(1) as f64;
    let stepped: f64 = places.iter().map(|p| share * (p.1 - most).exp()).sum();
    let none = (1.0 - STEP_BEFORE) * (flat - most).exp();
    let probability = stepped / (stepped + none);
    let (k, _, mean, sd) = places.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Change {
        probability,
        utc: points[k].utc.clone(),
        percent: Measured::Known {
            value: -100.0 * mean,
            low: -100.0 * (mean + TWO_SIDED * sd),
            high: -100.0 * (mean - TWO_SIDED * sd),
        },
    })
}

/// Logarithm of the evidence of one unknown with a normal prior of precision `prior` about zero.
fn level(precision: f64, sum: f64, prior: f64) -> f64 {
    0.5 * (prior / precision).ln() + 0.5 * sum * sum / precision
}

/// The flights of an airframe's glides against its own mean: `shared` are `m + d`, `b`, `c`.
pub(super) fn points(
    glides: &[Weighed<'_>],
    shared: [f64; 3],
    flight: f64,
    extra: f64,
) -> Vec<Point> {
    let [a, b, c] = shared;
    // all that is left is laid to the drag of straight flight
    let straight = a + b;
    glides
        .chunk_by(|x, y| x.0.flight == y.0.flight)
        .map(|of| {
            let (mut weights, mut off, mut parasite, mut utc_s) = (0.0, 0.0, 0.0, 0.0);
            for g in of {
                let weight = precision(*g, extra);
                let expected = a * g.0.terms[0] + b * g.0.terms[1] + c * g.0.terms[2];
                weights += weight;
                off += weight * (g.0.lost - expected);
                parasite += weight * g.0.terms[0];
                utc_s += g.0.utc_s / of.len() as f64;
            }
            let unit = straight * parasite / weights;
            Point {
                utc_s,
                utc: of[0].0.utc.clone(),
                drag: off / weights / unit,
                sd: (1.0 / weights + flight.powi(2)).sqrt() / unit,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Draws;

    fn points(n: usize, sd: f64, drag: impl Fn(usize) -> f64) -> Vec<Point> {
        let mut draws = Draws::new(5, 5);
        (0..n)
            .map(|i| Point {
                utc_s: i as f64 * 10.0 * 86_400.0,
                utc: format!(
                    "2026-{:02}-{:02}T10:00:00Z",
                    1 + i * 10 / 30,
                    1 + i * 10 % 30
                ),
                drag: drag(i) + sd * draws.normal(),
                sd,
            })
            .collect()
    }

    #[test]
    fn a_step_is_found_where_it_is() {
        let course = course(&points(30, 0.03, |i| if i < 18 { 0.0 } else { 0.08 }));
        let change = course.change.unwrap();
        assert!(change.probability > 0.95, "{change:?}");
        assert_eq!(change.utc.get(..7), Some("2026-07"), "{change:?}");
        let (low, high) = change.percent.interval().unwrap();
        assert!(low < -8.0 && high > -8.0, "{change:?}");
    }

    #[test]
    fn nothing_is_found_in_noise() {
        let course = course(&points(30, 0.03, |_| 0.0));
        assert!(course.change.unwrap().probability < 0.2);
        let (low, high) = course.trend_percent_per_year.interval().unwrap();
        assert!(low < 0.0 && high > 0.0);
    }

    #[test]
    fn slow_growth_of_drag_is_a_trend_down() {
        // 300 days and 6 %: 7.3 % a year
        let course = course(&points(30, 0.02, |i| 0.06 * i as f64 / 30.0));
        assert!(course.probability_getting_worse.unwrap() > 0.97);
        let (low, high) = course.trend_percent_per_year.interval().unwrap();
        assert!(low < -7.3 && high > -7.3, "{low} {high}");
    }

    #[test]
    fn a_short_history_has_no_trend() {
        assert!(
            course(&points(4, 0.03, |_| 0.0))
                .trend_percent_per_year
                .reason()
                .is_some()
        );
        assert_eq!(course(&[]).change, None);
        // ten days apart: ten recordings are 90 days, eleven 100
        assert!(course(&points(10, 0.03, |_| 0.0)).change.is_none());
        assert!(course(&points(11, 0.03, |_| 0.0)).change.is_some());
    }
}
