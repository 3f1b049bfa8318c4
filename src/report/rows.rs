//! The measures of an attempt as rows of a table, grouped, the unknown ones gathered by reason.

use super::number::{self, Figure};
use super::wording::Wording;
use crate::debrief::document::{Attempt, Reference};
use crate::measures::catalogue::{CATALOGUE, MeasureInfo};

/// A known measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The measure.
    pub info: &'static MeasureInfo,
    /// Its figure.
    pub figure: Figure,
    /// The verdict on it, where a standard was applied.
    pub verdict: Option<String>,
    /// On which side of the limits it is, where that is sure though the figure cannot be told.
    side: Option<&'static str>,
}

impl Row {
    /// The value; where it cannot be told, the side of the limits that it is on for sure, or that it cannot be told.
    pub fn shown(&self) -> &str {
        super::verdicts::shown(&self.figure, self.side)
    }
}

/// Measures of a group that are missing for one reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// The measures.
    pub infos: Vec<&'static MeasureInfo>,
    /// Why, in the document's words.
    pub reason: String,
}

/// A group of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: &'static str,
    /// What its figures are held against; may be empty.
    pub yardstick: String,
    /// What was measured.
    pub rows: Vec<Row>,
    /// What was not.
    pub missing: Vec<Missing>,
}

/// The groups in the order of the catalogue.
pub fn groups(attempt: &Attempt, reference: &Reference, wording: Wording) -> Vec<Group> {
    let verdicts = super::verdicts::by_measure(attempt);
    let mut groups: Vec<Group> = Vec::new();
    for info in CATALOGUE {
        if groups.last().is_none_or(|group| group.name != info.group) {
            groups.push(Group {
                name: info.group,
                yardstick: yardstick(info.group, reference, wording),
                rows: Vec::new(),
                missing: Vec::new(),
            });
        }
        let Some(group) = groups.last_mut() else {
            continue;
        };
        let measured = attempt.measures.get(info.id);
        if let Some(figure) = measured.and_then(|m| wording.figure(info, m)) {
            let verdict = verdicts.get(info.id).map(|c| c.verdict);
            group.rows.push(Row {
                info,
                figure,
                verdict: verdict.map(|v| super::verdicts::word(v).to_owned()),
                side: verdict.and_then(super::verdicts::side),
            });
            continue;
        }
        let reason = measured
            .and_then(|m| m.reason())
            .map_or_else(|| "not worked out".to_owned(), str::to_owned);
        match group.missing.iter_mut().find(|m| m.reason == reason) {
            Some(missing) => missing.infos.push(info),
            None => group.missing.push(Missing {
                infos: vec![info],
                reason,
            }),
        }
    }
    groups
}

/// What the figures of a group are held against: `63 to 83 kt is within tolerance`.
fn yardstick(group: &str, reference: &Reference, wording: Wording) -> String {
    let knots = wording.kt();
    let best = reference.to_hold_kcas().filter(|v| v.is_finite());
    match group {
        "Power reduction" => match (reference.held_within_kt, reference.held_for_s) {
            (Some(within), Some(time)) => {
                format!(
                    "best glide reached: \u{b1}{} {} for {} s",
                    knots.whole(within),
                    knots.unit,
                    number::number(time, 0)
                )
            }
            _ => String::new(),
        },
        "Glide" => best.map_or_else(String::new, |best| {
            let [below, above] = reference.speed_band_kt;
            let (low, high) = (knots.whole(best - below), knots.whole(best + above));
            format!("tolerance of the glide: {low} to {high} {}", knots.unit)
        }),
        "Pattern" => {
            let target = reference.abeam_target_ft;
            let target = target.map(|target| wording.mark(target));
            let approach = reference.approach_kcas.filter(|v| v.is_finite());
            let held = approach.zip(reference.approach_band_kt);
            let held = held.map(|(speed, [below, above])| {
                let (low, high) = (knots.whole(speed - below), knots.whole(speed + above));
                format!("{low} to {high} {}", knots.unit)
            });
            // both at once have little room
            match (target, held) {
                (Some(target), Some(held)) => format!("abeam {target}; final {held}"),
                (Some(target), None) => format!("target: {target} abeam"),
                (None, Some(held)) => format!("tolerance on final: {held}"),
                (None, None) => String::new(),
            }
        }
        "Touchdown" => "+ is beyond the aim, or right of it".to_owned(),
        _ => String::new(),
    }
}

impl Missing {
    /// `Orbits, height per orbit: not measured, no full orbit was flown`.
    pub fn sentence(&self) -> String {
        let mut names = String::new();
        for (i, info) in self.infos.iter().enumerate() {
            if i == 0 {
                names.push_str(info.label);
            } else {
                names.push_str("; ");
                names.push_str(&lower_first(info.label));
            }
        }
        format!("{names}: not measured, {}", self.reason)
    }
}

/// The label as in the middle of a sentence; abbreviations keep their capitals.
fn lower_first(label: &str) -> String {
    let mut characters = label.chars();
    match (characters.next(), characters.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain(characters).collect()
        }
        _ => label.to_owned(),
    }
}
