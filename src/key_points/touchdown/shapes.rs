//! The shapes a landing can take, in time from the contact.
//!
//! Before the contact `u = tau − t > 0` and the sink is a sum of a constant
//! and ramps, so height and its integral are polynomials: with `z = (u − k)₊`
//! a ramp from knot `k` gives sink `z`, height `z²/2`, integral `z³/6`.

/// A round-out and hold-off: nonlinear parameters of the flight before the contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Flare {
    /// Length of the hold-off, s; zero when the wheels met the ground in the round-out.
    pub(super) hold_s: f64,
    /// Length of the round-out, s.
    pub(super) round_out_s: f64,
    /// Prior probability.
    pub(super) prior: f64,
}

/// Prior over flares: 45 in a hundred touch in the round-out, the rest hold off for 2.5 s in the mean
/// (exponential: longer than 10 s one in a hundred). Round-outs at 0.1-0.4 g excess
/// load from 800 ft/min last 1 to 4 s.
pub(super) const FLARES: [Flare; 15] = [
    Flare {
        hold_s: 0.0,
        round_out_s: 1.5,
        prior: 0.12,
    },
    Flare {
        hold_s: 0.0,
        round_out_s: 2.5,
        prior: 0.18,
    },
    Flare {
        hold_s: 0.0,
        round_out_s: 4.0,
        prior: 0.15,
    },
    Flare {
        hold_s: 0.75,
        round_out_s: 2.0,
        prior: 0.1,
    },
    Flare {
        hold_s: 0.75,
        round_out_s: 3.5,
        prior: 0.09,
    },
    Flare {
        hold_s: 1.5,
        round_out_s: 2.0,
        prior: 0.08,
    },
    Flare {
        hold_s: 1.5,
        round_out_s: 3.5,
        prior: 0.07,
    },
    Flare {
        hold_s: 3.0,
        round_out_s: 2.0,
        prior: 0.06,
    },
    Flare {
        hold_s: 3.0,
        round_out_s: 3.5,
        prior: 0.05,
    },
    Flare {
        hold_s: 5.0,
        round_out_s: 2.0,
        prior: 0.035,
    },
    Flare {
        hold_s: 5.0,
        round_out_s: 3.5,
        prior: 0.03,
    },
    Flare {
        hold_s: 8.0,
        round_out_s: 2.0,
        prior: 0.015,
    },
    Flare {
        hold_s: 8.0,
        round_out_s: 3.5,
        prior: 0.011,
    },
    Flare {
        hold_s: 12.0,
        round_out_s: 2.0,
        prior: 0.005,
    },
    Flare {
        hold_s: 12.0,
        round_out_s: 3.5,
        prior: 0.004,
    },
];

/// Lengths of the first bounce, s (zero: none), with prior probabilities.
pub(super) const BOUNCES: [(f64, f64); 7] = [
    (0.0, 0.50),
    (0.8, 0.12),
    (1.4, 0.12),
    (2.0, 0.10),
    (2.8, 0.08),
    (4.0, 0.05),
    (6.0, 0.03),
];

/// Knots of a random walk, one a second, that reach over times of at most `most_s`.
pub(super) fn knots(most_s: f64) -> usize {
    (most_s.ceil().max(0.0) as usize).clamp(1, 32)
}

/// Seconds from contact until brakes or power may act, with prior probabilities.
pub(super) const QUIET: [(f64, f64); 6] = [
    (0.0, 0.12),
    (1.0, 0.13),
    (2.0, 0.15),
    (3.0, 0.20),
    (5.0, 0.20),
    (8.0, 0.20),
];

/// The sink of one shape and its integrals over `u`: sink, height, integral of height.
pub(super) type Motion = [f64; 3];

/// A ramp of unit slope from knot `k`.
pub(super) fn ramp(u_s: f64, k_s: f64) -> Motion {
    let z = (u_s - k_s).max(0.0);
    [z, z * z / 2.0, z * z * z / 6.0]
}

