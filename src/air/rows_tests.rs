//! The rows of the fit: what they are at flights worked by hand, and their derivatives against differences.

use super::drag::Polar;
use super::habits::{self, Habits};
use super::noise_chain::ChainNoise;
use super::prepared::Prepared;
use super::rows::{Normal, Rows};
use super::samples::{Chain, ChainKind, FitOptions, Sample};
use super::unknowns::Unknowns;
use super::wind::WindProfile;
use super::{energy_rows, priors, speed_rows};
use crate::units::G0_MPS2;

/// Best glide 33 m/s at 9 to 1.
pub(super) const BEST_MPS: f64 = 33.0;

pub(super) fn options() -> FitOptions {
    FitOptions {
        surface_wind_mps: Some([3.0, -2.0]),
        glide_tas_mps: (BEST_MPS, 3.0),
        approach_tas_mps: None,
        polar: Polar {
            best_glide_cas_mps: BEST_MPS,
            glide_ratio: 9.0,
        },
        drag_scale_sd: 0.1,
        recorded_bias_sd_mps: 1.0,
        start: None,
    }
}

/// A glide at `tas_mps` and `bank_deg` to the left through `wind`, from 600 m, with the drag of the handbook: a sample
/// each second. The speed through the air stays, so that it sinks faster or slower where the wind changes with height.
pub(super) fn glide(
    wind: &WindProfile,
    tas_mps: f64,
    bank_deg: f64,
    seconds: usize,
) -> Vec<Sample> {
    const STEPS: usize = 200;
    let across = G0_MPS2 * bank_deg.to_radians().tan();
    let load = 1.0 / bank_deg.to_radians().cos();
    let x2 = (tas_mps / BEST_MPS).powi(2);
    let drag = tas_mps * (x2 + load * load / x2) / 18.0;
    let (mut height_m, mut heading) = (600.0, 0.0_f64);
    let mut out = Vec::new();
    for k in 0..seconds {
        for step in 0..STEPS {
            let (sin, cos) = heading.sin_cos();
            let (w, shear) = (wind.at(height_m), wind.shear(height_m));
            let along = [-sin, cos];
            let left = [-cos, -sin];
            let of_shear = |d: [f64; 2]| d[0] * shear[0] + d[1] * shear[1];
            // what is lost is drag, and what the speed through the air would change by with the wind
            let mut level = tas_mps;
            let mut sink = drag;
            for _ in 0..4 {
                sink = drag / (1.0 + level * of_shear(along) / G0_MPS2);
                level = (tas_mps * tas_mps - sink * sink).sqrt();
            }
            // the wings give `across`; so much of it the changing wind takes
            let turn = (across + sink * of_shear(left)) / level;
            if step == 0 {
                out.push(Sample {
                    t_s: k as f64,
                    velocity_mps: [w[0] + level * along[0], w[1] + level * along[1]],
                    climb_mps: -sink,
                    height_m,
                    accel_mps2: [0, 1].map(|i| turn * level * left[i] - shear[i] * sink),
                    best_glide_tas_mps: BEST_MPS,
                    idle: true,
                    ..Sample::default()
                });
            }
            height_m -= sink / STEPS as f64;
            heading += turn / STEPS as f64;
        }
    }
    out
}

fn wind() -> WindProfile {
    WindProfile {
        knots_mps: vec![
            [3.0, -2.0],
            [4.2, -2.8],
            [4.6, -3.1],
            [4.9, -3.2],
            [5.0, -3.2],
        ],
    }
}

fn chain(kind: ChainKind, samples: Vec<Sample>) -> Chain {
    Chain {
        kind,
        samples,
        apart_s: if kind == ChainKind::Glide { 0.0 } else { 120.0 },
    }
}

/// A solution of no special place, for one chain in `wind`.
fn solution(unknowns: &Unknowns, wind: &WindProfile) -> Vec<f64> {
    let mut x = vec![0.0; unknowns.count()];
    for (k, w) in wind.knots_mps.iter().enumerate() {
        x[unknowns.wind_at(k, 0)] = w[0];
        x[unknowns.wind_at(k, 1)] = w[1];
    }
    x[unknowns.mean(0)] = BEST_MPS;
    x[unknowns.approach(0)] = 29.0;
    x[unknowns.carried(0)] = 2.0;
    x[unknowns.climbing(0)] = -3.0;
    x[unknowns.vertical_air(0)] = 0.2;
    x[unknowns.pilot()] = 0.4;
    x[unknowns.drag()] = 1.1;
    x[unknowns.least_drag()] = 0.05;
    x[unknowns.bias()] = -0.7;
    x[unknowns.in_turns()] = -0.6;
    x
}

