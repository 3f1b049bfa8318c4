//! How long reach takes: the least height from one state, and the ground within glide of one moment.
//!
//! `cargo bench --bench reach`: process-wide wall time on one thread, so on an idle machine.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench tells what it measured"
)]

use std::hint::black_box;
use std::time::Instant;

use stillprop::air::WindProfile;
use stillprop::reach::ring::glide_ring;
use stillprop::reach::{Glider, Position, Reach, ReachSetting};

/// States asked for, over all places and headings within four kilometres.
const STATES: usize = 200_000;
/// Rings drawn.
const RINGS: usize = 20_000;

fn main() {
    let still = vec![[0.0, 0.0]; 8];
    let steady = vec![[5.0, -4.0]; 8];
    let sheared: Vec<[f64; 2]> = (0..8)
        .map(|i| [2.0 + f64::from(i), -4.0 - 0.5 * f64::from(i)])
        .collect();
    for (name, knots_mps) in [
        ("still air", still),
        ("steady wind", steady),
        ("wind that grows with height", sheared),
    ] {
        let glider = Glider::new((35.0, 9.0), 35.0, (1.0, 0.0), &WindProfile { knots_mps });
        let setting = ReachSetting::default();
        let reach = Reach::new(&glider, 40.0, &setting).unwrap();
        let start = Instant::now();
        for i in 0..STATES {
            let at = Position {
                along_m: 80.0 * (i % 101) as f64 - 4000.0,
                across_m: 80.0 * (i / 101 % 101) as f64 - 4000.0,
                heading_deg: 7.0 * (i % 53) as f64,
                tas_mps: 35.0,
            };
            black_box(reach.least_height_m(black_box(&at)));
        }
        let state_us = 1e6 * start.elapsed().as_secs_f64() / STATES as f64;
        let start = Instant::now();
        for i in 0..RINGS {
            black_box(glide_ring(&glider, &setting, (i as f64, 900.0)));
        }
        let ring_us = 1e6 * start.elapsed().as_secs_f64() / RINGS as f64;
        println!("{name:<30} least height {state_us:6.2} µs a state, ring {ring_us:6.2} µs");
    }
}
