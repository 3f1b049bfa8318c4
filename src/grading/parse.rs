//! Standard file (TOML) → [`Standard`], or everything that is wrong with it.

use toml::de::DeTable;

use super::error::StandardError;
use super::fields::{Reader, Table};
use super::held;
use super::standard::{About, Basis, ByHand, Criterion, Standard};
use crate::briefing::spelling::nearest;
use crate::measures::catalogue::{self, CATALOGUE};
use crate::units::{M_PER_FT, MPS_PER_KT, MPS_PER_MPH};

/// Keys of the file, of a criterion and of a line to be marked by hand.
const TOP: &[&str] = &[
    "id",
    "name",
    "authority",
    "document",
    "edition",
    "task",
    "basis",
    "note",
    "derives_from",
    "drop",
    "met_from_share",
    "not_met_to_share",
    "checklist",
    "power_off_abeam_within_s",
    "criterion",
    "by_hand",
];
const OF_CRITERION: &[&str] = &[
    "id",
    "name",
    "measure",
    "low",
    "high",
    "within_low",
    "within_high",
    "unit",
    "about",
    "element",
    "source",
    "basis",
    "task",
    "makes_the_manoeuvre",
];
const OF_HAND: &[&str] = &["what", "element", "source"];

/// Shares from which a verdict is given where the file names none.
const MET_FROM_SHARE: f64 = 0.9;
/// Likewise.
const NOT_MET_TO_SHARE: f64 = 0.1;

/// Reads a standard; `known` are those it may derive from.
///
/// # Definition
/// A standard that derives from another has its criteria, those of the same id replaced, those
/// named by `drop` left out, and what it does not say itself.
///
/// # Errors
/// Each problem with file, line and, for ids and keys, the nearest known one.
pub fn parse(text: &str, file_name: &str, known: &[Standard]) -> Result<Standard, StandardError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = Reader {
        text,
        file_name,
        problems: Vec::new(),
    };
    let standard = match DeTable::parse(text) {
        Ok(document) => {
            let top = Table {
                entries: document.get_ref(),
                at: 0..0,
                what: "the file",
            };
            reader.standard(&top, known)
        }
        Err(error) => {
            let message = error.message().lines().collect::<Vec<_>>().join("; ");
            reader.report(
                error.span().unwrap_or(0..0),
                format!("not readable as TOML: {message}"),
                None,
            );
            None
        }
    };
    match standard {
        Some(standard) if reader.problems.is_empty() => Ok(standard),
        _ => {
            reader.problems.sort_by_key(|p| p.line);
            Err(StandardError {
                problems: reader.problems,
            })
        }
    }
}

/// What the criteria of a file share.
struct Shared {
    document: Option<String>,
    edition: Option<String>,
    task: Option<String>,
    basis: Option<Basis>,
}

