//! What the track cannot know, drawn once per draw: temperature, gusts, vertical air, lags.
//!
//! This is where intervals are widened, and nowhere else. Each prior says why.

use crate::air::AirDraw;
use crate::atmosphere::{AirColumn, SpeedScale};
use crate::flight_path::Setting;
use crate::key_points::flown::STEP_S;
use crate::random::{Draws, EvenDraws};

/// How far draws of the wind are spread against the linear posterior. The fit takes airspeed to
/// wander as a stationary process; pilots do not, which the likelihood cannot know.
pub const WIND_WIDENING: f64 = 1.5;
/// Turbulence left in a mean over a slice of air, m/s.
const TURBULENCE_MPS: f64 = 0.35;
/// Correlation time of gusts along the flight, s (common practice: some hundred metres of air).
const GUST_S: f64 = 3.0;
/// Doubt of their strength as fitted, which has three steps: one standard deviation, as a factor's logarithm.
const GUST_LOG_SD: f64 = 0.7;
/// Recorded airspeed against the true one beyond a constant: lag, sensor, filter, m/s and s.
const RECORDED_WANDER: (f64, f64) = (0.35, 8.0);
/// Difference of the largest bank from that of a coordinated turn, degrees: slip, gusts in roll (common practice).
const BANK_SD_DEG: f64 = 1.7;
/// How far the fluctuation of the airspeed in a draw may be off the true one, as a factor's logarithm: the
/// noise of the motion is fitted to the recording as a whole, and a stretch of it is calmer or busier; where
/// airspeed was recorded, and where not. Without it the intervals of the spread held the truth of simulated
/// flights 7 to 9 times in 10 (docs/intervals.md), so it is not blind to them.
const SPREAD_LOG_SD: (f64, f64) = (0.08, 0.25);
/// Draws of it do not disturb those of anything else.
const SPREAD_STREAM: u64 = 19;
/// A landing direction given in whole degrees may be half a degree off.
const LANDING_HALF_WIDTH_DEG: f64 = 0.5;
/// Power follows a closing throttle by this, s: the engine and its propeller slow down, but a
/// propeller that brakes more at speed makes the fall look earlier (common practice, −0.5 to 1.3 s).
/// The centre was moved once after flights of a simulator showed a bias either way: not blind to them.
const CLOSING_LAG_S: (f64, f64) = (0.45, 0.45);
/// The middle of the power's rise follows the start of opening the throttle by this, s: the lever is
/// advanced smoothly over two seconds or so, and the engine follows by about one (common practice).
/// The centre was raised twice after simulated go-arounds came out late, so it is not blind to the
/// engines of a simulator; a real one may differ by the standard deviation.
pub(super) const OPENING_LAG_S: (f64, f64) = (2.25, 0.6);
/// Whatever else the instant of a change in power rests on, s.
pub(super) const CHANGE_SD_S: f64 = 0.25;

/// Fixes so far apart do not show what the aeroplane does between them, s.
pub(super) const COARSE_STEP_S: f64 = 3.9;

/// The same for fixes so far apart: where a change lies between two of them is not known where they are coarse. One
/// standard deviation of a time that is anywhere between them. Finer fixes know it from the curve of the path.
pub(super) fn change_sd_s(step_s: f64) -> f64 {
    if step_s < COARSE_STEP_S {
        CHANGE_SD_S
    } else {
        CHANGE_SD_S.hypot(step_s / 12f64.sqrt())
    }
}

/// Which column of the even draws is whose.
pub mod column {
    /// Instant of the power reduction.
    pub const REDUCTION: usize = 0;
    /// Instant of power back.
    pub const RESTORATION: usize = 1;
    /// Time and shape of the contact.
    pub const CONTACT: usize = 2;
    /// Place of the contact.
    pub const CONTACT_PLACE: usize = 3;
    /// Speed at the contact.
    pub const CONTACT_SPEED: usize = 4;
    pub(super) const CLOSING_LAG: usize = 5;
    pub(super) const OPENING_LAG: usize = 6;
    pub(super) const POSITION_ERROR: usize = 7;
    pub(super) const BANK: usize = 8;
    /// The first of as many as the fit of the air has unknowns.
    pub const AIR: usize = 9;
}

