//! Wind by height: motion of the air at knots, linear between them, held outside.
//!
//! Between the ground and the first knot above it the wind grows fast, then slowly, as over any rough
//! ground: share = ln(1 + h/30 m) / ln(1 + 152.4 m/30 m), which follows the power law with exponent 1/7
//! within 4 % from 10 m to 150 m.

/// Spacing of the knots, m (500 ft).
pub const KNOT_SPACING_M: f64 = 152.4;

/// Motion of the air by height above the aim.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WindProfile {
    /// East and north motion of the air at each knot, m/s, from the lowest knot (height 0) up.
    pub knots_mps: Vec<[f64; 2]>,
}

// Two components are written out: `map` over an array is not unrolled here, and winds are asked for at every instant
// of every draw.
impl WindProfile {
    /// How many knots reach up to `height_m`.
    pub fn knots_for(height_m: f64) -> usize {
        ((height_m.max(0.0) / KNOT_SPACING_M).ceil() as usize + 1).clamp(2, 24)
    }

    /// Index of the knot below `height_m`, and the share of the knot above it.
    pub fn weights(knots: usize, height_m: f64) -> (usize, f64) {
        let position = (height_m / KNOT_SPACING_M).clamp(0.0, (knots - 1) as f64);
        // cut off is rounded down: never below zero
        let below = (position as usize).min(knots.saturating_sub(2));
        let share = (position - below as f64).clamp(0.0, 1.0);
        (
            below,
            if below == 0 {
                near_ground(share)
            } else {
                share
            },
        )
    }

    /// Where `height_m` is among so many knots, for winds that are asked there more than once.
    pub fn place(knots: usize, height_m: f64) -> Place {
        if knots < 2 {
            return Place::default();
        }
        let (below, share) = Self::weights(knots, height_m);
        let slope_per_m = if height_m <= 0.0 || height_m >= KNOT_SPACING_M * (knots - 1) as f64 {
            0.0
        } else if below == 0 {
            1.0 / ((ROUGH_M + height_m) * LOG_GROWTH)
        } else {
            1.0 / KNOT_SPACING_M
        };
        Place {
            below,
            share,
            slope_per_m,
        }
    }

    /// East and north motion of the air at a place among its knots, m/s.
    pub fn at_place(&self, place: &Place) -> [f64; 2] {
        let Some(a) = self.knots_mps.get(place.below) else {
            return [0.0, 0.0];
        };
        let b = self.knots_mps.get(place.below + 1).unwrap_or(a);
        [
            a[0] + place.share * (b[0] - a[0]),
            a[1] + place.share * (b[1] - a[1]),
        ]
    }

    /// Change of the air's motion with height at a place among its knots, (m/s)/m.
    pub fn shear_at_place(&self, place: &Place) -> [f64; 2] {
        match self.knots_mps.get(place.below..=place.below + 1) {
            Some([a, b]) => [
                (b[0] - a[0]) * place.slope_per_m,
                (b[1] - a[1]) * place.slope_per_m,
            ],
            _ => [0.0, 0.0],
        }
    }

    /// Motion of the air, integrated over the height from the foot of the layer above knot `layer` up to `into_m` above
    /// it, east and north, m²/s.
    pub fn integral_in_layer(&self, layer: usize, into_m: f64) -> [f64; 2] {
        let of_upper_m = if layer == 0 {
            ((ROUGH_M + into_m) * (into_m / ROUGH_M).ln_1p() - into_m) / LOG_GROWTH
        } else {
            into_m * into_m / (2.0 * KNOT_SPACING_M)
        };
        let (a, b) = (self.knots_mps[layer], self.knots_mps[layer + 1]);
        [
            a[0] * into_m + (b[0] - a[0]) * of_upper_m,
            a[1] * into_m + (b[1] - a[1]) * of_upper_m,
        ]
    }

    /// East and north motion of the air at `height_m`, m/s.
    pub fn at(&self, height_m: f64) -> [f64; 2] {
        self.at_place(&Self::place(self.knots_mps.len(), height_m))
    }

    /// Change of the air's motion with height at `height_m`, (m/s)/m.
    pub fn shear(&self, height_m: f64) -> [f64; 2] {
        self.shear_at_place(&Self::place(self.knots_mps.len(), height_m))
    }
}

