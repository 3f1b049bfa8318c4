//! Touchdown: when and where the wheels first met the ground, as a posterior.
//!
//! Level flight half a metre up looks like the ground to any receiver, so the
//! lowest height says little. What the wheels do change is the balance of
//! energy. In the air, with sink `s`, speed through the air `V` and drag per
//! mass `D`, a glide obeys `v̇ = g s / V − D`: the flare turns the descent into
//! deceleration while `D` hardly changes, and at the contact `D` gives way to
//! rolling friction and what is left of the drag. So the model is
//!
//! ```text
//! approach at a sink s0 -> round-out of length R -> hold-off of length H from sink s1 to sc -> contact at tau
//! -> perhaps a bounce -> a quiet rollout -> brakes or power at a free time
//! ```
//!
//! Given tau and a shape (H, R, bounce, end of the quiet rollout) everything
//! else is linear and Gaussian: it is integrated out exactly, over position,
//! speed, height, pressure height and vertical speed together, each with its
//! own lag, bias and quantum. The weights over a grid of tau and shapes are
//! the posterior; drawing picks one cell.
//!
//! Derivation of the energy line: along the path `m V̇ = −m D + m g s / V`
//! (power-off, load factor near one), so `V + (g/V) h` falls at the rate `D`.

mod air;
mod draw;
mod evidence;
mod fast_enough;
mod gaussian;
mod ground;
mod pass;
mod rows;
mod search;
mod shapes;
#[cfg(test)]
mod synthetic;
#[cfg(test)]
mod tests;

pub use draw::{Contact, ContactDraw, TouchdownPosterior};
pub use search::{contact_candidates, posterior};

/// One observation row near the ground, in time order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundRow {
    /// Seconds on the recording's clock.
    pub t_s: f64,
    /// Position along the landing direction from the aim, m, as recorded.
    pub along_m: f64,
    /// Position across it, right positive, m.
    pub across_m: f64,
    /// Recorded ground speed, m/s.
    pub ground_speed_mps: Option<f64>,
    /// Height above the aim by GNSS, m: datum corrected, noise untouched.
    pub gnss_height_m: Option<f64>,
    /// Height above the aim by pressure, m: datum corrected, noise untouched.
    pub baro_height_m: Option<f64>,
    /// Recorded vertical speed, m/s, up positive.
    pub vertical_speed_mps: Option<f64>,
    /// Engine speed or noise where recorded, in any unit.
    pub engine: Option<f64>,
}

/// What is known about the recording and the air, beside the rows.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundContext {
    /// Step of the GNSS height, m; zero when finer than the noise.
    pub gnss_quantum_m: f64,
    /// Step of the pressure height, m.
    pub baro_quantum_m: f64,
    /// Step of the position, m.
    pub position_quantum_m: f64,
    /// Step of the ground speed, m/s.
    pub speed_quantum_mps: f64,
    /// Median spacing of the rows, s.
    pub step_s: f64,
    /// Headwind near the ground, m/s.
    pub headwind_mps: f64,
    /// Approach speed of this aeroplane as true airspeed, m/s, where it is known.
    pub usual_approach_mps: Option<f64>,
    /// Lag of the recorded speed behind the position, s, where it was fitted.
    pub doppler_lag_s: Option<f64>,
    /// Standard deviation of the height datum of the rows, m.
    pub height_datum_sd_m: f64,
    /// Height of the recorder above the ground when rolling, m (centre of gravity: about 1.2).
    pub rollout_height_m: f64,
    /// Begin of the time in which the contact is looked for, s.
    pub search_from_s: f64,
    /// End of it, s.
    pub search_to_s: f64,
}
