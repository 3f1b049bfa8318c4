//! The joint fit of wind by height and mean airspeeds to ground velocities and the energy balance.
//!
//! Gauss–Newton on whitened residuals with Gaussian priors; the posterior covariance is the
//! inverse of the information at the solution.

use super::drag::{Polar, load_factor};
use super::noise_chain::{ChainNoise, whiten};
use super::wind::WindProfile;
use crate::linear_algebra::Dense;
use crate::random::Draws;
use crate::units::G0_MPS2;

/// Motion at one instant, as the fit needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Seconds.
    pub t_s: f64,
    /// Ground velocity, east and north, m/s.
    pub velocity_mps: [f64; 2],
    /// Climb, m/s.
    pub climb_mps: f64,
    /// Height above the aim, m.
    pub height_m: f64,
    /// Acceleration across the motion, m/s².
    pub across_mps2: f64,
    /// Best glide speed as true airspeed here, m/s.
    pub best_glide_tas_mps: f64,
    /// Recorded airspeed brought to true, m/s.
    pub recorded_tas_mps: Option<f64>,
    /// Whether the energy balance at idle holds here.
    pub idle: bool,
}

/// What a chain of samples is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChainKind {
    /// The glide itself.
    Glide,
    /// Another glide of the same recording: same aeroplane, same day, some time away.
    OtherGlide,
    /// Flight before or after it, with an airspeed of its own.
    Context,
}

/// Samples in order away from the glide's edge (or along the glide).
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// What it is.
    pub kind: ChainKind,
    /// Strictly monotonic in time.
    pub samples: Vec<Sample>,
    /// Time between it and the glide, s.
    pub apart_s: f64,
}

/// What is known before the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct FitOptions {
    /// Surface wind, motion of the air east and north, m/s.
    pub surface_wind_mps: Option<[f64; 2]>,
    /// Mean true airspeed expected in the glide and its standard deviation, m/s.
    pub glide_tas_mps: (f64, f64),
    /// Expected drag, and the standard deviation of its scale.
    pub polar: Polar,
    /// Standard deviation of the scale of the drag.
    pub drag_scale_sd: f64,
    /// Bias of recorded airspeed, standard deviation, m/s.
    pub recorded_bias_sd_mps: f64,
    /// Where to start, if known.
    pub start: Option<WindProfile>,
}

/// Wind and airspeeds as fitted.
#[derive(Debug, Clone)]
pub struct AirFit {
    /// Wind at the solution.
    pub wind: WindProfile,
    /// Bias of recorded airspeed (recorded − true), m/s.
    pub recorded_bias_mps: f64,
    /// Scale of the drag against the expected one at idle.
    pub drag_scale: f64,
    /// Standard deviation of the vertical air motion over 5 s steps, m/s, where the balance was used.
    pub vertical_air_sd_mps: Option<f64>,
    /// Slow wander of the airspeed in the glide, m/s and s, as chosen by likelihood.
    pub wander: (f64, f64),
    components: Vec<Component>,
    layout: Layout,
}

/// The posterior under one wander of the airspeed.
#[derive(Debug, Clone)]
struct Component {
    /// Share of the whole posterior.
    weight: f64,
    /// Negative log of the marginal likelihood.
    cost: f64,
    wander: (f64, f64),
    solution: Vec<f64>,
    /// Lower Cholesky factor of the information matrix.
    information_lower: Dense,
    vertical_air_sd_mps: Option<f64>,
}

