//! Evidence of a few levels: coefficients of whitened columns, integrated out under Gaussian priors.

/// Most columns.
const MOST: usize = 4;

/// Columns as their products with one another and with the data.
pub(super) struct Levels {
    count: usize,
    /// Lower half.
    information: [[f64; MOST]; MOST],
    right: [f64; MOST],
    constant: f64,
    /// Product of the standard deviations of the priors.
    widths: f64,
}

impl Levels {
    /// None yet, for data of this square.
    pub(super) fn new(data_data: f64) -> Self {
        Levels {
            count: 0,
            information: [[0.0; MOST]; MOST],
            right: [0.0; MOST],
            constant: data_data,
            widths: 1.0,
        }
    }

    /// Adds a column by its products with those before it and itself, and with the data. Its coefficient is expected to
    /// be `mean` ± `sd`. More than four are not counted.
    pub(super) fn add(&mut self, products: &[f64], with_data: f64, (mean, sd): (f64, f64)) {
        let i = self.count;
        if i >= MOST {
            return;
        }
        let weight = 1.0 / (sd * sd);
        for (sum, product) in self.information[i].iter_mut().zip(products) {
            *sum = *product;
        }
        self.information[i][i] += weight;
        self.right[i] = with_data + mean * weight;
        self.constant += mean * mean * weight;
        self.widths *= sd;
        self.count += 1;
    }

    /// Log of the likelihood of the data, up to what all have in common.
    pub(super) fn log_evidence(&self) -> f64 {
        let (mut lower, mut half) = (self.information, self.right);
        let mut determinant = 1.0;
        let mut explained = 0.0;
        for i in 0..self.count {
            for j in 0..=i {
                let mut value = lower[i][j];
                for k in 0..j {
                    value -= lower[i][k] * lower[j][k];
                }
                if i > j {
                    lower[i][j] = value / lower[j][j];
                } else if value > 0.0 && value.is_finite() {
                    determinant *= value;
                    lower[i][i] = value.sqrt();
                } else {
                    return f64::NEG_INFINITY;
                }
            }
            for k in 0..i {
                half[i] -= lower[i][k] * half[k];
            }
            half[i] /= lower[i][i];
            explained += half[i] * half[i];
        }
        -0.5 * (self.constant - explained + determinant.ln()) - self.widths.ln()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_datum_and_one_level_by_hand() {
        // y = a with unit noise, a = 1 ± 2, y = 3: normal law of mean 1 and variance 5, whose density is
        // exp(-0.4) / sqrt(2 pi 5); sqrt(2 pi) is what all have in common
        let mut levels = Levels::new(9.0);
        levels.add(&[1.0], 3.0, (1.0, 2.0));
        assert!((levels.log_evidence() - (-0.4 - 0.5 * 5f64.ln())).abs() < 1e-12);
    }

    #[test]
    fn two_columns_of_independent_data_are_two_levels() {
        let mut both = Levels::new(9.0 + 4.0);
        both.add(&[1.0], 3.0, (1.0, 2.0));
        both.add(&[0.0, 1.0], 2.0, (0.0, 1.0));
        let mut one = Levels::new(9.0);
        one.add(&[1.0], 3.0, (1.0, 2.0));
        let mut other = Levels::new(4.0);
        other.add(&[1.0], 2.0, (0.0, 1.0));
        let apart = one.log_evidence() + other.log_evidence();
        assert!((both.log_evidence() - apart).abs() < 1e-12);
    }

    /// Determinant, by the first row.
    fn determinant(m: &[Vec<f64>]) -> f64 {
        if m.is_empty() {
            return 1.0;
        }
        (0..m.len())
            .map(|j| {
                let rest: Vec<Vec<f64>> = m[1..]
                    .iter()
                    .map(|row| {
                        row.iter()
                            .enumerate()
                            .filter(|(k, _)| *k != j)
                            .map(|(_, v)| *v)
                            .collect()
                    })
                    .collect();
                let sign = if j % 2 == 0 { 1.0 } else { -1.0 };
                sign * m[0][j] * determinant(&rest)
            })
            .sum()
    }

    #[test]
    fn four_columns_against_the_normal_law_of_the_data() {
        let columns = [
            [1.0, 2.0, 0.5],
            [0.3, -1.0, 2.0],
            [-0.7, 0.4, 1.1],
            [2.0, 0.2, -0.6],
        ];
        let data = [3.0, -1.0, 2.5];
        let priors = [(1.0, 2.0), (-0.5, 0.7), (0.0, 1.5), (2.0, 0.4)];
        let dot = |a: &[f64; 3], b: &[f64; 3]| -> f64 { (0..3).map(|i| a[i] * b[i]).sum() };
        for count in 1..=4 {
            let mut levels = Levels::new(dot(&data, &data));
            for i in 0..count {
                let products: Vec<f64> = (0..=i).map(|j| dot(&columns[i], &columns[j])).collect();
                levels.add(&products, dot(&columns[i], &data), priors[i]);
            }
            // what is left over is normal with the covariance 1 + sum of sd² c cᵀ; its quadratic form by Cramer's rule
            let mut left = data;
            let mut covariance = vec![vec![0.0; 3]; 3];
            for i in 0..3 {
                covariance[i][i] += 1.0;
                for k in 0..count {
                    left[i] -= priors[k].0 * columns[k][i];
                    for j in 0..3 {
                        covariance[i][j] += priors[k].1.powi(2) * columns[k][i] * columns[k][j];
                    }
                }
            }
            let whole = determinant(&covariance);
            let square: f64 = (0..3)
                .map(|j| {
                    let mut replaced = covariance.clone();
                    for i in 0..3 {
                        replaced[i][j] = left[i];
                    }
                    left[j] * determinant(&replaced) / whole
                })
                .sum();
            let expected = -0.5 * (square + whole.ln());
            let found = levels.log_evidence();
            assert!(
                (found - expected).abs() < 1e-9,
                "{count}: {found}, not {expected}"
            );
        }
        // a fifth is not counted
        let mut levels = Levels::new(1.0);
        for _ in 0..5 {
            levels.add(&[0.0; 4], 0.0, (0.0, 1.0));
        }
        assert_eq!(levels.count, 4);
    }

    #[test]
    fn what_cannot_be_is_no_evidence() {
        let mut levels = Levels::new(f64::NAN);
        levels.add(&[f64::NAN], 0.0, (0.0, 1.0));
        assert_eq!(levels.log_evidence(), f64::NEG_INFINITY);
        for impossible in [-5.0, f64::INFINITY] {
            let mut levels = Levels::new(1.0);
            levels.add(&[impossible], 0.0, (0.0, 1.0));
            assert_eq!(levels.log_evidence(), f64::NEG_INFINITY);
        }
    }
}