fn one(knots: usize) -> Unknowns {
    Unknowns { knots, chains: 1 }
}

/// Residuals and derivatives of `of`, the latter held against differences of the former.
#[track_caller]
fn derivatives_hold(unknowns: &Unknowns, x: &[f64], of: impl Fn(&[f64]) -> Rows) {
    let rows = of(x);
    assert!(rows.len() > 3);
    for unknown in 0..unknowns.count() {
        let step = 1e-5;
        let moved = |sign: f64| {
            let mut y = x.to_vec();
            y[unknown] += sign * step;
            of(&y)
        };
        let (up, down) = (moved(1.0), moved(-1.0));
        for row in 0..rows.len() {
            let slope = (up.residual(row) - down.residual(row)) / (2.0 * step);
            let written = rows.derivative(row, unknown);
            assert!(
                (slope - written).abs() < 1e-4,
                "row {row}, unknown {unknown}: {written}, by differences {slope}"
            );
        }
    }
}

#[test]
fn a_glide_by_the_handbook_leaves_nothing_over() {
    let (unknowns, wind) = (one(5), wind());
    // straight at best glide, slow, and in turns of 30 and 45 degrees: the drag of the polar is all that is lost
    for (tas, bank) in [(33.0, 0.0), (27.0, 0.0), (33.0, 30.0), (38.0, 45.0)] {
        let chain = chain(ChainKind::Glide, glide(&wind, tas, bank, 60));
        let prepared = Prepared::new(0, &chain, &unknowns);
        let mut x = solution(&unknowns, &wind);
        (x[unknowns.drag()], x[unknowns.least_drag()]) = (1.0, 0.0);
        x[unknowns.vertical_air(0)] = 0.0;
        let at = |x: &[f64], of: &WindProfile| {
            energy_rows::rows(x, (of, &unknowns), &prepared, &options()).residual(3)
        };
        assert!(
            at(&x, &wind).abs() < 1e-3,
            "{tas} {bank}: {}",
            at(&x, &wind)
        );
        // air that rises by 0.4 m/s would have left so much
        x[unknowns.vertical_air(0)] = 0.4;
        assert!((at(&x, &wind) + 0.4).abs() < 1e-3);
    }
}

#[test]
fn derivatives_of_the_energy_balance() {
    let (unknowns, wind) = (one(5), wind());
    let chain = chain(ChainKind::Glide, glide(&wind, 36.0, 25.0, 60));
    let prepared = Prepared::new(0, &chain, &unknowns);
    let x = solution(&unknowns, &wind);
    // the load factor leans on the wind too, but so little that the fit leaves it out: straight, there is none
    let straight = self::chain(ChainKind::Glide, glide(&wind, 36.0, 0.0, 60));
    let straight = Prepared::new(0, &straight, &unknowns);
    derivatives_hold(&unknowns, &x, |x| {
        energy_rows::rows(x, (&unknowns.wind(x), &unknowns), &straight, &options())
    });
    // in turns, by all but the wind
    let rows = |x: &[f64]| energy_rows::rows(x, (&wind, &unknowns), &prepared, &options());
    for unknown in [
        unknowns.drag(),
        unknowns.least_drag(),
        unknowns.vertical_air(0),
    ] {
        let moved = |by: f64| {
            let mut y = x.clone();
            y[unknown] += by;
            rows(&y).residual(2)
        };
        let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
        assert!((rows(&x).derivative(2, unknown) - slope).abs() < 1e-5);
    }
}