/// Gust seen along the flight, m/s and s (prototype flights; common practice for light turbulence).
const GUST: (f64, f64) = (0.4, 3.0);
/// White part of the airspeed residual, m/s.
const WHITE_MPS: f64 = 0.15;
/// Slow airspeed wander tried, m/s and s: from a steady hand to a speed that drifts all the way down.
/// With each the log of its prior weight: simulated and real pilots hold 2 to 6 kt (common practice).
const WANDERS: [((f64, f64), f64); 6] = [
    ((1.2, 12.0), -1.0),
    ((2.5, 12.0), -0.5),
    ((1.2, 30.0), -1.0),
    ((2.5, 30.0), 0.0),
    ((4.5, 30.0), -0.7),
    ((3.5, 90.0), -0.3),
];
/// The one tried first.
const FIRST_WANDER: usize = 3;
/// A wander this much less likely than the best is left out, nats.
const NEGLIGIBLE: f64 = 5.0;
/// Airspeed wander of powered flight around, m/s and s.
const CONTEXT_WANDER: (f64, f64) = (5.0, 40.0);
/// Airspeed wander of the other glides, m/s and s.
const OTHER_GLIDE_WANDER: (f64, f64) = (2.5, 30.0);
/// Residual of recorded airspeed against the fitted one: slow, m/s and s.
const RECORDED_WANDER: (f64, f64) = (0.5, 60.0);
/// Drift of the wind in time: 0.7 m/s in ten minutes (common practice).
const DRIFT_M2PS3: f64 = 0.49 / 600.0;
/// Vertical air motion over 5 s steps, m/s and s.
const VERTICAL_AIR: (f64, f64) = (0.55, 5.0);
/// Mean vertical air over a glide of [`VERTICAL_AIR_OVER_S`], m/s; less over a longer one.
const VERTICAL_AIR_MEAN_MPS: f64 = 0.3;
/// See above, s.
const VERTICAL_AIR_OVER_S: f64 = 150.0;
/// Drag at idle against the handbook's: an idling propeller brakes, aeroplanes in service are not
/// new, pilots are not test pilots (common practice); the doubt is in the options.
const IDLE_DRAG_SCALE: f64 = 1.06;
/// Steps of the energy balance, s.
const ENERGY_STEP_S: f64 = 5.0;
/// Overall wind, m/s.
const WIND_SD_MPS: f64 = 7.0;
/// Wind change from knot to knot (500 ft), m/s.
const KNOT_SD_MPS: f64 = 1.2;
/// The same between the lowest two knots.
const LOWEST_KNOT_SD_MPS: f64 = 2.0;
/// Doubt of a reported surface wind, m/s: rounding, distance, gusts.
const SURFACE_SD_MPS: f64 = 1.5;
/// Growth of the wind over the lowest 500 ft: power law with exponent 1/7 from 10 m to 150 m gives 1.47;
/// convective days less.
const GROWTH: f64 = 1.35;
/// Mean airspeed of powered flight: centre as share of best glide, and standard deviation, m/s.
const CONTEXT_TAS: (f64, f64) = (1.2, 10.0);

/// Where each unknown is in the solution.
#[derive(Debug, Clone, Copy)]
struct Layout {
    knots: usize,
    chains: usize,
}

impl Layout {
    fn mean(&self, chain: usize) -> usize {
        2 * self.knots + chain
    }
    fn drag(&self) -> usize {
        2 * self.knots + self.chains
    }
    fn bias(&self) -> usize {
        self.drag() + 1
    }
    fn offset(&self, chain: usize) -> usize {
        self.drag() + 2 + chain
    }
    fn count(&self) -> usize {
        self.drag() + 2 + self.chains
    }
    fn wind(&self, x: &[f64]) -> WindProfile {
        WindProfile {
            knots_mps: (0..self.knots).map(|k| [x[2 * k], x[2 * k + 1]]).collect(),
        }
    }
}

