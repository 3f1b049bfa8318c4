//! Stage 3: cleaned fixes → [`FlightPath`], the motion as a distribution.
//!
//! Two filters over the same instants: [`horizontal`] and [`vertical`]. Outside the windows of
//! interest about one fix a second is used; inside them every fix, with instants between slow
//! ones, so that draws exist there too.

mod covariances;
pub mod horizontal;
pub mod nelder_mead;
pub mod path;
mod pressure_scale;
pub mod response;
pub mod rows;
pub mod setting;
pub mod singer;
pub mod smoother;
mod step;
mod temperature;
pub mod vertical;

pub use path::{Motion, Path};
pub use rows::Row;
pub use setting::Setting;

use crate::cleaning::CleanTrack;
use crate::random::Draws;
use horizontal::Horizontal;
use smoother::{Epoch, Smoothed, adapt_agitation, doubt_outliers, filter, smooth};
use vertical::Vertical;

/// Residual, in sigmas, from which an observation is doubted.
const OUTLIER_SIGMAS: f64 = 5.0;
/// Rounds of raising the driving noise.
const ADAPTATION_ROUNDS: usize = 3;
/// When the power comes off the nose is moved: the speed is traded for height or let go. From so long before that, and
/// until so long after, s (common practice), …
const PITCHING_S: (f64, f64) = (3.0, 12.0);
/// … the vertical motion is driven by this many times the power of the rest, which is mostly calm. Without it the
/// bump of a glide's first seconds was taken for a slow error of the receiver.
const PITCHING: f64 = 10.0;
/// Most epochs the parameters are fitted on.
const MOST_FITTED_EPOCHS: usize = 900;
/// Length of the stretches among which they are spread, s.
const STRETCH_S: f64 = 15.0;

/// The estimated motion.
#[derive(Debug, Clone)]
pub struct FlightPath {
    /// Posterior mean at every epoch.
    pub mean: Path,
    /// Posterior standard deviation of the height at every epoch, m.
    pub height_sd_m: Vec<f64>,
    /// The recording in the plane of the aim.
    pub rows: Vec<Row>,
    /// Horizontal noise and motion as fitted.
    pub horizontal_model: Horizontal,
    /// Vertical noise and motion as fitted.
    pub vertical_model: Vertical,
    /// Seconds on the ground of the aim's field that the heights rest on.
    pub ground_reference_s: f64,
    /// Estimated GNSS height error (slow and constant) at every epoch, m.
    pub gnss_error_m: Vec<f64>,
    /// Estimated pressure height error at every epoch, m.
    pub pressure_error_m: Vec<f64>,
    /// How far pressure heights are stretched, and the doubt of it: temperature of the column.
    pressure_scale: pressure_scale::PressureScale,
    level: Smoothed<4, 2>,
    /// When and what the horizontal filter observed.
    level_epochs: Vec<Epoch<0>>,
    upright: Smoothed<7, 1>,
}

/// A first look at the motion: coarse, the same everywhere.
pub fn estimate(track: &CleanTrack, setting: &Setting) -> FlightPath {
    let assumed = Horizontal::assumed(setting.position_quantum_m(track), track.median_step_s);
    let mut rows = rows::rows(track, setting);
    let pressure_scale = pressure_scale::estimate(&rows, setting);
    pressure_scale::apply(&mut rows, &pressure_scale);
    estimate_from(rows, pressure_scale, (track, setting), (assumed, &[]))
}

/// Where the motion is looked at finely, seconds on the recording's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// From here.
    pub from_s: f64,
    /// The power comes off about here.
    pub power_off_s: f64,
    /// To here.
    pub to_s: f64,
}

/// The motion again, finely inside `windows`, from the noise and
/// lags that the first look found: a window alone may be too straight to show them. The rows of the
/// first look are taken over, the rest is let go first.
pub fn refine(
    first_look: FlightPath,
    track: &CleanTrack,
    setting: &Setting,
    windows: &[Window],
) -> FlightPath {
    let start = first_look.horizontal_model;
    let (rows, pressure_scale) = first_look.into_rows();
    estimate_from(rows, pressure_scale, (track, setting), (start, windows))
}

