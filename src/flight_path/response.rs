//! What the smoother makes of a sudden change of acceleration.
//!
//! Between fixes far apart a step is spread and rings. The smoother is linear, so its answer to
//! a step at any instant follows from running it, with the same fixes, noise and gains, on the
//! motion of a step: whoever looks for the step then looks for what it would have been turned into.

use super::horizontal::{Horizontal, POSITION};
use super::smoother::{Epoch, filter, smooth};

/// Steps answered in one pass: they share every covariance.
const AT_ONCE: usize = 16;

/// Acceleration the smoother shows at each epoch for a unit step at each of `steps_s`:
/// `[step][epoch]`.
pub fn to_steps<const A: usize>(
    model: &Horizontal,
    epochs: &[Epoch<A>],
    steps_s: &[f64],
) -> Vec<Vec<f64>> {
    let mut out = Vec::with_capacity(steps_s.len());
    for group in steps_s.chunks(AT_ONCE) {
        let epochs: Vec<Epoch<AT_ONCE>> =
            epochs.iter().map(|e| answered(model, e, group)).collect();
        let smoothed = smooth(model, &epochs, filter(model, &epochs, [[0.0; 4]; AT_ONCE]));
        for k in 0..group.len() {
            out.push(smoothed.mean.iter().map(|m| m[k][2]).collect());
        }
    }
    out
}

/// The epoch as it would have been recorded, without noise, for a unit step of each axis.
fn answered<const A: usize>(
    model: &Horizontal,
    like: &Epoch<A>,
    steps_s: &[f64],
) -> Epoch<AT_ONCE> {
    let mut epoch = Epoch::new(like.t_s);
    epoch.agitation = like.agitation;
    for o in like.observations() {
        let mut value = [0.0; AT_ONCE];
        for (v, step_s) in value.iter_mut().zip(steps_s) {
            let after_s = (like.t_s - step_s).max(0.0);
            *v = if o.kind == POSITION {
                0.5 * after_s * after_s
            } else if after_s > 0.0 {
                after_s - model.velocity_lag_s
            } else {
                0.0
            };
        }
        epoch.observe_doubted(o.kind, value, o.doubt);
    }
    epoch
}

#[cfg(test)]
mod tests {
    use super::*;

    fn epochs(fix_every: usize) -> Vec<Epoch<2>> {
        (0..120)
            .map(|k| {
                let mut e = Epoch::new(0.5 * k as f64);
                if k % fix_every == 0 {
                    e.observe(POSITION, [0.0; 2]);
                }
                e
            })
            .collect()
    }

    fn rise_s(fix_every: usize) -> f64 {
        let model = Horizontal::assumed(0.0, 0.5 * fix_every as f64);
        let answer = &to_steps(&model, &epochs(fix_every), &[30.2])[0];
        assert!(answer[..40].iter().all(|a| a.abs() < 0.1), "{answer:?}");
        // past the last fix (55 s at the rarest) nothing holds it up
        assert!(answer[72..90].iter().all(|a| (a - 1.0).abs() < 0.11));
        let first = |level: f64| answer.iter().position(|a| *a > level).unwrap();
        let middle_s = 0.25 * (first(0.25) + first(0.75)) as f64;
        assert!((middle_s - 30.2).abs() < 1.0, "{middle_s}");
        0.5 * (first(0.9) - first(0.1)) as f64
    }

    #[test]
    fn a_step_stays_in_place_and_is_spread_the_more_the_rarer_the_fixes() {
        assert!(rise_s(10) > rise_s(2) + 0.9, "{} {}", rise_s(10), rise_s(2));
    }
}
