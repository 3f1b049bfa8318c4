//! Rows of a least-squares fit: derivatives by the few unknowns concerned, and the residual.

use super::noise_chain::{Block, ChainNoise, LANES, blocks, whiten};
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

/// Rows of the derivatives by a few unknowns, and of the residual.
pub(super) struct Rows {
    unknowns: Vec<usize>,
    place: Vec<usize>,
    /// Blocks of one row: the derivatives, then the residual.
    blocks: usize,
    data: Vec<Block>,
    t_s: Vec<f64>,
    heading: Vec<[f64; 2]>,
    /// What the rows came to under each noise so far.
    known: Vec<(ChainNoise, Products)>,
}

/// Products of all pairs of whitened columns, by rows of blocks, and the sum of log variances.
struct Products {
    of_blocks: Vec<[Block; LANES]>,
    log_sum: f64,
}

impl Rows {
    /// For derivatives by these of all `count` unknowns.
    pub(super) fn new(unknowns: Vec<usize>, count: usize) -> Self {
        let mut place = vec![usize::MAX; count];
        for (at, unknown) in unknowns.iter().enumerate() {
            place[*unknown] = at;
        }
        Rows {
            blocks: blocks(unknowns.len() + 1),
            unknowns,
            place,
            data: Vec::new(),
            t_s: Vec::new(),
            heading: Vec::new(),
            known: Vec::new(),
        }
    }

    /// How many rows there are.
    pub(super) fn len(&self) -> usize {
        self.t_s.len()
    }

    /// Begins a row at this time, with this heading through the air.
    pub(super) fn begin(&mut self, t_s: f64, heading: [f64; 2], residual: f64) {
        self.data
            .extend(std::iter::repeat_n([0.0; LANES], self.blocks));
        self.add_at(self.unknowns.len(), residual);
        self.t_s.push(t_s);
        self.heading.push(heading);
    }

    /// Adds to the derivative of the last row's residual by `unknown`.
    pub(super) fn add(&mut self, unknown: usize, slope: f64) {
        self.add_at(self.place[unknown], slope);
    }

    fn add_at(&mut self, column: usize, value: f64) {
        let row = self.data.len() - self.blocks;
        self.data[row + column / LANES][column % LANES] += value;
    }

    /// Residual of a row.
    #[cfg(test)]
    pub(super) fn residual(&self, row: usize) -> f64 {
        self.value(row, self.unknowns.len())
    }

    /// Derivative of a row's residual by `unknown`.
    #[cfg(test)]
    pub(super) fn derivative(&self, row: usize, unknown: usize) -> f64 {
        match self.place[unknown] {
            usize::MAX => 0.0,
            column => self.value(row, column),
        }
    }

    /// Time of a row, s.
    #[cfg(test)]
    pub(super) fn time_s(&self, row: usize) -> f64 {
        self.t_s[row]
    }

    #[cfg(test)]
    fn value(&self, row: usize, column: usize) -> f64 {
        self.data[row * self.blocks + column / LANES][column % LANES]
    }

    /// Adds all rows to `normal`, with this noise along them.
    pub(super) fn add_to(&mut self, normal: &mut Normal, noise: &ChainNoise) {
        let at = self.known.iter().position(|(of, _)| of == noise);
        let at = at.unwrap_or_else(|| {
            self.known.push((*noise, self.products(noise)));
            self.known.len() - 1
        });
        let products = &self.known[at].1;
        let product = |i: usize, j: usize| {
            products.of_blocks[i / LANES * self.blocks + j / LANES][i % LANES][j % LANES]
        };
        let n = self.unknowns.len();
        normal.cost += products.log_sum + product(n, n);
        for (i, &row) in self.unknowns.iter().enumerate() {
            normal.gradient[row] += product(n, i);
            for (j, &column) in self.unknowns[..=i].iter().enumerate() {
                normal.information[(row, column)] += product(i, j);
                if i != j {
                    normal.information[(column, row)] += product(i, j);
                }
            }
        }
    }

    fn products(&self, noise: &ChainNoise) -> Products {
        let mut of_blocks = vec![[[0.0; LANES]; LANES]; self.blocks * self.blocks];
        let rows = (&self.data[..], self.blocks);
        let log_sum = whiten(noise, &self.t_s, &self.heading, rows, |row| {
            for (at, sums) in of_blocks.chunks_exact_mut(self.blocks).enumerate() {
                let a = row[at];
                // up to the diagonal: the rest mirrors it
                for (b, sum) in row[..=at].iter().zip(sums) {
                    for i in 0..LANES {
                        for j in 0..LANES {
                            sum[i][j] += a[i] * b[j];
                        }
                    }
                }
            }
        });
        Products { of_blocks, log_sum }
    }
}
