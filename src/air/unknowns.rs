//! The unknowns of the fit, and where each is in the solution.

use super::wind::WindProfile;

/// Place of each unknown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Unknowns {
    /// Knots of the wind.
    pub(super) knots: usize,
    /// Chains of samples.
    pub(super) chains: usize,
}

impl Unknowns {
    /// East (0) or north (1) motion of the air at a knot, m/s.
    pub(super) fn wind_at(&self, knot: usize, axis: usize) -> usize {
        debug_assert!(knot < self.knots);
        2 * knot + axis
    }
    /// Mean airspeed of a chain, m/s.
    pub(super) fn mean(&self, chain: usize) -> usize {
        2 * self.knots + chain
    }
    /// Mean airspeed on the final approach of a chain, m/s.
    pub(super) fn approach(&self, chain: usize) -> usize {
        self.mean(self.chains) + chain
    }
    /// Speed above the mean carried into a chain, m/s.
    pub(super) fn carried(&self, chain: usize) -> usize {
        self.approach(self.chains) + chain
    }
    /// Mean vertical motion of the air over a chain, m/s up.
    pub(super) fn vertical_air(&self, chain: usize) -> usize {
        self.carried(self.chains) + chain
    }
    /// How much faster a chain is flown in a climb than level, m/s.
    pub(super) fn climbing(&self, chain: usize) -> usize {
        self.vertical_air(self.chains) + chain
    }
    /// How much faster than expected this pilot glides, m/s.
    pub(super) fn pilot(&self) -> usize {
        self.climbing(self.chains)
    }
    /// Scale of the drag.
    pub(super) fn drag(&self) -> usize {
        self.pilot() + 1
    }
    /// Logarithm of the speed of least drag against the nominal best glide speed.
    pub(super) fn least_drag(&self) -> usize {
        self.pilot() + 2
    }
    /// Bias of recorded airspeed, m/s.
    pub(super) fn bias(&self) -> usize {
        self.pilot() + 3
    }
    /// How much faster this pilot glides in turns than out of them, m/s.
    pub(super) fn in_turns(&self) -> usize {
        self.pilot() + 4
    }
    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.pilot() + 5
    }
    /// The wind of a solution.
    pub(super) fn wind(&self, x: &[f64]) -> WindProfile {
        WindProfile {
            knots_mps: (0..self.knots).map(|k| [x[2 * k], x[2 * k + 1]]).collect(),
        }
    }
}