/// Fits wind and airspeeds; `None` when there are too few samples to say anything.
pub fn fit(chains: &[Chain], options: &FitOptions) -> Option<AirFit> {
    let total: usize = chains.iter().map(|c| c.samples.len()).sum();
    if total < 8 {
        return None;
    }
    let highest = chains
        .iter()
        .flat_map(|c| c.samples.iter())
        .map(|s| s.height_m)
        .fold(0.0, f64::max)
        .min(3400.0);
    let layout = Layout {
        knots: WindProfile::knots_for(highest),
        chains: chains.len(),
    };
    let problem = Problem {
        chains,
        options,
        layout,
    };
    let first = match &options.start {
        Some(start) => problem.solve(problem.initial(|h| start.at(h)), WANDERS[FIRST_WANDER].0, 8),
        None => problem.solve_from_many(WANDERS[FIRST_WANDER].0),
    }?;
    let mut components = vec![first];
    let wanders_matter = chains
        .iter()
        .any(|c| c.kind == ChainKind::Glide && !mostly_recorded(c));
    if wanders_matter {
        for (i, (wander, log_prior)) in WANDERS.into_iter().enumerate() {
            if i != FIRST_WANDER
                && let Some(mut other) = problem.solve(components[0].solution.clone(), wander, 4)
            {
                other.cost -= log_prior;
                components.push(other);
            }
        }
    }
    components.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let least = components[0].cost;
    components.retain(|c| c.cost - least < NEGLIGIBLE);
    let total: f64 = components.iter().map(|c| (least - c.cost).exp()).sum();
    for c in &mut components {
        c.weight = (least - c.cost).exp() / total;
    }
    let mean = |index: usize| {
        components
            .iter()
            .map(|c| c.weight * c.solution[index])
            .sum::<f64>()
    };
    let solution: Vec<f64> = (0..layout.count()).map(mean).collect();
    Some(AirFit {
        wind: layout.wind(&solution),
        recorded_bias_mps: solution[layout.bias()],
        drag_scale: solution[layout.drag()],
        vertical_air_sd_mps: components[0].vertical_air_sd_mps,
        wander: components[0].wander,
        components,
        layout,
    })
}

fn mostly_recorded(chain: &Chain) -> bool {
    let recorded = chain
        .samples
        .iter()
        .filter(|s| s.recorded_tas_mps.is_some())
        .count();
    recorded * 5 > chain.samples.len() * 4
}

struct Problem<'a> {
    chains: &'a [Chain],
    options: &'a FitOptions,
    layout: Layout,
}

