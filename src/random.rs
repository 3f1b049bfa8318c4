//! Seeded randomness: same input, same bytes out.

use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// A source of seeded draws.
#[derive(Debug, Clone)]
pub struct Draws(Pcg64Mcg);

impl Draws {
    /// A source that always gives the same numbers for the same `seed` and `stream`.
    pub fn new(seed: u64, stream: u64) -> Self {
        Draws(Pcg64Mcg::seed_from_u64(
            seed ^ stream.wrapping_mul(0x9E37_79B9_7F4A_7C15),
        ))
    }

    /// One standard normal number.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// One number of the gamma law of this shape (1 or more) and rate 1; Marsaglia and Tsang, A simple method
    /// for generating gamma variables, ACM TOMS 26 (2000), 363–372.
    pub fn gamma(&mut self, shape: f64) -> f64 {
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.uniform().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// A seed for another source.
    pub fn seed(&mut self) -> u64 {
        (self.uniform() * 9_007_199_254_740_992.0) as u64
    }

    /// One number uniform on 0 ≤ x < 1.
    pub fn uniform(&mut self) -> f64 {
        rand_distr::StandardUniform.sample(&mut self.0)
    }
}

/// Standard normal probability below `z`; Abramowitz and Stegun 26.2.17, error below 7.5e-8.
pub fn normal_below(z: f64) -> f64 {
    let x = z.abs();
    let t = 1.0 / (1.0 + 0.2316419 * x);
    let series = t
        * (0.319381530
            + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    let tail = (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt() * series;
    (if z >= 0.0 { 1.0 - tail } else { tail }).max(1e-300)
}

/// A number of the normal law of this mean and standard deviation cut off below zero, from the `standard` normal one.
pub fn above_zero(mean: f64, sd: f64, standard: f64) -> f64 {
    let below = 1.0 - normal_below(mean / sd);
    let target = below + normal_below(standard) * (1.0 - below);
    // bisection in standard deviations: exact to 1e-6 of one
    let (mut low, mut high) = (-mean / sd, (-mean / sd).max(0.0) + 10.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if normal_below(middle) < target {
            low = middle;
        } else {
            high = middle;
        }
    }
    (mean + sd * f64::midpoint(low, high)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gamma_law_has_its_moments() {
        // mean and variance are the shape
        let mut draws = Draws::new(1, 1);
        let all: Vec<f64> = (0..40_000).map(|_| draws.gamma(3.5)).collect();
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        let variance = all.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / all.len() as f64;
        assert!(
            (mean - 3.5).abs() < 0.04 && (variance - 3.5).abs() < 0.15,
            "{mean} {variance}"
        );
    }

    #[test]
    fn a_law_cut_off_below_zero() {
        // far above zero it is the law itself; its median about zero is that of the half-normal, 0.6745
        assert!((above_zero(5.0, 0.5, 1.2) - 5.6).abs() < 1e-3);
        assert!((above_zero(0.0, 1.0, 0.0) - 0.6745).abs() < 1e-3);
        assert!(above_zero(-2.0, 1.0, -3.0) >= 0.0);
    }
}