impl Reader<'_> {
    fn standard(&mut self, top: &Table<'_>, known: &[Standard]) -> Option<Standard> {
        self.unknown_keys(top, TOP);
        let parent = self.parent(top, known);
        let id = self.required_text(top, "id");
        let name = self.text_of(top, "name");
        let shared = Shared {
            document: self.text_of(top, "document"),
            edition: self.text_of(top, "edition"),
            task: self.text_of(top, "task"),
            basis: self.word_of(top, "basis", &Basis::WORDS),
        };
        let dropped = self.texts_of(top, "drop");
        let mut criteria: Vec<Criterion> = parent.map_or(Vec::new(), |p| p.criteria.clone());
        for (drop, span) in dropped {
            if !criteria.iter().any(|c| c.is_called(&drop)) {
                let help = nearest(&drop, criteria.iter().map(|c| c.id.as_str()))
                    .map(|near| format!("did you mean `{near}`?"));
                self.report(span, format!("`drop` names `{drop}`, which is no criterion of the standard it derives from"), help);
            }
            criteria.retain(|c| !c.is_called(&drop));
        }
        let inherited = criteria.len();
        for table in self.tables_of(top, "criterion") {
            let Some(criterion) = self.criterion(&table, &shared) else {
                continue;
            };
            match criteria.iter().position(|c| c.is_called(&criterion.id)) {
                Some(i) if i < inherited => criteria[i] = criterion,
                Some(_) => self.report(
                    table.at,
                    format!("a second criterion is called `{}`", criterion.id),
                    None,
                ),
                None => criteria.push(criterion),
            }
        }
        let mut by_hand: Vec<ByHand> = parent.map_or(Vec::new(), |p| p.by_hand.clone());
        for table in self.tables_of(top, "by_hand") {
            self.unknown_keys(&table, OF_HAND);
            let what = self.required_text(&table, "what");
            let source = self.source(&table, &shared, None);
            by_hand.extend(what.map(|what| ByHand {
                what,
                source: source.unwrap_or_default(),
            }));
        }
        if criteria.is_empty() && by_hand.is_empty() {
            self.report(0..0, "a standard without any `[[criterion]]`".into(), None);
        }
        let share = |reader: &mut Self, key, otherwise| {
            let found = reader.number_of(top, key).map(|(share, span)| {
                if !(0.0..=1.0).contains(&share) {
                    reader.report(
                        span,
                        format!("expected `{key}` from 0 to 1, found `{share}`"),
                        None,
                    );
                }
                share
            });
            found.unwrap_or(otherwise)
        };
        let met_from_share = share(
            self,
            "met_from_share",
            parent.map_or(MET_FROM_SHARE, |p| p.met_from_share),
        );
        let not_met_to_share = share(
            self,
            "not_met_to_share",
            parent.map_or(NOT_MET_TO_SHARE, |p| p.not_met_to_share),
        );
        if not_met_to_share >= met_from_share {
            self.report(0..0, format!("`not_met_to_share` ({not_met_to_share}) must be less than `met_from_share` ({met_from_share})"), None);
        }
        let checklist: Vec<String> = self
            .texts_of(top, "checklist")
            .into_iter()
            .map(|c| c.0)
            .collect();
        let power_off_abeam_within_s = self.number_of(top, "power_off_abeam_within_s");
        if let Some((seconds, span)) = &power_off_abeam_within_s
            && *seconds <= 0.0
        {
            let found = format!("expected `power_off_abeam_within_s` above 0, found `{seconds}`");
            self.report(span.clone(), found, None);
        }
        let id = id?;
        Some(Standard {
            power_off_abeam_within_s: power_off_abeam_within_s
                .map(|(seconds, _)| seconds)
                .or(parent.and_then(|p| p.power_off_abeam_within_s)),
            name: name
                .or(parent.map(|p| p.name.clone()))
                .unwrap_or_else(|| id.clone()),
            authority: self
                .text_of(top, "authority")
                .or(parent.map(|p| format!("derived from {}", p.id)))
                .unwrap_or_default(),
            note: self
                .text_of(top, "note")
                .or(parent.and_then(|p| p.note.clone())),
            checklist: if checklist.is_empty() {
                parent.map_or(Vec::new(), |p| p.checklist.clone())
            } else {
                checklist
            },
            id,
            met_from_share,
            not_met_to_share,
            criteria,
            by_hand,
        })
    }

    fn parent<'s>(&mut self, top: &Table<'_>, known: &'s [Standard]) -> Option<&'s Standard> {
        let id = self.text_of(top, "derives_from")?;
        let found = known.iter().find(|s| s.id.eq_ignore_ascii_case(&id));
        if found.is_none() {
            let help = nearest(&id, known.iter().map(|s| s.id.as_str())).map_or_else(
                || "`stillprop standards` lists them".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            self.report(
                top.span_of("derives_from"),
                format!("no standard is called `{id}`"),
                Some(help),
            );
        }
        found
    }

    fn criterion(&mut self, table: &Table<'_>, shared: &Shared) -> Option<Criterion> {
        self.unknown_keys(table, OF_CRITERION);
        let id = self.required_text(table, "id");
        let measure = self.required_text(table, "measure");
        let info = measure.as_deref().and_then(catalogue::find);
        if let (Some(measure), None) = (&measure, info) {
            let help = nearest(measure, CATALOGUE.iter().map(|m| m.id)).map_or_else(
                || "`stillprop explain` lists the measures".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            self.report(
                table.span_of("measure"),
                format!("no measure is called `{measure}`"),
                Some(help),
            );
        }
        let about = self.word_of(table, "about", &About::WORDS);
        let held = info.and_then(|i| held::about(i.id));
        let is_held = held.is_some();
        if let (Some(_), Some(info)) = (about, info)
            && info.unit != "kt"
            && !is_held
        {
            self.report(
                table.span_of("about"),
                format!("`about` is a speed, `{}` is none", info.id),
                None,
            );
        }
        // a share has no unit: that of its tolerance is meant
        let unit = if is_held {
            "kt"
        } else {
            info.map_or("", |i| i.unit)
        };
        let factor = self.factor(table, unit);
        let within_kt = self.tolerance(table, (held, about), factor);
        let factor = if is_held { 1.0 } else { factor };
        let low = self.number_of(table, "low");
        let high = self.number_of(table, "high");
        match (&low, &high) {
            (Some((low, _)), Some((high, span))) if low > high => {
                self.report(
                    span.clone(),
                    format!("reversed bounds: `low` {low} is above `high` {high}"),
                    None,
                );
            }
            (None, None) => self.report(
                table.at.clone(),
                "a criterion without `low` and `high`".into(),
                None,
            ),
            _ => {}
        }
        let basis = self.word_of(table, "basis", &Basis::WORDS).or(shared.basis);
        let source = self.source(table, shared, Some("criterion"));
        let name = self.text_of(table, "name");
        let makes_the_manoeuvre = self.truth_of(table, "makes_the_manoeuvre");
        let id = id?;
        Some(Criterion {
            name: name
                .or(info.map(|i| i.label.to_owned()))
                .unwrap_or_else(|| id.clone()),
            id,
            measure: measure?,
            low: low.map(|(v, _)| v * factor),
            high: high.map(|(v, _)| v * factor),
            about,
            within_kt,
            source: source?,
            basis: basis.unwrap_or(Basis::School),
            makes_the_manoeuvre,
        })
    }

    /// From the unit of the file to the unit of the measure.
    fn factor(&mut self, table: &Table<'_>, unit: &str) -> f64 {
        let Some(written) = self.text_of(table, "unit") else {
            return 1.0;
        };
        match (written.as_str(), unit) {
            (written, unit) if written == unit => 1.0,
            ("m", "ft") => 1.0 / M_PER_FT,
            ("mph", "kt") => MPS_PER_MPH / MPS_PER_KT,
            _ => {
                let help = "leave `unit` out, or write m for feet, mph for knots";
                self.report(
                    table.span_of("unit"),
                    format!("`{written}` cannot be brought to the unit of the measure, {unit}"),
                    Some(help.into()),
                );
                1.0
            }
        }
    }

    /// Where it is published: the line's own `source`, else document, edition, task and element.
    fn source(
        &mut self,
        table: &Table<'_>,
        shared: &Shared,
        needed: Option<&str>,
    ) -> Option<String> {
        if let Some(source) = self.text_of(table, "source") {
            return Some(source);
        }
        let element = self.text_of(table, "element");
        let task = self.text_of(table, "task").or(shared.task.clone());
        if let Some(document) = &shared.document
            && (element.is_some() || (task.is_some() && needed.is_some()))
        {
            let parts = [
                Some(document.clone()),
                shared.edition.clone(),
                task,
                element,
            ];
            return Some(parts.into_iter().flatten().collect::<Vec<_>>().join(", "));
        }
        if let Some(what) = needed {
            let help = "add `source = \"document, item\"` to it, or `document` at the top of the file and `element` to it";
            self.report(
                table.at.clone(),
                format!("a {what} without a source"),
                Some(help.into()),
            );
        }
        None
    }
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