impl Problem<'_> {
    fn initial(&self, wind: impl Fn(f64) -> [f64; 2]) -> Vec<f64> {
        let mut x = vec![0.0; self.layout.count()];
        for k in 0..self.layout.knots {
            let w = wind(super::wind::KNOT_SPACING_M * k as f64);
            x[2 * k] = w[0];
            x[2 * k + 1] = w[1];
        }
        let glide = self.options.glide_tas_mps.0;
        for (c, chain) in self.chains.iter().enumerate() {
            x[self.layout.mean(c)] = if chain.kind == ChainKind::Context {
                CONTEXT_TAS.0 * glide
            } else {
                glide
            };
        }
        x[self.layout.drag()] = IDLE_DRAG_SCALE;
        x
    }

    fn prior_wind(&self) -> [f64; 2] {
        self.options.surface_wind_mps.unwrap_or([0.0, 0.0])
    }

    fn solve_from_many(&self, wander: (f64, f64)) -> Option<Component> {
        // a circle fit of nearly straight data has a far minimum: start from all sides, keep the best
        let w = self.prior_wind();
        let mut best = self.solve(self.initial(|_| [GROWTH * w[0], GROWTH * w[1]]), wander, 6);
        for step in 0..6 {
            let angle_rad = f64::from(step) * std::f64::consts::TAU / 6.0;
            let start = self.initial(|_| [8.0 * angle_rad.sin(), 8.0 * angle_rad.cos()]);
            let other = self.solve(start, wander, 5);
            if let Some(o) = other
                && best.as_ref().is_none_or(|b| o.cost < b.cost)
            {
                best = Some(o);
            }
        }
        best
    }

    /// Adds the Gaussian priors; returns their cost.
    fn add_priors(&self, x: &[f64], information: &mut Dense, gradient: &mut [f64]) -> f64 {
        let layout = &self.layout;
        let mut cost = 0.0;
        let mut term = |terms: &[(usize, f64)], target: f64, sd: f64| {
            let value: f64 = terms.iter().map(|(i, w)| x[*i] * w).sum::<f64>() - target;
            let weight = 1.0 / (sd * sd);
            cost += value * value * weight;
            for (i, a) in terms {
                gradient[*i] += weight * a * value;
                for (j, b) in terms {
                    information[(*i, *j)] += weight * a * b;
                }
            }
        };
        let n = layout.knots;
        for axis in 0..2 {
            for k in 1..n {
                let (below, above) = (2 * (k - 1) + axis, 2 * k + axis);
                let sd = if k == 1 {
                    LOWEST_KNOT_SD_MPS
                } else {
                    KNOT_SD_MPS
                };
                let growth = if k == 1 { GROWTH } else { 1.0 };
                term(&[(above, 1.0), (below, -growth)], 0.0, sd);
            }
            let middle = 2 * (n / 2) + axis;
            term(&[(middle, 1.0)], 0.0, WIND_SD_MPS);
            if let Some(w) = self.options.surface_wind_mps {
                term(&[(axis, 1.0)], w[axis], SURFACE_SD_MPS);
            }
        }
        for (c, chain) in self.chains.iter().enumerate() {
            let (centre, sd) = if chain.kind == ChainKind::Context {
                (CONTEXT_TAS.0 * self.options.glide_tas_mps.0, CONTEXT_TAS.1)
            } else {
                self.options.glide_tas_mps
            };
            term(&[(layout.mean(c), 1.0)], centre, sd);
            term(&[(layout.offset(c), 1.0)], 0.0, offset_sd_mps(chain));
        }
        term(
            &[(layout.drag(), 1.0)],
            IDLE_DRAG_SCALE,
            self.options.drag_scale_sd,
        );
        term(
            &[(layout.bias(), 1.0)],
            0.0,
            self.options.recorded_bias_sd_mps,
        );
        cost
    }

    fn solve(&self, start: Vec<f64>, wander: (f64, f64), iterations: usize) -> Option<Component> {
        let mut x = start;
        let mut evaluated = self.evaluate(&x, wander);
        for _ in 0..iterations {
            let step = evaluated.information.solve(&evaluated.gradient)?;
            let mut scale = 1.0;
            let mut moved = None;
            for _ in 0..4 {
                let trial: Vec<f64> = x.iter().zip(&step).map(|(a, s)| a - scale * s).collect();
                let there = self.evaluate(&trial, wander);
                if there.cost < evaluated.cost {
                    moved = Some((trial, there));
                    break;
                }
                scale *= 0.4;
            }
            let Some((trial, there)) = moved else { break };
            let gain = evaluated.cost - there.cost;
            x = trial;
            evaluated = there;
            if gain < 0.01 {
                break;
            }
        }
        let lower = evaluated.information.cholesky()?;
        Some(Component {
            weight: 1.0,
            cost: 0.5 * (evaluated.cost + lower.log_determinant_of_cholesky()),
            wander,
            solution: x,
            information_lower: lower,
            vertical_air_sd_mps: evaluated.vertical_air_sd_mps,
        })
    }

    fn evaluate(&self, x: &[f64], wander: (f64, f64)) -> Evaluated {
        let n = self.layout.count();
        let mut out = Evaluated {
            cost: 0.0,
            information: Dense::zero(n),
            gradient: vec![0.0; n],
            vertical_air_sd_mps: None,
        };
        out.cost += self.add_priors(x, &mut out.information, &mut out.gradient);
        let wind = self.layout.wind(x);
        for (c, chain) in self.chains.iter().enumerate() {
            self.add_speeds(x, &wind, c, chain, wander, &mut out);
            if chain.kind != ChainKind::Context {
                self.add_energy(x, &wind, c, chain, &mut out);
            }
        }
        out
    }

    fn add_speeds(
        &self,
        x: &[f64],
        wind: &WindProfile,
        index: usize,
        chain: &Chain,
        wander: (f64, f64),
        out: &mut Evaluated,
    ) {
        let layout = &self.layout;
        let recorded = mostly_recorded(chain);
        let used: Vec<&Sample> = chain
            .samples
            .iter()
            .filter(|s| !recorded || s.recorded_tas_mps.is_some())
            .collect();
        if used.is_empty() {
            return;
        }
        let n = layout.count();
        let mut columns = vec![vec![0.0; used.len()]; n + 1];
        let mut t_s = Vec::with_capacity(used.len());
        let mut heading = Vec::with_capacity(used.len());
        for (row, s) in used.iter().enumerate() {
            let air = through_air(s, wind);
            let unit = [air.velocity[0] / air.tas, air.velocity[1] / air.tas];
            let (k, share) = WindProfile::weights(layout.knots, s.height_m);
            for axis in 0..2 {
                columns[2 * k + axis][row] = -unit[axis] * (1.0 - share);
                columns[2 * (k + 1) + axis][row] = -unit[axis] * share;
            }
            let expected = if recorded {
                columns[layout.bias()][row] = 1.0;
                s.recorded_tas_mps.unwrap_or(0.0) - x[layout.bias()]
            } else {
                columns[layout.mean(index)][row] = -1.0;
                x[layout.mean(index)]
            };
            columns[n][row] = air.tas - expected;
            t_s.push(s.t_s);
            heading.push(unit);
        }
        let slow = if recorded {
            RECORDED_WANDER
        } else {
            match chain.kind {
                ChainKind::Glide => wander,
                ChainKind::OtherGlide => OTHER_GLIDE_WANDER,
                ChainKind::Context => CONTEXT_WANDER,
            }
        };
        let drift = if chain.kind == ChainKind::Glide {
            0.0
        } else {
            DRIFT_M2PS3
        };
        let noise = ChainNoise {
            slow,
            fast: GUST,
            white_mps: if recorded { 0.3 } else { WHITE_MPS },
            drift_m2ps3: drift,
            drift_start_m2ps2: drift * chain.apart_s,
        };
        out.cost += whiten(&noise, &t_s, &heading, &mut columns);
        out.add(&columns);
    }

    fn add_energy(
        &self,
        x: &[f64],
        wind: &WindProfile,
        index: usize,
        chain: &Chain,
        out: &mut Evaluated,
    ) {
        let layout = &self.layout;
        let n = layout.count();
        let samples = &chain.samples;
        let mut columns = vec![Vec::new(); n + 1];
        let mut t_s = Vec::new();
        let mut from = 0;
        while from < samples.len() {
            let Some(to) = samples[from..]
                .iter()
                .position(|s| s.t_s - samples[from].t_s >= ENERGY_STEP_S - 0.01)
                .map(|i| from + i)
            else {
                break;
            };
            let stretch = &samples[from..=to];
            if !stretch.iter().all(|s| s.idle) || samples[to].t_s - samples[from].t_s > 8.0 {
                from += 1;
                continue;
            }
            let dt = samples[to].t_s - samples[from].t_s;
            let row = t_s.len();
            for column in &mut columns {
                column.push(0.0);
            }
            let (a, b) = (
                through_air(&samples[from], wind),
                through_air(&samples[to], wind),
            );
            let gain = (samples[to].height_m - samples[from].height_m
                + (b.tas * b.tas - a.tas * a.tas) / (2.0 * G0_MPS2))
                / dt;
            let mut push = |s: &Sample, east: f64, north: f64| {
                let (k, share) = WindProfile::weights(layout.knots, s.height_m);
                for (axis, value) in [(0, east), (1, north)] {
                    columns[2 * k + axis][row] += value * (1.0 - share);
                    columns[2 * (k + 1) + axis][row] += value * share;
                }
            };
            let scale = 1.0 / (G0_MPS2 * dt);
            push(&samples[to], -b.velocity[0] * scale, -b.velocity[1] * scale);
            push(&samples[from], a.velocity[0] * scale, a.velocity[1] * scale);
            let mut drag = 0.0;
            let share = 1.0 / stretch.len() as f64;
            for s in stretch {
                let air = through_air(s, wind);
                let load = load_factor(s.across_mps2);
                let ratio = air.tas / s.best_glide_tas_mps;
                drag += share
                    * self
                        .options
                        .polar
                        .sink_mps(air.tas, s.best_glide_tas_mps, load);
                let slope = x[layout.drag()]
                    * share
                    * (3.0 * ratio * ratio - load * load / (ratio * ratio))
                    / (2.0 * self.options.polar.glide_ratio);
                push(
                    s,
                    -slope * air.velocity[0] / air.tas,
                    -slope * air.velocity[1] / air.tas,
                );
            }
            columns[layout.drag()][row] = drag;
            columns[layout.offset(index)][row] = -1.0;
            columns[n][row] = gain + x[layout.drag()] * drag - x[layout.offset(index)];
            t_s.push(0.5 * (samples[from].t_s + samples[to].t_s));
            from = to;
        }
        if t_s.len() < 2 {
            return;
        }
        let mean = columns[n].iter().sum::<f64>() / t_s.len() as f64;
        let variance =
            columns[n].iter().map(|y| (y - mean).powi(2)).sum::<f64>() / (t_s.len() - 1) as f64;
        if chain.kind == ChainKind::Glide {
            out.vertical_air_sd_mps = Some(variance.sqrt());
        }
        let heading = vec![[0.0; 2]; t_s.len()];
        let noise = ChainNoise {
            slow: VERTICAL_AIR,
            fast: (0.0, 1.0),
            white_mps: 0.1,
            drift_m2ps3: 0.0,
            drift_start_m2ps2: 0.0,
        };
        out.cost += whiten(&noise, &t_s, &heading, &mut columns);
        out.add(&columns);
    }
}

