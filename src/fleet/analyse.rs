//! From the glides of a logbook to the fleet document.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::document::{Airframe, FleetReport, PolarPoint, SCHEMA, TypePolar};
use super::glides::{By, Group, Kind, Sorted, kinds, median};
use super::history::{Point, Weighed, course, months, points};
use super::interval::{Others, Own};
use super::model::{Datum, Drawn, FREEDOM_BETWEEN, Posterior, Run, posterior};
use crate::debrief::assemble::CAUTIONS;
use crate::findings::{LEAST_CONFIDENCE, found, found_by_p_values};
use crate::logbook::GlideRow;
use crate::quantity::{Measured, counted, from_draws};
use crate::units::FPM_PER_KT;

/// Choices about a fleet report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// What a row is.
    pub by: By,
    /// The sampler.
    pub run: Run,
}

/// Glide ratio expected where no handbook is given (8 to 10 is the published range for light trainers).
const TYPICAL_GLIDE_RATIO: f64 = 9.0;
/// Against the others: what is further off is a difference. This is what matters in the pattern (20 ft in 1,000 ft),
/// not what can be told: each interval says that. Vertical air alone leaves 6.8 % in one flight (see Known floors),
/// so 2.0 % in the mean of twelve, one standard deviation.
const DIFFERENCE: f64 = 0.02;
/// Against the handbook.
const BELOW_HANDBOOK: f64 = 0.05;
/// Others that a comparison needs.
const LEAST_OTHERS: usize = 2;
/// Speeds of the polar, shares of best glide.
const POLAR: (f64, f64, usize) = (0.8, 1.3, 26);

