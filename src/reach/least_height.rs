//! The least height from which the aim can still be reached in the landing direction.
//!
//! A gliding Dubins path planned in the air mass: while the aeroplane flies, the air carries it, so
//! through the air the aim moves against the wind. The time to go is the least T at which the path
//! to the place the aim has by then takes no longer than T. Least height does not depend on the
//! height flown: more height is always exactly that much more in hand.

use super::dubins::{self, Journey};
use super::glider::Glider;
use super::setting::ReachSetting;
use crate::key_points::flown::Instant;
use crate::units::G0_MPS2;

/// Where an aeroplane is and where it is going.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// Beyond the aim in the landing direction, m.
    pub along_m: f64,
    /// Right of it, m.
    pub across_m: f64,
    /// Direction of flight through the air less the landing direction, degrees.
    pub heading_deg: f64,
    /// True airspeed, m/s.
    pub tas_mps: f64,
}

impl Position {
    /// The position of a drawn instant.
    pub fn of(instant: &Instant, landing_true_deg: f64) -> Self {
        Position {
            along_m: instant.along_m,
            across_m: instant.across_m,
            heading_deg: instant.heading_deg - landing_true_deg,
            tas_mps: instant.level_air_mps.hypot(instant.motion.climb_mps),
        }
    }
}

/// What reaching the aim takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needed {
    /// Height above the aim, m, at the speed held (speed in excess is not counted here).
    pub height_m: f64,
    /// Time to go, s.
    pub time_s: f64,
}

/// Longest way to go that is looked at, s: a glide of an hour is no practice forced landing.
const LONGEST_S: f64 = 3600.0;
/// Times to go that differ by less are one, s.
const SAME_S: f64 = 0.03;
/// Nearer than this the way there is taken to be a straight line, s.
const NEAR_S: f64 = 0.5;
/// Lined up within this, the wings need not be level at a height: the aeroplane is on final, degrees.
const ON_FINAL_DEG: f64 = 35.0;
/// Sector before the aim from which a straight line leads there: share of the way to go, and half
/// the width of a strip, m.
const ASKEW: (f64, f64) = (0.3, 10.0);
/// Way flown there against the straight line: a turn of 35 degrees and back.
const TURNS_ON_FINAL: f64 = 1.05;

/// The reach of a glider towards one landing direction.
#[derive(Debug, Clone)]
pub struct Reach<'a> {
    glider: &'a Glider,
    /// Sine and cosine of the landing direction.
    landing: (f64, f64),
    bank_rad: f64,
    turn_cost: f64,
    /// Height of the last straight, m.
    final_height_m: f64,
    /// Where the glide must meet the ground, m along.
    ground_m: f64,
    /// Mean wind over the last straight, along and to the left, m/s.
    final_wind: [f64; 2],
    /// Heading on it, counter-clockwise from the landing direction, rad.
    final_rad: f64,
    /// Speed over the ground on it, m/s.
    final_mps: f64,
}

impl<'a> Reach<'a> {
    /// The reach of `glider`. `None` where the wind lets it make no way in the landing direction.
    pub fn new(glider: &'a Glider, landing_true_deg: f64, setting: &ReachSetting) -> Option<Self> {
        let final_height_m = setting.wings_level_m.clamp(0.0, 300.0);
        let wind = glider.mean_wind(0.0, final_height_m.max(15.0));
        let landing = landing_true_deg.to_radians().sin_cos();
        let final_wind = to_landing(wind, landing);
        let tas = glider.tas_mps(0.5 * final_height_m);
        // the heading that cancels the wind across
        let sin = -final_wind[1] / tas;
        if sin.is_nan() || sin.abs() > 0.9 {
            return None;
        }
        let final_rad = sin.asin();
        let final_mps = tas * final_rad.cos() + final_wind[0];
        let bank_rad = setting.bank_rad();
        (final_mps > 1.0).then(|| Reach {
            glider,
            landing,
            bank_rad,
            turn_cost: glider.turn_cost(bank_rad),
            final_height_m,
            ground_m: -setting.float_m,
            final_wind,
            final_rad,
            final_mps,
        })
    }