fn estimate_from(
    rows: Vec<Row>,
    pressure_scale: pressure_scale::PressureScale,
    (track, setting): (&CleanTrack, &Setting),
    (start, windows): (Horizontal, &[Window]),
) -> FlightPath {
    let powers_off_s: Vec<f64> = windows.iter().map(|w| w.power_off_s).collect();
    let windows: &[(f64, f64)] = &windows
        .iter()
        .map(|w| (w.from_s, w.to_s))
        .collect::<Vec<_>>();
    let chosen = rows::chosen(&rows, windows);
    let (mut level_epochs, mut upright) = rows::epochs(&rows, &chosen, windows);
    let has_velocity = rows.iter().any(|r| r.velocity_mps.is_some());
    let has_pressure = rows.iter().any(|r| r.pressure_height_m.is_some());

    // the lag of recorded velocities matters from the first look on: wind and power rest on it
    let effort = if windows.is_empty() { 40 } else { 80 };
    let subset = subset_in(&level_epochs, windows);
    let horizontal_model = start.fitted(&subset, has_velocity, effort);
    let level = smooth_level(&horizontal_model, &mut level_epochs);

    let speed: Vec<f64> = level.mean.iter().map(|m| m[0][1].hypot(m[1][1])).collect();
    let distance: Vec<f64> = level.mean.iter().map(|m| m[0][0].hypot(m[1][0])).collect();
    let mut vertical_model = Vertical {
        gnss_datum_sd_m: setting.gnss_datum_sd_m,
        pressure_datum_sd_m: setting.pressure_datum_sd_m,
        ..Vertical::assumed(
            track.gnss_altitude_quantum_m.unwrap_or(0.0),
            track.pressure_altitude_quantum_m.unwrap_or(0.0),
            track.median_step_s,
        )
    };
    let mut ground_reference_s = 0.0;
    if setting.elevation_known {
        let rough = rough_heights(&upright, setting);
        ground_reference_s = rows::observe_ground(&mut upright, &speed, &distance, &rough);
    }
    expect_pitching(&mut upright, &powers_off_s);
    if !windows.is_empty() {
        let subset = subset_in(&upright, windows);
        vertical_model = vertical_model.fitted(&subset, has_pressure, 50);
    }
    let upright = smooth_upright(&vertical_model, &mut upright);

    let mean = Path {
        points: (0..level.t_s.len())
            .map(|k| motion(level.t_s[k], &level.mean[k], &upright.mean[k]))
            .collect(),
    };
    let height_sd_m = upright.variances(0).map(|v| v.max(0.0).sqrt()).collect();
    let gnss_error_m = upright.mean.iter().map(|m| m[0][3] + m[0][4]).collect();
    let pressure_error_m = upright.mean.iter().map(|m| m[0][5] + m[0][6]).collect();
    FlightPath {
        mean,
        height_sd_m,
        rows,
        horizontal_model,
        vertical_model,
        ground_reference_s,
        gnss_error_m,
        pressure_error_m,
        pressure_scale,
        level,
        level_epochs: level_epochs.iter().map(Epoch::without_values).collect(),
        upright,
    }
}

/// The epochs inside the windows (all without any), thinned in whole stretches to [`MOST_FITTED_EPOCHS`], without the empty ones.
fn subset_in<const A: usize>(epochs: &[Epoch<A>], windows: &[(f64, f64)]) -> Vec<Epoch<A>> {
    let inside: Vec<&Epoch<A>> = epochs
        .iter()
        .filter(|e| !e.observations().is_empty())
        .filter(|e| windows.is_empty() || windows.iter().any(|w| e.t_s >= w.0 && e.t_s <= w.1))
        .collect();
    // whole stretches keep the rate; short ones, so that straights and turns are all among them
    let keep_every = inside.len().div_ceil(MOST_FITTED_EPOCHS).max(1);
    inside
        .into_iter()
        .filter(|e| keep_every == 1 || ((e.t_s / STRETCH_S) as usize).is_multiple_of(keep_every))
        .cloned()
        .collect()
}

