//! Covariances of many epochs, in half the room.

use crate::linear_algebra::Mat;

/// Symmetric matrices, one an epoch: the lower halves only.
#[derive(Debug, Clone, Default)]
pub(super) struct Covariances<const N: usize>(Vec<f64>);

impl<const N: usize> Covariances<N> {
    /// Numbers in a lower half.
    const HALF: usize = N * (N + 1) / 2;

    /// Puts in that of epoch `k`.
    pub(super) fn set(&mut self, k: usize, covariance: &Mat<N>) {
        let half = &mut self.0[k * Self::HALF..(k + 1) * Self::HALF];
        let mut at = 0;
        for (i, row) in covariance.iter().enumerate() {
            half[at..=at + i].copy_from_slice(&row[..=i]);
            at += i + 1;
        }
    }

    /// That of epoch `k`.
    pub(super) fn get(&self, k: usize) -> Mat<N> {
        let half = &self.0[k * Self::HALF..(k + 1) * Self::HALF];
        let mut out = [[0.0; N]; N];
        let mut at = 0;
        for i in 0..N {
            for j in 0..=i {
                out[i][j] = half[at + j];
                out[j][i] = half[at + j];
            }
            at += i + 1;
        }
        out
    }

    /// Zero at so many epochs.
    pub(super) fn of(epochs: usize) -> Self {
        Covariances(vec![0.0; epochs * Self::HALF])
    }

    /// Variance of a state at each epoch.
    pub(super) fn variances(&self, state: usize) -> impl Iterator<Item = f64> {
        let at = state * (state + 1) / 2 + state;
        self.0.chunks_exact(Self::HALF).map(move |half| half[at])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_comes_back_as_it_was_put_in() {
        let m = [[4.0, 1.0, 0.5], [1.0, 3.0, -0.2], [0.5, -0.2, 2.0]];
        let mut all = Covariances::<3>::of(2);
        all.set(1, &m);
        assert_eq!((all.get(0), all.get(1)), ([[0.0; 3]; 3], m));
        assert_eq!(all.variances(2).collect::<Vec<f64>>(), [0.0, 2.0]);
    }
}
