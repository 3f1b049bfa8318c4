//! The glide ratio this aeroplane really had, from the energy it lost in one draw.

use crate::air::WindProfile;
use crate::air::drag::Polar;
use crate::key_points::flown::{Flown, Instant, STEP_S};
use crate::random::Draws;
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
pub const HANDBOOK_DRAG: DragPrior = DragPrior {
    scale: 1.05,
    sd: 0.12,
};
/// Nothing but "a light single": 8 to 11 to 1.
pub const UNKNOWN_DRAG: DragPrior = DragPrior {
    scale: 1.05,
    sd: 0.20,
};

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
    pub fn measured(
        flown: &Flown,
        polar: &Polar,
        prior: &DragPrior,
        (from_s, to_s): (f64, f64),
    ) -> Self {
        let stretch = flown.between(from_s, to_s);
        let seconds = stretch.len().saturating_sub(1) as f64 * STEP_S;
        let nothing = GlideAsFlown {
            drag_scale: prior.scale,
            drag_scale_sd: prior.sd,
            seconds: 0.0,
        };
        let (Some(first), Some(last)) = (stretch.first(), stretch.last()) else {
            return nothing;
        };
        if seconds < LEAST_S {
            return nothing;
        }
        let shear: f64 = stretch
            .iter()
            .map(|i| shear_loss_mps(flown, i) * STEP_S)
            .sum();
        let lost = energy_height_m(first) - energy_height_m(last) - shear;
        let expected: f64 = stretch
            .iter()
            .map(|i| expected_sink_mps(i, polar) * STEP_S)
            .sum();
        let sink = expected / seconds;
        let found = lost / expected;
        if !(found.is_finite() && sink > 0.3) {
            return nothing;
        }
        let noise = VERTICAL_AIR_MPS * (VERTICAL_AIR_OVER_S / seconds).sqrt() / sink;
        let (of_glide, of_prior) = (noise.powi(-2), prior.sd.powi(-2));
        GlideAsFlown {
            drag_scale: ((found * of_glide + prior.scale * of_prior) / (of_glide + of_prior))
                .clamp(0.4, 3.0),
            drag_scale_sd: (of_glide + of_prior).sqrt().recip(),
            seconds,
        }
    }

    /// One scale of the drag.
    pub fn draw(&self, draws: &mut Draws) -> f64 {
        (self.drag_scale + self.drag_scale_sd * draws.normal()).clamp(0.5, 2.5)
    }
}

/// Drag over some seconds of a glide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragOver {
    /// Middle of the stretch, s.
    pub t_s: f64,
    /// Drag against the polar's, share.
    pub drag: f64,
    /// Change of the polar's drag, share, as its best glide speed rises by its own part: what a
    /// wrong best glide speed does to `drag` while the speed flown changes.
    pub shape: f64,
    /// Change of airspeed, m/s².
    pub speeding_mps2: f64,
    /// Mean bank, degrees, either way.
    pub bank_deg: f64,
}

/// Drag against `polar` in each stretch of `step_s` between `from_s` and `to_s`.
pub fn drag_in_steps(
    flown: &Flown,
    polar: &Polar,
    (from_s, to_s): (f64, f64),
    step_s: f64,
) -> Vec<DragOver> {
    let count = ((to_s - from_s) / step_s).floor().clamp(0.0, 1000.0) as usize;
    (0..count)
        .filter_map(|k| {
            let (a, b) = (from_s + step_s * k as f64, from_s + step_s * (k + 1) as f64);
            let stretch = flown.between(a, b);
            let (lost, expected) = lost_and_expected_m(flown, polar, stretch)?;
            let mean = |f: &dyn Fn(&Instant) -> f64| {
                stretch.iter().map(f).sum::<f64>() / stretch.len() as f64
            };
            let ends = (stretch.first()?, stretch.last()?);
            Some(DragOver {
                t_s: 0.5 * (a + b),
                drag: lost / expected,
                shape: mean(&|i| shape(i, polar)),
                speeding_mps2: (air_speed_mps(ends.1) - air_speed_mps(ends.0)) / step_s,
                bank_deg: mean(&|i| i.bank_deg.abs()),
            })
        })
        .collect()
}

/// See [`DragOver::shape`].
fn shape(i: &Instant, polar: &Polar) -> f64 {
    let best = polar.best_glide_cas_mps * i.tas_mps / i.cas_mps.max(1.0);
    -polar.shape_mps(air_speed_mps(i), best, i.load_factor) / expected_sink_mps(i, polar)
}

/// Energy height lost along a stretch, less what changing wind took, and what `polar` expects, m.
fn lost_and_expected_m(flown: &Flown, polar: &Polar, stretch: &[Instant]) -> Option<(f64, f64)> {
    let (first, last) = (stretch.first()?, stretch.last()?);
    // between instants: each counts for the step that follows it
    let steps = &stretch[..stretch.len() - 1];
    let shear: f64 = steps
        .iter()
        .map(|i| shear_loss_mps(flown, i) * STEP_S)
        .sum();
    let expected: f64 = steps
        .iter()
        .map(|i| expected_sink_mps(i, polar) * STEP_S)
        .sum();
    let lost = energy_height_m(first) - energy_height_m(last) - shear;
    (lost.is_finite() && expected > 0.1).then_some((lost, expected))
}

