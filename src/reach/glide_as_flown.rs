//! The glide ratio this aeroplane really had, from the energy it lost in one draw.

use crate::air::drag::Polar;
use crate::key_points::flown::{Flown, Instant, STEP_S};
use crate::units::G0_MPS2;

/// What is expected of the drag before the glide is looked at: scale on the handbook's, and its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragPrior {
    /// Expected scale.
    pub scale: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// An idling propeller brakes and aeroplanes in service are not new; handbook ratio known.
pub const HANDBOOK_DRAG: DragPrior = DragPrior { scale: 1.05, sd: 0.12 };
/// Nothing but "a light single": 8 to 11 to 1.
pub const UNKNOWN_DRAG: DragPrior = DragPrior { scale: 1.05, sd: 0.20 };

/// Vertical motion of the air left in the mean over [`VERTICAL_AIR_OVER_S`] of glide, m/s: from calm
/// days to gusty ones (light turbulence, thermals; common practice), less over longer.
const VERTICAL_AIR_MPS: f64 = 0.35;
/// See above, s.
const VERTICAL_AIR_OVER_S: f64 = 150.0;
/// Shorter than this a stretch says nothing, s.
const LEAST_S: f64 = 4.0;

/// The glide of one draw over some stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlideAsFlown {
    /// Drag against the polar expected, most likely.
    pub drag_scale: f64,
    /// Standard deviation of it.
    pub drag_scale_sd: f64,
    /// Seconds it was measured over.
    pub seconds: f64,
}

impl GlideAsFlown {
    /// The glide between `from_s` and `to_s` of one draw, against `polar`; the prior where too short.
    pub fn measured(flown: &Flown, polar: &Polar, prior: &DragPrior, (from_s, to_s): (f64, f64)) -> Self {
        let stretch = flown.between(from_s, to_s);
        let seconds = stretch.len().saturating_sub(1) as f64 * STEP_S;
        let nothing = GlideAsFlown { drag_scale: prior.scale, drag_scale_sd: prior.sd, seconds: 0.0 };
        let (Some(first), Some(last)) = (stretch.first(), stretch.last()) else { return nothing };
        if seconds < LEAST_S {
            return nothing;
        }
        let lost = energy_height_m(first) - energy_height_m(last);
        let expected: f64 = stretch.iter().map(|i| expected_sink_mps(i, polar) * STEP_S).sum();
        let sink = expected / seconds;
        let found = lost / expected;
        if !(found.is_finite() && sink > 0.3) {
            return nothing;
        }
        let noise = VERTICAL_AIR_MPS * (VERTICAL_AIR_OVER_S / seconds).sqrt() / sink;
        let (of_glide, of_prior) = (noise.powi(-2), prior.sd.powi(-2));
        GlideAsFlown {
            drag_scale: ((found * of_glide + prior.scale * of_prior) / (of_glide + of_prior)).clamp(0.4, 3.0),
            drag_scale_sd: (of_glide + of_prior).sqrt().recip(),
            seconds,
        }
    }
}

fn air_speed_mps(i: &Instant) -> f64 {
    i.level_air_mps.hypot(i.motion.climb_mps)
}

fn energy_height_m(i: &Instant) -> f64 {
    i.motion.height_m + air_speed_mps(i).powi(2) / (2.0 * G0_MPS2)
}

/// Rate of energy height the polar expects, m/s.
fn expected_sink_mps(i: &Instant, polar: &Polar) -> f64 {
    let tas_per_cas = i.tas_mps / i.cas_mps.max(1.0);
    polar.sink_mps(air_speed_mps(i), polar.best_glide_cas_mps * tas_per_cas, i.load_factor)
}
