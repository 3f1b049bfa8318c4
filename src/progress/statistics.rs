//! Lines and means through figures that each have their own doubt.

use crate::quantity::Measured;

/// One figure: when, as a number of attempts; how much; its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Place in the series.
    pub at: f64,
    /// Value.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// An estimate whose error over `sd` follows Student's law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Value.
    pub value: f64,
    /// Standard error.
    pub sd: f64,
    /// Degrees of freedom.
    pub freedom: f64,
}

impl Estimate {
    /// With its 95 % interval.
    pub fn measured(&self) -> Measured {
        let half = student_quantile(0.975, self.freedom) * self.sd;
        Measured::Known {
            value: self.value,
            low: self.value - half,
            high: self.value + half,
        }
    }

    /// Probability that the true value is below zero.
    pub fn below_zero(&self) -> f64 {
        student_below(-self.value / self.sd, self.freedom)
    }

    /// This less `other`; degrees of freedom by Welch and Satterthwaite (JCGM 100:2008, G.4.1).
    #[must_use]
    pub fn less(&self, other: &Estimate) -> Estimate {
        let (a, b) = (self.sd.powi(2), other.sd.powi(2));
        Estimate {
            value: self.value - other.value,
            sd: (a + b).sqrt(),
            freedom: (a + b).powi(2) / (a * a / self.freedom + b * b / other.freedom),
        }
    }
}

