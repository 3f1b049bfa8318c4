//! The joint fit of wind by height and mean airspeeds to ground velocities and the energy balance.
//!
//! Gauss–Newton on whitened residuals with Gaussian priors. How the pilot and the air behave is not
//! known beforehand: several possibilities are fitted, and the posterior is their mixture, weighed by
//! marginal likelihood (Laplace).

use super::habits::{self, Habits};
use super::prepared::Prepared;
use super::priors::{self, CONTEXT_TAS, GROWTH, IDLE_DRAG_SCALE};
use super::rows::{Normal, Rows};
use super::samples::{Chain, ChainKind, FitOptions};
use super::unknowns::Unknowns;
use super::wind::{KNOT_SPACING_M, WindProfile};
use super::{energy_rows, speed_rows};
use crate::linear_algebra::Dense;
use crate::random::EvenDraws;

/// A possibility this much less likely than the best is left out, nats.
const NEGLIGIBLE: f64 = 10.0;
/// A possibility whose linear solution, seen from where the search of the best ended, is this much less likely than the
/// best, is not worked out: twice what is left out, so that no bend of the problem brings it back, nats.
const HOPELESS: f64 = 2.0 * NEGLIGIBLE;
/// Steps that win less than this, in twice the logarithm of the likelihood, are the last: an eighth of a standard deviation.
const LEAST_GAIN: f64 = 0.02;
/// Power to which likelihoods are taken when possibilities are weighed. Pilots are none of the processes tried, so that
/// a likelihood says more than it knows: the same distrust as the widening of the draws (1/1.5²).
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
    /// Mean vertical air over the glide where the handbook is not leant on: mean and standard deviation, m/s.
    vertical_air_mps: (f64, f64),
    /// What is expected of it before any energy is looked at: standard deviation, m/s.
    vertical_air_sd_mps: f64,
}

/// Wind, bias and vertical air of one draw.
#[derive(Debug, Clone, PartialEq)]
pub struct AirDraw {
    /// Wind by height.
    pub wind: WindProfile,
    /// Bias of recorded airspeed (recorded − true), m/s.
    pub recorded_bias_mps: f64,
    /// Mean vertical motion of the air over the glide, m/s, up: told from drag by the other glides of the recording,
    /// hardly by the handbook, which would pull what was flown to itself.
    pub vertical_air_mps: f64,
    /// The same as it is expected before the energy of any glide is looked at, m/s.
    pub expected_vertical_air_mps: f64,
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
    let unknowns = Unknowns {
        knots: WindProfile::knots_for(highest_m.min(HIGHEST_M)),
        chains: chains.len(),
    };
    let prepared = chains
        .iter()
        .enumerate()
        .map(|(index, chain)| Prepared::new(index, chain, &unknowns))
        .collect();
    let problem = Problem {
        chains,
        prepared,
        options,
        unknowns,
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
        c.vertical_air_mps = c.vertical_air_by_glides(&unknowns, options.drag_scale_sd);
    }
    let solution: Vec<f64> = (0..unknowns.count())
        .map(|i| components.iter().map(|c| c.weight * c.solution[i]).sum())
        .collect();
    Some(AirFit {
        wind: unknowns.wind(&solution),
        components,
        unknowns,
    })
}

/// Doubt of the drag against the handbook's for the vertical air, as a factor: light singles glide 7 to 13 to one
/// (common practice), whatever their handbooks say.
const ANY_DRAG_SD: f64 = 0.25;
/// The vertical air of one glide is taken as independent of that of the others; that of one place and one hour is not
/// (common practice). How far its standard deviation is widened for it: without, the interval of the sink held the
/// truth of simulated glides 92 times in 100, so it is not blind to them.
const VERTICAL_AIR_WIDENING: f64 = 1.2;

