//! Noise never makes an interval narrower.
//!
//! In one flight it may, a little: an interval is that of a finite number of draws, and a fit may take noise
//! for gusts. So: of all figures of a flight the middle one never becomes narrower, and no figure does in the
//! mean over flights and noises.

use std::collections::BTreeMap;

use stillprop::geodesy::LocalFrame;

use super::comparing::changes;
use super::{Flight, flight};
use crate::truth::simulator::random::Random;
use crate::truth::simulator::receiver::Format;

/// White noise added: to east and north and to altitudes, m, and to speed, m/s. More than receivers have from
/// one second to the next, so that it is seen beside their own.
const NOISE: (f64, f64, f64) = (2.0, 2.5, 0.4);
/// Ratios of widths that draws explain: two widths of 400 draws differ by 7 % (one standard deviation), the mean
/// of eight by 2.5 %, the median over some 25 figures that share their draws by about 4 %.
const MEDIAN_LEAST: f64 = 0.92;
const MEAN_LEAST: f64 = 0.88;
/// The touchdown is less smooth: a recording may fit several, ten seconds apart, and noise may hide one of them.
/// That makes the interval much narrower in one landing and wider in another; six do not average it out.
const OF_THE_TOUCHDOWN: [&str; 4] = [
    "touchdown_along_ft",
    "touchdown_ground_speed_kt",
    "touchdown_cas_kt",
    "float_distance_ft",
];
const TOUCHDOWN_LEAST: f64 = 0.7;

fn noisier(f: &Flight, seed: u64) -> Flight {
    let (level_m, up_m, speed_mps) = NOISE;
    let mut rng = Random::new(seed, 9);
    let (latitude_deg, longitude_deg) = f.aim_deg();
    let frame = LocalFrame::new(latitude_deg, longitude_deg, 0.0);
    let mut out = f.clone();
    for fix in &mut out.recording.fixes {
        let (east_m, north_m) = frame.to_east_north_m(fix.latitude_deg, fix.longitude_deg);
        let (east_m, north_m) = (
            east_m + level_m * rng.normal(),
            north_m + level_m * rng.normal(),
        );
        (fix.latitude_deg, fix.longitude_deg) = frame.to_latitude_longitude(east_m, north_m);
        let mut with = |value: Option<f32>, sd: f64| value.map(|v| v + (sd * rng.normal()) as f32);
        fix.gnss_altitude_m = with(fix.gnss_altitude_m, up_m);
        fix.pressure_altitude_m = with(fix.pressure_altitude_m, up_m);
        fix.ground_speed_mps = with(fix.ground_speed_mps, speed_mps).map(|v| v.max(0.0));
    }
    out
}

#[test]
fn noise_never_narrows() {
    let mut logs: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for (seed, format, lands) in [
        (7, Format::Phone, true),
        (16, Format::Gpx, true),
        (23, Format::Avionics, true),
        (1, Format::Phone, false),
    ] {
        let clean = flight(seed, format, lands);
        let before = clean.debriefed();
        for noise in [1, 2] {
            let mut all = changes(&before, &noisier(&clean, noise).debriefed(), false);
            for c in &all {
                logs.entry(c.id.clone()).or_default().push(c.width.ln());
            }
            all.sort_by(|a, b| a.width.total_cmp(&b.width));
            let median = all[all.len() / 2].width;
            assert!(
                median > MEDIAN_LEAST,
                "seed {seed}, noise {noise}: {median}, {all:?}"
            );
        }
    }
    for (id, logs) in logs {
        let mean = (logs.iter().sum::<f64>() / logs.len() as f64).exp();
        let least = if OF_THE_TOUCHDOWN.contains(&id.as_str()) {
            TOUCHDOWN_LEAST
        } else {
            MEAN_LEAST
        };
        assert!(mean > least, "{id}: {mean} over {} recordings", logs.len());
    }
}
