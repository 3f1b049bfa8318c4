//! Recorded airspeed along a draw: what of it is true airspeed, and what is calibrated.
//!
//! An airspeed indicator measures calibrated airspeed and its own position error, whatever the
//! temperature; the fit of the wind measures the error of *true* airspeed. Where the recording has
//! indicated airspeed, calibrated airspeed is that less a drawn position error, and no assumed
//! temperature stands between the two.

use super::air_chains::{between, recorded_tas};
use super::attempt::Ground;
use super::drawing::Nuisance;
use crate::atmosphere::SpeedScale;
use crate::flight_path::Row;
use crate::key_points::flown::STEP_S;

/// Airspeed as recorded, at every step; NaN where there is none, m/s.
#[derive(Debug, Clone, Default)]
#[expect(clippy::struct_field_names, reason = "the unit is part of the name")]
pub(super) struct RecordedSpeed {
    /// True, as recorded or worked out from indicated.
    pub(super) tas_mps: Vec<f64>,
    /// Indicated.
    pub(super) ias_mps: Vec<f64>,
    /// Median of indicated less the calibrated airspeed that the true one makes at the expected temperature.
    above_mps: f64,
}

/// Airspeed of a draw, at every step; NaN where there is none, m/s.
#[derive(Debug, Clone, Default)]
pub(super) struct DrawnSpeed {
    /// True.
    pub(super) tas_mps: Vec<f64>,
    /// Calibrated.
    pub(super) cas_mps: Vec<f64>,
}

impl RecordedSpeed {
    /// The airspeed recorded between `from_s` and `to_s`.
    pub(super) fn of(g: &Ground<'_>, (from_s, to_s): (f64, f64), scale: &SpeedScale) -> Self {
        let rows = &g.path.rows;
        let motions = g.path.mean.resampled(from_s, to_s, STEP_S);
        let over = |of: &dyn Fn(&crate::flight_path::Motion) -> Option<f64>| -> Vec<f64> {
            motions.iter().map(|m| of(m).unwrap_or(f64::NAN)).collect()
        };
        let tas_mps = over(&|m| recorded_tas(rows, m, scale));
        let ias_mps = over(&|m| between(rows, m.t_s, |r: &Row| r.ias_mps.map(f64::from)));
        let mut above: Vec<f64> = motions
            .iter()
            .zip(tas_mps.iter().zip(&ias_mps))
            .map(|(m, (tas, ias))| ias - scale.cas_mps(*tas, m.height_m))
            .filter(|x| x.is_finite())
            .collect();
        above.sort_by(f64::total_cmp);
        RecordedSpeed {
            tas_mps,
            ias_mps,
            above_mps: above.get(above.len() / 2).copied().unwrap_or(0.0),
        }
    }

    /// Whether nearly all steps have one.
    pub(super) fn nearly_everywhere(&self) -> bool {
        let there = self.tas_mps.iter().filter(|v| v.is_finite()).count();
        there * 10 > self.tas_mps.len() * 8
    }

    /// One possible true and calibrated airspeed.
    pub(super) fn draw(&self, nuisance: &Nuisance, about: &About) -> DrawnSpeed {
        let position_mps = about.position_error_mps(nuisance, self.above_mps);
        let less = |recorded: &[f64], error_mps: f64| -> Vec<f64> {
            recorded
                .iter()
                .zip(&nuisance.recorded_wander_mps)
                .map(|(v, wander)| v - error_mps + wander)
                .collect()
        };
        DrawnSpeed {
            tas_mps: less(&self.tas_mps, nuisance.air.recorded_bias_mps),
            cas_mps: less(&self.ias_mps, position_mps),
        }
    }
}

/// What the position error is worked out about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct About {
    /// Calibrated airspeed of the glide, m/s.
    pub(super) cas_mps: f64,
    /// The same as true airspeed at the middle of the glide, m/s.
    pub(super) tas_mps: f64,
    /// Temperature the recorded speeds were brought to true airspeed with, K.
    pub(super) temperature_k: f64,
    /// Standard deviation of the position error before the fit, m/s.
    pub(super) position_sd_mps: f64,
    /// Standard deviation of that temperature, °C.
    pub(super) temperature_sd_c: f64,
}

impl About {
    /// The position error of a draw, given the error of true airspeed that the fit drew; indicated
    /// airspeed is `above_mps` over what that true airspeed makes at the expected temperature.
    ///
    /// What the fit found is the position error less what a warmer day than expected makes of it,
    /// `p − CAS·δ/(2T)`: both are drawn from their priors, then the position error takes its share
    /// of what is missing (conditioning by correction).
    fn position_error_mps(&self, nuisance: &Nuisance, above_mps: f64) -> f64 {
        let found = above_mps + nuisance.air.recorded_bias_mps * self.cas_mps / self.tas_mps;
        let per_degree = self.cas_mps / (2.0 * self.temperature_k);
        let position = self.position_sd_mps * nuisance.position;
        let variances = [
            self.position_sd_mps.powi(2),
            (per_degree * self.temperature_sd_c).powi(2),
        ];
        let share = variances[0] / (variances[0] + variances[1]);
        position + share * (found - position + per_degree * nuisance.warmer_c)
    }
}
