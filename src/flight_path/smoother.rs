//! Linear Gaussian state estimation: forward filter, Rauch–Tung–Striebel smoother, posterior draws.
//!
//! One covariance may serve several axes observed alike (`A` means, one covariance): north and
//! east share everything but their values.
//!
//! Source: H. E. Rauch, F. Tung, C. T. Striebel, Maximum likelihood estimates of linear dynamic
//! systems, AIAA Journal 3 (1965) 1445–1450; draws by forward filter, backward sampling
//! (S. Frühwirth-Schnatter, Data augmentation and dynamic linear models, J. Time Ser. Anal. 15
//! (1994) 183–202).

use super::covariances::Covariances;
use super::step::{StepBack, StepCache};
use crate::linear_algebra::{
    Mat, Vector, add, cholesky_semidefinite, identity, multiply_vector, sandwich, subtract,
};
use crate::random::Draws;

/// Most scalar observations at one epoch.
pub const MOST_OBSERVATIONS: usize = 4;

/// What is observed; the meaning belongs to the model.
pub type Kind = u8;

/// One scalar observation on each of the `A` axes.
#[derive(Debug, Clone, Copy)]
pub struct Observation<const A: usize> {
    /// What is observed.
    pub kind: Kind,
    /// Observed value on each axis.
    pub value: [f64; A],
    /// Multiplies the model's variance: above 1 where the observation is doubted.
    pub doubt: f64,
}

/// One instant, with whatever was observed then.
#[derive(Debug, Clone)]
pub struct Epoch<const A: usize> {
    /// Seconds on the recording's clock; strictly ascending.
    pub t_s: f64,
    /// Multiplies the driving noise of the step that ends here.
    pub agitation: f64,
    /// Observations, as many as `count`.
    observations: [Observation<A>; MOST_OBSERVATIONS],
    count: usize,
}

impl<const A: usize> Epoch<A> {
    /// An instant at which nothing is observed yet.
    pub fn new(t_s: f64) -> Self {
        let none = Observation {
            kind: 0,
            value: [0.0; A],
            doubt: 1.0,
        };
        Epoch {
            t_s,
            agitation: 1.0,
            observations: [none; MOST_OBSERVATIONS],
            count: 0,
        }
    }

    /// Adds an observation; more than [`MOST_OBSERVATIONS`] are ignored.
    pub fn observe(&mut self, kind: Kind, value: [f64; A]) {
        if self.count < MOST_OBSERVATIONS {
            self.observations[self.count] = Observation {
                kind,
                value,
                doubt: 1.0,
            };
            self.count += 1;
        }
    }

    /// Adds an observation that is doubted.
    pub fn observe_doubted(&mut self, kind: Kind, value: [f64; A], doubt: f64) {
        if self.count < MOST_OBSERVATIONS {
            self.observe(kind, value);
            self.observations[self.count - 1].doubt = doubt;
        }
    }

    /// What was observed.
    pub fn observations(&self) -> &[Observation<A>] {
        &self.observations[..self.count]
    }

    /// When and what was observed, without the values.
    pub fn without_values(&self) -> Epoch<0> {
        let mut bare = Epoch::new(self.t_s);
        bare.agitation = self.agitation;
        for o in self.observations() {
            bare.observe_doubted(o.kind, [], o.doubt);
        }
        bare
    }

    fn observations_mut(&mut self) -> &mut [Observation<A>] {
        &mut self.observations[..self.count]
    }
}

/// A linear Gaussian model of `N` states per axis.
pub trait Model<const N: usize> {
    /// State transition over `dt_s`.
    fn transition(&self, dt_s: f64) -> Mat<N>;
    /// Process noise over `dt_s`, its agitated part multiplied by `agitation`.
    fn process_noise(&self, dt_s: f64, agitation: f64) -> Mat<N>;
    /// Observation row and variance.
    fn observation(&self, kind: Kind) -> (Vector<N>, f64);
    /// Covariance before anything was observed.
    fn prior_covariance(&self) -> Mat<N>;
}

/// The forward pass, kept for smoothing: what was predicted is worked out again where it is wanted, which takes less
/// time than to fetch it from memory.
#[derive(Debug, Clone)]
pub struct Filtered<const N: usize, const A: usize> {
    mean: Vec<[Vector<N>; A]>,
    covariance: Covariances<N>,
    /// Mean normalised innovation squared at each epoch; NaN where nothing was observed.
    pub surprise: Vec<f64>,
    /// Log likelihood of all observations.
    pub log_likelihood: f64,
}

