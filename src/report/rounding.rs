//! Numbers of the document cut to the digits that can matter, so that the bytes are stable.

use crate::debrief::document::{Attempt, Debrief, GlideEnergy, KeyPoint, Series, WindAtHeight};
use crate::measures::catalogue;
use crate::quantity::Measured;

/// A copy of the document with rounded numbers: a tenth of a foot, a hundredth of a knot, a
/// centimetre of latitude and longitude.
pub(super) fn rounded(debrief: &Debrief) -> Debrief {
    let mut copy = debrief.clone();
    round(&mut copy.recording.rate_hz, 4);
    for attempt in &mut copy.attempts {
        round_attempt(attempt);
    }
    for candidate in &mut copy.not_attempts {
        round(&mut candidate.height_ft, 1);
        round(&mut candidate.confidence, 4);
    }
    copy
}

fn round_attempt(attempt: &mut Attempt) {
    round(&mut attempt.confidence, 4);
    if let Some(touched) = &mut attempt.touched_probability {
        round(touched, 4);
    }
    attempt.key_points.iter_mut().for_each(round_key_point);
    attempt.wind.iter_mut().for_each(round_wind);
    for (id, measure) in &mut attempt.measures {
        // Two digits more than anyone would print.
        let decimals = catalogue::find(id).map_or(4, |info| info.decimals + 2);
        round_measured(measure, decimals);
    }
    attempt.glide_energy.iter_mut().for_each(round_energy);
    round_series(&mut attempt.series);
    for criterion in attempt.grade.iter_mut().flat_map(|g| &mut g.criteria) {
        let numbers = [
            &mut criterion.low,
            &mut criterion.high,
            &mut criterion.share_inside,
        ];
        let speeds = criterion.within_kt.iter_mut().flatten();
        for value in numbers.into_iter().flatten().chain(speeds) {
            round(value, 4);
        }
    }
    super::rounding_reach::round_reach(attempt);
}

fn round_energy(glide: &mut GlideEnergy) {
    round(&mut glide.seconds, 1);
    for feet in [
        &mut glide.lost_ft,
        &mut glide.parasite_ft,
        &mut glide.induced_ft,
        &mut glide.turning_ft,
        &mut glide.distance_ft,
        &mut glide.sd_ft,
    ] {
        round(feet, 1);
    }
    round(&mut glide.tas_over_cas, 4);
}

fn round_key_point(point: &mut KeyPoint) {
    round(&mut point.probability, 3);
    round(&mut point.latitude_deg, 7);
    round(&mut point.longitude_deg, 7);
    round(&mut point.north_ft, 1);
    round(&mut point.east_ft, 1);
    round_measured(&mut point.height_ft, 1);
    round_measured(&mut point.cas_kt, 2);
}

fn round_wind(wind: &mut WindAtHeight) {
    round(&mut wind.height_ft, 1);
    round_measured(&mut wind.from_deg_true, 1);
    round_measured(&mut wind.speed_kt, 2);
    round_measured(&mut wind.north_kt, 2);
    round_measured(&mut wind.east_kt, 2);
}

fn round_series(series: &mut Series) {
    for (list, decimals) in [
        (&mut series.elapsed_s, 2),
        (&mut series.latitude_deg, 7),
        (&mut series.longitude_deg, 7),
        (&mut series.north_ft, 1),
        (&mut series.east_ft, 1),
        (&mut series.height_ft, 1),
        (&mut series.height_low_ft, 1),
        (&mut series.height_high_ft, 1),
        (&mut series.cas_kt, 2),
        (&mut series.cas_low_kt, 2),
        (&mut series.cas_high_kt, 2),
        (&mut series.descent_rate_fpm, 1),
        (&mut series.descent_rate_low_fpm, 1),
        (&mut series.descent_rate_high_fpm, 1),
        (&mut series.ground_speed_kt, 2),
        (&mut series.bank_deg, 2),
    ] {
        for value in list.iter_mut() {
            round(value, decimals);
        }
    }
    let in_hand = series.height_in_hand_ft.iter_mut();
    let low = series.height_in_hand_low_ft.iter_mut();
    let high = series.height_in_hand_high_ft.iter_mut();
    let all = in_hand.chain(low).chain(high).flatten();
    all.for_each(|value| round(value, 1));
}

pub(super) fn round_measured(measured: &mut Measured, decimals: u8) {
    if let Measured::Known { value, low, high } = measured {
        round(value, decimals);
        round(low, decimals);
        round(high, decimals);
    }
}

/// Rounds in place; minus zero becomes zero.
pub(super) fn round(value: &mut f64, decimals: u8) {
    let scale = 10_f64.powi(i32::from(decimals));
    let rounded = (*value * scale).round() / scale;
    if rounded.is_finite() {
        *value = if rounded == 0.0 { 0.0 } else { rounded };
    }
}
