//! Draws → verdicts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::held;
use super::settle::settled_by;
use super::standard::{About, Basis, Criterion, Standard};
use crate::measures::usable;
use crate::quantity::{LEAST_SHARE_OF_DRAWS, quantile_sorted};

/// What the evidence says about a criterion.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Inside the bounds.
    Met,
    /// Outside the bounds.
    NotMet,
    /// This recording cannot tell.
    TooCloseToCall,
    /// There is no figure to judge.
    NotMeasured,
}

/// The evidence of one attempt against one standard. Never a pass: the instructor decides.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Grade {
    /// Id of the standard.
    pub standard: String,
    /// What it is called.
    pub name: String,
    /// Who publishes it.
    pub authority: String,
    /// What the user of it should know.
    pub note: Option<String>,
    /// Met from this share of the draws inside on.
    pub met_from_share: f64,
    /// Not met up to this share.
    pub not_met_to_share: f64,
    /// What a track can show.
    pub criteria: Vec<CriterionGrade>,
    /// What it cannot: to be marked by hand.
    pub by_hand: Vec<HandLine>,
    /// That another manoeuvre was flown than the standard is about, where that is sure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub another_manoeuvre: Option<String>,
}

/// The evidence on one criterion.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CriterionGrade {
    /// Element of the document.
    pub id: String,
    /// What is asked.
    pub name: String,
    /// Measure that shows it.
    pub measure: String,
    /// Least value wanted, in the unit of the measure.
    pub low: Option<f64>,
    /// Greatest value wanted.
    pub high: Option<f64>,
    /// For a share of time: the speeds between which it is held, kt. They are the document's; the share of the time
    /// wanted, `low`, is this program's measure, for documents give none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within_kt: Option<[f64; 2]>,
    /// Share of the draws inside; null where it is not measured.
    pub share_inside: Option<f64>,
    /// What that says.
    pub verdict: Verdict,
    /// Document, edition, task and element.
    pub source: String,
    /// How the figure is known.
    pub basis: Basis,
    /// What would have settled it, or why it is not measured.
    pub remark: Option<String>,
}

/// A line to be marked by hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HandLine {
    /// What.
    pub what: String,
    /// Where it is asked; empty where it is good practice.
    pub source: String,
}

/// The speeds that tolerances count from, as the briefing has them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct References {
    /// Glide speed to hold, kt calibrated: documents speak of the recommended or published speed.
    pub best_glide_kcas: Option<f64>,
    /// Approach speed, kt calibrated.
    pub approach_kcas: Option<f64>,
}

impl References {
    fn of(&self, about: About) -> Option<f64> {
        match about {
            About::BestGlide => self.best_glide_kcas,
            About::Approach => self.approach_kcas,
        }
    }
}

/// What was recorded, for saying what would have settled a close call.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recorder {
    /// Fixes a second.
    pub rate_hz: f64,
    /// True or indicated airspeed.
    pub airspeed: bool,
    /// Pressure altitude.
    pub pressure_altitude: bool,
    /// QNH in the briefing.
    pub qnh_known: bool,
}

/// The values of one measure over the draws, NaN where a draw has none; and why, where most have none.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// One a draw.
    pub values: Vec<f64>,
    /// Reason for having none.
    pub reason: String,
}

impl Evidence {
    /// No draw has a value, for this reason.
    pub fn none(reason: &str) -> Self {
        Evidence {
            values: Vec::new(),
            reason: reason.to_owned(),
        }
    }
}

/// Room for the rounding of units at a bound that is part of the tolerance.
const ROUNDING: f64 = 1e-9;

/// Whether a value is within the bounds; a value on a bound is.
pub fn inside(value: f64, low: Option<f64>, high: Option<f64>) -> bool {
    let room = |bound: f64| ROUNDING * bound.abs().max(1.0);
    low.is_none_or(|low| value >= low - room(low))
        && high.is_none_or(|high| value <= high + room(high))
}

/// The verdict of a share of draws inside.
pub fn verdict(share_inside: f64, standard: &Standard) -> Verdict {
    Thresholds::of(standard, true).verdict(share_inside)
}

/// Share of the draws on one side of a limit from which a figure too wide to be told is surely on that side: its 95 %
/// interval is.
const SURE_SHARE: f64 = 0.975;

/// The shares of the draws inside that make a verdict.
#[derive(Debug, Clone, Copy)]
struct Thresholds {
    met_from: f64,
    not_met_to: f64,
}

impl Thresholds {
    /// Those of the standard; of a figure that cannot be told they are the ends of its 95 % interval, so that no verdict
    /// stands beside a figure that may be on either side.
    fn of(standard: &Standard, told: bool) -> Self {
        let (met_from, not_met_to) = (standard.met_from_share, standard.not_met_to_share);
        if told {
            Thresholds {
                met_from,
                not_met_to,
            }
        } else {
            Thresholds {
                met_from: met_from.max(SURE_SHARE),
                not_met_to: not_met_to.min(1.0 - SURE_SHARE),
            }
        }
    }

