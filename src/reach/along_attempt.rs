//! Height in hand along one draw of an attempt.

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

    /// Reach on the steepest path, to the end of the landing zone, without S-turns or orbits.
    pub fn steepest_reach(&self) -> Option<Reach<'_>> {
        let setting = ReachSetting {
            wings_level_m: 0.0,
            // the zone ends beyond the aim
            float_m: self.setting.float_m - self.setting.zone_m,
            ..self.setting
        };
        Reach::new(&self.steepest, self.landing_true_deg, &setting)
    }

    /// Reach with everything out from here on, to the aim itself.
    pub fn full_flap_reach(&self) -> Option<Reach<'_>> {
        Reach::new(&self.steepest, self.landing_true_deg, &self.setting)
    }

    /// The setting it was made with.
    pub fn setting(&self) -> &ReachSetting {
        &self.setting
    }

    /// Whether an instant is higher than the greatest height from which the aeroplane can still get
    /// down: the least height of its steepest path.
    pub fn is_too_high(&self, steepest: &Reach<'_>, at: &Instant) -> bool {
        steepest
            .least_height_m(&Position::of(at, self.landing_true_deg))
            .is_some_and(|most| at.motion.height_m > most)
    }
}

/// Steps of the first search, and of the closer look, in instants.
const COARSE: usize = 12;
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

/// Height in hand at each of the instants `steps`, m: `None` outside the glide `from_s` to `to_s`, and
/// on final from where the float begins, for beyond it the aim is behind.
pub fn heights_in_hand_m(
    hand: &Hand,
    flown: &Flown,
    steps: &[usize],
    (from_s, to_s): (f64, f64),
    on_final_s: Option<f64>,
) -> Vec<Option<f64>> {
    let Some(reach) = hand.reach() else {
        return vec![None; steps.len()];
    };
    let height = |k: &usize| -> Option<f64> {
        let at = flown.instants.get(*k)?;
        let t_s = at.motion.t_s;
        let on_final = on_final_s.is_some_and(|f| t_s >= f);
        if t_s < from_s || t_s > to_s || (on_final && at.along_m > -hand.setting.float_m) {
            return None;
        }
        hand.height_in_hand_m(&reach, at)
    };
    steps.iter().map(height).collect()
}

#[cfg(test)]
mod tests {
    use super::super::moments::moments;
    use super::*;
    use crate::air::WindProfile;
    use crate::atmosphere::{AirColumn, SpeedScale};
    use crate::flight_path::{Motion, Path};
    use crate::key_points::flown::DrawnAir;

    const POLAR: Polar = Polar {
        best_glide_cas_mps: 35.0,
        glide_ratio: 9.0,
    };

    /// Straight towards the aim from the south at 35 m/s and `sink_mps`, landing north, in still air.
    fn straight_in(from_m: f64, height_m: f64, sink_mps: f64, landing: Option<f64>) -> Flown {
        let scale = SpeedScale::of(&AirColumn::standard(0.0));
        let points: Vec<Motion> = (0..200)
            .map(|i| {
                let t_s = f64::from(i) * 0.5;
                Motion {
                    t_s,
                    north_m: 35.0 * t_s - from_m,
                    north_mps: 35.0,
                    height_m: height_m - sink_mps * t_s,
                    climb_mps: -sink_mps,
                    ..Motion::default()
                }
            })
            .collect();
        let air = DrawnAir {
            scale: &scale,
            gust_mps: &[],
            recorded_tas_mps: &[],
            recorded_cas_mps: &[],
        };
        let wind = WindProfile {
            knots_mps: vec![[0.0, 0.0]; 4],
        };
        Flown::new(Path { points }, (0.0, 99.0), wind, landing, &air)
    }

    fn hand(flown: &Flown) -> Hand {
        Hand::new(flown, 1.0, &POLAR, &ReachSetting::default()).expect("a landing direction")
    }

    fn series(flown: &Flown) -> (Vec<usize>, Vec<Option<f64>>) {
        let steps: Vec<usize> = (0..flown.instants.len()).step_by(2).collect();
        let heights = heights_in_hand_m(&hand(flown), flown, &steps, (0.0, 99.0), Some(0.0));
        (steps, heights)
    }

    #[test]
    fn a_glide_at_the_ratio_keeps_what_it_has_in_hand() {
        let flown = straight_in(3000.0, 383.0, 35.0 / 9.0, Some(0.0));
        let (_, heights) = series(&flown);
        // 2940 m to where the float begins need 327 m: 56 m in hand, all the way
        let known: Vec<f64> = heights.iter().flatten().copied().collect();
        assert!(known.len() > 80);
        for h in &known[..70] {
            assert!((h - 56.0).abs() < 6.0, "{h}");
        }
    }

    #[test]
    fn sinking_faster_than_the_glide_goes_out_of_reach_once() {
        let flown = straight_in(3000.0, 383.0, 6.0, Some(0.0));
        let (steps, heights) = series(&flown);
        let m = moments(&hand(&flown), &flown, (&steps, &heights), 0.0, Some(0.0));
        // 56 m won back at 6 - 35/9 m/s: gone after 27 s
        let gone = m.last_within_reach_s.expect("goes out of reach");
        assert!((gone - 28.0).abs() < 4.0, "{gone}");
        assert_eq!((m.back_within_reach_s, m.too_high_s), (None, None));
        assert_eq!(m.out_of_reach_s, None);
        let (least, at_s) = least_in_hand(&hand(&flown), &flown, 0.0, 60.0).expect("known");
        assert!(least < -50.0 && at_s > 58.0);
    }

    #[test]
    fn high_on_final_is_too_high() {
        let flown = straight_in(1500.0, 383.0, 4.0, Some(0.0));
        let (steps, heights) = series(&flown);
        let m = moments(&hand(&flown), &flown, (&steps, &heights), 0.0, Some(0.0));
        // everything out comes down 5 m in 1 from 1500 m: 300 m is the most
        assert_eq!(m.last_within_reach_s, None);
        assert!(m.too_high_s.is_some_and(|t| t < 5.0));
    }

    #[test]
    fn nothing_to_go_by_is_nothing() {
        let flown = straight_in(1500.0, 383.0, 4.0, None);
        assert!(Hand::new(&flown, 1.0, &POLAR, &ReachSetting::default()).is_none());
        let empty = straight_in(1500.0, 383.0, 4.0, Some(0.0))
            .between(5.0, 4.0)
            .len();
        assert_eq!(empty, 0);
        let flown = straight_in(1500.0, f64::NAN, 4.0, Some(0.0));
        let (steps, heights) = series(&flown);
        let _ = moments(&hand(&flown), &flown, (&steps, &heights), 0.0, Some(0.0));
        assert!(heights.iter().flatten().all(|h| h.is_nan()));
    }
}