impl Component {
    /// Mean and standard deviation of the mean vertical air over the glide, m/s, as they would be had the drag been
    /// in doubt by [`ANY_DRAG_SD`] and not by `drag_scale_sd`: with the information matrix `H` and what is taken off
    /// it, `δ e eᵀ`, by Sherman and Morrison's formula.
    fn vertical_air_by_glides(&self, unknowns: &Unknowns, drag_scale_sd: f64) -> (f64, f64) {
        let (drag, air) = (unknowns.drag(), unknowns.vertical_air(0));
        let covariances = |of: usize| {
            let mut unit = vec![0.0; self.solution.len()];
            unit[of] = 1.0;
            self.information_lower.solve_cholesky(&unit)
        };
        let (of_drag, of_air) = (covariances(drag), covariances(air));
        let less = (drag_scale_sd.powi(-2) - ANY_DRAG_SD.powi(-2)).max(0.0);
        let left = (1.0 - less * of_drag[drag]).max(1e-3);
        let gain = less * of_drag[air] / left;
        let mean = self.solution[air] + gain * (self.solution[drag] - IDLE_DRAG_SCALE);
        let variance = of_air[air] + gain * of_drag[air];
        (mean, VERTICAL_AIR_WIDENING * variance.max(0.0).sqrt())
    }
}

struct Problem<'a> {
    chains: &'a [Chain],
    prepared: Vec<Prepared<'a>>,
    options: &'a FitOptions,
    unknowns: Unknowns,
}

/// Residuals and their derivatives at one solution. They do not depend on the habits, which only say how they are
/// weighed: possibilities that start from one solution share them, and what they came to under each noise.
struct Linearised {
    solution: Vec<f64>,
    wind_rows: Vec<Rows>,
    energy_rows: Vec<Option<Rows>>,
}