fn absorb<const N: usize, const A: usize, M: Model<N>>(
    model: &M,
    epoch: &Epoch<A>,
    mean: &mut [Vector<N>; A],
    covariance: &mut Mat<N>,
    log_likelihood: &mut f64,
) -> f64 {
    let mut surprise = 0.0;
    let observed = epoch.observations();
    for o in observed {
        let (row, variance) = model.observation(o.kind);
        let column = multiply_vector(covariance, &row);
        let innovation_variance =
            (0..N).map(|i| row[i] * column[i]).sum::<f64>() + variance * o.doubt;
        let inverse = 1.0 / innovation_variance;
        for axis in 0..A {
            let predicted: f64 = (0..N).map(|i| row[i] * mean[axis][i]).sum();
            let innovation = o.value[axis] - predicted;
            for i in 0..N {
                mean[axis][i] += column[i] * inverse * innovation;
            }
            let nis = innovation * innovation * inverse;
            surprise += nis;
            *log_likelihood -= 0.5 * (innovation_variance.ln() + nis);
        }
        for i in 0..N {
            for j in i..N {
                let value = covariance[i][j] - column[i] * column[j] * inverse;
                covariance[i][j] = value;
                covariance[j][i] = value;
            }
        }
    }
    if observed.is_empty() {
        f64::NAN
    } else {
        surprise / (observed.len() * A) as f64
    }
}

/// Forward pass over `epochs` from `start` (mean per axis).
pub fn filter<const N: usize, const A: usize, M: Model<N>>(
    model: &M,
    epochs: &[Epoch<A>],
    start: [Vector<N>; A],
) -> Filtered<N, A> {
    let n = epochs.len();
    let mut out = Filtered {
        mean: vec![start; n],
        covariance: Covariances::of(n),
        surprise: vec![f64::NAN; n],
        log_likelihood: 0.0,
    };
    out.run(model, epochs, start);
    out
}

impl<const N: usize, const A: usize> Filtered<N, A> {
    /// Runs over the same epochs again, changed in agitation or doubt only.
    pub fn run<M: Model<N>>(&mut self, model: &M, epochs: &[Epoch<A>], start: [Vector<N>; A]) {
        self.log_likelihood = 0.0;
        let mut mean = start;
        let mut covariance = model.prior_covariance();
        let mut cache = StepCache::new();
        for (k, epoch) in epochs.iter().enumerate() {
            if k > 0 {
                cache.set(model, epoch.t_s - epochs[k - 1].t_s, epoch.agitation);
                cache.advance(&mut mean);
                covariance = cache.covariance(&covariance);
            }
            let log = &mut self.log_likelihood;
            self.surprise[k] = absorb(model, epoch, &mut mean, &mut covariance, log);
            self.mean[k] = mean;
            self.covariance.set(k, &covariance);
        }
    }
}

/// Log likelihood alone, without keeping the pass.
pub fn log_likelihood<const N: usize, const A: usize, M: Model<N>>(
    model: &M,
    epochs: &[Epoch<A>],
    start: [Vector<N>; A],
) -> f64 {
    let mut mean = start;
    let mut covariance = model.prior_covariance();
    let mut total = 0.0;
    let mut cache = StepCache::new();
    for (k, epoch) in epochs.iter().enumerate() {
        if k > 0 {
            cache.set(model, epoch.t_s - epochs[k - 1].t_s, epoch.agitation);
            cache.advance(&mut mean);
            covariance = cache.covariance(&covariance);
        }
        absorb(model, epoch, &mut mean, &mut covariance, &mut total);
    }
    total
}

/// The smoothed path, and what is needed to draw from it.
#[derive(Debug, Clone)]
pub struct Smoothed<const N: usize, const A: usize> {
    /// Time of each epoch.
    pub t_s: Vec<f64>,
    /// Smoothed mean.
    pub mean: Vec<[Vector<N>; A]>,
    /// Smoothed covariance, common to the axes.
    covariance: Covariances<N>,
    agitation: Vec<f64>,
    filtered: Filtered<N, A>,
}

/// Backward pass.
pub fn smooth<const N: usize, const A: usize, M: Model<N>>(
    model: &M,
    epochs: &[Epoch<A>],
    mut filtered: Filtered<N, A>,
) -> Smoothed<N, A> {
    // has done its work
    filtered.surprise = Vec::new();
    let n = epochs.len();
    let mut mean = filtered.mean.clone();
    let mut covariance = filtered.covariance.clone();
    let mut step = StepCache::new();
    let mut next_covariance = match n {
        0 => identity(),
        n => covariance.get(n - 1),
    };
    for k in (0..n.saturating_sub(1)).rev() {
        let next = k + 1;
        step.set(
            model,
            epochs[next].t_s - epochs[k].t_s,
            epochs[next].agitation,
        );
        let here = filtered.covariance.get(k);
        let back = StepBack::new(&step, &here);
        for axis in 0..A {
            let predicted = step.mean(&filtered.mean[k][axis]);
            let mut difference = mean[next][axis];
            for i in 0..N {
                difference[i] -= predicted[i];
            }
            let correction = multiply_vector(&back.gain, &difference);
            for i in 0..N {
                mean[k][axis][i] += correction[i];
            }
        }
        let difference = subtract(&next_covariance, &back.predicted);
        next_covariance = add(&here, &sandwich(&back.gain, &difference));
        covariance.set(k, &next_covariance);
    }
    Smoothed {
        t_s: epochs.iter().map(|e| e.t_s).collect(),
        agitation: epochs.iter().map(|e| e.agitation).collect(),
        mean,
        covariance,
        filtered,
    }
}

