//! Wind by height: motion of the air at knots, linear between them, held outside.

/// Spacing of the knots, m (500 ft).
pub const KNOT_SPACING_M: f64 = 152.4;

/// Motion of the air by height above the aim.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WindProfile {
    /// East and north motion of the air at each knot, m/s, from the lowest knot (height 0) up.
    pub knots_mps: Vec<[f64; 2]>,
}

impl WindProfile {
    /// How many knots reach up to `height_m`.
    pub fn knots_for(height_m: f64) -> usize {
        ((height_m.max(0.0) / KNOT_SPACING_M).ceil() as usize + 1).clamp(2, 24)
    }

    /// Index of the knot below `height_m`, and the share of the knot above it.
    pub fn weights(knots: usize, height_m: f64) -> (usize, f64) {
        let position = (height_m / KNOT_SPACING_M).clamp(0.0, (knots - 1) as f64);
        let below = (position.floor() as usize).min(knots.saturating_sub(2));
        (below, (position - below as f64).clamp(0.0, 1.0))
    }

    /// East and north motion of the air at `height_m`, m/s.
    pub fn at(&self, height_m: f64) -> [f64; 2] {
        match self.knots_mps.len() {
            0 => [0.0, 0.0],
            1 => self.knots_mps[0],
            n => {
                let (k, share) = Self::weights(n, height_m);
                let (a, b) = (self.knots_mps[k], self.knots_mps[k + 1]);
                [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
            }
        }
    }

    /// Change of the air's motion with height at `height_m`, (m/s)/m.
    pub fn shear(&self, height_m: f64) -> [f64; 2] {
        let n = self.knots_mps.len();
        if n < 2 || height_m <= 0.0 || height_m >= KNOT_SPACING_M * (n - 1) as f64 {
            return [0.0, 0.0];
        }
        let (k, _) = Self::weights(n, height_m);
        let (a, b) = (self.knots_mps[k], self.knots_mps[k + 1]);
        [
            (b[0] - a[0]) / KNOT_SPACING_M,
            (b[1] - a[1]) / KNOT_SPACING_M,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn linear_between_knots_and_held_outside() {
        let wind = WindProfile {
            knots_mps: vec![[0.0, 0.0], [2.0, -4.0]],
        };
        assert_eq!(wind.at(KNOT_SPACING_M / 2.0), [1.0, -2.0]);
        assert_eq!(wind.at(-50.0), [0.0, 0.0]);
        assert_eq!(wind.at(5000.0), [2.0, -4.0]);
        assert_eq!(wind.shear(5000.0), [0.0, 0.0]);
    }
}
