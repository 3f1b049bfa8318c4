//! Drag of a light aeroplane from two handbook figures.
//!
//! Parabolic polar: D/W = (x² + n²/x²)/(2E), x = V/V_bg at the same weight and density, E the best
//! glide ratio, n the load factor (any performance text; from memory).

use crate::units::G0_MPS2;

/// Best glide as flown: speed through the air and ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Polar {
    /// Best glide speed at the weight flown, m/s calibrated (equivalent at these speeds).
    pub best_glide_cas_mps: f64,
    /// Best glide ratio.
    pub glide_ratio: f64,
}

impl Polar {
    /// Rate at which drag takes energy height, m/s, at `tas_mps`, best glide `best_glide_tas_mps`, load factor `n`.
    pub fn sink_mps(&self, tas_mps: f64, best_glide_tas_mps: f64, n: f64) -> f64 {
        let x = (tas_mps / best_glide_tas_mps).max(0.3);
        tas_mps * (x * x + n * n / (x * x)) / (2.0 * self.glide_ratio)
    }

    /// Fall of [`Polar::sink_mps`], m/s, as the speed of least drag rises by its own part: the
    /// derivative by its logarithm, sign turned.
    pub fn shape_mps(&self, tas_mps: f64, best_glide_tas_mps: f64, n: f64) -> f64 {
        let x = (tas_mps / best_glide_tas_mps).max(0.3);
        tas_mps * (x * x - n * n / (x * x)) / self.glide_ratio
    }
}

/// Load factor of a coordinated turn with this acceleration across the motion, m/s².
pub fn load_factor(across_mps2: f64) -> f64 {
    (1.0 + (across_mps2 / G0_MPS2).powi(2)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn glide_ratios_of_the_reference_aeroplane() {
        // Best glide 68 kt, ratio 9: 50 kt gives 7.531, 85 kt 8.173 (parabolic polar, worked by hand).
        let polar = Polar {
            best_glide_cas_mps: 68.0,
            glide_ratio: 9.0,
        };
        for (v, ratio) in [(50.0, 7.531), (68.0, 9.0), (85.0, 8.173)] {
            assert!((v / polar.sink_mps(v, 68.0, 1.0) - ratio).abs() < 1e-3);
        }
        // 15° and 45° of bank at 68 kt: 793 and 1148 ft/min against 765 level (same source).
        let level = polar.sink_mps(68.0, 68.0, 1.0);
        assert!(
            (polar.sink_mps(68.0, 68.0, 1.0 / 15f64.to_radians().cos()) / level - 793.0 / 765.1)
                .abs()
                < 2e-3
        );
        assert!(
            (polar.sink_mps(68.0, 68.0, 1.0 / 45f64.to_radians().cos()) / level - 1148.0 / 765.1)
                .abs()
                < 2e-3
        );
    }

    #[test]
    fn the_fall_of_the_sink_is_its_derivative_by_the_speed_of_least_drag() {
        let polar = Polar {
            best_glide_cas_mps: 35.0,
            glide_ratio: 9.0,
        };
        for (v, n) in [(30.0, 1.0), (35.0, 1.0), (48.0, 1.0), (38.0, 1.3)] {
            let sink = |log: f64| polar.sink_mps(v, 35.0 * log.exp(), n);
            let slope = (sink(1e-5) - sink(-1e-5)) / 2e-5;
            assert!((polar.shape_mps(v, 35.0, n) + slope).abs() < 1e-6, "{v}");
        }
        // at best glide nothing, at 70 m/s (4 - 1/4) / 9 of the speed
        assert_eq!(polar.shape_mps(35.0, 35.0, 1.0), 0.0);
        assert!((polar.shape_mps(70.0, 35.0, 1.0) - 70.0 * 3.75 / 9.0).abs() < 1e-9);
    }

    #[test]
    fn load_factor_of_a_thirty_degree_turn() {
        let n = load_factor(G0_MPS2 * 30f64.to_radians().tan());
        assert!((n - 1.154_70).abs() < 1e-5);
    }
}