/// Length of the stretch that tells what is out now, s.
const NOW_S: f64 = 12.0;
/// Spread of the drag found over [`NOW_S`], share: vertical air of half a metre a second, path noise.
const NOW_NOISE: f64 = 0.2;
/// Drag some seconds ago and drag to come differ by this, share: speed, slip, wandering hands.
const CHANGE_SD: f64 = 0.12;
/// Flap or slip may be out already, at this height: how likely, how much drag it adds and the spread of
/// that, share (10° adds about 0.1 to 0.2, 25° about 0.4, all about 0.8 of the clean drag).
const SOMETHING_OUT: (f64, f64, f64) = (0.25, 0.4, 0.3);

/// The drag to expect from now on: the clean glide before, and what the last seconds say of flap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragNow {
    /// Probability, mean scale and standard deviation: nothing out; something out.
    pub cases: [(f64, f64, f64); 2],
}

impl DragNow {
    /// Judged at `t_s` of one draw, from a glide since `from_s`.
    pub fn judged(flown: &Flown, polar: &Polar, prior: &DragPrior, from_s: f64, t_s: f64) -> Self {
        let split_s = (t_s - NOW_S).max(from_s);
        let before = GlideAsFlown::measured(flown, polar, prior, (from_s, split_s));
        // a prior without weight gives the bare figure of the last seconds
        let bare = DragPrior {
            scale: 1.0,
            sd: 1e3,
        };
        let now = GlideAsFlown::measured(flown, polar, &bare, (split_s, t_s));
        let (clean, extra, spread) = (before.drag_scale, SOMETHING_OUT.1, SOMETHING_OUT.2);
        let case = |share: f64, mean: f64, change_sd: f64| {
            let variance = before.drag_scale_sd.powi(2) + change_sd.powi(2);
            if now.seconds < LEAST_S {
                return (share, mean, variance.sqrt());
            }
            let noise = NOW_NOISE.powi(2) * NOW_S / now.seconds;
            let all = variance + noise;
            let off = now.drag_scale - mean;
            let gain = variance / all;
            let likelihood = share * (-0.5 * off * off / all).exp() / all.sqrt();
            (
                likelihood,
                mean + gain * off,
                ((1.0 - gain) * variance).sqrt(),
            )
        };
        let mut cases = [
            case(1.0 - SOMETHING_OUT.0, clean, CHANGE_SD),
            case(SOMETHING_OUT.0, clean + extra, spread),
        ];
        let sum = cases[0].0 + cases[1].0;
        let sound = sum.is_finite() && sum > 1e-300;
        for (i, c) in cases.iter_mut().enumerate() {
            // far from both: something out explains more
            c.0 = if sound { c.0 / sum } else { i as f64 };
        }
        DragNow { cases }
    }

    /// One scale of the drag.
    pub fn draw(&self, draws: &mut Draws) -> f64 {
        let (share, noise) = (draws.uniform(), draws.normal());
        let (_, mean, sd) = self.cases[usize::from(share >= self.cases[0].0)];
        (mean + sd * noise).clamp(0.5, 2.5)
    }
}

/// Rate of energy height lost to wind changing on the way down, m/s.
pub fn shear_loss_mps(flown: &Flown, i: &Instant) -> f64 {
    let m = &i.motion;
    let place = WindProfile::place(flown.wind.knots_mps.len(), m.height_m);
    let (wind, shear) = (
        flown.wind.at_place(&place),
        flown.wind.shear_at_place(&place),
    );
    let by_wind = (m.east_mps - wind[0]) * shear[0] + (m.north_mps - wind[1]) * shear[1];
    air_speed_mps(i) / G0_MPS2 * by_wind / i.level_air_mps * m.climb_mps
}

/// Speed through the air, climb included, m/s.
pub fn air_speed_mps(i: &Instant) -> f64 {
    (i.level_air_mps * i.level_air_mps + i.motion.climb_mps * i.motion.climb_mps).sqrt()
}

/// Height plus the speed's worth of it, m.
pub fn energy_height_m(i: &Instant) -> f64 {
    i.motion.height_m + air_speed_mps(i).powi(2) / (2.0 * G0_MPS2)
}

/// Rate of energy height the polar expects, m/s.
fn expected_sink_mps(i: &Instant, polar: &Polar) -> f64 {
    let tas_per_cas = i.tas_mps / i.cas_mps.max(1.0);
    polar.sink_mps(
        air_speed_mps(i),
        polar.best_glide_cas_mps * tas_per_cas,
        i.load_factor,
    )
}
