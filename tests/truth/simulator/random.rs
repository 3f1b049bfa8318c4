//! Seeded numbers: SplitMix64, and what is drawn from it.
//!
//! Source: G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators,
//! OOPSLA 2014.

/// A source of seeded numbers.
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// The same numbers for the same `seed` and `stream`.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut random = Random(seed.wrapping_mul(0xD134_2543_DE82_EF95) ^ stream.rotate_left(40));
        random.next();
        random
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform on 0 ≤ x < 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Uniform between two values.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Standard normal (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.share()).cos()
    }

    /// Normal with a mean and a standard deviation.
    pub fn about(&mut self, mean: f64, sd: f64) -> f64 {
        mean + sd * self.normal()
    }

    /// True with this probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.share() < probability
    }

    /// One of these.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[((self.share() * from.len() as f64) as usize).min(from.len() - 1)]
    }
}

/// A slow random wander: Ornstein–Uhlenbeck, exact at any step.
#[derive(Debug, Clone, Copy)]
pub struct Wander {
    sd: f64,
    correlation_s: f64,
    /// Where it is.
    pub value: f64,
}

impl Wander {
    /// Begins at a random place of its own distribution.
    pub fn new(sd: f64, correlation_s: f64, rng: &mut Random) -> Self {
        Wander {
            sd,
            correlation_s,
            value: sd * rng.normal(),
        }
    }

    /// Moves on by `dt_s`.
    pub fn step(&mut self, dt_s: f64, rng: &mut Random) -> f64 {
        let decay = (-dt_s / self.correlation_s).exp();
        self.value = self.value * decay + self.sd * (1.0 - decay * decay).sqrt() * rng.normal();
        self.value
    }
}
