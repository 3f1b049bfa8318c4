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

    /// A seed for another source.
    pub fn seed(&mut self) -> u64 {
        (self.uniform() * 9_007_199_254_740_992.0) as u64
    }

    /// One number uniform on 0 ≤ x < 1.
    pub fn uniform(&mut self) -> f64 {
        rand_distr::StandardUniform.sample(&mut self.0)
    }
}
