//! Verdicts held against what was flown.

use std::collections::BTreeMap;

use serde_json::Value;
use stillprop::grading::{About, Basis, Criterion, Standard, embedded, inside};

use super::super::KT;
use super::super::rows::{key_point, measured, utc_s};
use super::scoring::{clock, held, matched};
use super::{Attempt, Flight, Recording};

/// What became of criteria on one measure.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Called met and inside in truth.
    pub met_right: usize,
    /// Called met and outside in truth.
    pub met_wrong: usize,
    /// Called not met and outside in truth.
    pub not_right: usize,
    /// Called not met and inside in truth.
    pub not_wrong: usize,
    /// Too close to call.
    pub close: usize,
    /// Not measured, though there is a truth.
    pub none: usize,
}

impl Tally {
    /// Both together.
    pub fn and(self, other: Tally) -> Tally {
        Tally {
            met_right: self.met_right + other.met_right,
            met_wrong: self.met_wrong + other.met_wrong,
            not_right: self.not_right + other.not_right,
            not_wrong: self.not_wrong + other.not_wrong,
            close: self.close + other.close,
            none: self.none + other.none,
        }
    }

    /// Share of those called met that are inside in truth.
    pub fn met_share(&self) -> f64 {
        self.met_right as f64 / (self.met_right + self.met_wrong) as f64
    }

    /// Share of those called not met that are outside in truth.
    pub fn not_met_share(&self) -> f64 {
        self.not_right as f64 / (self.not_right + self.not_wrong) as f64
    }

    /// Share of those with a figure that are too close to call.
    pub fn close_share(&self) -> f64 {
        let judged = self.met_right + self.met_wrong + self.not_right + self.not_wrong;
        self.close as f64 / (judged + self.close) as f64
    }
}

/// Every published criterion once, and as many narrower ones of a school's, in one standard.
///
/// The flights hold most published tolerances with room to spare; limits close to what is flown
/// are where a verdict can go wrong.
pub fn every_criterion() -> Standard {
    let mut criteria: Vec<Criterion> = Vec::new();
    let published = embedded().iter().flat_map(|s| s.criteria.iter().cloned());
    for criterion in published.chain(narrow()) {
        let twice = criteria.iter().any(|c| {
            (c.measure.as_str(), c.about, c.low, c.high)
                == (
                    criterion.measure.as_str(),
                    criterion.about,
                    criterion.low,
                    criterion.high,
                )
        });
        if !twice {
            criteria.push(criterion);
        }
    }
    Standard {
        id: "every criterion".into(),
        criteria,
        ..embedded()[0].clone()
    }
}

fn narrow() -> impl Iterator<Item = Criterion> {
    [
        (
            "glide_cas_mean_kt",
            Some(-3.0),
            Some(3.0),
            Some(About::BestGlide),
        ),
        (
            "glide_cas_mean_kt",
            Some(-2.0),
            Some(6.0),
            Some(About::BestGlide),
        ),
        (
            "final_cas_mean_kt",
            Some(-3.0),
            Some(3.0),
            Some(About::Approach),
        ),
        ("touchdown_along_ft", Some(-100.0), Some(100.0), None),
        ("touchdown_along_ft", Some(0.0), Some(500.0), None),
        ("abeam_height_ft", Some(900.0), Some(1100.0), None),
        ("abeam_height_ft", Some(800.0), None, None),
        ("bank_max_deg", None, Some(30.0), None),
        ("bank_max_deg", None, Some(40.0), None),
        ("power_reduction_height_ft", Some(3000.0), None, None),
    ]
    .into_iter()
    .enumerate()
    .map(|(i, (measure, low, high, about))| Criterion {
        id: format!("narrow {i}"),
        name: measure.into(),
        measure: measure.into(),
        low,
        high,
        about,
        within_kt: None,
        source: "for this check only".into(),
        basis: Basis::School,
        makes_the_manoeuvre: false,
    })
}

/// The verdicts of `document` by measure.
///
/// # Errors
///
/// When a window of the document goes beyond what was kept of the flight.
pub fn tally(
    flight: &Flight,
    recording: &Recording,
    document: &Value,
) -> Result<BTreeMap<String, Tally>, String> {
    let mut out: BTreeMap<String, Tally> = BTreeMap::new();
    for (flown, found) in matched(flight, recording, document) {
        let Some(found) = found else { continue };
        for criterion in found["grade"]["criteria"].as_array().into_iter().flatten() {
            let measure = criterion["measure"].as_str().unwrap_or_default();
            let Some(truth) = truth(flight, recording, flown, found, document, measure)? else {
                continue;
            };
            let within = inside(truth, criterion["low"].as_f64(), criterion["high"].as_f64());
            let tally = out.entry(measure.to_owned()).or_default();
            *match (criterion["verdict"].as_str(), within) {
                (Some("met"), true) => &mut tally.met_right,
                (Some("met"), false) => &mut tally.met_wrong,
                (Some("not_met"), false) => &mut tally.not_right,
                (Some("not_met"), true) => &mut tally.not_wrong,
                (Some("too_close_to_call"), _) => &mut tally.close,
                _ => &mut tally.none,
            } += 1;
        }
    }
    Ok(out)
}

/// What was flown, over the window the document names where it is an average.
fn truth(
    flight: &Flight,
    recording: &Recording,
    flown: &Attempt,
    found: &Value,
    document: &Value,
    measure: &str,
) -> Result<Option<f64>, String> {
    let clock = clock(flight, recording);
    let steady = &found["steady_glide"];
    let end = |name: &str| Some(utc_s(steady[name].as_str()?)? - clock);
    let glide_s = end("from_utc").zip(end("to_utc"));
    let point_s = |kind: &str| Some(measured(&key_point(found, kind)?["utc"])?[0] - clock);
    let cas_kt = |from_s, to_s| -> Vec<f64> {
        let samples = flight.motion.between(from_s, to_s);
        samples.iter().map(|s| s.cas_mps / KT).collect()
    };
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    Ok(match measure {
        "touchdown_along_ft" => flown
            .touchdown
            .as_ref()
            .filter(|t| recording.last_fix_s - t.time_s > 3.0)
            .map(|t| t.along_ft),
        "abeam_height_ft" => flown.abeam.as_ref().map(|a| a.height_ft),
        "power_reduction_height_ft" => Some(flown.power_reduction_height_ft),
        "orbits" => flown.orbits,
        "bank_max_deg" => flown.bank_max_deg,
        "glide_cas_mean_kt" => match glide_s {
            Some((from_s, to_s)) => flight.motion.window(from_s, to_s)?.map(|w| w.cas_mean_kt),
            None => None,
        },
        "glide_cas_within_share" | "final_cas_within_share" => {
            held(flight, clock, found, document, measure)
        }
        "final_cas_mean_kt" => point_s("on_final").and_then(|from_s| {
            let to_s = point_s("flare").or(point_s("go_around"))?;
            let cas = cas_kt(from_s, to_s);
            (cas.len() > 15).then(|| mean(&cas))
        }),
        _ => None,
    })
}
