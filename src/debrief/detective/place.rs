//! An aim point that the recording never came near: exchanged, with the wrong sign, in minutes.

use super::clues::nearest_m;
use super::hypotheses::{Hypothesis, instead_of_first};
use crate::cleaning::CleanTrack;
use crate::units::M_PER_NM;

/// A practice forced landing passes over or beside its aim: scale of the distance of the nearest fix, m.
const USUAL_M: f64 = 1000.0;
/// Nearer than this no slip can be likelier than what is written, m.
const NEAR_ENOUGH_M: f64 = 4000.0;
/// Share of briefings with each of the slips below (common practice: seldom, not never).
const SLIP: f64 = 0.005;
/// Share of briefings that belong to another field, and how far off such a field may be, m.
const ANOTHER_FIELD: (f64, f64) = (0.02, 300_000.0);
/// What is written is doubted below this probability.
const DOUBT: f64 = 0.02;

#[derive(Debug, Clone, PartialEq)]
enum Meant {
    AsWritten,
    AnotherField,
    Place((f64, f64), &'static str),
}

/// The warning about the place of the aim, if it needs one.
pub(super) fn suspicion(track: &CleanTrack, aim_deg: (f64, f64)) -> Option<String> {
    let written_m = nearest_m(track, aim_deg);
    if written_m < NEAR_ENOUGH_M {
        return None;
    }
    let mut hypotheses = vec![
        weighed(Meant::AsWritten, 0.93, written_m),
        Hypothesis {
            says: Meant::AnotherField,
            prior: ANOTHER_FIELD.0,
            log_likelihood: -(std::f64::consts::PI * ANOTHER_FIELD.1.powi(2)).ln(),
        },
    ];
    hypotheses.extend(
        slips(aim_deg)
            .into_iter()
            .map(|(place, slip)| weighed(Meant::Place(place, slip), SLIP, nearest_m(track, place))),
    );
    let meant = instead_of_first(&hypotheses, DOUBT).into_iter().next()?;
    let far_nm = written_m / M_PER_NM;
    let written = format!(
        "latitude_deg = {}, longitude_deg = {} is {far_nm:.0} NM from the nearest fix of the recording",
        aim_deg.0, aim_deg.1
    );
    Some(match meant {
        Meant::Place((latitude_deg, longitude_deg), slip) => format!(
            "{written}: {slip}, it fits; write latitude_deg = {}, longitude_deg = {}",
            decimals(latitude_deg),
            decimals(longitude_deg)
        ),
        _ => format!(
            "{written}: the briefing and the recording are of different fields, or a figure slipped; check the aim point"
        ),
    })
}

/// A two-dimensional Student density (4 degrees of freedom) of the distance: far is seldom, not impossible.
fn weighed(says: Meant, prior: f64, distance_m: f64) -> Hypothesis<Meant> {
    let spread = (1.0 + (distance_m / USUAL_M).powi(2) / 4.0).ln();
    Hypothesis {
        says,
        prior,
        log_likelihood: -(std::f64::consts::TAU * USUAL_M * USUAL_M).ln() - 3.0 * spread,
    }
}

fn slips((latitude, longitude): (f64, f64)) -> Vec<((f64, f64), &'static str)> {
    const SIGN: &str = "with another sign (south and west are negative)";
    const EXCHANGED: &str = "latitude and longitude exchanged";
    const EXCHANGED_SIGN: &str = "latitude and longitude exchanged, with another sign";
    const MINUTES: &str = "read as degrees and minutes, not decimal degrees";
    let mut out = vec![
        ((longitude, latitude), EXCHANGED),
        ((latitude, -longitude), SIGN),
        ((-latitude, longitude), SIGN),
        ((-latitude, -longitude), SIGN),
        ((-longitude, latitude), EXCHANGED_SIGN),
        ((longitude, -latitude), EXCHANGED_SIGN),
        ((-longitude, -latitude), EXCHANGED_SIGN),
    ];
    if let (Some(a), Some(b)) = (from_minutes(latitude), from_minutes(longitude)) {
        out.extend([(a, b), (a, longitude), (latitude, b)].map(|place| (place, MINUTES)));
    }
    for by in [-1.0, 1.0] {
        out.push(((latitude + by, longitude), "one degree of latitude off"));
        out.push(((latitude, longitude + by), "one degree of longitude off"));
    }
    out.retain(|(place, _)| place.0.abs() <= 90.0 && *place != (latitude, longitude));
    out
}

/// 51.30 read as 51°30'.
fn from_minutes(value: f64) -> Option<f64> {
    let minutes = value.abs().fract() * 100.0;
    (minutes < 60.0).then(|| (value.abs().trunc() + minutes / 60.0).copysign(value))
}

/// Six decimals at most.
fn decimals(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