/// True fluctuation of the airspeed over that of the draw from `stream`.
pub fn airspeed_spread(stream: u64, recorded: bool) -> f64 {
    let sd = if recorded {
        SPREAD_LOG_SD.0
    } else {
        SPREAD_LOG_SD.1
    };
    (sd * Draws::new(stream, SPREAD_STREAM).normal()).exp()
}

/// One draw of everything that is not in the path.
#[derive(Debug, Clone)]
pub struct Nuisance {
    /// Calibrated from true airspeed at this draw's temperature.
    pub scale: SpeedScale,
    /// Wind and recorded airspeed bias.
    pub air: AirDraw,
    /// Lag of power behind a closing throttle, s.
    pub closing_lag_s: f64,
    /// Lag of power behind an opening throttle, s.
    pub opening_lag_s: f64,
    /// Gusts at every step, m/s.
    pub gust_mps: Vec<f64>,
    /// Added to the wind of each slice of air where it is given, east and north, m/s.
    pub turbulence_mps: Vec<[f64; 2]>,
    /// This draw's temperature less the expected one, °C.
    pub warmer_c: f64,
    /// Position error of the airspeed indicator before the fit, in standard deviations.
    pub position: f64,
    /// Added to recorded airspeed at every step, m/s.
    pub recorded_wander_mps: Vec<f64>,
    /// Added to the largest bank, degrees.
    pub bank_deg: f64,
    /// Added to the landing direction, degrees.
    pub landing_deg: f64,
}

impl Nuisance {
    /// The draw of this `rng`, for fixes `step_s` apart, a stretch of `steps` steps and so many `slices` of air.
    ///
    /// `column_scale` is how far this draw's path stretches its heights with the temperature of the
    /// column, where it does: the same temperature makes the airspeeds.
    pub fn draw(
        (setting, step_s): (&Setting, f64),
        air: AirDraw,
        column_scale: Option<f64>,
        (steps, slices): (usize, usize),
        (even, rng): (&mut EvenDraws, &mut Draws),
    ) -> Self {
        let expected_k = setting.air.temperature_at_elevation_k;
        let warmer_c = match column_scale {
            Some(scale) => expected_k * (scale - 1.0),
            None => setting.temperature_sd_c * rng.normal(),
        };
        let column = AirColumn {
            temperature_at_elevation_k: expected_k + warmer_c,
            ..setting.air
        };
        let strength = air.gust_mps * (GUST_LOG_SD * rng.normal()).exp();
        let gust_mps = wandering((strength, GUST_S), steps, rng);
        let recorded_wander_mps = wandering(RECORDED_WANDER, steps, rng);
        Nuisance {
            scale: SpeedScale::of(&column),
            air,
            closing_lag_s: CLOSING_LAG_S.0
                + CLOSING_LAG_S.1.hypot(change_sd_s(step_s)) * even.normal(column::CLOSING_LAG),
            opening_lag_s: (OPENING_LAG_S.0 + OPENING_LAG_S.1 * even.normal(column::OPENING_LAG))
                .max(0.2)
                + CHANGE_SD_S * rng.normal(),
            gust_mps,
            turbulence_mps: (0..slices)
                .map(|_| [0, 1].map(|_| TURBULENCE_MPS * rng.normal()))
                .collect(),
            warmer_c,
            position: even.normal(column::POSITION_ERROR),
            recorded_wander_mps,
            bank_deg: BANK_SD_DEG * even.normal(column::BANK),
            landing_deg: match setting.landing_true_deg {
                Some(d) if (d - d.round()).abs() < 1e-9 => {
                    LANDING_HALF_WIDTH_DEG * (2.0 * rng.uniform() - 1.0)
                }
                _ => 0.0,
            },
        }
    }
}

/// An Ornstein–Uhlenbeck process of this standard deviation and correlation time, at every step.
fn wandering((sd, correlation_s): (f64, f64), steps: usize, rng: &mut Draws) -> Vec<f64> {
    let decay = (-STEP_S / correlation_s).exp();
    let fresh = sd * (1.0 - decay * decay).sqrt();
    let mut value = sd * rng.normal();
    (0..steps)
        .map(|_| {
            value = value * decay + fresh * rng.normal();
            value
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_between_coarse_fixes_is_anywhere_between_them() {
        assert_eq!(change_sd_s(1.0), 0.25);
        // a uniform law over 5 s: 5/√12 = 1.443
        assert!((change_sd_s(5.0).powi(2) - (0.0625 + 25.0 / 12.0)).abs() < 1e-9);
    }
}
