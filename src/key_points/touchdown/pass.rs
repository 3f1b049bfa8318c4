//! The low pass in outline: where it was lowest, how long it stayed there, whether it climbed away.
//!
//! Enough to place the grid of contact times, to leave out what follows a
//! lift-off, and to tell a contact from a go-around out of the flare.

use super::{GroundContext, GroundRow};
use crate::random::normal_below;

/// Outline of the lowest stretch inside the search window.
#[derive(Debug, Clone, Copy)]
pub(super) struct LowPass {
    /// Rough time of contact, s.
    pub(super) contact_s: f64,
    /// Time from which the aeroplane may be flying again, s; infinite when it stayed down.
    pub(super) airborne_again_s: f64,
    /// Mean of the lowest heights, m above the aim.
    level_m: f64,
    /// Time spent near that level, s.
    dwell_s: f64,
    /// Least ground speed after the contact over that before.
    slowed_to: f64,
    /// The recording goes on after the lowest height.
    continues: bool,
}

/// Height over the level at which the end of the descent is timed, m: above receiver noise, below any turn.
const GATE_M: f64 = 6.0;
/// From there to the ground with a usual flare, s.
const GATE_TO_CONTACT_S: f64 = 2.0;
/// Near the level: noise and a bounce stay inside, m.
const NEAR_M: f64 = 3.0;
/// A climb is seen this long after the lift-off at the earliest: 6 m at 2-3 m/s, rotation before it, s.
const LIFT_OFF_BEFORE_S: f64 = 4.5;

impl LowPass {
    /// Finds it; nothing without heights.
    pub(super) fn find(rows: &[GroundRow], context: &GroundContext) -> Option<LowPass> {
        let heights = heights(rows, context);
        if heights.len() < 4 {
            return None;
        }
        let low = lowest(&heights)?;
        let t_low = heights[low].0;
        // The level: median of what lies within 3 s of the lowest.
        let mut near: Vec<f64> = heights
            .iter()
            .filter(|h| (h.0 - t_low).abs() <= 3.0)
            .map(|h| h.1)
            .collect();
        near.sort_by(f64::total_cmp);
        let level_m = near[near.len() / 2].min(heights[low].1 + 1.5);
        let gate = |range: &mut dyn Iterator<Item = &(f64, f64)>| -> Option<f64> {
            let mut previous: Option<(f64, f64)> = None;
            for &(t, h) in range {
                if h > level_m + GATE_M {
                    return Some(previous.map_or(t, |(t0, h0)| {
                        let share = if h > h0 {
                            (h - level_m - GATE_M) / (h - h0)
                        } else {
                            0.0
                        };
                        t + (t0 - t) * share.clamp(0.0, 1.0)
                    }));
                }
                previous = Some((t, h));
            }
            None
        };
        let came_s = gate(&mut heights[..=low].iter().rev());
        let went_s = gate(&mut heights[low..].iter());
        let last_s = heights[heights.len() - 1].0;
        let continues = last_s > t_low + 3.0;
        let mut contact_s = came_s.map_or(t_low, |t| t + GATE_TO_CONTACT_S);
        if !continues && heights[low].1 > context.rollout_height_m + GATE_M {
            // Cut short on the approach: what is left at the sink so far.
            let sink = came_s
                .map_or(4.0, |t| GATE_M / (t_low - t).max(0.5))
                .clamp(1.0, 6.0);
            contact_s = t_low + (heights[low].1 - context.rollout_height_m) / sink;
        }
        let airborne_again_s = went_s.map_or(f64::INFINITY, |t| {
            (t - LIFT_OFF_BEFORE_S).max(contact_s + 1.0)
        });
        Some(LowPass {
            contact_s,
            airborne_again_s,
            level_m,
            dwell_s: dwell(&heights, low, level_m),
            slowed_to: slowed(rows, contact_s),
            continues,
        })
    }

