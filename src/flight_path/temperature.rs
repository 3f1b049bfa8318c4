//! The temperature at the aim: as briefed, as the recorder's thermometer has it, or standard.

use crate::atmosphere::{LAPSE_RATE_KPM, standard_temperature_k};
use crate::cleaning::CleanTrack;
use crate::units::KELVIN_AT_ZERO_C;

/// A temperature and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Temperature {
    /// At the elevation of the aim, K.
    pub(super) kelvin: f64,
    /// °C.
    pub(super) sd_c: f64,
}

/// Doubt of a briefed temperature, °C: another hour, another place.
const BRIEFED_SD_C: f64 = 2.0;
/// Doubt of a recorded one brought down to the aim, °C: probe and its heating 1.5, lapse 1.5 (common practice).
const RECORDED_SD_C: f64 = 2.1;
/// Doubt of the standard temperature, °C: seasons (common practice).
const STANDARD_SD_C: f64 = 8.0;
/// Fewer recorded temperatures than this are no thermometer.
const LEAST_RECORDED: usize = 20;
/// A recorded temperature further from the briefed one than this is that of a thermometer that does not work, °C.
const MOST_APART_C: f64 = 12.0;

/// The temperature at the aim, and what to say where the sources contradict each other.
pub(super) fn at_aim(
    briefed_c: Option<f64>,
    recorded_c: Option<f64>,
    elevation_m: f64,
) -> (Temperature, Option<String>) {
    let known = |celsius: f64, sd_c: f64| Temperature {
        kelvin: celsius + KELVIN_AT_ZERO_C,
        sd_c,
    };
    match (briefed_c, recorded_c) {
        (Some(briefed), Some(recorded)) if (briefed - recorded).abs() > MOST_APART_C => (
            known(briefed, BRIEFED_SD_C),
            Some(format!(
                "the recorder's thermometer says {recorded:.0} °C at the aim, the briefing {briefed:.0} °C: the briefing is taken"
            )),
        ),
        (Some(briefed), Some(recorded)) => {
            let weights = [BRIEFED_SD_C.powi(-2), RECORDED_SD_C.powi(-2)];
            let total = weights[0] + weights[1];
            let mean = (weights[0] * briefed + weights[1] * recorded) / total;
            (known(mean, total.powf(-0.5)), None)
        }
        (Some(briefed), None) => (known(briefed, BRIEFED_SD_C), None),
        (None, Some(recorded)) => (known(recorded, RECORDED_SD_C), None),
        (None, None) => (
            Temperature {
                kelvin: standard_temperature_k(elevation_m),
                sd_c: STANDARD_SD_C,
            },
            None,
        ),
    }
}

/// The recorded temperature brought down to `elevation_m` by the standard lapse, °C: median over the fixes.
pub(super) fn recorded_c(track: &CleanTrack, elevation_m: f64) -> Option<f64> {
    let mut at_aim: Vec<f64> = track
        .fixes
        .iter()
        .filter_map(|f| {
            let altitude_m = f64::from(f.pressure_altitude_m.or(f.gnss_altitude_m)?);
            Some(f64::from(f.oat_c?) + LAPSE_RATE_KPM * (altitude_m - elevation_m))
        })
        .collect();
    if at_aim.len() < LEAST_RECORDED {
        return None;
    }
    let middle = at_aim.len() / 2;
    Some(*at_aim.select_nth_unstable_by(middle, f64::total_cmp).1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_sources_share_and_the_standard_is_the_last_resort() {
        let (both, said) = at_aim(Some(10.0), Some(14.0), 300.0);
        // weights 1/4 and 1/4.41
        assert!((both.kelvin - KELVIN_AT_ZERO_C - 11.902).abs() < 1e-3 && both.sd_c < 1.5);
        assert_eq!(said, None);
        let (none, _) = at_aim(None, None, 1000.0);
        assert!((none.kelvin - 281.65).abs() < 1e-9 && none.sd_c > 5.0);
        assert_eq!(at_aim(None, Some(-2.0), 0.0).0.kelvin, 271.15);
    }

    #[test]
    fn a_broken_thermometer_does_not_outvote_the_briefing() {
        let (taken, said) = at_aim(Some(28.0), Some(0.0), 0.0);
        assert_eq!(taken.kelvin, 28.0 + KELVIN_AT_ZERO_C);
        assert!(said.is_some_and(|s| s.contains("0 °C")));
    }
}
