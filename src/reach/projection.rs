//! Where the touchdown would be, judged at a moment of the glide.
//!
//! What the pilot does next is not in the track, so the projection is a prediction with its doubt:
//!
//! 1. *Nothing done*: turn to the aim by the cheapest path, glide on with the drag measured so far.
//!    The height left over (or missing) at the aim, times the ratio over the ground on final, is
//!    how far beyond (or short of) it the glide would end.
//! 2. *All done*: flap all the way down, some seconds from now. No touchdown can be nearer.
//!    On the downwind there is no such limit: the base turn can be put off.
//! 3. Between the two the pilot chooses, and chooses the aim, more or less well: a mark drawn
//!    around the aim, held between 1 and 2. Low, nothing helps; high, everything is used.
//! 4. What is left: path, speed, gusts, round-out and float.

use super::glide_as_flown::DragNow;
use super::glider::Glider;
use super::least_height::{Needed, Position, Reach};
use super::setting::ReachSetting;
use crate::air::drag::Polar;
use crate::key_points::Flown;
use crate::random::Draws;
use crate::units::M_PER_FT;

// The figures below are priors of what pilots do on the last 500 ft: held-off landings end further on
// than firm ones, and a track does not tell which it will be. The spreads are wide enough for both.

/// Where pilots put it when they can choose, m beyond the aim, and its spread.
const MARK_M: (f64, f64) = (0.0, 400.0 * M_PER_FT);
/// Ratio with full flap, and its spread: see [`ReachSetting::steepest_ratio`]; pilots seldom use all of it.
const FULL_FLAP_RATIO: (f64, f64) = (5.4, 0.6);
/// Time until all the flap is out, s: it is put down in steps, the last on short final (common practice).
const FLAP_DELAY_S: (f64, f64) = (12.0, 4.0);
/// Float beyond the point where the glide would meet the ground, m: clean, and with everything out.
const FLOAT_M: (f64, f64) = (45.0, 25.0);
/// What is left, share of the height above the aim, as metres along: path, speed, vertical air.
const LEFT_PER_HEIGHT: f64 = 0.5;
/// What is left of a glide that ends here: round-out and float, m.
const LEFT_M: f64 = 40.0;
/// Speed kept for the rest of the glide, between best glide (0) and the speed of the last
/// [`RECENT_S`] (1): pilots drift back to the speed they mean to fly.
const SPEED_KEPT: (f64, f64) = (0.6, 0.2);
/// See above, s.
const RECENT_S: f64 = 20.0;

/// The moment the height first falls through `height_m` between `from_s` and `to_s`, s.
pub fn falls_through(flown: &Flown, height_m: f64, from_s: f64, to_s: f64) -> Option<f64> {
    let stretch = flown.between(from_s, to_s);
    stretch.windows(2).find_map(|pair| {
        let (a, b) = (
            pair[0].motion.height_m - height_m,
            pair[1].motion.height_m - height_m,
        );
        (a >= 0.0 && b < 0.0)
            .then(|| pair[0].motion.t_s + (pair[1].motion.t_s - pair[0].motion.t_s) * a / (a - b))
    })
}

/// Lined up within this an aeroplane is on final, degrees.
const ON_FINAL_DEG: f64 = 35.0;
/// Sector around the landing line in which it goes on straight: share of the way, and m.
const SECTOR: (f64, f64) = (0.35, 60.0);

/// Heading further off the landing direction than this, the base turn is still to be chosen, degrees
/// (base and half of the turn onto it).
const DOWNWIND_DEG: f64 = 120.0;

/// A way round that takes more height than this, share of the straight one and m, is an orbit: nobody
/// flies one from final.
const DETOUR: (f64, f64) = (1.3, 15.0);

/// On final: straight to the aim, or on from it where it is already behind (height and time then negative).
fn straight_ahead(reach: &Reach<'_>, at: &Position) -> Option<Needed> {
    let off = crate::units::wrap_180_deg(at.heading_deg).abs();
    let lined_up = off < ON_FINAL_DEG && at.across_m.abs() < SECTOR.0 * at.along_m.abs() + SECTOR.1;
    lined_up.then(|| Needed {
        height_m: -at.along_m / reach.final_ratio(),
        time_s: -at.along_m / reach.final_speed_mps(),
    })
}

