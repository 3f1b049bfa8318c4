//! Other places to land, over the draws; and corners as latitude and longitude.

use super::super::analyse::Analysis;
use super::super::document::FieldWithin;
use super::Over;
use crate::flight_path::setting::AimSource;
use crate::measures::fields::{FieldPlace, FieldReach, field_reach};
use crate::quantity::{Measured, from_draws};
use crate::units::{M_PER_FT, ft};

/// The fields of the briefing, in its order.
pub(super) fn fields(over: &Over<'_>) -> Vec<FieldWithin> {
    over.briefing
        .fields
        .iter()
        .map(|field| {
            let setting = &over.analysis.setting;
            let (east_m, north_m) = setting
                .frame
                .to_east_north_m(field.latitude_deg, field.longitude_deg);
            let place = FieldPlace {
                east_m,
                north_m,
                above_aim_m: field.elevation_ft.map_or(f64::NAN, |elevation_ft| {
                    elevation_ft * M_PER_FT - setting.elevation_m
                }),
                landing_true_deg: field.landing_true_deg,
            };
            let each: Vec<Option<FieldReach>> = over
                .each()
                .map(|(drawn, hand)| Some(field_reach(drawn, hand?, &place)))
                .collect();
            let why = if field.elevation_ft.is_none() {
                "the field's elevation is not in the briefing"
            } else if setting.aim == AimSource::None || setting.landing_true_deg.is_none() {
                "no aim point with a landing direction, which heights in hand are counted from"
            } else {
                "too much wind to land there in that direction at glide speed"
            };
            let of = |f: fn(&FieldReach) -> f64| -> Vec<f64> {
                each.iter()
                    .map(|r| r.as_ref().map_or(f64::NAN, f))
                    .collect()
            };
            let in_hand = of(|r| ft(r.in_hand_m));
            let known = in_hand.iter().filter(|h| h.is_finite()).count();
            let within = in_hand.iter().filter(|h| **h >= 0.0).count();
            let height_in_hand_ft = from_draws(&in_hand, why);
            FieldWithin {
                name: field.name.clone(),
                latitude_deg: field.latitude_deg,
                longitude_deg: field.longitude_deg,
                east_ft: ft(east_m),
                north_ft: ft(north_m),
                probability: height_in_hand_ft
                    .value()
                    .map(|_| within as f64 / known.max(1) as f64),
                arrival_height_ft: from_draws(&of(|r| ft(r.arrival_height_m)), why),
                height_in_hand_ft,
                within_reach_s: within_reach(&of(|r| r.within_reach_s), why),
            }
        })
        .collect()
}

/// Time within reach: draws in which the field never fell out of reach have no end to give.
fn within_reach(seconds: &[f64], why: &str) -> Measured {
    let known = seconds.iter().filter(|s| !s.is_nan()).count();
    let never_lost = seconds.iter().filter(|s| s.is_infinite()).count();
    if known > 0 && 2 * never_lost > known {
        return Measured::unknown("within reach until the end of the glide");
    }
    if known > 0 && 2 * seconds.iter().filter(|s| **s == 0.0).count() > known {
        return Measured::unknown("out of reach from the power reduction on");
    }
    from_draws(seconds, why)
}

/// Corners east and north of the aim, ft, as latitude and longitude, degrees.
pub(super) fn in_degrees(analysis: &Analysis, corners_ft: &[[f64; 2]]) -> Vec<[f64; 2]> {
    corners_ft
        .iter()
        .map(|[east_ft, north_ft]| {
            let frame = &analysis.setting.frame;
            let (latitude, longitude) =
                frame.to_latitude_longitude(east_ft * M_PER_FT, north_ft * M_PER_FT);
            [latitude, longitude]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_long_a_field_was_within_reach() {
        let inf = f64::INFINITY;
        let reason = |s: &[f64]| within_reach(s, "why").reason().map(str::to_owned);
        assert!(reason(&[inf, inf, 90.0]).unwrap().contains("until the end"));
        assert!(
            reason(&[0.0, 0.0, 12.0])
                .unwrap()
                .contains("from the power reduction")
        );
        assert_eq!(reason(&[f64::NAN; 3]).as_deref(), Some("why"));
        assert_eq!(within_reach(&[80.0, 90.0, 100.0], "").value(), Some(90.0));
    }
}
