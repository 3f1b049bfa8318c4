//! One step of a filter, forwards and back: transition, noise and gain.

use super::smoother::Model;
use crate::linear_algebra::{
    Mat, Vector, cholesky_semidefinite, identity, solve_cholesky, transpose,
};

/// Transition and noise of the last step length, so that even rates compute them once.
pub(super) struct StepCache<const N: usize> {
    dt_s: f64,
    agitation: f64,
    /// Elements of the transition that are not zero, by rows: row, column, value.
    transition: Vec<(usize, usize, f64)>,
    noise: Mat<N>,
}

impl<const N: usize> StepCache<N> {
    /// No step yet.
    pub(super) fn new() -> Self {
        StepCache {
            dt_s: f64::NAN,
            agitation: 1.0,
            transition: Vec::with_capacity(N * N),
            noise: identity(),
        }
    }

    /// Makes it the step of this length and agitation.
    pub(super) fn set<M: Model<N>>(&mut self, model: &M, dt_s: f64, agitation: f64) {
        let same_dt = (self.dt_s - dt_s).abs() < 1e-9;
        if !same_dt {
            self.transition.clear();
            for (i, row) in model.transition(dt_s).iter().enumerate() {
                let elements = row.iter().enumerate().filter(|(_, value)| **value != 0.0);
                self.transition.extend(elements.map(|(j, v)| (i, j, *v)));
            }
        }
        if !same_dt || self.agitation != agitation {
            self.noise = model.process_noise(dt_s, agitation);
        }
        self.dt_s = dt_s;
        self.agitation = agitation;
    }

    /// F·x.
    pub(super) fn mean(&self, x: &Vector<N>) -> Vector<N> {
        let mut out = [0.0; N];
        for &(i, j, value) in &self.transition {
            out[i] += value * x[j];
        }
        out
    }

    /// F·x of every axis.
    pub(super) fn advance(&self, axes: &mut [Vector<N>]) {
        for axis in axes {
            *axis = self.mean(axis);
        }
    }

    /// F·P.
    fn times(&self, p: &Mat<N>) -> Mat<N> {
        let mut out = [[0.0; N]; N];
        for &(i, k, value) in &self.transition {
            for j in 0..N {
                out[i][j] += value * p[k][j];
            }
        }
        out
    }

    /// F·P·Fᵀ + Q of a symmetric P, exactly symmetric.
    pub(super) fn covariance(&self, p: &Mat<N>) -> Mat<N> {
        let right = self.times(&transpose(&self.times(p)));
        let mut out = self.noise;
        for i in 0..N {
            for j in 0..=i {
                out[i][j] += right[j][i];
                out[j][i] = out[i][j];
            }
        }
        out
    }
}

/// The step back from an epoch to the one before it.
pub(super) struct StepBack<const N: usize> {
    /// Covariance predicted for the later epoch.
    pub(super) predicted: Mat<N>,
    /// Gain from the later epoch back to the earlier.
    pub(super) gain: Mat<N>,
}

impl<const N: usize> StepBack<N> {
    /// From the filtered covariance of the earlier epoch.
    pub(super) fn new(step: &StepCache<N>, filtered: &Mat<N>) -> Self {
        let predicted = step.covariance(filtered);
        let lower = cholesky_semidefinite(&predicted);
        // filtered · Fᵀ
        let mut gain = transpose(&step.times(filtered));
        for row in &mut gain {
            *row = solve_cholesky(&lower, row);
        }
        StepBack { predicted, gain }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::linear_algebra::{add, sandwich};

    /// Position and speed.
    struct Moving;

    impl Model<2> for Moving {
        fn transition(&self, dt_s: f64) -> Mat<2> {
            [[1.0, dt_s], [0.0, 1.0]]
        }
        fn process_noise(&self, dt_s: f64, agitation: f64) -> Mat<2> {
            [[0.1 * dt_s, 0.02], [0.02, 0.3 * agitation]]
        }
        fn observation(&self, _kind: u8) -> (Vector<2>, f64) {
            ([1.0, 0.0], 1.0)
        }
        fn prior_covariance(&self) -> Mat<2> {
            identity()
        }
    }

    #[test]
    fn without_its_zeros_a_step_is_the_same() {
        let p = [[3.0, 0.7], [0.7, 2.0]];
        let mut step = StepCache::new();
        for (dt_s, agitation) in [(0.5, 1.0), (0.5, 4.0), (2.0, 4.0)] {
            step.set(&Moving, dt_s, agitation);
            let full = add(
                &sandwich(&Moving.transition(dt_s), &p),
                &Moving.process_noise(dt_s, agitation),
            );
            let found = step.covariance(&p);
            for i in 0..2 {
                for j in 0..2 {
                    assert!((found[i][j] - full[i][j]).abs() < 1e-12);
                }
            }
            assert_eq!(step.mean(&[5.0, 3.0]), [5.0 + 3.0 * dt_s, 3.0]);
        }
    }
}