/// The report.
pub fn analyse(rows: &[GlideRow], options: Options) -> FleetReport {
    let Sorted {
        kinds,
        twice,
        unsure,
    } = kinds(rows, options.by);
    let mut airframes = Vec::new();
    let mut types = Vec::new();
    let parts: Vec<_> = kinds
        .par_iter()
        .map(|kind| of_kind(kind, options))
        .collect();
    for (of_kind, polar) in parts {
        airframes.extend(of_kind);
        types.push(polar);
    }
    let probabilities: Vec<Option<f64>> = airframes.iter().map(|a| a.probability_differs).collect();
    for (airframe, differs) in airframes.iter_mut().zip(found(&probabilities)) {
        airframe.differs = differs;
    }
    let trends: Vec<Option<f64>> = airframes
        .iter()
        .map(|a| a.probability_getting_worse.map(|p| 2.0 * p.min(1.0 - p)))
        .collect();
    for (airframe, is) in airframes.iter_mut().zip(found_by_p_values(&trends)) {
        airframe.trend_found = is;
    }
    let steps: Vec<Option<f64>> = airframes
        .iter()
        .map(|a| Some(a.change.as_ref()?.probability))
        .collect();
    for (airframe, is) in airframes.iter_mut().zip(found(&steps)) {
        airframe.change = airframe.change.take().filter(|_| is);
    }
    let key = |a: &Airframe| {
        a.against_others_percent
            .value()
            .or(a.against_handbook_percent.value())
    };
    airframes.sort_by(|a, b| {
        let of = |a| key(a).unwrap_or(f64::INFINITY);
        of(a)
            .total_cmp(&of(b))
            .then_with(|| a.registration.cmp(&b.registration))
    });
    let glides = || kinds.iter().flat_map(|k| &k.groups).flat_map(|g| &g.glides);
    let recordings: BTreeSet<i64> = glides().map(|g| g.recording).collect();
    FleetReport {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        by: options.by.word().into(),
        attempts: glides().count() as u32,
        recordings: recordings.len() as u32,
        warnings: warnings(&kinds, (twice, unsure), rows.len()),
        airframes,
        types,
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

fn warnings(kinds: &[Kind], (twice, unsure): (usize, usize), rows: usize) -> Vec<String> {
    let mut out = Vec::new();
    if rows == 0 {
        out.push("no attempt in the logbook has a glide of an aircraft with a registration: put `registration` in the briefings".to_owned());
    }
    if twice > 0 {
        out.push(format!(
            "{twice} attempts were recorded by two recorders or more: the recording with the least doubt counts"
        ));
    }
    if unsure > 0 {
        out.push(format!(
            "{} less than {:.0} % sure to be one: left out, for power that was still on would count as a good aeroplane",
            counted(unsure, "attempt"),
            100.0 * LEAST_CONFIDENCE
        ));
    }
    for kind in kinds {
        let few: Vec<&str> = kind
            .groups
            .iter()
            .filter(|g| g.glides.len() < 4)
            .map(|g| g.name.as_str())
            .collect();
        if !few.is_empty() {
            out.push(format!(
                "{}: fewer than four glides of {}: their glide ratios are drawn strongly towards the others of the type",
                kind.name,
                few.join(", ")
            ));
        }
        if kind.groups.iter().all(|g| g.handbook_glide_ratio.is_none()) {
            out.push(format!(
                "{}: no briefing gives the handbook's glide ratio, so nothing is held against it",
                kind.name
            ));
        }
    }
    out.push("idle power: an idling propeller brakes or pulls otherwise than a stopped one, and a handbook's glide ratio may be for either".into());
    out
}

/// The draws of one type, ready to be asked.
struct Fitted<'a> {
    kind: &'a Kind,
    options: Options,
    draws: Vec<Drawn>,
    /// Mean weight of each glide, by group.
    weights: Vec<Vec<f64>>,
}

fn of_kind(kind: &Kind, options: Options) -> (Vec<Airframe>, TypePolar) {
    let mut data: Vec<Datum> = Vec::new();
    let mut before = 0;
    for (airframe, group) in kind.groups.iter().enumerate() {
        data.extend(group.glides.iter().map(|glide| Datum {
            lost: glide.lost,
            terms: glide.terms,
            sd: glide.sd,
            airframe,
            // numbered on from group to group: a flight in two of them has its air in both
            recording: before + glide.flight,
        }));
        before += group.glides.last().map_or(0, |glide| glide.flight + 1);
    }
    let expected = median(kind.groups.iter().filter_map(|g| g.handbook_glide_ratio))
        .unwrap_or(TYPICAL_GLIDE_RATIO);
    let Posterior { draws, weights } = posterior(&data, kind.groups.len(), expected, options.run);
    let mut rest = &weights[..];
    let weights = kind.groups.iter().map(|group| {
        let (of, others) = rest.split_at(group.glides.len());
        rest = others;
        of.to_vec()
    });
    let fitted = Fitted {
        kind,
        options,
        weights: weights.collect(),
        draws,
    };
    let airframes = (0..kind.groups.len()).map(|i| fitted.airframe(i)).collect();
    (airframes, fitted.polar())
}

impl Fitted<'_> {
    /// Glide ratio of an airframe in one draw.
    fn ratio(drawn: &Drawn, i: usize) -> f64 {
        1.0 / (drawn.shared[0] + drawn.own[i] + drawn.shared[1])
    }

    fn over(&self, f: impl Fn(&Drawn) -> f64) -> Vec<f64> {
        self.draws.iter().map(f).collect()
    }

    fn airframe(&self, i: usize) -> Airframe {
        let group = &self.kind.groups[i];
        let ratios = self.over(|d| Self::ratio(d, i));
        let glide_ratio = self.glide_ratio(i, &ratios);
        // the same figure in another form
        let by_ratio = |f: &dyn Fn(f64) -> f64| mapped(&glide_ratio, f);
        let handbook = group.handbook_glide_ratio;
        let no_handbook = "no briefing gives the handbook's glide ratio";
        let off_book: Vec<f64> = handbook.map_or_else(Vec::new, |book| {
            ratios.iter().map(|ratio| ratio / book - 1.0).collect()
        });
        let off_others = self.off_others(i);
        let share = |of: &[f64], is: &dyn Fn(f64) -> bool| {
            (!of.is_empty()).then(|| of.iter().filter(|v| is(**v)).count() as f64 / of.len() as f64)
        };
        let (compared_with, probability_differs) = if off_others.is_empty() {
            let p = share(&off_book, &|v| v.abs() > BELOW_HANDBOOK);
            (p.map(|_| "handbook".to_owned()), p)
        } else {
            let p = share(&off_others, &|v| v.abs() > DIFFERENCE);
            (Some("others".to_owned()), p)
        };
        let glides: Vec<Weighed<'_>> = group
            .glides
            .iter()
            .zip(self.weights[i].iter().copied())
            .collect();
        let course = course(&self.points(i, &glides));
        let recordings: BTreeSet<i64> = group.glides.iter().map(|g| g.recording).collect();
        let utc =
            |glide: Option<&super::glides::Glide>| glide.map(|g| g.utc.clone()).unwrap_or_default();
        Airframe {
            registration: group.name.clone(),
            aircraft_type: self.kind.name.clone(),
            attempts: group.glides.len() as u32,
            recordings: recordings.len() as u32,
            first_utc: utc(group.glides.first()),
            last_utc: utc(group.glides.last()),
            air_sink_rate_fpm: match self.kind.best_glide_kcas {
                Some(kt) => by_ratio(&|ratio| kt * FPM_PER_KT / ratio),
                None => Measured::unknown("best glide speed not given"),
            },
            best_glide_kcas: self.kind.best_glide_kcas,
            reference_weight_lb: self.kind.reference_weight_lb,
            handbook_glide_ratio: handbook,
            against_handbook_percent: match handbook {
                Some(book) => by_ratio(&|ratio| 100.0 * (ratio / book - 1.0)),
                None => Measured::unknown(no_handbook),
            },
            probability_5_percent_below_handbook: share(&off_book, &|v| v < -BELOW_HANDBOOK),
            against_others_percent: self.against_others(i, &off_others),
            probability_differs,
            differs: false,
            compared_with,
            abeam_target_ft: group.abeam_target_ft,
            abeam_height_needed_ft: match (group.abeam_target_ft, handbook) {
                (Some(target), Some(book)) => by_ratio(&|ratio| target * book / ratio),
                (None, _) => Measured::unknown("no briefing gives the height wanted abeam"),
                (_, None) => Measured::unknown(no_handbook),
            },
            history: months(&glides, &self.draws, self.options.run.seed + i as u64),
            glide_ratio_alone: from_draws(
                &self.over(|d| 1.0 / (d.alone[i] + d.shared[1])),
                "no draw",
            ),
            glide_ratio,
            trend_found: false,
            trend_percent_per_year: course.trend_percent_per_year,
            probability_getting_worse: course.probability_getting_worse,
            change: course.change,
        }
    }

    /// The middle of the draws, with the interval that holds for each airframe.
    fn glide_ratio(&self, i: usize, ratios: &[f64]) -> Measured {
        let straight = |d: &Drawn| d.shared[0] + d.shared[1];
        let own = Own::of(&self.over(|d| d.alone[i] + d.shared[1]));
        let others = self.others(Own::of(&self.over(straight)).value, 1.0);
        held(ratios, own.interval(others), |drag| 1.0 / drag)
    }

    /// Likewise against the middle one of the others, %; `off` are the draws, none where they are too few.
    fn against_others(&self, i: usize, off: &[f64]) -> Measured {
        if off.is_empty() {
            return Measured::unknown("fewer than two others of its type");
        }
        let drag = |d: &Drawn| (d.alone[i] + d.shared[1]) * self.middle_of_others(d, i);
        let middle = Own::of(&self.over(|d| d.shared[0] + d.shared[1])).value;
        let others = self.others(1.0, 1.0 / middle);
        let percent: Vec<f64> = off.iter().map(|share| 100.0 * share).collect();
        let own = Own::of(&self.over(drag));
        held(&percent, own.interval(others), |more| {
            100.0 * (1.0 / more - 1.0)
        })
    }

    /// What the others of its type say: the law between airframes about `centre`, in a unit of `unit`.
    fn others(&self, centre: f64, unit: f64) -> Option<Others> {
        let squares: f64 = self.draws.iter().map(|d| d.between * d.between).sum();
        // the standard deviation of Student's law from its scale
        let spread =
            (squares / self.draws.len() as f64 * FREEDOM_BETWEEN / (FREEDOM_BETWEEN - 2.0)).sqrt();
        (self.kind.groups.len() > 1).then_some(Others {
            centre,
            spread: unit * spread,
        })
    }

    /// Middle glide ratio of the others in one draw.
    fn middle_of_others(&self, d: &Drawn, i: usize) -> f64 {
        let others = (0..self.kind.groups.len()).filter(|k| *k != i);
        median(others.map(|k| Self::ratio(d, k))).unwrap_or(f64::NAN)
    }

    /// Glide ratio against the middle one of the others, less one; empty where they are too few, and where a row is
    /// a flap setting: the others are the same aeroplane with other flap.
    fn off_others(&self, i: usize) -> Vec<f64> {
        let n = self.kind.groups.len();
        if n <= LEAST_OTHERS || self.options.by == By::Flap {
            return Vec::new();
        }
        self.over(|d| Self::ratio(d, i) / self.middle_of_others(d, i) - 1.0)
    }

    /// The flights of an airframe against its own mean.
    fn points(&self, i: usize, glides: &[Weighed<'_>]) -> Vec<Point> {
        let mean = |f: &dyn Fn(&Drawn) -> f64| {
            self.draws.iter().map(f).sum::<f64>() / self.draws.len() as f64
        };
        let shared = [
            mean(&|d| d.shared[0] + d.own[i]),
            mean(&|d| d.shared[1]),
            mean(&|d| d.shared[2]),
        ];
        points(glides, shared, mean(&|d| d.flight), mean(&|d| d.extra))
    }

    fn polar(&self) -> TypePolar {
        let kind = self.kind;
        let groups: &[Group] = &kind.groups;
        let percent_of_drag = |f: &dyn Fn(&Drawn) -> f64| {
            let of = self.over(|d| 100.0 * f(d) / (d.shared[0] + d.shared[1]));
            from_draws(&of, "no draw")
        };
        let speeds: Vec<f64> = groups
            .iter()
            .flat_map(|g| &g.glides)
            .map(|g| g.terms[0].sqrt())
            .collect();
        let best = kind.best_glide_kcas;
        let flown_kcas = best.map(|kt| {
            let ends = speeds
                .iter()
                .fold((f64::INFINITY, 0.0_f64), |(low, high), x| {
                    (low.min(*x), high.max(*x))
                });
            [kt * ends.0, kt * ends.1]
        });
        let best_ratio_kcas = match best {
            // x⁴ = b/m
            Some(kt) => from_draws(
                &self.over(|d| kt * (d.shared[1] / d.shared[0]).powf(0.25)),
                "the speeds flown say too little",
            ),
            None => Measured::unknown("best glide speed not given"),
        };
        let polar = best.map_or_else(Vec::new, |kt| {
            let (from, to, steps) = POLAR;
            (0..steps)
                .map(|k| {
                    let x = from + (to - from) * k as f64 / (steps - 1) as f64;
                    let ratio = self.over(|d| 1.0 / (d.shared[0] * x * x + d.shared[1] / (x * x)));
                    let sink: Vec<f64> = ratio.iter().map(|r| kt * x * FPM_PER_KT / r).collect();
                    PolarPoint {
                        cas_kt: kt * x,
                        glide_ratio: from_draws(&ratio, "no draw"),
                        sink_fpm: from_draws(&sink, "no draw"),
                    }
                })
                .collect()
        });
        TypePolar {
            name: kind.name.clone(),
            airframes: groups.len() as u32,
            best_glide_kcas: best,
            best_ratio_kcas,
            turning_share: from_draws(&self.over(|d| d.shared[2] / d.shared[1]), "no draw"),
            between_airframes_percent: percent_of_drag(&|d| {
                let squares: f64 = d.own.iter().map(|own| own * own).sum();
                (squares / d.own.len() as f64).sqrt()
            }),
            between_glides_percent: percent_of_drag(&|d| d.extra),
            polar,
            flown_kcas,
        }
    }
}

/// The middle of `draws` with the interval of a drag, `of` the figure that belongs to a drag. Pooling does not lead out
/// of the interval (Efron and Morris, J. Am. Stat. Assoc. 67, 1972, limited translation; memory).
fn held(draws: &[f64], drag: (f64, f64), of: impl Fn(f64) -> f64) -> Measured {
    // more drag is less
    let (low, high) = (of(drag.1), of(drag.0));
    match from_draws(draws, "no draw") {
        Measured::Known { value, .. } if low < high => Measured::Known {
            value: value.clamp(low, high),
            low,
            high,
        },
        other => other,
    }
}

/// Another figure that follows from this one.
fn mapped(of: &Measured, f: &dyn Fn(f64) -> f64) -> Measured {
    match of {
        Measured::Known { value, low, high } => {
            let (a, b) = (f(*low), f(*high));
            Measured::Known {
                value: f(*value),
                low: a.min(b),
                high: a.max(b),
            }
        }
        unknown @ Measured::Unknown { .. } => unknown.clone(),
    }
}
