//! The joint fit of wind by height and mean airspeeds to ground velocities and the energy balance.
//!
//! Gauss–Newton on whitened residuals with Gaussian priors. How the pilot and the air behave is not
//! known beforehand: several possibilities are fitted, and the posterior is their mixture, weighed by
//! marginal likelihood (Laplace).

use super::habits::{self, Habits};
use super::priors::{self, CONTEXT_TAS, GROWTH, IDLE_DRAG_SCALE};
use super::rows::Normal;
use super::samples::{Chain, ChainKind, FitOptions};
use super::unknowns::Unknowns;
use super::wind::{KNOT_SPACING_M, WindProfile};
use super::{energy_rows, speed_rows};
use crate::linear_algebra::Dense;
use crate::random::Draws;

/// A possibility this much less likely than the best is left out, nats.
const NEGLIGIBLE: f64 = 10.0;
/// Power to which likelihoods are taken when possibilities are weighed. Pilots are none of the processes tried, so that
/// a likelihood says more than it knows: the same distrust as the widening of the draws (1/1.25²), and more.
const TRUST: f64 = 0.5;
/// Highest height with a wind of its own, m.
const HIGHEST_M: f64 = 3400.0;

/// Wind and airspeeds as fitted.
#[derive(Debug, Clone)]
pub struct AirFit {
    /// Mean wind.
    pub wind: WindProfile,
    components: Vec<Component>,
    unknowns: Unknowns,
}

/// The posterior under one possibility.
#[derive(Debug, Clone)]
struct Component {
    /// Share of the whole posterior.
    weight: f64,
    /// Negative logarithm of the marginal likelihood.
    cost: f64,
    habits: Habits,
    solution: Vec<f64>,
    /// Lower Cholesky factor of the information matrix.
    information_lower: Dense,
}

/// Wind, bias and vertical air of one draw.
#[derive(Debug, Clone, PartialEq)]
pub struct AirDraw {
    /// Wind by height.
    pub wind: WindProfile,
    /// Bias of recorded airspeed (recorded − true), m/s.
    pub recorded_bias_mps: f64,
    /// Mean vertical motion of the air over the glide, m/s, up.
    pub vertical_air_mps: f64,
    /// Standard deviation of gusts along the flight, m/s.
    pub gust_mps: f64,
}

/// Fits wind and airspeeds; `None` when there are too few samples to say anything.
pub fn fit(chains: &[Chain], options: &FitOptions) -> Option<AirFit> {
    let total: usize = chains.iter().map(|c| c.samples.len()).sum();
    if total < 8 {
        return None;
    }
    let highest_m = chains.iter().map(|c| c.heights_m().1).fold(0.0, f64::max);
    let problem = Problem {
        chains,
        options,
        unknowns: Unknowns {
            knots: WindProfile::knots_for(highest_m.min(HIGHEST_M)),
            chains: chains.len(),
        },
    };
    let mut components = problem.possibilities()?;
    components.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let least = components[0].cost;
    components.retain(|c| c.cost - least < NEGLIGIBLE);
    let total: f64 = components
        .iter()
        .map(|c| (TRUST * (least - c.cost)).exp())
        .sum();
    for c in &mut components {
        c.weight = (TRUST * (least - c.cost)).exp() / total;
    }
    let unknowns = problem.unknowns;
    let solution: Vec<f64> = (0..unknowns.count())
        .map(|i| components.iter().map(|c| c.weight * c.solution[i]).sum())
        .collect();
    Some(AirFit {
        wind: unknowns.wind(&solution),
        components,
        unknowns,
    })
}

struct Problem<'a> {
    chains: &'a [Chain],
    options: &'a FitOptions,
    unknowns: Unknowns,
}

