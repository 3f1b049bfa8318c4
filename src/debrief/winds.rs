//! The wind by height.

use super::attempt::AttemptAnalysis;
use super::document::WindAtHeight;
use crate::quantity::{Measured, from_draws};
use crate::units::{M_PER_FT, ft, kt, wrap_180_deg, wrap_360_deg};

/// Depth of a slice of air whose mean wind is given, ft.
const SLICE_FT: f64 = 500.0;
/// Height of the lowest slice, ft: the others are at whole multiples of [`SLICE_FT`].
const LOWEST_FT: f64 = 200.0;

/// Heights above the aim at which the wind is given below `top_m`, ft: one near the ground, then every 500.
pub(super) fn heights_ft(top_m: f64) -> Vec<f64> {
    let above = ((ft(top_m) + 100.0) / SLICE_FT).ceil().max(1.0) as usize - 1;
    std::iter::once(LOWEST_FT)
        .chain((1..=above).map(|k| SLICE_FT * k as f64))
        .collect()
}

/// The wind by height over the draws.
pub(super) fn wind(a: &AttemptAnalysis) -> Vec<WindAtHeight> {
    heights_ft(a.candidate.start_height_m)
        .into_iter()
        .enumerate()
        .map(|(slice, height_ft)| {
            let at: Vec<[f64; 2]> = a
                .draws
                .iter()
                .map(|d| {
                    let w = d.flown.wind.at(height_ft * M_PER_FT);
                    let eddy = d.turbulence_mps.get(slice).copied().unwrap_or_default();
                    [kt(w[0] + eddy[0]), kt(w[1] + eddy[1])]
                })
                .collect();
            let pick = |f: &dyn Fn(&[f64; 2]) -> f64| -> Vec<f64> { at.iter().map(f).collect() };
            let none = "no wind could be worked out here";
            WindAtHeight {
                height_ft,
                from_deg_true: direction(&at),
                speed_kt: from_draws(&pick(&|w| w[0].hypot(w[1])), none),
                north_kt: from_draws(&pick(&|w| w[1]), none),
                east_kt: from_draws(&pick(&|w| w[0]), none),
            }
        })
        .collect()
}

/// A direction known less well than this is none, degrees between the ends of its interval.
const WIDEST_DEG: f64 = 120.0;

/// Direction the wind comes from: spread around the direction of the mean.
fn direction(at: &[[f64; 2]]) -> Measured {
    let n = at.len().max(1) as f64;
    let mean = [
        at.iter().map(|w| w[0]).sum::<f64>() / n,
        at.iter().map(|w| w[1]).sum::<f64>() / n,
    ];
    let middle = (-mean[0]).atan2(-mean[1]).to_degrees();
    let around: Vec<f64> = at
        .iter()
        .map(|w| wrap_180_deg((-w[0]).atan2(-w[1]).to_degrees() - middle))
        .collect();
    match from_draws(&around, "no wind could be worked out here") {
        Measured::Known { value, low, high } if high - low < WIDEST_DEG => Measured::Known {
            value: wrap_360_deg(middle + value),
            low: wrap_360_deg(middle + low),
            high: wrap_360_deg(middle + high),
        },
        _ => Measured::unknown(without_direction(at)),
    }
}

/// Up to here a wind may be reported as variable (Federal Meteorological Handbook No. 1), kt.
const LIGHT_KT: f64 = 6.0;

/// Why these winds have no direction in common: all light, or not known.
fn without_direction(at: &[[f64; 2]]) -> &'static str {
    let strong = at.iter().filter(|w| w[0].hypot(w[1]) > LIGHT_KT).count();
    if 2 * strong > at.len() {
        "the wind is not known well enough"
    } else {
        "too light to have a direction"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wind_not_known_is_not_called_light() {
        let around = |kt: f64| -> Vec<[f64; 2]> {
            (0..36)
                .map(|k| (f64::from(k) * 10.0).to_radians().sin_cos())
                .map(|(sin, cos)| [kt * sin, kt * cos])
                .collect()
        };
        let reason = |kt| direction(&around(kt)).reason().map(str::to_owned);
        assert_eq!(reason(3.0).unwrap(), "too light to have a direction");
        assert_eq!(reason(12.0).unwrap(), "the wind is not known well enough");
    }

    #[test]
    fn winds_are_given_up_to_the_height_of_the_power_reduction() {
        assert_eq!(
            heights_ft(1450.0 * M_PER_FT),
            [200.0, 500.0, 1000.0, 1500.0]
        );
        assert_eq!(heights_ft(1395.0 * M_PER_FT), [200.0, 500.0, 1000.0]);
        assert_eq!(heights_ft(-5.0), [200.0]);
    }
}
