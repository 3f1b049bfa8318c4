//! One attempt: air fitted, changes of power timed, touchdown found, draws made and measured.

use super::air_chains::chains;
use super::analyse::Options;
use super::drawing::{COARSE_STEP_S, Nuisance, WIND_WIDENING, airspeed_spread, column};
use super::power_times::{clearings, power_back, power_reduction};
use super::recorded_speed::{self, DrawnSpeed, RecordedSpeed};
use super::steady_glide::Begins;
use super::winds;
use crate::air::drag::Polar;
use crate::air::{AirFit, FitOptions, WindProfile};
use crate::atmosphere::SpeedScale;
use crate::attempts::clearing::Burst;
use crate::attempts::{Candidate, CandidateEnd, ChangePoint};
use crate::briefing::Briefing;
use crate::cleaning::CleanTrack;
use crate::flight_path::{DrawnPath, FlightPath, Motion, Setting};
use crate::grading::About;
use crate::key_points::flown::{DrawnAir, STEP_S};
use crate::key_points::touchdown::{ContactDraw, TouchdownPosterior};
use crate::key_points::{Flown, Known, pattern};
use crate::measures::held_speed::ToHold;
use crate::measures::{self, DrawnAttempt, DrawnEnd, Values};
use crate::quantity::quantile_sorted;
use crate::random::{Draws, EvenDraws};
use crate::units::{M_PER_FT, MPS_PER_KT};

/// What all attempts of a recording share.
#[derive(Debug, Clone, Copy)]
pub struct Ground<'a> {
    /// Cleaned fixes.
    pub track: &'a CleanTrack,
    /// Frame.
    pub setting: &'a Setting,
    /// Motion.
    pub path: &'a FlightPath,
    /// Best glide as flown.
    pub polar: Polar,
    /// Glide speed to hold, m/s calibrated.
    pub to_hold_cas_mps: f64,
    /// Whether the best glide speed came from the briefing.
    pub best_glide_from_briefing: bool,
    /// Wind over the whole recording.
    pub rough_wind: &'a WindProfile,
    /// All attempts of the recording, roughly.
    pub candidates: &'a [Candidate],
    /// What the user knows.
    pub briefing: &'a Briefing,
    /// Draws and seed.
    pub options: &'a Options,
}

/// How an attempt ends, over all draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AttemptEnd {
    /// Touchdown.
    Touchdown,
    /// Power back in the air.
    GoAround,
    /// The recording stops.
    Recording,
}

/// An attempt with its draws.
#[derive(Debug)]
pub struct AttemptAnalysis {
    /// Where it came from.
    pub candidate: Candidate,
    /// How it ends.
    pub end: AttemptEnd,
    /// Probability that the wheels met the ground, where the aeroplane came near it.
    pub touched_probability: Option<f64>,
    /// Wind and airspeed.
    pub air: AirFit,
    /// The draws.
    pub draws: Vec<DrawnAttempt>,
    /// The measures of each draw.
    pub values: Vec<Values>,
    /// Steady glide, s.
    pub steady_s: Option<(f64, f64)>,
    /// Where the steady glide begins.
    pub begins: Begins,
    /// Whether flap is known to have been out when the power came off.
    pub flap_was_out: bool,
    /// Heading change seen by the wind fit, degrees.
    pub turned_deg: f64,
    /// Share of the attempt with recorded airspeed.
    pub has_recorded_airspeed: bool,
}

impl AttemptAnalysis {
    /// Median place of the touchdown, east and north, m, and the track there, degrees true.
    pub fn median_touchdown(&self) -> Option<([f64; 2], f64)> {
        let contacts: Vec<Motion> = self
            .draws
            .iter()
            .filter_map(|d| match d.end {
                DrawnEnd::Touchdown { at_s, .. } => Some(d.flown.at(at_s)),
                _ => None,
            })
            .collect();
        if contacts.is_empty() {
            return None;
        }
        let median = |f: &dyn Fn(&Motion) -> f64| {
            let mut v: Vec<f64> = contacts.iter().map(f).collect();
            v.sort_by(f64::total_cmp);
            quantile_sorted(&v, 0.5)
        };
        let (east, north) = (median(&|m| m.east_mps), median(&|m| m.north_mps));
        Some((
            [median(&|m| m.east_m), median(&|m| m.north_m)],
            east.atan2(north).to_degrees(),
        ))
    }
}