/// Lets the vertical motion around the instants at which power comes off be livelier.
fn expect_pitching(upright: &mut [Epoch<1>], powers_off_s: &[f64]) {
    let (before_s, after_s) = PITCHING_S;
    for epoch in upright {
        let is_near = |off_s: &f64| (-before_s..=after_s).contains(&(epoch.t_s - off_s));
        if powers_off_s.iter().any(is_near) {
            epoch.agitation *= PITCHING;
        }
    }
}

fn smooth_level(model: &Horizontal, epochs: &mut [Epoch<2>]) -> Smoothed<4, 2> {
    let start = horizontal::start_of(epochs);
    let mut filtered = filter(model, epochs, start);
    for _ in 0..ADAPTATION_ROUNDS {
        if !adapt_agitation(epochs, &filtered.surprise) {
            break;
        }
        filtered.run(model, epochs, start);
    }
    let smoothed = smooth(model, epochs, filtered);
    if doubt_outliers(model, epochs, &smoothed, OUTLIER_SIGMAS) > 0 {
        return smooth(model, epochs, filter(model, epochs, start));
    }
    smoothed
}

fn smooth_upright(model: &Vertical, epochs: &mut [Epoch<1>]) -> Smoothed<7, 1> {
    let start = [[0.0; 7]];
    let mut filtered = filter(model, epochs, start);
    for _ in 0..ADAPTATION_ROUNDS - 1 {
        if !adapt_agitation(epochs, &filtered.surprise) {
            break;
        }
        filtered.run(model, epochs, start);
    }
    let smoothed = smooth(model, epochs, filtered);
    if doubt_outliers(model, epochs, &smoothed, OUTLIER_SIGMAS) > 0 {
        return smooth(model, epochs, filter(model, epochs, start));
    }
    smoothed
}

/// Height at each epoch without any filter: the last known one.
fn rough_heights(upright: &[Epoch<1>], setting: &Setting) -> Vec<f64> {
    let mut last = 0.0;
    upright
        .iter()
        .map(|e| {
            let best = e.observations().iter().find(|o| {
                o.kind == vertical::GNSS_HEIGHT
                    || (o.kind == vertical::PRESSURE_HEIGHT && setting.pressure_datum_sd_m < 50.0)
            });
            if let Some(o) = best {
                last = o.value[0];
            }
            last
        })
        .collect()
}

fn motion(t_s: f64, level: &[[f64; 4]; 2], upright: &[[f64; 7]; 1]) -> Motion {
    Motion {
        t_s,
        east_m: level[0][0],
        north_m: level[1][0],
        height_m: upright[0][0],
        east_mps: level[0][1],
        north_mps: level[1][1],
        climb_mps: upright[0][1],
        east_mps2: level[0][2],
        north_mps2: level[1][2],
        climb_mps2: upright[0][2],
    }
}

/// One possible true path.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPath {
    /// The motion.
    pub path: Path,
    /// True height of this draw over the height that pressure and the expected temperature give: its
    /// column of air is so much warmer (absolute). None where no pressure was recorded.
    pub column_scale: Option<f64>,
}

/// What a step of acceleration would look like in the mean path.
#[derive(Debug, Clone)]
pub struct StepResponse {
    /// Instants, s.
    pub t_s: Vec<f64>,
    /// Share of the step shown at each instant, for each step.
    pub shown: Vec<Vec<f64>>,
}

/// Fixes this long before and after the stretch looked at still shape it, s.
const RESPONSE_MARGIN_S: f64 = 20.0;

impl FlightPath {
    /// Rows and scale of the pressure heights alone.
    fn into_rows(self) -> (Vec<Row>, pressure_scale::PressureScale) {
        (self.rows, self.pressure_scale)
    }

