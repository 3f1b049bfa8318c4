//! What the fit is given: samples of the motion, in chains, and what is known before it.

use super::drag::Polar;
use super::wind::WindProfile;

/// Motion at one instant, as the fit needs it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sample {
    /// Seconds.
    pub t_s: f64,
    /// Ground velocity, east and north, m/s.
    pub velocity_mps: [f64; 2],
    /// Climb, m/s.
    pub climb_mps: f64,
    /// Height above the aim, m.
    pub height_m: f64,
    /// Acceleration, east and north, m/s².
    pub accel_mps2: [f64; 2],
    /// Best glide speed as true airspeed here, m/s.
    pub best_glide_tas_mps: f64,
    /// Recorded airspeed brought to true, m/s.
    pub recorded_tas_mps: Option<f64>,
    /// Whether the energy balance at idle holds here.
    pub idle: bool,
    /// How much of the speed carried into the glide is left: 1 where it begins, 0 for long after.
    pub carried_share: f64,
    /// How far the speed has gone over to that of the final approach: 0 before it, 1 on it.
    pub approach_share: f64,
}

/// What a chain of samples is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChainKind {
    /// The glide itself.
    Glide,
    /// Another glide of the same recording: same aeroplane, same day, some time away.
    OtherGlide,
    /// Flight before or after it, with an airspeed of its own.
    Context,
}

/// Samples in order away from the glide's edge (or along the glide).
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// What it is.
    pub kind: ChainKind,
    /// Strictly monotonic in time.
    pub samples: Vec<Sample>,
    /// Time between it and the glide, s.
    pub apart_s: f64,
}

impl Chain {
    /// Whether airspeed was recorded along nearly all of it.
    pub fn mostly_recorded(&self) -> bool {
        let recorded = self
            .samples
            .iter()
            .filter(|s| s.recorded_tas_mps.is_some())
            .count();
        recorded * 5 > self.samples.len() * 4
    }

    /// Whether it is a glide.
    pub fn glides(&self) -> bool {
        self.kind != ChainKind::Context
    }

    /// From its first to its last sample, s.
    pub fn length_s(&self) -> f64 {
        match (self.samples.first(), self.samples.last()) {
            (Some(a), Some(b)) => (b.t_s - a.t_s).abs(),
            _ => 0.0,
        }
    }

    /// Lowest and highest sample, m.
    pub fn heights_m(&self) -> (f64, f64) {
        self.samples
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
                (low.min(s.height_m), high.max(s.height_m))
            })
    }
}

/// What is known before the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct FitOptions {
    /// Surface wind, motion of the air east and north, m/s.
    pub surface_wind_mps: Option<[f64; 2]>,
    /// Mean true airspeed expected in the glides and its standard deviation, m/s.
    pub glide_tas_mps: (f64, f64),
    /// True airspeed expected on the final approach, m/s, where the briefing tells.
    pub approach_tas_mps: Option<f64>,
    /// Expected drag.
    pub polar: Polar,
    /// Standard deviation of the scale of the drag.
    pub drag_scale_sd: f64,
    /// Bias of recorded airspeed, standard deviation, m/s.
    pub recorded_bias_sd_mps: f64,
    /// Where to start, if known.
    pub start: Option<WindProfile>,
}