struct Evaluated {
    /// Twice the negative log of likelihood times prior.
    cost: f64,
    information: Dense,
    gradient: Vec<f64>,
    vertical_air_sd_mps: Option<f64>,
}

impl Evaluated {
    /// Adds whitened rows: the last column holds the residuals.
    fn add(&mut self, columns: &[Vec<f64>]) {
        let n = columns.len() - 1;
        let active: Vec<usize> = (0..n)
            .filter(|&i| columns[i].iter().any(|v| *v != 0.0))
            .collect();
        let residual = &columns[n];
        self.cost += residual.iter().map(|r| r * r).sum::<f64>();
        for (position, &i) in active.iter().enumerate() {
            self.gradient[i] += columns[i]
                .iter()
                .zip(residual)
                .map(|(a, b)| a * b)
                .sum::<f64>();
            for &j in &active[..=position] {
                let value: f64 = columns[i].iter().zip(&columns[j]).map(|(a, b)| a * b).sum();
                self.information[(i, j)] += value;
                if i != j {
                    self.information[(j, i)] += value;
                }
            }
        }
    }
}

struct ThroughAir {
    velocity: [f64; 2],
    tas: f64,
}

fn through_air(s: &Sample, wind: &WindProfile) -> ThroughAir {
    let w = wind.at(s.height_m);
    let velocity = [s.velocity_mps[0] - w[0], s.velocity_mps[1] - w[1]];
    let tas = (velocity[0].powi(2) + velocity[1].powi(2) + s.climb_mps.powi(2))
        .sqrt()
        .max(1.0);
    ThroughAir { velocity, tas }
}