    /// What steps of the acceleration along the flight, at `steps_s`, would look like in the mean
    /// path from `from_s` to `to_s`.
    pub fn response(&self, (from_s, to_s): (f64, f64), steps_s: &[f64]) -> StepResponse {
        let epochs = &self.level_epochs;
        let from = epochs.partition_point(|e| e.t_s < from_s - RESPONSE_MARGIN_S);
        let to = epochs.partition_point(|e| e.t_s <= to_s + RESPONSE_MARGIN_S);
        let within = &epochs[from..to.max(from)];
        StepResponse {
            t_s: within.iter().map(|e| e.t_s).collect(),
            shown: response::to_steps(&self.horizontal_model, within, steps_s),
        }
    }

    /// `count` possible true paths from `from_s` to `to_s`.
    pub fn draws(&self, from_s: f64, to_s: f64, count: usize, rng: &mut Draws) -> Vec<DrawnPath> {
        let from = self.mean.index_before(from_s);
        let to = (self.mean.index_before(to_s) + 1)
            .min(self.level.t_s.len() - 1)
            .max(from);
        let at = (from, to);
        let mut paths = vec![vec![Motion::default(); to + 1 - from]; count];
        let (level, upright) = (&self.horizontal_model, &self.vertical_model);
        self.level.draws(level, at, count, rng, |draw, k, state| {
            let m = &mut paths[draw][k];
            [m.east_m, m.east_mps, m.east_mps2, _] = state[0];
            [m.north_m, m.north_mps, m.north_mps2, _] = state[1];
        });
        self.upright
            .draws(upright, at, count, rng, |draw, k, state| {
                let m = &mut paths[draw][k];
                [m.height_m, m.climb_mps, m.climb_mps2, ..] = state[0];
            });
        paths
            .into_iter()
            .map(|mut points| {
                let scale = 1.0 + self.pressure_scale.sd * rng.normal();
                for (m, t_s) in points.iter_mut().zip(&self.level.t_s[from..=to]) {
                    m.t_s = *t_s;
                    m.height_m *= scale;
                    m.climb_mps *= scale;
                    m.climb_mps2 *= scale;
                }
                DrawnPath {
                    path: Path { points },
                    column_scale: self.pressure_scale.column(scale),
                }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Level, then at 60 s up and over by 3 m within five seconds, then down at 4 m/s; a fix a second.
    fn height_m(t_s: f64) -> f64 {
        let after_s = (t_s - 60.0).max(0.0);
        if after_s < 5.0 {
            1000.0 + 3.0 * (std::f64::consts::PI * after_s / 10.0).sin()
        } else {
            1003.0 - 4.0 * (after_s - 5.0 - (1.0 - (5.0 - after_s).exp()))
        }
    }

    fn rises_by_m(powers_off_s: &[f64]) -> f64 {
        let calm = Vertical::assumed(0.0, 0.0, 1.0);
        let model = Vertical {
            motion: singer::Singer {
                jerk_density_m2ps5: 0.01,
                ..calm.motion
            },
            ..calm
        };
        let mut epochs: Vec<Epoch<1>> = (0..120)
            .map(|k| {
                let mut epoch = Epoch::new(f64::from(k));
                epoch.observe(vertical::GNSS_HEIGHT, [height_m(f64::from(k))]);
                epoch
            })
            .collect();
        expect_pitching(&mut epochs, powers_off_s);
        let path = smooth_upright(&model, &mut epochs);
        path.mean[65][0][0] - path.mean[60][0][0]
    }

    #[test]
    fn speed_traded_for_height_when_the_power_comes_off_is_seen() {
        let (unexpected, expected) = (rises_by_m(&[]), rises_by_m(&[60.5]));
        // of the three metres nothing, and a third at the driving noise of a calm flight
        assert!(
            unexpected < 0.3 && expected > 1.0,
            "{unexpected} {expected}"
        );
    }
}
