//! One attempt: air fitted, changes of power timed, touchdown found, draws made and measured.

use super::analyse::Options;
use super::drawing::{Nuisance, WIND_WIDENING};
use crate::air::drag::Polar;
use crate::air::{AirFit, Chain, ChainKind, FitOptions, Sample, WindProfile};
use crate::atmosphere::SpeedScale;
use crate::attempts::candidates::start_again;
use crate::attempts::change_point::{self, Expectation};
use crate::attempts::{Candidate, CandidateEnd, ChangePoint, power};
use crate::briefing::Briefing;
use crate::cleaning::CleanTrack;
use crate::flight_path::{FlightPath, Motion, Path, Row, Setting};
use crate::key_points::flown::{DrawnAir, STEP_S};
use crate::key_points::touchdown::{ContactDraw, TouchdownPosterior};
use crate::key_points::{Flown, Known, pattern};
use crate::measures::{self, DrawnAttempt, DrawnEnd, Values};
use crate::quantity::quantile_sorted;
use crate::random::Draws;
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
    /// Wind and airspeed.
    pub air: AirFit,
    /// The draws.
    pub draws: Vec<DrawnAttempt>,
    /// The measures of each draw.
    pub values: Vec<Values>,
    /// Steady glide, s.
    pub steady_s: Option<(f64, f64)>,
    /// Whether the steady glide starts only some seconds after the power reduction because best glide was never held.
    pub never_held: bool,
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

/// The sample of the wind fit at `m`.
pub(super) fn sample(m: &Motion, rows: &[Row], polar: &Polar, scale: &SpeedScale) -> Sample {
    let speed = m.ground_speed_mps().max(1.0);
    Sample {
        t_s: m.t_s,
        velocity_mps: [m.east_mps, m.north_mps],
        climb_mps: m.climb_mps,
        height_m: m.height_m,
        across_mps2: (m.north_mps * m.east_mps2 - m.east_mps * m.north_mps2) / speed,
        best_glide_tas_mps: scale.tas_mps(polar.best_glide_cas_mps, m.height_m),
        recorded_tas_mps: recorded_tas(rows, m, scale),
        idle: false,
    }
}