/// Touchdown along the landing direction, m beyond the aim, judged at `t_s` of one draw.
/// `None` without a landing direction, or where the wind does not let the aim be reached at all.
pub fn from_state(
    flown: &Flown,
    t_s: f64,
    drag_now: &DragNow,
    polar: &Polar,
    draws: &mut Draws,
) -> Option<f64> {
    // all numbers drawn first: the same stream whatever the branch
    let mut normal = |(mean, sd): (f64, f64)| mean + sd * draws.normal();
    let mark = normal(MARK_M);
    let full_flap_ratio = normal(FULL_FLAP_RATIO).clamp(3.5, 7.5);
    let flap_delay_s = normal(FLAP_DELAY_S).max(2.0);
    let kept = normal(SPEED_KEPT).clamp(0.0, 1.0);
    let left = normal((0.0, 1.0));
    let bank_limit_deg = normal((30.0, 3.0));
    let drag_scale = drag_now.draw(draws);

    let landing = flown.landing_true_deg?;
    let now = flown.instants.get(flown.index(t_s))?;
    let recent = flown.between(t_s - RECENT_S, t_s);
    let recent_cas =
        recent.iter().map(|i| i.calm_cas_mps).sum::<f64>() / recent.len().max(1) as f64;
    let cas = kept * recent_cas + (1.0 - kept) * polar.best_glide_cas_mps;
    let drag = polar.sink_mps(cas, polar.best_glide_cas_mps, 1.0) * drag_scale;
    let clean = Glider::new(
        (cas, cas / drag),
        polar.best_glide_cas_mps,
        (now.tas_mps / now.cas_mps.max(1.0), now.motion.height_m),
        &flown.wind,
    );
    let setting = ReachSetting {
        bank_limit_deg,
        wings_level_m: 0.0,
        float_m: 0.0,
        ..ReachSetting::default()
    };
    let reach = Reach::new(&clean, landing, &setting)?;
    let position = Position::of(now, landing);
    let height = now.motion.height_m;
    let needed = match (reach.needed(&position), straight_ahead(&reach, &position)) {
        (Some(round), Some(ahead)) if round.height_m > DETOUR.0 * ahead.height_m + DETOUR.1 => {
            ahead
        }
        (round, ahead) => round.or(ahead)?,
    };
    let worth = clean.speed_worth_m(position.tas_mps, height);
    // 1: nothing done
    let as_is = (height + worth - needed.height_m) * reach.final_ratio() + FLOAT_M.0;
    // 2: all done, from the end of the delay on, be that before the aim or beyond
    let flap_tas = 0.93 * clean.tas_mps(0.5 * height);
    let flap_sink = flap_tas / full_flap_ratio;
    let flap_mps = (flap_tas + reach.tail_wind_mps()).max(1.0);
    let clean_sink = clean.sink_mps(height);
    let clean_s = flap_delay_s.min(needed.time_s);
    let over_aim = height + worth - clean_sink * clean_s - flap_sink * (needed.time_s - clean_s);
    let beyond_s = (flap_delay_s - clean_s).min(over_aim / clean_sink).max(0.0);
    let all_done = beyond_s * clean_sink * reach.final_ratio()
        + (over_aim - beyond_s * clean_sink) / flap_sink * flap_mps
        + FLOAT_M.1;
    // on the downwind the way itself can be made longer: what is too high there is flown off
    let off = crate::units::wrap_180_deg(position.heading_deg).abs();
    let all_done = if off > DOWNWIND_DEG {
        f64::NEG_INFINITY
    } else {
        all_done
    };
    // 3: the mark, between
    let chosen = mark.clamp(all_done.min(as_is), as_is);
    Some(chosen + left * (LEFT_PER_HEIGHT * height.max(0.0)).hypot(LEFT_M))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::WindProfile;
    use crate::atmosphere::{AirColumn, SpeedScale};
    use crate::flight_path::{Motion, Path};
    use crate::key_points::flown::DrawnAir;
    use crate::quantity::quantile_sorted;
    use crate::reach::glide_as_flown::HANDBOOK_DRAG;

    const POLAR: Polar = Polar {
        best_glide_cas_mps: 35.0,
        glide_ratio: 9.0,
    };

    /// Straight in, landing north, in still air; at 150 m above the aim `short_m` before it.
    fn straight_in(short_m: f64, landing: Option<f64>) -> Flown {
        let scale = SpeedScale::of(&AirColumn::standard(0.0));
        let sink = 35.0 * 1.05 / 9.0;
        let points: Vec<Motion> = (0..160)
            .map(|i| {
                let t_s = f64::from(i) * 0.5;
                Motion {
                    t_s,
                    north_m: 35.0 * (t_s - 60.0) - short_m,
                    north_mps: 35.0,
                    height_m: 150.0 - sink * (t_s - 60.0),
                    climb_mps: -sink,
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
        Flown::new(Path { points }, (0.0, 79.0), wind, landing, &air)
    }

    /// 2.5 %, 50 % and 97.5 % of the projections from 150 m.
    fn projected(short_m: f64) -> [f64; 3] {
        let flown = straight_in(short_m, Some(0.0));
        let t_s = falls_through(&flown, 150.0, 0.0, 79.0).expect("falls through");
        assert!((t_s - 60.0).abs() < 0.01);
        let drag = DragNow::judged(&flown, &POLAR, &HANDBOOK_DRAG, 0.0, t_s);
        let mut draws = Draws::new(5, 1);
        let mut all: Vec<f64> = (0..2000)
            .filter_map(|_| from_state(&flown, t_s, &drag, &POLAR, &mut draws))
            .collect();
        assert_eq!(all.len(), 2000);
        all.sort_by(f64::total_cmp);
        [0.025, 0.5, 0.975].map(|q| quantile_sorted(&all, q))
    }

    #[test]
    fn low_nothing_helps_and_high_not_everything() {
        // 150 m at 35/(35 x 1.05/9) = 8.6: 1286 m and 45 m of float
        let low = projected(1900.0);
        assert!((low[1] - (1286.0 + 45.0 - 1900.0)).abs() < 80.0, "{low:?}");
        // near the middle the pilot makes it
        let middle = projected(1050.0);
        assert!(
            middle[1].abs() < 80.0 && middle[0] < -120.0 && middle[2] > 120.0,
            "{middle:?}"
        );
        // so high that all the flap is not enough: beyond the aim, but short of the clean glide
        let high = projected(600.0);
        assert!(
            high[1] > 100.0 && high[1] < 1286.0 + 45.0 - 600.0,
            "{high:?}"
        );
        assert!(low[1] < middle[1] && middle[1] < high[1]);
    }

    #[test]
    fn no_landing_direction_no_projection() {
        let flown = straight_in(1000.0, None);
        let drag = DragNow::judged(&flown, &POLAR, &HANDBOOK_DRAG, 0.0, 60.0);
        assert!(from_state(&flown, 60.0, &drag, &POLAR, &mut Draws::new(1, 1)).is_none());
        assert!(falls_through(&flown, f64::NAN, 0.0, 79.0).is_none());
    }

    #[test]
    fn what_the_last_seconds_say_moves_the_drag() {
        let flown = straight_in(1000.0, Some(0.0));
        let steady = DragNow::judged(&flown, &POLAR, &HANDBOOK_DRAG, 0.0, 60.0);
        assert!((steady.cases[0].1 - 1.05).abs() < 0.06, "{steady:?}");
        assert!(steady.cases[0].0 > 0.75);
        // against a drag expected to be half as much, the same descent is something out
        let better = Polar {
            glide_ratio: 18.0,
            ..POLAR
        };
        let out = DragNow::judged(&flown, &better, &HANDBOOK_DRAG, 55.0, 60.0);
        assert!(out.cases[1].1 > 1.4, "{out:?}");
    }
}