impl<const N: usize, const A: usize> Smoothed<N, A> {
    /// Smoothed variance of a state at each epoch.
    pub fn variances(&self, state: usize) -> impl Iterator<Item = f64> {
        self.covariance.variances(state)
    }

    /// `count` possible true histories of the epochs `from..=to`, given to `keep` as draw, epoch − from, state by axis;
    /// backwards in time. `model` is that of the passes.
    pub fn draws<M: Model<N>>(
        &self,
        model: &M,
        (from, to): (usize, usize),
        count: usize,
        rng: &mut Draws,
        mut keep: impl FnMut(usize, usize, &[Vector<N>; A]),
    ) {
        let l_end = cholesky_semidefinite(&self.covariance.get(to));
        let mut states = vec![self.mean[to]; count];
        for (draw, state) in states.iter_mut().enumerate() {
            for axis in state.iter_mut() {
                *axis = perturbed(axis, &l_end, rng);
            }
            keep(draw, to - from, state);
        }
        let mut step = StepCache::new();
        for k in (from..to).rev() {
            let next = k + 1;
            step.set(model, self.t_s[next] - self.t_s[k], self.agitation[next]);
            let here = self.filtered.covariance.get(k);
            let back = StepBack::new(&step, &here);
            let explained = sandwich(&back.gain, &back.predicted);
            let l = cholesky_semidefinite(&subtract(&here, &explained));
            let mut predicted = self.filtered.mean[k];
            step.advance(&mut predicted);
            for (draw, state) in states.iter_mut().enumerate() {
                for axis in 0..A {
                    let mut difference = state[axis];
                    for i in 0..N {
                        difference[i] -= predicted[axis][i];
                    }
                    let mut centre = multiply_vector(&back.gain, &difference);
                    for i in 0..N {
                        centre[i] += self.filtered.mean[k][axis][i];
                    }
                    state[axis] = perturbed(&centre, &l, rng);
                }
                keep(draw, k - from, state);
            }
        }
    }
}

fn perturbed<const N: usize>(centre: &Vector<N>, lower: &Mat<N>, rng: &mut Draws) -> Vector<N> {
    let mut noise = [0.0; N];
    for value in &mut noise {
        *value = rng.normal();
    }
    let mut out = *centre;
    for i in 0..N {
        for j in 0..=i {
            out[i] += lower[i][j] * noise[j];
        }
    }
    out
}

/// Least mean surprise over [`SURPRISE_SPAN`] epochs that raises the driving noise.
const SURPRISE_THRESHOLD: f64 = 1.5;
/// Most that one pass multiplies the driving noise by.
const MOST_AGITATION_STEP: f64 = 100.0;
const SURPRISE_SPAN: usize = 1;

/// Raises the driving noise where the observations surprised the filter, so that one noise level
/// serves cruise, turns and the landing. Returns whether anything changed.
pub fn adapt_agitation<const A: usize>(epochs: &mut [Epoch<A>], surprise: &[f64]) -> bool {
    let mut changed = false;
    let observed: Vec<usize> = (0..epochs.len())
        .filter(|&k| surprise[k].is_finite())
        .collect();
    for i in 0..observed.len() {
        let from = i.saturating_sub(SURPRISE_SPAN);
        let to = (i + SURPRISE_SPAN).min(observed.len() - 1);
        let mean = observed[from..=to]
            .iter()
            .map(|&k| surprise[k])
            .sum::<f64>()
            / (to - from + 1) as f64;
        if mean > SURPRISE_THRESHOLD {
            let factor = mean.min(MOST_AGITATION_STEP);
            let first = if i == 0 { 0 } else { observed[i - 1] + 1 };
            for epoch in &mut epochs[first..=observed[i]] {
                epoch.agitation *= factor;
            }
            changed = true;
        }
    }
    changed
}

/// Doubts observations that lie further than `most_sigmas` from the smoothed path.
/// Returns how many are newly doubted.
pub fn doubt_outliers<const N: usize, const A: usize, M: Model<N>>(
    model: &M,
    epochs: &mut [Epoch<A>],
    smoothed: &Smoothed<N, A>,
    most_sigmas: f64,
) -> usize {
    let mut doubted = 0;
    for (k, epoch) in epochs.iter_mut().enumerate() {
        for o in epoch.observations_mut() {
            let (row, variance) = model.observation(o.kind);
            let mut worst: f64 = 0.0;
            for axis in 0..A {
                let fitted: f64 = (0..N).map(|i| row[i] * smoothed.mean[k][axis][i]).sum();
                worst = worst.max((o.value[axis] - fitted).powi(2) / variance);
            }
            let limit = most_sigmas * most_sigmas;
            if worst > limit * o.doubt {
                o.doubt = worst / limit * 4.0;
                doubted += 1;
            }
        }
    }
    doubted
}