#[test]
fn derivatives_of_the_airspeed() {
    let (unknowns, wind) = (one(5), wind());
    let x = solution(&unknowns, &wind);
    // a slow turn, so that all headings are there: below 20 degrees of bank, its share of a turn hangs on the wind by
    // little, and the fit leaves that out, so the accelerations are taken away
    let mut samples = glide(&wind, 34.0, 25.0, 40);
    for s in &mut samples {
        s.accel_mps2 = wind.shear(s.height_m).map(|shear| shear * s.climb_mps);
    }
    for (k, s) in samples.iter_mut().enumerate() {
        s.carried_share = (-(k as f64) / 8.0).exp();
        s.approach_share = if k > 30 { 0.7 } else { 0.0 };
    }
    let mut recorded = samples.clone();
    for s in &mut recorded {
        s.recorded_tas_mps = Some(33.5);
    }
    for chain in [
        chain(ChainKind::Glide, samples.clone()),
        chain(ChainKind::Context, samples),
        chain(ChainKind::Glide, recorded),
    ] {
        let prepared = Prepared::new(0, &chain, &unknowns);
        derivatives_hold(&unknowns, &x, |x| {
            speed_rows::rows(x, (&unknowns.wind(x), &unknowns), &prepared)
        });
    }
}

#[test]
fn airspeeds_expected_by_hand() {
    let (unknowns, wind) = (one(5), wind());
    let x = solution(&unknowns, &wind);
    let residual = |kind, change: fn(&mut Sample), bank| {
        let mut samples = glide(&wind, 34.0, bank, 20);
        samples.iter_mut().for_each(change);
        let chain = chain(kind, samples);
        let prepared = Prepared::new(0, &chain, &unknowns);
        speed_rows::rows(&x, (&wind, &unknowns), &prepared).residual(5)
    };
    let is = |found: f64, want: f64| assert!((found - want).abs() < 1e-9, "{found}, not {want}");
    // 34 m/s against a mean of 33
    is(residual(ChainKind::Glide, |_| {}, 0.0), 1.0);
    // descents are flown 3 m/s faster than level, climbs so much slower
    is(residual(ChainKind::Context, |_| {}, 0.0), -2.0);
    is(
        residual(ChainKind::Context, |s| s.climb_mps = -s.climb_mps, 0.0),
        4.0,
    );
    // half of 2 m/s were carried in
    is(
        residual(ChainKind::Glide, |s| s.carried_share = 0.5, 0.0),
        0.0,
    );
    // on final the mean is 29
    is(
        residual(ChainKind::Glide, |s| s.approach_share = 1.0, 0.0),
        5.0,
    );
    // in turns of more than 20 degrees it is 0.6 less
    is(residual(ChainKind::Glide, |_| {}, 30.0), 1.6);
    is(residual(ChainKind::Context, |_| {}, 30.0), -2.0);
    // a recorded 33.5 less its bias of -0.7 is 34.2
    is(
        residual(ChainKind::Glide, |s| s.recorded_tas_mps = Some(33.5), 30.0),
        -0.2,
    );
}

/// White noise of 0.5 m/s and no other.
fn white() -> ChainNoise {
    ChainNoise {
        smooth: (0.0, 1.0),
        slow: (0.0, 1.0),
        fast: (0.0, 1.0),
        white_mps: 0.5,
        drift_m2ps3: 0.0,
        drift_start_m2ps2: 0.0,
    }
}

#[test]
fn rows_are_summed_as_gradient_and_information() {
    let unknowns = one(5);
    let wind = wind();
    let chain = chain(ChainKind::Glide, glide(&wind, 34.0, 30.0, 30));
    let prepared = Prepared::new(0, &chain, &unknowns);
    let x = solution(&unknowns, &wind);
    let mut rows = speed_rows::rows(&x, (&wind, &unknowns), &prepared);
    // white noise of 0.5 m/s: plain least squares, with four to the square
    let white = white();
    let mut normal = Normal::new(unknowns.count());
    rows.add_to(&mut normal, &white);
    rows.add_to(&mut normal, &white);
    let sum = |f: &dyn Fn(usize) -> f64| 2.0 * (0..rows.len()).map(f).sum::<f64>();
    let cost = sum(&|r| 4.0 * rows.residual(r).powi(2) + 0.25f64.ln());
    assert!((normal.cost - cost).abs() < 1e-9 * cost.abs());
    for i in 0..unknowns.count() {
        let gradient = sum(&|r| 4.0 * rows.residual(r) * rows.derivative(r, i));
        assert!((normal.gradient[i] - gradient).abs() < 1e-9, "{i}");
        for j in 0..unknowns.count() {
            let information = sum(&|r| 4.0 * rows.derivative(r, i) * rows.derivative(r, j));
            assert!((normal.information[(i, j)] - information).abs() < 1e-9);
        }
    }
}