/// Standard deviation of the mean vertical air over a chain, m/s.
fn offset_sd_mps(chain: &Chain) -> f64 {
    let length = match (chain.samples.first(), chain.samples.last()) {
        (Some(a), Some(b)) => (b.t_s - a.t_s).abs().max(20.0),
        _ => 20.0,
    };
    VERTICAL_AIR_MEAN_MPS * (VERTICAL_AIR_OVER_S / length).sqrt().min(1.5)
}

/// Wind, bias and vertical air of one draw.
#[derive(Debug, Clone, PartialEq)]
pub struct AirDraw {
    /// Wind by height.
    pub wind: WindProfile,
    /// Bias of recorded airspeed, m/s.
    pub recorded_bias_mps: f64,
    /// Mean vertical motion of the air over the glide, m/s, up.
    pub vertical_air_mps: f64,
}

impl AirFit {
    /// One possible wind, `widening` times as far from the solution as the linear posterior says.
    pub fn draw(&self, widening: f64, rng: &mut Draws) -> AirDraw {
        let mut left = rng.uniform();
        let component = self
            .components
            .iter()
            .find(|c| {
                left -= c.weight;
                left <= 0.0
            })
            .unwrap_or(&self.components[0]);
        let noise: Vec<f64> = (0..component.solution.len())
            .map(|_| rng.normal())
            .collect();
        let step = component.information_lower.solve_lower_transposed(&noise);
        let x: Vec<f64> = component
            .solution
            .iter()
            .zip(&step)
            .map(|(a, s)| a + widening * s)
            .collect();
        AirDraw {
            wind: self.layout.wind(&x),
            recorded_bias_mps: x[self.layout.bias()],
            vertical_air_mps: x[self.layout.offset(0)],
        }
    }
}
