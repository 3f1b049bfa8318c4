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

/// Draws that cover their law evenly: in each column the numbers of all turns fall one into each of equal parts of the
/// law, in an order of its own (Latin hypercube; McKay, Beckman and Conover, Technometrics 21 (1979), 239–245).
///
/// A median over a few hundred such draws is far less noisy than over independent ones.
#[derive(Debug, Clone)]
pub struct EvenDraws {
    seed: u64,
    turns: usize,
    turn: usize,
    columns: Vec<Vec<f64>>,
}

impl EvenDraws {
    /// For so many `turns`; the same numbers for the same `seed` and `turns`.
    pub fn new(seed: u64, turns: usize) -> Self {
        EvenDraws {
            seed,
            turns,
            turn: 0,
            columns: Vec::new(),
        }
    }

    /// Goes to a turn, 0 to `turns` − 1.
    pub fn go_to(&mut self, turn: usize) {
        self.turn = turn.min(self.turns.saturating_sub(1));
    }

    /// The number of this turn in a column, uniform on 0 < x < 1.
    pub fn uniform(&mut self, column: usize) -> f64 {
        while self.columns.len() <= column {
            let stream = self.columns.len() as u64;
            self.columns.push(self.shuffled(stream));
        }
        self.columns[column].get(self.turn).copied().unwrap_or(0.5)
    }

    /// The same, standard normal.
    pub fn normal(&mut self, column: usize) -> f64 {
        normal_quantile(self.uniform(column))
    }

    fn shuffled(&self, stream: u64) -> Vec<f64> {
        let mut draws = Draws::new(self.seed, stream);
        let count = self.turns as f64;
        let mut all: Vec<f64> = (0..self.turns)
            .map(|k| ((k as f64 + draws.uniform()) / count).clamp(1e-9, 1.0 - 1e-9))
            .collect();
        for k in (1..all.len()).rev() {
            let other = (draws.uniform() * (k + 1) as f64) as usize;
            all.swap(k, other.min(k));
        }
        all
    }
}

/// The standard normal number below which the `share` lies; Wichura, Algorithm AS 241 (PPND7), Applied Statistics 37
/// (1988), 477–484, error about 1e-7.
pub fn normal_quantile(share: f64) -> f64 {
    let q = share - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180625 - q * q;
        return q * (((59.10937472 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179)
            / (((67.1875636 * r + 78.757757664) * r + 17.895169469) * r + 1.0);
    }
    let tail = if q < 0.0 { share } else { 1.0 - share };
    let r = (-tail.max(1e-300).ln()).sqrt();
    let z = if r <= 5.0 {
        let r = r - 1.6;
        (((0.17023821103 * r + 1.3067284816) * r + 2.75681539) * r + 1.4234372777)
            / ((0.12021132975 * r + 0.7370016425) * r + 1.0)
    } else {
        let r = r - 5.0;
        (((0.017337203997 * r + 0.42868294337) * r + 3.0812263860) * r + 6.6579051150)
            / ((0.012258202635 * r + 0.24197894225) * r + 1.0)
    };
    z.copysign(q)
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

    #[test]
    fn quantiles_undo_probabilities() {
        // 1.959964 and 2.575829: the two-sided 5 % and 1 % points of every table
        assert!((normal_quantile(0.975) - 1.959964).abs() < 1e-6);
        assert!((normal_quantile(0.005) + 2.575829).abs() < 1e-6);
        for z in [-6.0, -2.5, -1.0, -0.1, 0.0, 0.4, 1.3, 3.0] {
            assert!((normal_quantile(normal_below(z)) - z).abs() < 1e-3, "{z}");
        }
    }

    #[test]
    fn even_draws_fall_one_into_each_part() {
        let turns = 50;
        let mut even = EvenDraws::new(7, turns);
        for column in [3, 0, 1] {
            let mut parts: Vec<usize> = (0..turns)
                .map(|k| {
                    even.go_to(k);
                    (even.uniform(column) * turns as f64) as usize
                })
                .collect();
            assert!(!parts.is_sorted());
            parts.sort_unstable();
            assert_eq!(parts, (0..turns).collect::<Vec<_>>());
        }
        // columns do not go together: correlation of 50 independent pairs is within 0.28 nineteen times in twenty
        let pairs: Vec<(f64, f64)> = (0..turns)
            .map(|k| {
                even.go_to(k);
                (even.normal(0), even.normal(1))
            })
            .collect();
        let together: f64 = pairs.iter().map(|p| p.0 * p.1).sum::<f64>() / turns as f64;
        assert!(together.abs() < 0.45, "{together}");
    }
}