fn prior(x: &[f64], unknowns: &Unknowns, chains: &[Chain], options: &FitOptions) -> Normal {
    let mut normal = Normal::new(unknowns.count());
    priors::add(x, unknowns, chains, options, &habits::FIRST, &mut normal);
    normal
}

#[test]
fn the_prior_is_least_where_it_is_expected_to_be() {
    let unknowns = Unknowns {
        knots: 4,
        chains: 2,
    };
    let chains = [
        chain(ChainKind::Glide, glide(&wind(), 33.0, 0.0, 100)),
        chain(ChainKind::Context, glide(&wind(), 33.0, 0.0, 100)),
    ];
    let mut told = options();
    told.surface_wind_mps = None;
    told.approach_tas_mps = Some(30.0);
    let mut x = vec![0.0; unknowns.count()];
    // still air, best glide, and what the constants say
    x[unknowns.mean(0)] = 33.0;
    x[unknowns.mean(1)] = 1.2 * 33.0;
    x[unknowns.approach(0)] = 30.0;
    x[unknowns.approach(1)] = 30.0;
    x[unknowns.carried(0)] = 2.5;
    x[unknowns.carried(1)] = 2.5;
    x[unknowns.climbing(0)] = -5.0;
    x[unknowns.climbing(1)] = -5.0;
    x[unknowns.drag()] = 1.06;
    let least = prior(&x, &unknowns, &chains, &told);
    assert!(least.gradient.iter().all(|g| g.abs() < 1e-9));
    for i in 0..unknowns.count() {
        let moved = |by: f64| {
            let mut y = x.clone();
            y[i] += by;
            prior(&y, &unknowns, &chains, &told)
        };
        // the cost is a parabola whose half second derivative is the information
        let (up, down) = (moved(0.5).cost, moved(-0.5).cost);
        let bend = (up + down - 2.0 * least.cost) / (2.0 * 0.25);
        let information = least.information[(i, i)];
        assert!((bend - information).abs() < 1e-6 * information, "{i}");
        assert!((up - down).abs() < 1e-6 && information > 0.0, "{i}");
        let gradient = moved(0.5).gradient;
        for (j, g) in gradient.iter().enumerate() {
            assert!((g - 0.5 * least.information[(i, j)]).abs() < 1e-9);
        }
    }
    // without an approach speed, 1.5 m/s below the glide; with a wind told, that at the ground
    let untold = options();
    x[unknowns.approach(0)] = 31.5;
    x[unknowns.approach(1)] = 1.2 * 33.0 - 1.5;
    for (axis, w) in [3.0, -2.0].into_iter().enumerate() {
        for (knot, growth) in [1.0, 1.40, 1.40 * 1.10, 1.40 * 1.10 * 1.05]
            .into_iter()
            .enumerate()
        {
            x[unknowns.wind_at(knot, axis)] = w * growth;
        }
    }
    let there = prior(&x, &unknowns, &chains, &untold);
    for (i, g) in there.gradient.iter().enumerate() {
        // but for the pull of the middle knot, number 2, towards still air: 7 m/s
        let pull = [0, 1].map(|axis| x[unknowns.wind_at(2, axis)] / 49.0);
        let want = [0, 1]
            .iter()
            .find(|axis| unknowns.wind_at(2, **axis) == i)
            .map_or(0.0, |axis| pull[*axis]);
        assert!((g - want).abs() < 1e-9, "{i}: {g}");
    }
}

#[test]
fn mean_vertical_air_is_less_over_a_long_glide() {
    let unknowns = one(4);
    let sd = |seconds: usize| {
        let chains = [chain(ChainKind::Glide, glide(&wind(), 33.0, 0.0, seconds))];
        let x = vec![0.0; unknowns.count()];
        let i = unknowns.vertical_air(0);
        1.0 / prior(&x, &unknowns, &chains, &options()).information[(i, i)].sqrt()
    };
    // 0.12 m/s even in still air and half of 0.6, over 150 s
    let plain = 0.12f64.hypot(0.3);
    assert!((sd(151) - plain).abs() < 1e-9);
    assert!((sd(601) - plain * 0.5).abs() < 1e-9);
    assert!((sd(11) - plain * 1.5).abs() < 1e-9);
}

