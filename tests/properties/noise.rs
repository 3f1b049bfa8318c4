//! Noise never makes an interval narrower.
//!
//! In one flight it may, a little: an interval is that of a finite number of draws, a fit may take noise for
//! gusts, and a share cannot pass one. So: of all figures of a flight the middle one never becomes narrower, and
//! no figure does in the mean over flights and noises.

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
            println!(
                "N {seed} {noise} {median:.2} {:?}",
                all.iter()
                    .take(4)
                    .map(|c| format!("{} {:.2}", c.id, c.width))
                    .collect::<Vec<_>>()
            );
        }
    }
    for (id, logs) in logs {
        let mean = (logs.iter().sum::<f64>() / logs.len() as f64).exp();
        println!("N {id} n {} {mean:.2}", logs.len());
    }
}