impl Problem<'_> {
    /// The best of each kind of habit in turn, and all those one step away from the best.
    fn possibilities(&self) -> Option<Vec<Component>> {
        let first = match &self.options.start {
            Some(start) => self.solve(self.initial(|h| start.at(h)), habits::FIRST, 8)?,
            None => self.solve_from_many(habits::FIRST)?,
        };
        if !self.chains.iter().any(Chain::glides) {
            return Some(vec![first]);
        }
        let mut best = first;
        for round in [
            Habits::gusts_tried,
            Habits::vertical_air_tried,
            Habits::knots_tried,
        ] {
            for habits in round(best.habits) {
                if habits != best.habits
                    && let Some(other) = self.solve(best.solution.clone(), habits, 2)
                    && other.cost < best.cost
                {
                    best = other;
                }
            }
        }
        let centre = best.habits;
        let mut out = vec![best];
        for habits in Habits::all_near(centre) {
            out.extend(self.solve(out[0].solution.clone(), habits, 3));
        }
        Some(out)
    }

    fn initial(&self, wind: impl Fn(f64) -> [f64; 2]) -> Vec<f64> {
        let mut x = vec![0.0; self.unknowns.count()];
        for k in 0..self.unknowns.knots {
            let w = wind(KNOT_SPACING_M * k as f64);
            x[self.unknowns.wind_at(k, 0)] = w[0];
            x[self.unknowns.wind_at(k, 1)] = w[1];
        }
        let glide = self.options.glide_tas_mps.0;
        for (c, chain) in self.chains.iter().enumerate() {
            let context = chain.kind == ChainKind::Context;
            x[self.unknowns.mean(c)] = if context {
                CONTEXT_TAS.0 * glide
            } else {
                glide
            };
            x[self.unknowns.approach(c)] = self.options.approach_tas_mps.unwrap_or(glide);
        }
        x[self.unknowns.drag()] = IDLE_DRAG_SCALE;
        x
    }

    /// A circle fit of nearly straight data has a far minimum: starts from all sides, keeps the best.
    fn solve_from_many(&self, habits: Habits) -> Option<Component> {
        let w = self.options.surface_wind_mps.unwrap_or([0.0, 0.0]);
        let calm = self.initial(|_| [GROWTH[0].0 * w[0], GROWTH[0].0 * w[1]]);
        let around = (0..6).map(|step| {
            let angle_rad = f64::from(step) * std::f64::consts::TAU / 6.0;
            self.initial(|_| [8.0 * angle_rad.sin(), 8.0 * angle_rad.cos()])
        });
        std::iter::once(calm)
            .chain(around)
            .filter_map(|start| self.solve(start, habits, 6))
            .min_by(|a, b| a.cost.total_cmp(&b.cost))
    }

    fn solve(&self, start: Vec<f64>, habits: Habits, iterations: usize) -> Option<Component> {
        let mut x = start;
        let mut here = self.evaluate(&x, &habits);
        for _ in 0..iterations {
            let step = here.information.solve(&here.gradient)?;
            let moved = [1.0, 0.4, 0.16, 0.064].into_iter().find_map(|scale| {
                let trial: Vec<f64> = x.iter().zip(&step).map(|(a, s)| a - scale * s).collect();
                let there = self.evaluate(&trial, &habits);
                (there.cost < here.cost).then_some((trial, there))
            });
            let Some((trial, there)) = moved else { break };
            let gain = here.cost - there.cost;
            x = trial;
            here = there;
            if gain < 0.02 {
                break;
            }
        }
        let lower = here.information.cholesky()?;
        Some(Component {
            weight: 1.0,
            cost: 0.5 * (here.cost + lower.log_determinant_of_cholesky()) - habits.log_prior(),
            habits,
            solution: x,
            information_lower: lower,
        })
    }

    fn evaluate(&self, x: &[f64], habits: &Habits) -> Normal {
        let mut normal = Normal::new(self.unknowns.count());
        let unknowns = &self.unknowns;
        priors::add(x, unknowns, self.chains, self.options, habits, &mut normal);
        let wind = unknowns.wind(x);
        for (index, chain) in self.chains.iter().enumerate() {
            let at = (&wind, unknowns);
            speed_rows::add(x, at, (index, chain), habits, &mut normal);
            if chain.glides() {
                energy_rows::add(x, at, (index, chain), self.options, habits, &mut normal);
            }
        }
        normal
    }
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
        let noise: Vec<f64> = component.solution.iter().map(|_| rng.normal()).collect();
        let step = component.information_lower.solve_lower_transposed(&noise);
        let x: Vec<f64> = component
            .solution
            .iter()
            .zip(&step)
            .map(|(a, s)| a + widening * s)
            .collect();
        AirDraw {
            wind: self.unknowns.wind(&x),
            recorded_bias_mps: x[self.unknowns.bias()],
            vertical_air_mps: x[self.unknowns.vertical_air(0)],
            gust_mps: component.habits.gust_mps,
        }
    }
}