    /// Probability that the wheels met the ground.
    ///
    /// Even odds at the start, then the evidence of the level against the ground, of the time spent near it, and of
    /// the speed that was lost there.
    pub(super) fn touched_probability(&self, context: &GroundContext) -> f64 {
        // Level: on the ground to within the datum and the receiver; else some height of a go-around,
        // which is spread over about 25 m.
        let sd = (context.height_datum_sd_m.clamp(0.5, 30.0).powi(2) + 1.0).sqrt();
        let above = self.level_m - context.rollout_height_m;
        let on_ground =
            (-0.5 * (above / sd).powi(2)).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt());
        let spread_m = 25.0_f64;
        // Exponential of that mean, blurred by the same error.
        let in_air = (sd * sd / (2.0 * spread_m * spread_m) - above / spread_m).exp() / spread_m
            * normal_below(above / sd - sd / spread_m);
        let mut log_odds = (on_ground.max(1e-30) / in_air.max(1e-30)).ln();
        if self.continues {
            // Time within 3 m of the level: 3-5 s when the sink is turned into a climb at 1-3 m/s²,
            // a rollout or a low flight along the runway is longer.
            let turned = 0.9 * normal(self.dwell_s, 4.0, 1.3) + 0.1 / 15.0;
            let stayed = if self.dwell_s < 4.0 {
                0.15 * normal(self.dwell_s, 5.0, 1.5)
            } else {
                0.04
            };
            log_odds += (stayed.max(1e-6) / turned).ln();
        }
        if self.slowed_to < 0.6 {
            // No aeroplane flies at six tenths of its approach speed.
            log_odds += 8.0;
        }
        1.0 / (1.0 + (-log_odds).exp())
    }
}

fn normal(x: f64, mean: f64, sd: f64) -> f64 {
    (-0.5 * ((x - mean) / sd).powi(2)).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt())
}

/// Heights in the search window and a little around it, both sources averaged.
fn heights(rows: &[GroundRow], context: &GroundContext) -> Vec<(f64, f64)> {
    rows.iter()
        .filter(|r| r.t_s >= context.search_from_s - 6.0 && r.t_s <= context.search_to_s + 6.0)
        .filter_map(|r| {
            let mean = match (
                r.gnss_height_m.filter(|h| h.is_finite()),
                r.baro_height_m.filter(|h| h.is_finite()),
            ) {
                (Some(g), Some(b)) => f64::midpoint(g, b),
                (Some(h), None) | (None, Some(h)) => h,
                (None, None) => return None,
            };
            Some((r.t_s, mean))
        })
        .collect()
}

/// Index of the lowest mean of three neighbours: one bad height does not make it.
fn lowest(heights: &[(f64, f64)]) -> Option<usize> {
    (1..heights.len().saturating_sub(1))
        .map(|i| {
            (
                i,
                median_of_three(heights[i - 1].1, heights[i].1, heights[i + 1].1),
            )
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|m| m.0)
}

fn median_of_three(a: f64, b: f64, c: f64) -> f64 {
    a.max(b).min(a.min(b).max(c))
}

/// Length of the stretch about the lowest row that stays near the level, s.
fn dwell(heights: &[(f64, f64)], low: usize, level_m: f64) -> f64 {
    let smooth: Vec<(f64, f64)> = (0..heights.len())
        .map(|i| {
            let (a, c) = (
                heights[i.saturating_sub(1)].1,
                heights[(i + 1).min(heights.len() - 1)].1,
            );
            (heights[i].0, median_of_three(a, heights[i].1, c))
        })
        .collect();
    let near = |h: &&(f64, f64)| h.1 <= level_m + NEAR_M;
    let first = smooth[..=low]
        .iter()
        .rev()
        .take_while(near)
        .last()
        .map_or(heights[low].0, |h| h.0);
    let last = smooth[low..]
        .iter()
        .take_while(near)
        .last()
        .map_or(heights[low].0, |h| h.0);
    last - first
}

/// Least speed in the minute after over the mean speed before the contact; one when unknown.
fn slowed(rows: &[GroundRow], contact_s: f64) -> f64 {
    let speed = |from_s: f64, to_s: f64| -> Vec<f64> {
        let inside: Vec<&GroundRow> = rows
            .iter()
            .filter(|r| r.t_s >= from_s && r.t_s <= to_s)
            .collect();
        inside
            .windows(2)
            .filter(|w| w[1].t_s - w[0].t_s > 0.05)
            .map(|w| {
                let by_position = (w[1].along_m - w[0].along_m).abs() / (w[1].t_s - w[0].t_s);
                w[1].ground_speed_mps.unwrap_or(by_position)
            })
            .filter(|v| v.is_finite())
            .collect()
    };
    let mut before = speed(contact_s - 12.0, contact_s - 4.0);
    let mut after = speed(contact_s, contact_s + 60.0);
    if before.is_empty() || after.len() < 3 {
        return 1.0;
    }
    before.sort_by(f64::total_cmp);
    after.sort_by(f64::total_cmp);
    // The second least: one bad row does not stop an aeroplane.
    after[1] / before[before.len() / 2].max(5.0)
}