impl Problem<'_> {
    /// The best of each kind of habit in turn, and all those one step away from the best.
    fn possibilities(&self) -> Option<Vec<Component>> {
        let first = match &self.options.start {
            Some(start) => {
                let start = self.initial(|h| start.at(h));
                self.solve(&mut self.linearised(start), habits::FIRST, 8, None)?
            }
            None => self.solve_from_many(habits::FIRST)?,
        };
        if !self.chains.iter().any(Chain::glides) {
            return Some(vec![first]);
        }
        let mut start = self.linearised(first.solution.clone());
        let mut best = first;
        for round in [
            Habits::gusts_tried,
            Habits::vertical_air_tried,
            Habits::knots_tried,
            Habits::wanders_tried,
        ] {
            for habits in round(best.habits) {
                if habits != best.habits
                    && let Some(other) = self.solve(&mut start, habits, 2, None)
                    && other.cost < best.cost
                {
                    start = self.linearised(other.solution.clone());
                    best = other;
                }
            }
        }
        let centre = best.habits;
        let mut least = best.cost;
        let mut out = vec![best];
        for habits in Habits::all_near(centre) {
            if let Some(other) = self.solve(&mut start, habits, 3, Some(least)) {
                least = least.min(other.cost);
                out.push(other);
            }
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
            .filter_map(|start| self.solve(&mut self.linearised(start), habits, 6, None))
            .min_by(|a, b| a.cost.total_cmp(&b.cost))
    }

    /// The possibility `habits`, from `start`. Nothing where it is not worth weighing beside one of the cost `least`.
    fn solve(
        &self,
        start: &mut Linearised,
        habits: Habits,
        iterations: usize,
        least: Option<f64>,
    ) -> Option<Component> {
        let mut x = start.solution.clone();
        let mut here = self.normal(start, &habits);
        let mut lower = here.information.cholesky()?;
        let laplace = |cost: f64, lower: &Dense| {
            0.5 * (cost + lower.log_determinant_of_cholesky()) - habits.log_prior()
        };
        for iteration in 0..iterations {
            let step = lower.solve_cholesky(&here.gradient);
            // what the step wins where the problem is as linear as it looks from here
            let expected_gain: f64 = step.iter().zip(&here.gradient).map(|(s, g)| s * g).sum();
            let at = |scale: f64| -> Vec<f64> {
                x.iter().zip(&step).map(|(a, s)| a - scale * s).collect()
            };
            if expected_gain < LEAST_GAIN {
                // so near that it need not be looked at from there
                x = at(1.0);
                here.cost -= expected_gain;
                break;
            }
            if iteration == 0
                && least.is_some_and(|least| {
                    laplace(here.cost - expected_gain, &lower) > least + HOPELESS
                })
            {
                return None;
            }
            let moved = [1.0, 0.4, 0.16, 0.064].into_iter().find_map(|scale| {
                let mut trial = self.linearised(at(scale));
                let there = self.normal(&mut trial, &habits);
                (there.cost < here.cost).then_some((trial.solution, there))
            });
            let Some((trial, there)) = moved else { break };
            let gain = here.cost - there.cost;
            x = trial;
            here = there;
            lower = here.information.cholesky()?;
            if gain < LEAST_GAIN {
                break;
            }
        }
        Some(Component {
            weight: 1.0,
            cost: laplace(here.cost, &lower),
            habits,
            solution: x,
            information_lower: lower,
            vertical_air_mps: (0.0, 0.0),
            vertical_air_sd_mps: self.chains.first().map_or(0.0, |glide| {
                priors::mean_vertical_air_sd_mps(glide, &habits)
            }),
        })
    }

    fn linearised(&self, x: Vec<f64>) -> Linearised {
        let wind = self.unknowns.wind(&x);
        let at = (&wind, &self.unknowns);
        Linearised {
            wind_rows: self
                .prepared
                .iter()
                .map(|chain| speed_rows::rows(&x, at, chain))
                .collect(),
            energy_rows: self
                .prepared
                .iter()
                .map(|chain| {
                    let rows = chain
                        .chain
                        .glides()
                        .then(|| energy_rows::rows(&x, at, chain, self.options));
                    rows.filter(|rows| rows.len() > 1)
                })
                .collect(),
            solution: x,
        }
    }

    fn normal(&self, at: &mut Linearised, habits: &Habits) -> Normal {
        let mut normal = Normal::new(self.unknowns.count());
        priors::add(
            &at.solution,
            &self.unknowns,
            self.chains,
            self.options,
            habits,
            &mut normal,
        );
        let rows = at.wind_rows.iter_mut().zip(&mut at.energy_rows);
        for (chain, (speed, energy)) in self.prepared.iter().zip(rows) {
            speed.add_to(&mut normal, &speed_rows::noise(chain, habits));
            if let Some(energy) = energy {
                energy.add_to(&mut normal, &energy_rows::noise(habits));
            }
        }
        normal
    }
}

impl AirFit {
    /// One possible wind, `widening` times as far from the solution as the linear posterior says.
    pub fn draw(&self, widening: f64, even: &mut EvenDraws, first_column: usize) -> AirDraw {
        let mut left = even.uniform(first_column);
        let component = self
            .components
            .iter()
            .find(|c| {
                left -= c.weight;
                left <= 0.0
            })
            .unwrap_or(&self.components[0]);
        let noise: Vec<f64> = (1..=component.solution.len())
            .map(|i| even.normal(first_column + i))
            .collect();
        let step = component.information_lower.solve_lower_transposed(&noise);
        let x: Vec<f64> = component
            .solution
            .iter()
            .zip(&step)
            .map(|(a, s)| a + widening * s)
            .collect();
        let of_vertical_air = even.normal(first_column + 1 + component.solution.len());
        let (mean_mps, sd_mps) = component.vertical_air_mps;
        AirDraw {
            wind: self.unknowns.wind(&x),
            recorded_bias_mps: x[self.unknowns.bias()],
            vertical_air_mps: mean_mps + sd_mps * of_vertical_air,
            expected_vertical_air_mps: component.vertical_air_sd_mps * of_vertical_air,
            gust_mps: component.habits.gust_mps,
        }
    }
}

#[cfg(test)]
#[path = "fit_tests.rs"]
mod tests;