/// A height among the knots of a wind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Index of the knot below.
    pub below: usize,
    /// Share of the knot above it.
    pub share: f64,
    /// How this share grows with height, 1/m: zero where the wind is held.
    pub slope_per_m: f64,
}

/// Height over which the wind grows fast near the ground, m.
const ROUGH_M: f64 = 30.0;
/// ln(1 + [`KNOT_SPACING_M`]/[`ROUGH_M`]): written out, for it is wanted at every instant of every draw.
const LOG_GROWTH: f64 = 1.805_004_695_978_075_7;

/// Share of the way to the first knot's wind, at this share of its height.
fn near_ground(share: f64) -> f64 {
    (share * KNOT_SPACING_M / ROUGH_M).ln_1p() / LOG_GROWTH
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_growth_near_the_ground_is_written_out_rightly() {
        assert!((LOG_GROWTH - (KNOT_SPACING_M / ROUGH_M).ln_1p()).abs() < 1e-15);
    }

    #[test]
    fn linear_between_knots_and_held_outside() {
        let wind = WindProfile {
            knots_mps: vec![[0.0, 0.0], [0.0, 0.0], [2.0, -4.0]],
        };
        assert_eq!(wind.at(KNOT_SPACING_M * 1.5), [1.0, -2.0]);
        assert_eq!(wind.at(-50.0), [0.0, 0.0]);
        assert_eq!(wind.at(5000.0), [2.0, -4.0]);
        assert_eq!(wind.shear(5000.0), [0.0, 0.0]);
    }

    #[test]
    fn knots_reach_as_high_as_asked() {
        // one at the ground and one each 152.4 m, two at least and 24 at most
        for (height_m, knots) in [
            (-50.0, 2),
            (100.0, 2),
            (152.4, 2),
            (152.5, 3),
            (1000.0, 8),
            (1e6, 24),
        ] {
            assert_eq!(WindProfile::knots_for(height_m), knots, "{height_m}");
        }
        // at the top the last knot, above it the wind is held
        let top = WindProfile::place(4, 3.0 * KNOT_SPACING_M);
        assert_eq!((top.below, top.share, top.slope_per_m), (2, 1.0, 0.0));
        let below = WindProfile::place(4, 2.9 * KNOT_SPACING_M);
        assert!((below.share - 0.9).abs() < 1e-9);
        assert!((below.slope_per_m * KNOT_SPACING_M - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_integral_over_a_layer_is_the_sum_of_thin_slices() {
        let wind = WindProfile {
            knots_mps: vec![[1.0, -2.0], [4.0, 3.0], [2.0, 9.0]],
        };
        for (layer, into_m) in [(0, 152.4), (0, 40.0), (1, 152.4), (1, 60.0)] {
            let foot_m = layer as f64 * KNOT_SPACING_M;
            let slices = 20_000;
            let thick_m = into_m / f64::from(slices);
            let mut sum = [0.0, 0.0];
            for k in 0..slices {
                let at = wind.at(foot_m + (f64::from(k) + 0.5) * thick_m);
                sum = [sum[0] + at[0] * thick_m, sum[1] + at[1] * thick_m];
            }
            let found = wind.integral_in_layer(layer, into_m);
            for axis in 0..2 {
                assert!((found[axis] - sum[axis]).abs() < 1e-4, "{layer} {into_m}");
            }
        }
    }

    #[test]
    fn near_the_ground_it_follows_the_power_law() {
        // (h / 10 m)^(1/7), the usual exponent over open ground in neutral air
        let law = |h: f64| (h / 10.0).powf(1.0 / 7.0);
        let wind = WindProfile {
            // the knot at the ground stands for what the law gives there when it meets it at 10 m
            knots_mps: vec![[0.92, 0.0], [law(KNOT_SPACING_M), 0.0]],
        };
        for h in [10.0, 20.0, 40.0, 80.0, 120.0] {
            assert!((wind.at(h)[0] / law(h) - 1.0).abs() < 0.04, "{h}");
        }
        let (up, down) = (wind.at(41.0)[0], wind.at(39.0)[0]);
        assert!((wind.shear(40.0)[0] - (up - down) / 2.0).abs() < 1e-6);
    }
}
