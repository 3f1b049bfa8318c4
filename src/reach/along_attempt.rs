//! Height in hand along one draw of an attempt, and the moments at which reach was lost or won.

use super::glider::Glider;
use super::least_height::{Position, Reach};
use super::setting::ReachSetting;
use crate::air::drag::Polar;
use crate::key_points::Flown;
use crate::key_points::flown::Instant;

/// Two gliders in the air of one draw: the one that glides best and the one that comes down steepest.
#[derive(Debug, Clone)]
pub struct Hand {
    best: Glider,
    steepest: Glider,
    setting: ReachSetting,
    landing_true_deg: f64,
}

/// Moments of one draw, s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// Last moment with height in hand before it was gone.
    pub last_within_reach_s: Option<f64>,
    /// First moment with height in hand again after that.
    pub back_within_reach_s: Option<f64>,
    /// First moment on base or final at which even the steepest path passed over the aim.
    pub too_high_s: Option<f64>,
}

impl Hand {
    /// The gliders of a draw whose drag is `drag_scale` times what `polar` expects. `None` without a landing direction or without instants.
    pub fn new(
        flown: &Flown,
        drag_scale: f64,
        polar: &Polar,
        setting: &ReachSetting,
    ) -> Option<Self> {
        let landing_true_deg = flown.landing_true_deg?;
        let lowest = flown
            .instants
            .iter()
            .min_by(|a, b| a.motion.height_m.total_cmp(&b.motion.height_m))?;
        let speed = polar.best_glide_cas_mps;
        let best = Glider::new(
            (speed, polar.glide_ratio / drag_scale),
            speed,
            (
                lowest.tas_mps / lowest.cas_mps.max(1.0),
                lowest.motion.height_m,
            ),
            &flown.wind,
        );
        let steepest = best.flown_at(setting.steepest_speed_share * speed, setting.steepest_ratio);
        Some(Hand {
            best,
            steepest,
            setting: *setting,
            landing_true_deg,
        })
    }

    /// The glider that glides best.
    pub fn glider(&self) -> &Glider {
        &self.best
    }

    /// Reach at best glide. `None` where the wind lets the aeroplane make no way in the landing direction.
    pub fn reach(&self) -> Option<Reach<'_>> {
        Reach::new(&self.best, self.landing_true_deg, &self.setting)
    }

    /// Height in hand at an instant, m: height less the least height from which the aim can be reached.
    pub fn height_in_hand_m(&self, reach: &Reach<'_>, at: &Instant) -> Option<f64> {
        Some(at.motion.height_m - reach.least_height_m(&Position::of(at, self.landing_true_deg))?)
    }

    /// Greatest height from which the aeroplane can still get down to the landing zone, without
    /// S-turns or orbits, m.
    pub fn most_height_m(&self, at: &Instant) -> Option<f64> {
        let setting = ReachSetting {
            wings_level_m: 0.0,
            // the zone ends beyond the aim
            float_m: self.setting.float_m - self.setting.zone_m,
            ..self.setting
        };
        let reach = Reach::new(&self.steepest, self.landing_true_deg, &setting)?;
        reach.least_height_m(&Position::of(at, self.landing_true_deg))
    }
}

/// Steps of the first search, and of the closer look, in instants.
const COARSE: usize = 8;
const FINE: usize = 2;

/// Least height in hand between `from_s` and `to_s`, m, and when.
pub fn least_in_hand(hand: &Hand, flown: &Flown, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
    let stretch = flown.between(from_s, to_s);
    let reach = hand.reach()?;
    let at = |k: usize| -> Option<(f64, usize)> {
        hand.height_in_hand_m(&reach, stretch.get(k)?)
            .map(|h| (h, k))
    };
    let least = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0);
    let last = stretch.len().checked_sub(1)?;
    let coarse = (0..last)
        .step_by(COARSE)
        .chain([last])
        .filter_map(at)
        .min_by(least)?;
    let near = coarse.1.saturating_sub(COARSE - FINE)..=(coarse.1 + COARSE - FINE).min(last);
    let (height, k) = near
        .step_by(FINE)
        .filter_map(at)
        .chain([coarse])
        .min_by(least)?;
    Some((height, stretch[k].motion.t_s))
}

/// Reach must be gone, or back, for this long to count, s.
const LASTING_S: f64 = 3.0;

/// The moments between `from_s` and `to_s`; too high is looked for from `base_s` on.
pub fn moments(
    hand: &Hand,
    flown: &Flown,
    (from_s, to_s): (f64, f64),
    base_s: Option<f64>,
) -> Moments {
    let mut out = Moments::default();
    let Some(reach) = hand.reach() else {
        return out;
    };
    let mut gone_since: Option<f64> = None;
    let mut back_since: Option<f64> = None;
    for at in flown.between(from_s, to_s).iter().step_by(FINE) {
        let Some(height) = hand.height_in_hand_m(&reach, at) else {
            continue;
        };
        let t = at.motion.t_s;
        if out.last_within_reach_s.is_none() {
            if height >= 0.0 {
                gone_since = None;
            } else if t - *gone_since.get_or_insert(t) >= LASTING_S {
                out.last_within_reach_s = gone_since;
            }
        } else if out.back_within_reach_s.is_none() {
            if height < 0.0 {
                back_since = None;
            } else if t - *back_since.get_or_insert(t) >= LASTING_S {
                out.back_within_reach_s = back_since;
            }
        }
    }
    if let Some(base) = base_s.filter(|b| *b < to_s) {
        let high = |at: &&Instant| {
            hand.most_height_m(at)
                .is_some_and(|most| at.motion.height_m > most)
        };
        out.too_high_s = flown
            .between(base, to_s)
            .iter()
            .step_by(FINE)
            .find(high)
            .map(|at| at.motion.t_s);
    }
    out
}
