//! How far the pressure heights are stretched: the temperature of the column is never quite known.
//!
//! Pressure heights are brought to height with the temperature of the briefing or the standard
//! one. A column warmer than that is taller: 1 % for 3 °C. Where GNSS heights are there too, the
//! two are compared over the heights flown; what doubt remains stretches each draw.

use super::vertical::GNSS_ERROR;
use super::{Row, Setting};

/// Scale error of pressure heights: recorded = (1 + `mean`) × true above the aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PressureScale {
    /// Estimate.
    mean: f64,
    /// Standard deviation that remains; zero without pressure heights.
    pub(super) sd: f64,
}

impl PressureScale {
    /// True over expected height in a draw that stretches the heights by `drawn` beyond the
    /// estimate; none without pressure heights.
    pub(super) fn column(&self, drawn: f64) -> Option<f64> {
        (self.sd > 0.0).then(|| drawn / (1.0 + self.mean))
    }
}

/// The scale from prior knowledge of the temperature and from GNSS heights.
pub(super) fn estimate(rows: &[Row], setting: &Setting) -> PressureScale {
    let prior_sd = setting.temperature_sd_c / setting.air.temperature_at_elevation_k;
    if !rows.iter().any(|r| r.pressure_height_m.is_some()) {
        return PressureScale { mean: 0.0, sd: 0.0 };
    }
    let pairs: Vec<(f64, f64, f64)> = rows
        .iter()
        .filter_map(|r| Some((r.t_s, r.pressure_height_m?, r.gnss_height_m?)))
        .collect();
    if pairs.len() < 20 {
        return PressureScale {
            mean: 0.0,
            sd: prior_sd,
        };
    }
    // time between fixes as weight, so that dense stretches do not count twice; gaps count little
    let weight = |i: usize| -> f64 {
        let before = if i > 0 {
            pairs[i].0 - pairs[i - 1].0
        } else {
            1.0
        };
        before.clamp(0.0, 5.0)
    };
    let total: f64 = (0..pairs.len()).map(weight).sum();
    let mean_of = |f: &dyn Fn(&(f64, f64, f64)) -> f64| {
        pairs
            .iter()
            .enumerate()
            .map(|(i, p)| weight(i) * f(p))
            .sum::<f64>()
            / total
    };
    let pressure_mean = mean_of(&|p| p.1);
    let difference_mean = mean_of(&|p| p.1 - p.2);
    let spread: f64 = pairs
        .iter()
        .enumerate()
        .map(|(i, p)| weight(i) * (p.1 - pressure_mean).powi(2))
        .sum();
    let together: f64 = pairs
        .iter()
        .enumerate()
        .map(|(i, p)| weight(i) * (p.1 - pressure_mean) * (p.1 - p.2 - difference_mean))
        .sum();
    if spread <= 0.0 {
        return PressureScale {
            mean: 0.0,
            sd: prior_sd,
        };
    }
    // GNSS errors stay alike for minutes: variance of the slope under an Ornstein–Uhlenbeck error
    let slope_variance = GNSS_ERROR.0.powi(2) * 2.0 * GNSS_ERROR.1 / spread;
    let precision = 1.0 / slope_variance + 1.0 / prior_sd.powi(2);
    PressureScale {
        mean: (together / spread) / slope_variance / precision,
        sd: (1.0 / precision).sqrt(),
    }
}

/// Brings the pressure heights of `rows` to the estimated scale.
pub(super) fn apply(rows: &mut [Row], scale: &PressureScale) {
    for row in rows {
        if let Some(h) = &mut row.pressure_height_m {
            *h /= 1.0 + scale.mean;
        }
    }
}