/// Variance from figure to figure beyond their own, such that the weighted squares about the fit come to
/// the degrees of freedom (Paule and Mandel, 1982; memory); `unknowns` are the columns of the fit.
fn extra_variance(figures: &[Figure], fit: impl Fn(&[f64]) -> Vec<f64>, unknowns: usize) -> f64 {
    let freedom = figures.len().saturating_sub(unknowns) as f64;
    let squares = |extra: f64| -> f64 {
        let weights: Vec<f64> = figures
            .iter()
            .map(|f| 1.0 / (f.sd * f.sd + extra))
            .collect();
        let fitted = fit(&weights);
        figures
            .iter()
            .zip(&fitted)
            .zip(&weights)
            .map(|((f, fitted), w)| w * (f.value - fitted).powi(2))
            .sum()
    };
    if freedom < 1.0 || squares(0.0) <= freedom {
        return 0.0;
    }
    let spread: f64 = figures.iter().map(|f| f.value.abs()).fold(0.0, f64::max);
    let (mut low, mut high) = (0.0, 4.0 * spread * spread + 1e-12);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if squares(middle) > freedom {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The factor on the variance by which the weighted squares exceed their degrees of freedom, not below 1
/// (Hartung and Knapp, 2001, as modified to be never narrower; memory).
fn excess(squares: f64, freedom: f64) -> f64 {
    (squares / freedom).max(1.0)
}

/// Mean and variance of the law that the figures have without their own doubt, by the greatest restricted likelihood
/// (Patterson and Thompson, Biometrika 58, 1971; memory); needs two figures. The variance is found to 5 %, and never
/// below a hundredth of the doubt: less is not told from it.
pub(super) fn law(figures: &[Figure]) -> Option<(f64, f64)> {
    const STEPS: i32 = 250;
    if figures.len() < 2 {
        return None;
    }
    let own = figures.iter().map(|f| f.sd * f.sd).sum::<f64>() / figures.len() as f64;
    let mut best = None;
    let mut most = f64::NEG_INFINITY;
    for k in 0..STEPS {
        let variance = 0.01 * own * 1.05_f64.powi(k);
        let (mut weights, mut sum, mut logs) = (0.0, 0.0, 0.0);
        for f in figures {
            let weight = 1.0 / (variance + f.sd * f.sd);
            weights += weight;
            sum += weight * f.value;
            logs += weight.ln();
        }
        let mean = sum / weights;
        let squares: f64 = figures
            .iter()
            .map(|f| (f.value - mean).powi(2) / (variance + f.sd * f.sd))
            .sum();
        let likelihood = 0.5 * (logs - weights.ln() - squares);
        if likelihood > most {
            most = likelihood;
            best = Some((mean, variance));
        }
    }
    best
}

/// Weighted mean; needs two figures.
pub fn mean(figures: &[Figure]) -> Option<Estimate> {
    let n = figures.len();
    if n < 2 {
        return None;
    }
    let middle = |weights: &[f64]| {
        let all: f64 = weights.iter().sum();
        figures
            .iter()
            .zip(weights)
            .map(|(f, w)| w * f.value)
            .sum::<f64>()
            / all
    };
    let extra = extra_variance(figures, |w| vec![middle(w); n], 1);
    let weights: Vec<f64> = figures
        .iter()
        .map(|f| 1.0 / (f.sd * f.sd + extra))
        .collect();
    let value = middle(&weights);
    let squares: f64 = figures
        .iter()
        .zip(&weights)
        .map(|(f, w)| w * (f.value - value).powi(2))
        .sum();
    let freedom = (n - 1) as f64;
    let sd = (excess(squares, freedom) / weights.iter().sum::<f64>()).sqrt();
    (sd > 0.0 && sd.is_finite()).then_some(Estimate { value, sd, freedom })
}

/// Slope of the weighted straight line; needs four figures at different places.
pub fn slope(figures: &[Figure]) -> Option<Estimate> {
    let n = figures.len();
    if n < 4 {
        return None;
    }
    let line = |weights: &[f64]| {
        let mut s = [0.0; 5];
        for (f, w) in figures.iter().zip(weights) {
            for (sum, of) in s
                .iter_mut()
                .zip([1.0, f.at, f.at * f.at, f.value, f.at * f.value])
            {
                *sum += w * of;
            }
        }
        let [w, x, xx, y, xy] = s;
        let about = xx - x * x / w;
        let slope = (xy - x * y / w) / about;
        (slope, (y - slope * x) / w, about)
    };
    let fit = |weights: &[f64]| {
        let (slope, start, _) = line(weights);
        figures.iter().map(|f| start + slope * f.at).collect()
    };
    let extra = extra_variance(figures, fit, 2);
    let weights: Vec<f64> = figures
        .iter()
        .map(|f| 1.0 / (f.sd * f.sd + extra))
        .collect();
    let (value, start, about) = line(&weights);
    let squares: f64 = figures
        .iter()
        .zip(&weights)
        .map(|(f, w)| w * (f.value - start - value * f.at).powi(2))
        .sum();
    let freedom = (n - 2) as f64;
    let sd = (excess(squares, freedom) / about).sqrt();
    (sd > 0.0 && sd.is_finite()).then_some(Estimate { value, sd, freedom })
}

/// Student's probability below `t`: Simpson's rule on t = √ν tan θ, where the density is cosine to the power ν − 1.
pub fn student_below(t: f64, freedom: f64) -> f64 {
    const STEPS: usize = 400;
    let power = freedom - 1.0;
    let area = |to: f64| {
        let h = to / STEPS as f64;
        let f = |k: usize| (h * k as f64).cos().max(0.0).powf(power);
        let inner: f64 = (1..STEPS)
            .map(|k| f(k) * if k % 2 == 1 { 4.0 } else { 2.0 })
            .sum();
        h / 3.0 * (f(0) + inner + f(STEPS))
    };
    let share = area((t.abs() / freedom.sqrt()).atan()) / area(std::f64::consts::FRAC_PI_2);
    if t >= 0.0 {
        0.5 + 0.5 * share
    } else {
        0.5 - 0.5 * share
    }
}

/// The `t` that Student's law is below with probability `share`, 0.5 to 0.9999.
pub fn student_quantile(share: f64, freedom: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1e4);
    for _ in 0..45 {
        let middle = 0.5 * (low + high);
        if student_below(middle, freedom) < share {
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

    #[test]
    fn student_as_in_the_table() {
        // JCGM 100:2008, table G.2, 95.45 % and 95 % two-sided
        for (freedom, share, t) in [
            (1.0, 0.975, 12.71),
            (2.0, 0.975, 4.30),
            (5.0, 0.975, 2.57),
            (10.0, 0.975, 2.23),
            (30.0, 0.975, 2.04),
        ] {
            let found = student_quantile(share, freedom);
            assert!((found - t).abs() < 0.006, "{freedom}: {found}");
        }
        assert!((student_below(0.0, 3.0) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_mean_by_hand() {
        // 1, 2, 3 with little doubt of their own: mean 2, standard error 1/√3, two degrees of freedom
        let figures = [1.0, 2.0, 3.0].map(|value| Figure {
            at: value,
            value,
            sd: 1e-3,
        });
        let found = mean(&figures).unwrap();
        assert!((found.value - 2.0).abs() < 1e-6 && (found.sd - 1.0 / 3f64.sqrt()).abs() < 1e-5);
        assert_eq!(found.freedom, 2.0);
    }

    #[test]
    fn figures_that_agree_better_than_their_doubt_are_no_surer_than_it() {
        let figures = [0.0, 0.0, 0.0, 0.0].map(|value| Figure {
            at: 0.0,
            value,
            sd: 2.0,
        });
        assert!((mean(&figures).unwrap().sd - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_law_behind_figures_by_hand() {
        // equal doubts: the sample variance, 10, less their own, 4
        let figures = [2.0, 4.0, 6.0, 8.0, 10.0].map(|value| Figure {
            at: 0.0,
            value,
            sd: 2.0,
        });
        let (mean, variance) = law(&figures).unwrap();
        assert!(
            (mean - 6.0).abs() < 1e-9 && (variance - 6.0).abs() < 0.16,
            "{variance}"
        );
    }

    #[test]
    fn too_few_or_all_at_one_place_have_no_line() {
        let figure = |at| Figure {
            at,
            value: at,
            sd: 1.0,
        };
        assert_eq!(slope(&[figure(0.0), figure(1.0), figure(2.0)]), None);
        assert_eq!(slope(&[1.0; 5].map(figure)), None);
    }
}
