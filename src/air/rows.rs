//! Rows of a least-squares fit: derivatives by the few unknowns concerned, and the residual.

use super::noise_chain::{ChainNoise, whiten_rows};
use crate::linear_algebra::Dense;

/// Twice the negative logarithm of likelihood times prior, with its gradient and information.
pub(super) struct Normal {
    /// Value.
    pub(super) cost: f64,
    /// Half the second derivative.
    pub(super) information: Dense,
    /// Half the gradient.
    pub(super) gradient: Vec<f64>,
}

impl Normal {
    /// Nothing known.
    pub(super) fn new(unknowns: usize) -> Self {
        Normal {
            cost: 0.0,
            information: Dense::zero(unknowns),
            gradient: vec![0.0; unknowns],
        }
    }

    /// A Gaussian prior: the sum of `terms` (unknown, factor) is `target` ± `sd`.
    pub(super) fn expect(&mut self, x: &[f64], terms: &[(usize, f64)], target: f64, sd: f64) {
        let value: f64 = terms.iter().map(|(i, w)| x[*i] * w).sum::<f64>() - target;
        let weight = 1.0 / (sd * sd);
        self.cost += value * value * weight - weight.ln();
        for (i, a) in terms {
            self.gradient[*i] += weight * a * value;
            for (j, b) in terms {
                self.information[(*i, *j)] += weight * a * b;
            }
        }
    }
}

/// Rows under construction.
pub(super) struct Rows {
    unknowns: Vec<usize>,
    place: Vec<usize>,
    width: usize,
    data: Vec<f64>,
    t_s: Vec<f64>,
    heading: Vec<[f64; 2]>,
}

impl Rows {
    /// For derivatives by these of all `count` unknowns.
    pub(super) fn new(unknowns: Vec<usize>, count: usize) -> Self {
        let mut place = vec![usize::MAX; count];
        for (at, unknown) in unknowns.iter().enumerate() {
            place[*unknown] = at;
        }
        Rows {
            width: unknowns.len() + 1,
            unknowns,
            place,
            data: Vec::new(),
            t_s: Vec::new(),
            heading: Vec::new(),
        }
    }

    /// How many rows there are.
    pub(super) fn len(&self) -> usize {
        self.t_s.len()
    }

    /// Begins a row at this time, with this heading through the air.
    pub(super) fn begin(&mut self, t_s: f64, heading: [f64; 2], residual: f64) {
        self.data.extend(std::iter::repeat_n(0.0, self.width - 1));
        self.data.push(residual);
        self.t_s.push(t_s);
        self.heading.push(heading);
    }

    /// Adds to the derivative of the last row's residual by `unknown`.
    pub(super) fn add(&mut self, unknown: usize, slope: f64) {
        let row = self.data.len() - self.width;
        self.data[row + self.place[unknown]] += slope;
    }

    /// Adds all rows to `normal`, with this noise along them.
    pub(super) fn finish(mut self, noise: &ChainNoise, normal: &mut Normal) {
        normal.cost += whiten_rows(noise, &self.t_s, &self.heading, &mut self.data, self.width);
        let n = self.width - 1;
        let mut products = vec![0.0; self.width * self.width];
        for row in self.data.chunks_exact(self.width) {
            for i in 0..self.width {
                let factor = row[i];
                for (sum, value) in products[i * self.width..].iter_mut().zip(&row[..=i]) {
                    *sum += factor * value;
                }
            }
        }
        let product = |i: usize, j: usize| products[i * self.width + j];
        for (i, &row) in self.unknowns.iter().enumerate() {
            normal.gradient[row] += product(n, i);
            for (j, &column) in self.unknowns[..=i].iter().enumerate() {
                normal.information[(row, column)] += product(i, j);
                if i != j {
                    normal.information[(column, row)] += product(i, j);
                }
            }
        }
        normal.cost += product(n, n);
    }
}