    /// Metres over the ground on final for one metre of height.
    pub fn final_ratio(&self) -> f64 {
        self.final_mps / self.glider.sink_mps(0.5 * self.final_height_m)
    }

    /// Speed over the ground on final, m/s.
    pub fn final_speed_mps(&self) -> f64 {
        self.final_mps
    }

    /// Wind along the landing direction near the ground, m/s, tail positive.
    pub fn tail_wind_mps(&self) -> f64 {
        self.final_wind[0]
    }

    /// What it takes to reach the aim from `at`. `None` where the wind does not let it.
    pub fn needed(&self, at: &Position) -> Option<Needed> {
        if !(at.along_m + at.across_m + at.heading_deg).is_finite() {
            return None;
        }
        let whole = self.needed_with(at, self.final_height_m);
        let off = crate::units::wrap_180_deg(at.heading_deg + self.final_rad.to_degrees()).abs();
        let to_go_m = self.ground_m - at.along_m;
        let full_m = self.final_height_m * self.final_ratio();
        if off > ON_FINAL_DEG || to_go_m <= 0.0 || to_go_m > 3.0 * full_m {
            return whole;
        }
        // on final: a last correction may be lower, and close in, a landing a little askew is one
        let low_m = (0.3 * to_go_m / self.final_ratio()).min(self.final_height_m);
        let low = self.needed_with(at, low_m);
        let straight = self.straight_in(at, to_go_m);
        [whole, low, straight]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.height_m.total_cmp(&b.height_m))
    }

    /// Straight to the aim from a narrow sector before it; the last turns cost a little.
    fn straight_in(&self, at: &Position, to_go_m: f64) -> Option<Needed> {
        if at.across_m.abs() > ASKEW.0 * to_go_m + ASKEW.1 {
            return None;
        }
        let way_m = TURNS_ON_FINAL * to_go_m.hypot(at.across_m);
        Some(Needed {
            height_m: way_m / self.final_ratio()
                + self.shear_cost_m([0.0, 0.0], 0.0, way_m / self.final_ratio()),
            time_s: way_m / self.final_mps,
        })
    }

    /// Least height above the aim, m, at `at`, its speed counted.
    pub fn least_height_m(&self, at: &Position) -> Option<f64> {
        let needed = self.needed(at)?;
        let worth = self.glider.speed_worth_m(at.tas_mps, needed.height_m);
        (needed.height_m - worth)
            .is_finite()
            .then_some(needed.height_m - worth)
    }

    /// Height that changing wind takes on the way down, m: descending into less headwind costs
    /// airspeed, V/g·û·ΔW of height. `before` is the mean direction of the way down to the last
    /// straight: displacement through the air over length; the last straight is final.
    fn shear_cost_m(&self, before: [f64; 2], height_m: f64, final_height_m: f64) -> f64 {
        let wind = |h: f64| to_landing(self.glider.wind_at(h), self.landing);
        let (high, gate, ground) = (
            wind(height_m.max(final_height_m)),
            wind(final_height_m),
            wind(0.0),
        );
        let on_final = [self.final_rad.cos(), self.final_rad.sin()];
        let along = |u: [f64; 2], lower: [f64; 2], upper: [f64; 2]| {
            u[0] * (lower[0] - upper[0]) + u[1] * (lower[1] - upper[1])
        };
        self.glider.tas_mps(0.5 * height_m) / G0_MPS2
            * (along(before, gate, high) + along(on_final, ground, gate))
    }

    fn needed_with(&self, at: &Position, final_height_m: f64) -> Option<Needed> {
        let final_s = final_height_m / self.glider.sink_mps(0.5 * final_height_m);
        let gate_m = self.ground_m - final_s * self.final_mps;
        let from_rad = -at.heading_deg.to_radians();
        let ends = (from_rad.sin_cos(), self.final_rad.sin_cos());
        // path through the air to where the gate will be in `t` seconds
        let path = |t: f64, height_m: f64| -> Option<Needed> {
            let middle_m = 0.5 * (final_height_m + height_m);
            let w = to_landing(
                self.glider.mean_wind(final_height_m, height_m),
                self.landing,
            );
            let radius = self.glider.radius_m(self.bank_rad, middle_m);
            let by = [
                (gate_m - at.along_m - w[0] * t) / radius,
                (at.across_m - w[1] * t) / radius,
            ];
            let journey = Journey {
                by,
                from_rad,
                to_rad: self.final_rad,
            };
            let flown = dubins::cheapest_between(&journey, ends, self.turn_cost)?;
            let (turned, straight) = (flown.turned_rad() * radius, flown.straight() * radius);
            let tas = self.glider.tas_mps(middle_m);
            Some(Needed {
                height_m: final_height_m + (self.turn_cost * turned + straight) / self.glider.ratio,
                time_s: (turned + straight) / tas,
            })
        };
        // least T with path(T) <= T, between `early` (longer) and `late` (not longer)
        let mut found = path(0.0, final_height_m)?;
        let (mut early, mut early_gap) = (0.0, found.time_s);
        let mut late: Option<(f64, f64)> = None;
        let (mut t, mut before) = (found.time_s, (0.0, found));
        for round in 0..40 {
            found = path(t, found.height_m)?;
            let gap = found.time_s - t;
            let (before_s, at_before) = before;
            let slope = (gap - (at_before.time_s - before_s)) / (t - before_s);
            if gap.abs() < SAME_S {
                break;
            }
            if gap.abs() < NEAR_S && slope.abs() > 0.2 && slope.abs() < 3.0 {
                // smooth here: the rest along the line through the last two
                let step = -gap / slope;
                let climb = (found.height_m - at_before.height_m) / (t - before_s);
                t += step;
                found = Needed {
                    height_m: found.height_m + climb * step,
                    time_s: t,
                };
                break;
            }
            before = (t, found);
            if gap > 0.0 {
                (early, early_gap) = (t, gap);
                t += -gap / slope.clamp(-3.0, -0.05);
            } else {
                late = Some((t, gap));
            }
            if let Some((late_s, late_gap)) = late {
                if late_s - early < SAME_S {
                    // the path jumps here: the time over is flown off straight ahead
                    t = late_s;
                    found = path(t, found.height_m)?;
                    break;
                }
                // false position, and a halving now and then so that a jump cannot stall it
                let share = if round % 3 == 2 {
                    0.5
                } else {
                    early_gap / (early_gap - late_gap)
                };
                t = early + share.clamp(0.02, 0.98) * (late_s - early);
            }
            if t > LONGEST_S {
                return None;
            }
        }
        let wasted_s = (t - found.time_s).max(0.0);
        let w = to_landing(
            self.glider.mean_wind(final_height_m, found.height_m),
            self.landing,
        );
        let length_m = (t.max(found.time_s) * self.glider.tas_mps(found.height_m)).max(1.0);
        let direction = [
            (gate_m - at.along_m - w[0] * t) / length_m,
            (at.across_m - w[1] * t) / length_m,
        ];
        let height_m = found.height_m + wasted_s * self.glider.sink_mps(found.height_m);
        Some(Needed {
            height_m: height_m + self.shear_cost_m(direction, height_m, final_height_m),
            time_s: t.max(found.time_s) + final_s,
        })
    }
}

/// East and north turned, by sine and cosine of the landing direction, to along the landing direction and left of it.
fn to_landing(vector: [f64; 2], (sin, cos): (f64, f64)) -> [f64; 2] {
    [
        vector[0] * sin + vector[1] * cos,
        vector[1] * sin - vector[0] * cos,
    ]
}
