//! The moments at which reach was lost or won in one draw.

use super::along_attempt::Hand;
use crate::key_points::Flown;

/// Moments of one draw, s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// Last moment within reach: gone then, and not back until the end of the glide.
    pub last_within_reach_s: Option<f64>,
    /// First moment at which reach was lost that was won back later.
    pub out_of_reach_s: Option<f64>,
    /// Last moment at which it was won back.
    pub back_within_reach_s: Option<f64>,
    /// First moment from the base turn on at which even the steepest path passed over the aim.
    pub too_high_s: Option<f64>,
}

/// Reach must be gone, or back, for this long to count, s.
const LASTING_S: f64 = 3.0;
/// Short of nothing by less than this is within reach, m: nobody judges ten feet.
pub const JUDGED_TO_M: f64 = 3.0;

/// The moments in a series of heights in hand, from `settled_s` on; too high is looked for from
/// `pattern_s`, the base turn or, straight in, being lined up.
pub fn moments(
    hand: &Hand,
    flown: &Flown,
    (steps, heights): (&[usize], &[Option<f64>]),
    settled_s: f64,
    pattern_s: Option<f64>,
) -> Moments {
    let known: Vec<(f64, f64, usize)> = steps
        .iter()
        .zip(heights)
        .filter_map(|(k, height)| Some((flown.instants.get(*k)?.motion.t_s, (*height)?, *k)))
        .filter(|(t_s, height, _)| *t_s >= settled_s && height.is_finite())
        .collect();
    let reach: Vec<(f64, f64)> = known
        .iter()
        .map(|(t_s, height, _)| (*t_s, *height))
        .collect();
    let (lost, won) = lost_and_won(&reach);
    let mut out = Moments {
        back_within_reach_s: won.last().copied(),
        out_of_reach_s: lost.first().copied().filter(|_| !won.is_empty()),
        last_within_reach_s: lost.last().copied().filter(|_| lost.len() > won.len()),
        too_high_s: None,
    };
    if let (Some(pattern_s), Some(steepest)) = (pattern_s, hand.steepest_reach()) {
        let high = known
            .iter()
            .filter(|(t_s, ..)| *t_s >= pattern_s)
            .filter_map(|(t_s, _, k)| {
                let at = flown.instants.get(*k)?;
                Some((*t_s, hand.is_too_high(&steepest, at)))
            });
        out.too_high_s = first_lasting(high);
    }
    out
}

/// When reach was lost and when it was won back, s, in turn; within reach at first.
pub fn lost_and_won(heights: &[(f64, f64)]) -> (Vec<f64>, Vec<f64>) {
    let (mut lost, mut won) = (Vec::new(), Vec::new());
    let mut since: Option<f64> = None;
    for (t_s, height) in heights {
        let within = lost.len() == won.len();
        let other = if within {
            *height < -JUDGED_TO_M
        } else {
            *height >= 0.0
        };
        if !other {
            since = None;
            continue;
        }
        let from_s = *since.get_or_insert(*t_s);
        if t_s - from_s >= LASTING_S {
            if within { &mut lost } else { &mut won }.push(from_s);
            since = None;
        }
    }
    (lost, won)
}

/// Start of the first spell that lasts.
fn first_lasting(states: impl Iterator<Item = (f64, bool)>) -> Option<f64> {
    let mut since: Option<f64> = None;
    for (t_s, there) in states {
        if !there {
            since = None;
            continue;
        }
        let from_s = *since.get_or_insert(t_s);
        if t_s - from_s >= LASTING_S {
            return Some(from_s);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One height a second.
    fn each_second(heights: &[f64]) -> Vec<(f64, f64)> {
        heights
            .iter()
            .enumerate()
            .map(|(i, h)| (i as f64, *h))
            .collect()
    }

    #[test]
    fn lost_won_and_lost_again() {
        let heights = each_second(&[
            9.0, 2.0, -4.0, -8.0, -9.0, -9.0, -2.0, 1.0, 4.0, 5.0, 6.0, -5.0, -6.0, -7.0, -8.0,
        ]);
        assert_eq!(lost_and_won(&heights), (vec![2.0, 11.0], vec![7.0]));
    }

    #[test]
    fn two_seconds_and_two_metres_do_not_count() {
        let heights = each_second(&[9.0, -5.0, -5.0, 3.0, -2.0, -2.0, -2.0, -2.0, -2.0, 1.0]);
        assert_eq!(lost_and_won(&heights), (vec![], vec![]));
    }

    #[test]
    fn the_first_spell_that_lasts() {
        let states = [
            (0.0, true),
            (1.0, false),
            (2.0, true),
            (3.5, true),
            (5.0, true),
        ];
        assert_eq!(first_lasting(states.into_iter()), Some(2.0));
        assert_eq!(first_lasting(states[..4].iter().copied()), None);
    }
}