/// Least probability of ground contact that makes an ending a touchdown.
const TOUCHED: f64 = 0.5;
/// Height at which the speed of the final approach is taken, m.
const APPROACH_HEIGHT_M: f64 = 60.0;
/// A burst shows from where the power begins to rise, this share of the way to the middle of the rise.
const BURST_LAG_SHARE: f64 = 0.5;
/// What is told only from fixes closer than that, or from recorded airspeed.
pub(super) const SEEN_BY_CLOSE_FIXES: [&str; 3] =
    ["glide_cas_sd_kt", "glide_cas_min_kt", "glide_cas_max_kt"];
/// Position error of an airspeed indicator before the fit, also where true airspeed was worked out from it, m/s.
const POSITION_SD_MPS: f64 = 1.0;
/// Constant error of a true airspeed recorded alone, m/s.
const TAS_SD_MPS: f64 = 0.6;

/// Analyses a candidate; gives it back with a reason where a closer look shows that it is no attempt.
pub fn analyse(
    g: &Ground<'_>,
    candidate: Candidate,
    index: usize,
) -> Result<AttemptAnalysis, Box<Candidate>> {
    let scale = SpeedScale::of(&g.setting.air);
    let contact = match candidate.end {
        CandidateEnd::Ground => {
            Some(super::contact::posterior_of(g, &candidate)).filter(|c| !c.time_s.is_empty())
        }
        _ => None,
    };
    let end = match (&contact, candidate.end) {
        (Some(c), _) if c.touched_probability >= TOUCHED => AttemptEnd::Touchdown,
        (_, CandidateEnd::Recording) => AttemptEnd::Recording,
        (_, CandidateEnd::Ground) if !candidate.flies_on => AttemptEnd::Recording,
        _ => AttemptEnd::GoAround,
    };
    let rough_end_s = match (&contact, end) {
        (Some(c), AttemptEnd::Touchdown) => c.time_quantile_s(0.5).unwrap_or(candidate.end_s),
        _ => candidate.end_s,
    };
    let (chains, turned_deg) = chains(g, &candidate, rough_end_s, &scale);
    let glide_ratio_known = g.briefing.aircraft.glide_ratio.is_some();
    let ias_recorded = g.path.rows.iter().any(|r| r.ias_mps.is_some());
    let fit_options = FitOptions {
        surface_wind_mps: g.setting.surface_wind_mps,
        glide_tas_mps: (
            scale.tas_mps(g.to_hold_cas_mps, 0.5 * candidate.start_height_m),
            if g.best_glide_from_briefing { 3.3 } else { 6.0 },
        ),
        approach_tas_mps: g
            .briefing
            .aircraft
            .approach_kcas
            .map(|kt| scale.tas_mps(kt * MPS_PER_KT, APPROACH_HEIGHT_M)),
        polar: g.polar,
        drag_scale_sd: if glide_ratio_known { 0.08 } else { 0.15 },
        recorded_bias_sd_mps: if ias_recorded {
            POSITION_SD_MPS
        } else {
            TAS_SD_MPS
        },
        start: Some(g.rough_wind.clone()),
    };
    let Some(air) = crate::air::fit(&chains, &fit_options) else {
        return Err(Box::new(Candidate {
            reason: Some("too little of it was recorded to say anything".into()),
            ..candidate
        }));
    };
    let reduction = power_reduction(g, &candidate, &air.wind, &scale);
    let restoration = (end == AttemptEnd::GoAround)
        .then(|| power_back(g, &candidate, &air.wind, &scale))
        .flatten();
    let clearings = clearings(g, (&candidate, rough_end_s), &air.wind, &scale);

    let span = (
        candidate.start_s - 45.0,
        (rough_end_s + 25.0).min(g.path.mean.span_s().1),
    );
    let mut rng = Draws::new(g.options.seed, index as u64 + 1);
    let paths = g.path.draws(span.0, span.1, g.options.draws, &mut rng);
    let span = (span.0.max(g.path.mean.span_s().0), span.1);
    let recorded = RecordedSpeed::of(g, span, &scale);
    let has_recorded_airspeed = recorded.nearly_everywhere();
    let about = recorded_speed::About {
        cas_mps: g.polar.best_glide_cas_mps,
        tas_mps: fit_options.glide_tas_mps.0,
        temperature_k: g.setting.air.temperature_at_elevation_k,
        position_sd_mps: POSITION_SD_MPS,
        temperature_sd_c: g.setting.temperature_sd_c,
    };
    let mut draws = Vec::with_capacity(paths.len());
    let mut even = EvenDraws::new(rng.seed(), paths.len());
    for (turn, path) in paths.into_iter().enumerate() {
        even.go_to(turn);
        draws.push(draw(
            g,
            path,
            span,
            &Fitted {
                candidate: &candidate,
                end,
                air: &air,
                reduction: reduction.as_ref(),
                restoration: restoration.as_ref(),
                clearings: &clearings,
                contact: contact.as_ref(),
                recorded: &recorded,
                about: &about,
            },
            &mut even,
            &mut rng,
        ));
    }
    let flap_was_out = g.flap_was_out(candidate.start_s);
    let (steady_s, begins) = super::steady_glide::steady_glide(g, &draws, &candidate);
    for drawn in &mut draws {
        drawn.steady_s = steady_s;
    }
    let mut values: Vec<Values> = draws.iter().map(measures::measure).collect();
    if !has_recorded_airspeed && g.track.median_step_s >= COARSE_STEP_S {
        for id in SEEN_BY_CLOSE_FIXES {
            for values in &mut values {
                values.remove(id);
            }
        }
    }
    Ok(AttemptAnalysis {
        candidate,
        end,
        touched_probability: contact.as_ref().map(|c| c.touched_probability),
        air,
        draws,
        values,
        steady_s,
        begins,
        flap_was_out,
        turned_deg,
        has_recorded_airspeed,
    })
}