#[test]
fn steps_of_the_balance_hold_idle_without_gaps() {
    let at = |times: &[f64], powered: &[usize]| {
        let samples: Vec<Sample> = times
            .iter()
            .enumerate()
            .map(|(k, t)| Sample {
                t_s: *t,
                idle: !powered.contains(&k),
                ..Sample::default()
            })
            .collect();
        energy_rows::idle_steps(&samples)
            .iter()
            .map(|steps| (steps.start, steps.end))
            .collect::<Vec<_>>()
    };
    let even: Vec<f64> = (0..13).map(f64::from).collect();
    // five seconds each; two seconds are left over
    assert_eq!(at(&even, &[]), [(0, 6), (5, 11)]);
    // power in the first: the next begins behind it
    assert_eq!(at(&even, &[2]), [(3, 9)]);
    // a gap of eight seconds is a step, one of nine is none
    assert_eq!(at(&[0.0, 8.0, 13.0], &[]), [(0, 2), (1, 3)]);
    assert_eq!(at(&[0.0, 9.0, 14.0], &[]), [(1, 3)]);
    // chains before the glide run backwards
    assert_eq!(at(&[5.0, 4.0, 3.0, 2.0, 1.0, 0.0], &[]), [(0, 6)]);
    assert!(at(&[], &[]).is_empty());
}

#[test]
fn rows_know_their_noise_their_place_and_their_time() {
    let (unknowns, wind) = (one(5), wind());
    let chain = chain(ChainKind::Glide, glide(&wind, 34.0, 30.0, 30));
    let prepared = Prepared::new(0, &chain, &unknowns);
    let x = solution(&unknowns, &wind);
    let cost = |sd: f64, rows: &mut Rows| {
        let noise = ChainNoise {
            white_mps: sd,
            ..white()
        };
        let mut normal = Normal::new(unknowns.count());
        rows.add_to(&mut normal, &noise);
        normal.cost
    };
    // what came of one noise is kept, and is not taken for that of another
    let fresh = || speed_rows::rows(&x, (&wind, &unknowns), &prepared);
    let (half, one_mps) = (cost(0.5, &mut fresh()), cost(1.0, &mut fresh()));
    assert!((half - one_mps).abs() > 1.0);
    let mut rows = fresh();
    for (sd, want) in [(0.5, half), (1.0, one_mps), (0.5, half)] {
        assert_eq!(cost(sd, &mut rows), want);
    }
    // steps of the energy balance are told at their middle
    let energy = energy_rows::rows(&x, (&wind, &unknowns), &prepared, &options());
    assert_eq!((energy.time_s(0), energy.time_s(2)), (2.5, 12.5));
    // twice the standard deviation costs the logarithm of four
    let expected = |sd: f64| {
        let mut normal = Normal::new(2);
        normal.expect(&[3.0, 1.0], &[(0, 1.0), (1, -1.0)], 2.0, sd);
        normal.cost
    };
    assert!((expected(2.0) - expected(1.0) - 4f64.ln()).abs() < 1e-12);
}

#[test]
fn turning_is_half_at_half_of_twenty_degrees() {
    let (unknowns, wind) = (one(5), wind());
    let mut x = solution(&unknowns, &wind);
    let residual = |x: &[f64], bank: f64| {
        let chain = chain(ChainKind::Glide, glide(&wind, 34.0, bank, 20));
        let prepared = Prepared::new(0, &chain, &unknowns);
        speed_rows::rows(x, (&wind, &unknowns), &prepared).residual(5)
    };
    // tan 10.31° is half of tan 20°
    x[unknowns.in_turns()] = -1.0;
    assert!((residual(&x, 10.31) - residual(&x, 0.0) - 0.5).abs() < 0.01);
    assert!((residual(&x, 25.0) - residual(&x, 0.0) - 1.0).abs() < 1e-9);
}

#[test]
fn how_much_of_the_doubt_is_the_pilot_and_how_much_the_glide() {
    let unknowns = one(4);
    let chains = [chain(ChainKind::Glide, glide(&wind(), 33.0, 0.0, 100))];
    let x = vec![0.0; unknowns.count()];
    let of = prior(&x, &unknowns, &chains, &options());
    let (pilot, mean) = (unknowns.pilot(), unknowns.mean(0));
    // 3 m/s: three quarters of the variance of nine are the pilot's, a quarter the glide's
    let own = 1.0 / 2.25;
    assert!((of.information[(pilot, mean)] + own).abs() < 1e-9);
    assert!((of.information[(pilot, pilot)] - own - 1.0 / 6.75).abs() < 1e-9);
}