/// Recorded airspeed at `m`, brought to true, where a row within two seconds or two steps has one.
fn recorded_tas(rows: &[Row], m: &Motion, scale: &SpeedScale) -> Option<f64> {
    let of = |r: &Row| {
        r.tas_mps
            .or_else(|| r.ias_mps.map(|ias| scale.tas_mps(ias, m.height_m)))
    };
    let after = rows.partition_point(|r| r.t_s < m.t_s);
    let b = rows.get(after)?;
    let a = rows.get(after.saturating_sub(1))?;
    let (va, vb) = (of(a)?, of(b)?);
    let gap = b.t_s - a.t_s;
    if gap > 5.5 {
        return None;
    }
    let share = if gap > 0.0 {
        ((m.t_s - a.t_s) / gap).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let tas = va + share * (vb - va);
    (tas > 10.0).then_some(tas)
}

/// Least probability of ground contact that makes an ending a touchdown.
const TOUCHED: f64 = 0.5;
/// How much of the flight before and after the glide tells about the wind, s.
const CONTEXT_S: f64 = 400.0;
/// The last part of a glide may have flap out: its energy says nothing about clean drag, s.
const FLAP_LIKELY_S: f64 = 35.0;

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
        _ => AttemptEnd::GoAround,
    };
    let rough_end_s = match (&contact, end) {
        (Some(c), AttemptEnd::Touchdown) => c.time_quantile_s(0.5).unwrap_or(candidate.end_s),
        _ => candidate.end_s,
    };
    let (chains, turned_deg) = chains(g, &candidate, rough_end_s, &scale);
    let glide_ratio_known = g.briefing.aircraft.glide_ratio.is_some();
    let fit_options = FitOptions {
        surface_wind_mps: g.setting.surface_wind_mps,
        glide_tas_mps: (
            scale.tas_mps(g.polar.best_glide_cas_mps, 0.5 * candidate.start_height_m),
            if g.best_glide_from_briefing { 3.3 } else { 6.0 },
        ),
        polar: g.polar,
        drag_scale_sd: if glide_ratio_known { 0.10 } else { 0.16 },
        recorded_bias_sd_mps: if g.path.rows.iter().any(|r| r.tas_mps.is_some()) {
            0.6
        } else {
            1.0
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

    let span = (
        candidate.start_s - 45.0,
        (rough_end_s + 25.0).min(g.path.mean.span_s().1),
    );
    let mut rng = Draws::new(g.options.seed, index as u64 + 1);
    let paths = g.path.draws(span.0, span.1, g.options.draws, &mut rng);
    let span = (span.0.max(g.path.mean.span_s().0), span.1);
    let recorded = recorded_series(g, span, &scale);
    let has_recorded_airspeed =
        recorded.iter().filter(|v| v.is_finite()).count() * 10 > recorded.len() * 8;
    let mut draws = Vec::with_capacity(paths.len());
    for path in paths {
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
                contact: contact.as_ref(),
                recorded: &recorded,
            },
            &mut rng,
        ));
    }
    let (steady_s, never_held) = steady_glide(g, &draws, &candidate);
    for drawn in &mut draws {
        drawn.steady_s = steady_s;
    }
    let values: Vec<Values> = draws.iter().map(measures::measure).collect();
    Ok(AttemptAnalysis {
        candidate,
        end,
        air,
        draws,
        values,
        steady_s,
        never_held,
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
    contact: Option<&'a TouchdownPosterior>,
    recorded: &'a [f64],
}

fn draw(
    g: &Ground<'_>,
    path: Path,
    span: (f64, f64),
    fitted: &Fitted<'_>,
    rng: &mut Draws,
) -> DrawnAttempt {
    let steps = ((span.1 - span.0) / STEP_S) as usize + 2;
    let nuisance = Nuisance::draw(g.setting, fitted.air.draw(WIND_WIDENING, rng), steps, rng);
    let power_reduction_s = fitted.reduction.map_or(fitted.candidate.start_s, |c| {
        c.draw(rng) - nuisance.closing_lag_s
    });
    let recorded: Vec<f64> = fitted
        .recorded
        .iter()
        .zip(&nuisance.recorded_wander_mps)
        .map(|(v, wander)| v - nuisance.air.recorded_bias_mps + wander)
        .collect();
    let flown = Flown::new(
        path,
        span,
        nuisance.air.wind.clone(),
        g.setting.landing_true_deg.map(|d| d + nuisance.landing_deg),
        &DrawnAir {
            scale: &nuisance.scale,
            gust_mps: &nuisance.gust_mps,
            recorded_tas_mps: &recorded,
        },
    );
    let end = match fitted.end {
        AttemptEnd::Touchdown => {
            fitted
                .contact
                .and_then(|c| c.draw(rng))
                .map_or(DrawnEnd::Recording, |contact| DrawnEnd::Touchdown {
                    cas_mps: contact_cas_mps(&flown, &contact, span.0, &recorded, &nuisance, rng),
                    at_s: contact.time_s,
                    flare_s: contact.flare_time_s,
                    sink_mps: contact.sink_mps,
                    ground_speed_mps: contact.ground_speed_mps,
                })
        }
        AttemptEnd::GoAround => DrawnEnd::GoAround {
            at_s: fitted.restoration.map_or(fitted.candidate.end_s, |c| {
                c.draw(rng) - nuisance.opening_lag_s
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
    };
    let times = pattern::find(&flown, &known);
    let aircraft = &g.briefing.aircraft;
    DrawnAttempt {
        flown,
        times,
        known,
        end,
        steady_s: None,
        bank_error_deg: nuisance.bank_deg,
        vertical_air_mps: nuisance.air.vertical_air_mps,
        speed_band_mps: super::assemble::SPEED_BAND_KT
            .map(|kt| kt * MPS_PER_KT)
            .into(),
        stall_cas_mps: aircraft.stall_clean_kcas.map(|kt| kt * MPS_PER_KT),
        abeam_target_m: g.briefing.targets.abeam_height_ft.map(|ft| ft * M_PER_FT),
        polar: g.polar,
        glide_ratio_known: aircraft.glide_ratio.is_some(),
        stream: rng.seed(),
    }
}

/// Calibrated airspeed at the contact, m/s: as recorded, else the ground speed less the wind at the ground.
fn contact_cas_mps(
    flown: &Flown,
    contact: &ContactDraw,
    from_s: f64,
    recorded: &[f64],
    nuisance: &Nuisance,
    rng: &mut Draws,
) -> f64 {
    let step = ((contact.time_s - from_s) / STEP_S).round().max(0.0) as usize;
    let near = recorded.get(step.saturating_sub(2)..=step + 2);
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

/// Chains for the wind fit, the glide first, and the heading change within the glide, degrees.
fn chains(
    g: &Ground<'_>,
    candidate: &Candidate,
    end_s: f64,
    scale: &SpeedScale,
) -> (Vec<Chain>, f64) {
    let mean = &g.path.mean;
    let make = |m: &Motion| sample(m, &g.path.rows, &g.polar, scale);
    let airborne = |m: &Motion| {
        let speed = m.ground_speed_mps();
        speed > 7.0 && speed < 110.0 && m.height_m > 20.0
    };
    let glide = glide_samples(g, (candidate.start_s, end_s), 1.0, scale);
    let turned_deg = heading_span_deg(&glide, g.rough_wind);
    let (first, last) = mean.span_s();
    let mut before: Vec<Sample> = mean
        .resampled(
            (candidate.start_s - CONTEXT_S).max(first),
            candidate.start_s - 2.0,
            2.0,
        )
        .iter()
        .filter(|m| airborne(m))
        .map(make)
        .collect();
    before.reverse();
    let after: Vec<Sample> = mean
        .resampled(end_s + 8.0, (end_s + CONTEXT_S).min(last), 2.0)
        .iter()
        .filter(|m| airborne(m))
        .map(make)
        .collect();
    let mut out = vec![Chain {
        kind: ChainKind::Glide,
        samples: glide,
        apart_s: 0.0,
    }];
    for context in [before, after] {
        if context.len() > 10 {
            out.push(Chain {
                kind: ChainKind::Context,
                samples: context,
                apart_s: 0.0,
            });
        }
    }
    // the other glides of the recording: the same aeroplane in nearly the same wind
    for other in g
        .candidates
        .iter()
        .filter(|o| (o.start_s - candidate.start_s).abs() > 1.0)
    {
        let end = if other.end == CandidateEnd::Ground {
            other.end_s - 15.0
        } else {
            other.end_s
        };
        let mut samples = glide_samples(g, (other.start_s, end), 2.0, scale);
        let before = other.start_s < candidate.start_s;
        if before {
            samples.reverse();
        }
        let apart_s = if before {
            candidate.start_s - end
        } else {
            other.start_s - end_s
        };
        if samples.len() > 8 && apart_s > 0.0 && apart_s < OTHER_GLIDES_WITHIN_S {
            out.push(Chain {
                kind: ChainKind::OtherGlide,
                samples,
                apart_s,
            });
        }
    }
    (out, turned_deg)
}

/// Other glides further away than this say little about the wind, s.
const OTHER_GLIDES_WITHIN_S: f64 = 3600.0;

/// Samples of a glide, every `step_s`, from when it has slowed to glide speed.
fn glide_samples(
    g: &Ground<'_>,
    (start_s, end_s): (f64, f64),
    step_s: f64,
    scale: &SpeedScale,
) -> Vec<Sample> {
    let flap_s = g
        .known_flap_s(start_s, end_s)
        .unwrap_or(end_s - FLAP_LIKELY_S);
    // the deceleration to glide speed is not glide
    let slowed = |m: &Motion| {
        let w = g.rough_wind.at(m.height_m);
        let tas = (m.east_mps - w[0]).hypot(m.north_mps - w[1]);
        tas < 1.15 * scale.tas_mps(g.polar.best_glide_cas_mps, m.height_m)
    };
    let instants = g.path.mean.resampled(start_s + 4.0, end_s - 3.0, step_s);
    let from = instants.iter().position(slowed).unwrap_or(0);
    instants[from.min(instants.len())..]
        .iter()
        // the flare slows the aeroplane on purpose: in the fit it would look like headwind
        .filter(|m| m.height_m > 15.0 && m.climb_mps.abs() < 9.0)
        .map(|m| Sample {
            idle: m.t_s < flap_s,
            ..sample(m, &g.path.rows, &g.polar, scale)
        })
        .collect()
}

/// Span of the heading through the air, degrees.
fn heading_span_deg(glide: &[Sample], wind: &WindProfile) -> f64 {
    let (mut total, mut least, mut most) = (0.0_f64, 0.0_f64, 0.0_f64);
    let mut before: Option<f64> = None;
    for s in glide {
        let w = wind.at(s.height_m);
        let heading = (s.velocity_mps[0] - w[0])
            .atan2(s.velocity_mps[1] - w[1])
            .to_degrees();
        if let Some(b) = before {
            total += crate::units::wrap_180_deg(heading - b);
        }
        least = least.min(total);
        most = most.max(total);
        before = Some(heading);
    }
    most - least
}

impl Ground<'_> {
    /// First known flap event within the attempt, s.
    fn known_flap_s(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let said = self
            .briefing
            .events
            .iter()
            .filter(|e| e.what.to_lowercase().contains("flap"))
            .filter_map(crate::briefing::Event::utc_s)
            .map(|utc| utc - self.setting.utc_start_s)
            .find(|t| *t > from_s && *t < to_s);
        let mut before: Option<f64> = None;
        let mut recorded = None;
        for row in self
            .path
            .rows
            .iter()
            .filter(|r| r.t_s > from_s && r.t_s < to_s)
        {
            if let Some(flap) = row.flap_deg {
                if before.is_some_and(|b| flap > b + 2.0) {
                    recorded = Some(row.t_s);
                    break;
                }
                before = Some(flap);
            }
        }
        match (said, recorded) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        }
    }
}

fn recorded_series(g: &Ground<'_>, span: (f64, f64), scale: &SpeedScale) -> Vec<f64> {
    g.path
        .mean
        .resampled(span.0, span.1, STEP_S)
        .iter()
        .map(|m| recorded_tas(&g.path.rows, m, scale).unwrap_or(f64::NAN))
        .collect()
}

fn fine_trace(
    g: &Ground<'_>,
    wind: &WindProfile,
    scale: &SpeedScale,
    from_s: f64,
    to_s: f64,
) -> Vec<power::AirMotion> {
    let (first, last) = g.path.mean.span_s();
    power::trace(
        &g.path.mean,
        (from_s.max(first), to_s.min(last)),
        0.5,
        wind,
        &g.polar,
        scale,
    )
}

fn power_reduction(
    g: &Ground<'_>,
    c: &Candidate,
    wind: &WindProfile,
    scale: &SpeedScale,
) -> Option<ChangePoint> {
    let (first, last) = g.path.mean.span_s();
    let span = ((c.start_s - 60.0).max(first), (c.start_s + 30.0).min(last));
    let coarse = power::trace(&g.path.mean, span, 1.0, wind, &g.polar, scale);
    let start_s = start_again(&coarse, c.start_s);
    let trace = fine_trace(g, wind, scale, start_s - 26.0, start_s + 28.0);
    change_point::posterior(
        &trace,
        &Expectation {
            before_mps: (6.0, 3.0),
            after_mps: (0.0, 1.2),
            between_mps: Some((4.2, 0.9)),
            between_s: (start_s - 8.0, start_s + 18.0),
            reach_s: (18.0, 8.0),
        },
    )
}

fn power_back(
    g: &Ground<'_>,
    c: &Candidate,
    wind: &WindProfile,
    scale: &SpeedScale,
) -> Option<ChangePoint> {
    let trace = fine_trace(g, wind, scale, c.end_s - 20.0, c.end_s + 16.0);
    change_point::posterior(
        &trace,
        &Expectation {
            before_mps: (-0.8, 1.5),
            after_mps: (6.0, 3.0),
            between_mps: None,
            between_s: (c.end_s - 9.0, c.end_s + 8.0),
            reach_s: (10.0, 8.0),
        },
    )
}

/// The stretch the glide figures are taken from, and whether best glide was never held.
fn steady_glide(
    g: &Ground<'_>,
    draws: &[DrawnAttempt],
    c: &Candidate,
) -> (Option<(f64, f64)>, bool) {
    let median = |f: &dyn Fn(&DrawnAttempt) -> Option<f64>| -> Option<f64> {
        let mut v: Vec<f64> = draws.iter().filter_map(f).collect();
        if v.len() * 2 < draws.len() {
            return None;
        }
        v.sort_by(f64::total_cmp);
        Some(quantile_sorted(&v, 0.5))
    };
    let start = median(&|d| Some(d.known.power_reduction_s)).unwrap_or(c.start_s);
    let end = median(&|d| Some(d.known.end_s)).unwrap_or(c.end_s);
    let held = median(&|d| d.times.best_glide_held_s);
    let from = held.unwrap_or(start + 15.0);
    let mut to = median(&|d| d.times.on_final_s)
        .unwrap_or(end - 2.0)
        .min(end - 2.0);
    if let Some(flap) = g.known_flap_s(start, end) {
        to = to.min(flap);
    }
    let round = |t: f64| (t * 2.0).round() / 2.0;
    (
        (to - from >= 10.0).then(|| (round(from), round(to))),
        held.is_none(),
    )
}