    fn verdict(self, share_inside: f64) -> Verdict {
        if share_inside >= self.met_from {
            Verdict::Met
        } else if share_inside <= self.not_met_to {
            Verdict::NotMet
        } else {
            Verdict::TooCloseToCall
        }
    }
}

/// Whether the figure of these draws is narrow enough to be told.
fn is_told(measure: &str, known: &[f64]) -> bool {
    let mut sorted = known.to_vec();
    sorted.sort_by(f64::total_cmp);
    let [low, value, high] = [0.025, 0.5, 0.975].map(|share| quantile_sorted(&sorted, share));
    usable::can_tell(measure, value, low, high)
}

/// Every criterion of `standard` against the draws; `evidence` gives those of a measure.
pub fn grade(
    standard: &Standard,
    references: &References,
    recorder: &Recorder,
    evidence: impl Fn(&str) -> Evidence,
) -> Grade {
    let criteria = standard
        .criteria
        .iter()
        .map(|c| one(standard, c, references, recorder, &evidence(&c.measure)))
        .collect();
    Grade {
        standard: standard.id.clone(),
        name: standard.name.clone(),
        authority: standard.authority.clone(),
        note: standard.note.clone(),
        met_from_share: standard.met_from_share,
        not_met_to_share: standard.not_met_to_share,
        criteria,
        another_manoeuvre: None,
        by_hand: standard
            .by_hand
            .iter()
            .map(|line| HandLine {
                what: line.what.clone(),
                source: line.source.clone(),
            })
            .collect(),
    }
}

fn one(
    standard: &Standard,
    criterion: &Criterion,
    references: &References,
    recorder: &Recorder,
    evidence: &Evidence,
) -> CriterionGrade {
    let mut graded = CriterionGrade {
        id: criterion.id.clone(),
        name: criterion.name.clone(),
        measure: criterion.measure.clone(),
        low: criterion.low,
        high: criterion.high,
        within_kt: None,
        share_inside: None,
        verdict: Verdict::NotMeasured,
        source: criterion.source.clone(),
        basis: criterion.basis,
        remark: None,
    };
    let about = needed_speed(criterion);
    if let Some(about) = about
        && references.of(about).is_none()
    {
        graded.low = None;
        graded.high = None;
        graded.remark = Some(format!("the {} is not in the briefing", about.words()));
        return graded;
    }
    let reference = criterion.about.and_then(|about| references.of(about));
    if let (Some([low, high]), Some(reference)) = (criterion.within_kt, reference) {
        graded.within_kt = Some([reference + low, reference + high]);
    } else if let Some(reference) = reference {
        graded.low = criterion.low.map(|low| reference + low);
        graded.high = criterion.high.map(|high| reference + high);
    }
    let known: Vec<f64> = evidence
        .values
        .iter()
        .copied()
        .filter(|v| v.is_finite())
        .collect();
    if known.is_empty()
        || (known.len() as f64) < LEAST_SHARE_OF_DRAWS * evidence.values.len() as f64
    {
        graded.remark = Some(evidence.reason.clone());
        return graded;
    }
    let count = known
        .iter()
        .filter(|v| inside(**v, graded.low, graded.high))
        .count();
    // a draw without the figure is neither inside nor outside: it keeps the verdict open
    let all = evidence.values.len() as f64;
    let inside = count as f64 / all;
    let at_most = inside + (evidence.values.len() - known.len()) as f64 / all;
    graded.share_inside = Some(inside);
    let thresholds = Thresholds::of(standard, is_told(&criterion.measure, &known));
    let verdict = |share: f64| thresholds.verdict(share);
    graded.verdict = match (verdict(inside), verdict(at_most)) {
        (Verdict::Met, _) => Verdict::Met,
        (_, Verdict::NotMet) => Verdict::NotMet,
        _ => Verdict::TooCloseToCall,
    };
    if graded.verdict == Verdict::TooCloseToCall {
        let missing = at_most - inside;
        graded.remark = Some(
            if verdict(count as f64 / known.len() as f64) == graded.verdict {
                settled_by(&graded, &known, recorder)
            } else {
                format!(
                    "in {:.0} % of the possible paths there was none",
                    100.0 * missing
                )
            },
        );
    }
    graded
}

/// The speed without which a criterion cannot be judged.
fn needed_speed(criterion: &Criterion) -> Option<About> {
    criterion.about.or_else(|| held::about(&criterion.measure))
}

#[cfg(test)]
#[path = "grade_tests.rs"]
mod tests;