struct Fitted<'a> {
    candidate: &'a Candidate,
    end: AttemptEnd,
    air: &'a AirFit,
    reduction: Option<&'a ChangePoint>,
    restoration: Option<&'a ChangePoint>,
    clearings: &'a [Burst],
    contact: Option<&'a TouchdownPosterior>,
    recorded: &'a RecordedSpeed,
    about: &'a recorded_speed::About,
}

fn draw(
    g: &Ground<'_>,
    drawn: DrawnPath,
    span: (f64, f64),
    fitted: &Fitted<'_>,
    even: &mut EvenDraws,
    rng: &mut Draws,
) -> DrawnAttempt {
    let steps = ((span.1 - span.0) / STEP_S) as usize + 2;
    let slices = winds::heights_ft(fitted.candidate.start_height_m).len();
    let nuisance = Nuisance::draw(
        (g.setting, g.track.median_step_s),
        fitted.air.draw(WIND_WIDENING, even, column::AIR),
        drawn.column_scale,
        (steps, slices),
        (even, rng),
    );
    let power_reduction_s = fitted.reduction.map_or(fitted.candidate.start_s, |c| {
        c.at_share(even.uniform(column::REDUCTION)) - nuisance.closing_lag_s
    });
    let recorded = fitted.recorded.draw(&nuisance, fitted.about);
    let flown = Flown::new(
        drawn.path,
        span,
        nuisance.air.wind.clone(),
        g.setting.landing_true_deg.map(|d| d + nuisance.landing_deg),
        &DrawnAir {
            scale: &nuisance.scale,
            gust_mps: &nuisance.gust_mps,
            recorded_tas_mps: &recorded.tas_mps,
            recorded_cas_mps: &recorded.cas_mps,
        },
    );
    let end = match fitted.end {
        AttemptEnd::Touchdown => fitted
            .contact
            .and_then(|c| {
                let of_contact = (
                    even.uniform(column::CONTACT),
                    even.normal(column::CONTACT_PLACE),
                    even.normal(column::CONTACT_SPEED),
                );
                c.draw(of_contact, rng)
            })
            .map_or(DrawnEnd::Recording, |contact| DrawnEnd::Touchdown {
                cas_mps: contact_cas_mps(&flown, &contact, span.0, &recorded, &nuisance, rng),
                at_s: contact.time_s,
                flare_s: contact.flare_time_s,
                sink_mps: contact.sink_mps,
                ground_speed_mps: contact.ground_speed_mps,
            }),
        AttemptEnd::GoAround => DrawnEnd::GoAround {
            at_s: fitted.restoration.map_or(fitted.candidate.end_s, |c| {
                c.at_share(even.uniform(column::RESTORATION))
            }),
        },
        AttemptEnd::Recording => DrawnEnd::Recording,
    };
    let end_s = match end {
        DrawnEnd::Touchdown { at_s, .. } | DrawnEnd::GoAround { at_s } => at_s,
        DrawnEnd::Recording => fitted.candidate.end_s,
    };
    let known = Known {
        power_reduction_s,
        end_s,
        best_glide_cas_mps: g.polar.best_glide_cas_mps,
        to_hold_cas_mps: g.to_hold_cas_mps,
    };
    let times = pattern::find(&flown, &known);
    let clearings_s = fitted
        .clearings
        .iter()
        .map(|b| b.start.at_share(rng.uniform()) - BURST_LAG_SHARE * nuisance.opening_lag_s)
        .collect();
    let aircraft = &g.briefing.aircraft;
    DrawnAttempt {
        flown,
        times,
        known,
        end,
        clearings_s,
        steady_s: None,
        bank_error_deg: nuisance.bank_deg,
        airspeed_spread: airspeed_spread(rng.seed(), fitted.recorded.nearly_everywhere()),
        vertical_air_mps: nuisance.air.vertical_air_mps,
        expected_vertical_air_mps: nuisance.air.expected_vertical_air_mps,
        glide_to_hold: ToHold::within_kt(
            known.to_hold_cas_mps,
            super::graded::speed_band_kt(g.options, About::BestGlide),
        ),
        final_to_hold: aircraft.approach_kcas.map(|kcas| {
            ToHold::within_kt(
                kcas * MPS_PER_KT,
                super::graded::speed_band_kt(g.options, About::Approach),
            )
        }),
        turbulence_mps: nuisance.turbulence_mps,
        stall_cas_mps: aircraft
            .stall_clean_as_flown_kcas()
            .map(|kt| kt * MPS_PER_KT),
        abeam_target_m: g.briefing.targets.abeam_height_ft.map(|ft| ft * M_PER_FT),
        polar: g.polar,
        glide_ratio_known: aircraft.glide_ratio.is_some(),
        approach: super::reach::approach(g, &known),
        stream: rng.seed(),
    }
}

/// Calibrated airspeed at the contact, m/s: as recorded, else the ground speed less the wind at the ground.
fn contact_cas_mps(
    flown: &Flown,
    contact: &ContactDraw,
    from_s: f64,
    recorded: &DrawnSpeed,
    nuisance: &Nuisance,
    rng: &mut Draws,
) -> f64 {
    let step = ((contact.time_s - from_s) / STEP_S).round().max(0.0) as usize;
    let near = recorded.tas_mps.get(step.saturating_sub(2)..=step + 2);
    if near.is_some_and(|near| near.iter().all(|v| v.is_finite())) {
        return flown.cas_mps_at(contact.time_s);
    }
    let m = flown.at(contact.time_s);
    let speed = m.ground_speed_mps().max(1.0);
    let over_ground = [m.east_mps, m.north_mps].map(|v| v / speed * contact.ground_speed_mps);
    let wind = super::surface_air::drawn(&flown.wind, rng);
    let tas = (over_ground[0] - wind[0]).hypot(over_ground[1] - wind[1]);
    nuisance.scale.cas_mps(tas, m.height_m)
}