#[test]
fn noise_of_each_kind_of_chain() {
    let unknowns = one(5);
    let smooth = Habits {
        wander: habits::WANDERS[7].0,
        ..habits::FIRST
    };
    let noise = |kind, recorded: bool, habits: &Habits| {
        let mut samples = glide(&wind(), 33.0, 0.0, 10);
        for s in &mut samples {
            s.recorded_tas_mps = recorded.then_some(33.0);
        }
        let chain = chain(kind, samples);
        speed_rows::noise(&Prepared::new(0, &chain, &unknowns), habits)
    };
    let first = &habits::FIRST;
    let glide = noise(ChainKind::Glide, false, first);
    assert_eq!((glide.smooth.0, glide.slow), (0.0, (2.5, 30.0)));
    assert_eq!((glide.fast, glide.white_mps), ((0.35, 3.0), 0.15));
    // the glide is where the wind is asked for; elsewhere it has drifted: 0.7 m/s in ten minutes
    assert_eq!((glide.drift_m2ps3, glide.drift_start_m2ps2), (0.0, 0.0));
    let other = noise(ChainKind::OtherGlide, false, first);
    assert!((other.drift_m2ps3 * 600.0 - 0.49).abs() < 1e-9);
    assert!((other.drift_start_m2ps2 - 0.49 / 5.0).abs() < 1e-9);
    assert_eq!(noise(ChainKind::Glide, false, &smooth).smooth, (2.5, 10.0));
    assert_eq!(noise(ChainKind::Glide, false, &smooth).slow.0, 0.0);
    assert_eq!(noise(ChainKind::Context, false, &smooth).slow, (4.0, 45.0));
    let recorded = noise(ChainKind::Glide, true, &smooth);
    assert_eq!((recorded.slow, recorded.white_mps), ((0.5, 60.0), 0.3));
    let energy = energy_rows::noise(first);
    assert_eq!((energy.slow, energy.white_mps), ((0.6, 5.0), 0.1));
}

#[test]
fn chains_say_what_they_are() {
    let mut c = chain(ChainKind::Glide, glide(&wind(), 33.0, 0.0, 10));
    assert!(c.glides() && !chain(ChainKind::Context, Vec::new()).glides());
    assert_eq!(c.length_s(), 9.0);
    c.samples.reverse();
    assert_eq!(c.length_s(), 9.0);
    assert_eq!(
        chain(ChainKind::Glide, c.samples[..4].to_vec()).length_s(),
        3.0
    );
    assert_eq!(chain(ChainKind::Glide, Vec::new()).length_s(), 0.0);
    let (low, high) = c.heights_m();
    assert_eq!((low, high), (c.samples[0].height_m, 600.0));
    assert!(low < 600.0 - 30.0);
    // eight of ten are not nearly all, nine are
    for (recorded, mostly) in [(8, false), (9, true)] {
        for (k, s) in c.samples.iter_mut().enumerate() {
            s.recorded_tas_mps = (k < recorded).then_some(33.0);
        }
        assert_eq!(c.mostly_recorded(), mostly);
    }
}

#[test]
fn habits_near_differ_in_one_thing() {
    let near = habits::FIRST.all_near();
    // ten wanders, four vertical airs, four winds and three gusts, less the one they are near each time
    assert_eq!(near.len(), 9 + 3 + 3 + 2);
    for h in &near {
        let differs = [
            h.wander != habits::FIRST.wander,
            h.knot_sd_mps != habits::FIRST.knot_sd_mps,
            h.gust_mps != habits::FIRST.gust_mps,
            h.vertical_air_sd_mps != habits::FIRST.vertical_air_sd_mps,
        ];
        assert_eq!(differs.iter().filter(|d| **d).count(), 1);
    }
    let steady = Habits {
        wander: habits::WANDERS[0].0,
        ..habits::FIRST
    };
    assert_eq!((habits::FIRST.log_prior(), steady.log_prior()), (0.0, -1.0));
    let layered = Habits {
        knot_sd_mps: 3.2,
        ..steady
    };
    assert_eq!(layered.log_prior(), -2.0);
}