/// A ramp of unit slope over `k..k + len`, level after.
pub(super) fn step(u_s: f64, k_s: f64, len_s: f64) -> Motion {
    let (a, b) = (ramp(u_s, k_s), ramp(u_s, k_s + len_s));
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

impl Flare {
    /// Motion per unit of contact sink, hold-off sink and approach sink at `u_s` before the contact.
    pub(super) fn motions(&self, u_s: f64) -> [Motion; 3] {
        let u = u_s.max(0.0);
        let one = [1.0, u, u * u / 2.0];
        let rise = scaled(
            step(u, self.hold_s, self.round_out_s),
            1.0 / self.round_out_s,
        );
        if self.hold_s > 0.0 {
            let hold = scaled(step(u, 0.0, self.hold_s), 1.0 / self.hold_s);
            [minus(one, hold), minus(hold, rise), rise]
        } else {
            [minus(one, rise), [0.0; 3], rise]
        }
    }
}

/// A power `z^n / n!` of the time since `k`, for n = 0, 1, 2, 3, after a first-order lag of `lag_s`.
///
/// The lag `L ẏ + y = f` from rest turns `1` into `1 − e^{−z/L}` and each
/// further integral into itself less L times the one before.
pub(super) fn lagged_powers(r_s: f64, k_s: f64, lag_s: f64) -> [f64; 4] {
    let z = r_s - k_s;
    if z <= 0.0 {
        return [0.0; 4];
    }
    let one = if lag_s > 1e-6 {
        1.0 - (-z / lag_s).exp()
    } else {
        1.0
    };
    let first = z - lag_s * one;
    let second = z * z / 2.0 - lag_s * first;
    let third = z * z * z / 6.0 - lag_s * second;
    [one, first, second, third]
}

/// Climb, height and integrated height of a bounce of unit initial climb lasting `len_s` that
/// begins at `begin_s`, at `r_s` after the contact, seen through a first-order lag.
pub(super) fn bounce(r_s: f64, begin_s: f64, len_s: f64, lag_s: f64) -> Motion {
    if len_s <= 0.0 || r_s <= begin_s {
        return [0.0; 3];
    }
    // Height z − z²/len until it is back to zero; there both derivatives are taken off again.
    let (a, b) = (
        lagged_powers(r_s, begin_s, lag_s),
        lagged_powers(r_s, begin_s + len_s, lag_s),
    );
    let k = 2.0 / len_s;
    let at = |i: usize| a[i] - k * a[i + 1] + b[i] + k * b[i + 1];
    let integral = if lag_s > 0.0 {
        0.0
    } else {
        let fourth = |z: f64| z.max(0.0).powi(3) / 6.0;
        a[2] - k * fourth(r_s - begin_s) + b[2] + k * fourth(r_s - begin_s - len_s)
    };
    [at(0), at(1), integral]
}

fn scaled(a: Motion, k: f64) -> Motion {
    [a[0] * k, a[1] * k, a[2] * k]
}

fn minus(a: Motion, b: Motion) -> Motion {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sinks_are_one_at_their_own_knots() {
        let flare = FLARES[7];
        for (u, expected) in [
            (0.0, [1.0, 0.0, 0.0]),
            (3.0, [0.0, 1.0, 0.0]),
            (5.0, [0.0, 0.0, 1.0]),
            (9.0, [0.0, 0.0, 1.0]),
        ] {
            let motions = flare.motions(u);
            for i in 0..3 {
                assert!((motions[i][0] - expected[i]).abs() < 1e-12, "u {u}, {i}");
            }
        }
    }

    #[test]
    fn priors_sum_to_one() {
        assert!((FLARES.iter().map(|f| f.prior).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!((BOUNCES.iter().map(|b| b.1).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!((QUIET.iter().map(|q| q.1).sum::<f64>() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_bounce_ends_where_it_began() {
        assert!(bounce(2.5, 0.0, 2.5, 0.0)[1].abs() < 1e-12);
        assert!((bounce(1.25, 0.0, 2.5, 0.0)[1] - 0.625).abs() < 1e-12);
        assert!(bounce(9.0, 1.0, 2.5, 0.0)[0].abs() < 1e-12);
        // 2.5²/6: the area under the parabola.
        assert!((bounce(9.0, 1.0, 2.5, 0.0)[2] - 2.5 * 2.5 / 6.0).abs() < 1e-12);
    }

    #[test]
    fn a_lag_delays_a_ramp_by_itself() {
        assert!((lagged_powers(8.0, 0.0, 0.5)[1] - 7.5).abs() < 1e-6);
    }
}
