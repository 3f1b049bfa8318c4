//! Rows of a logbook to what the model takes: one glide each, grouped.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use crate::findings::LEAST_CONFIDENCE;
use crate::logbook::GlideRow;

/// What the rows of a fleet report are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Airframes.
    Aircraft,
    /// Types.
    Type,
    /// Airframes with each flap setting.
    Flap,
    /// Months of each type.
    Month,
}

impl By {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            By::Aircraft => "aircraft",
            By::Type => "type",
            By::Flap => "flap",
            By::Month => "month",
        }
    }
}

/// One glide, divided by its distance through the air.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Glide {
    /// When, s since 1970.
    pub(super) utc_s: f64,
    /// The same as text.
    pub(super) utc: String,
    /// Recording.
    pub(super) recording: i64,
    /// Flight, counted from 0 in each group.
    pub(super) flight: usize,
    /// Energy height lost for each foot through the air.
    pub(super) lost: f64,
    /// Parasite, induced and turning terms.
    pub(super) terms: [f64; 3],
    /// Standard deviation of `lost`.
    pub(super) sd: f64,
}

/// Glides of one airframe, or what else a row is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub(super) name: String,
    /// In the order of time.
    pub(super) glides: Vec<Glide>,
    pub(super) handbook_glide_ratio: Option<f64>,
    pub(super) abeam_target_ft: Option<f64>,
}

/// Groups that share a polar.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Kind {
    pub(super) name: String,
    pub(super) groups: Vec<Group>,
    pub(super) best_glide_kcas: Option<f64>,
    pub(super) reference_weight_lb: Option<f64>,
}

/// Two recordings of one aircraft whose power reductions are nearer than this are of one attempt, s.
const SAME_ATTEMPT_S: f64 = 20.0;
/// Another recording less than this after the last glide is of the same flight or of one beside it: the same air, s.
const SAME_AIR_S: f64 = 3600.0;
/// A glide with a standard deviation above this share of what was lost says nothing.
const USELESS: f64 = 0.5;
/// Noise of the logarithm of a glide's standard deviation: it is taken from 200 draws, 1/√(2·199) = 0.05 for a
/// normal law, and a little more with longer tails.
const SD_NOISE: f64 = 0.06;

/// Glides by type and group, and what was left out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sorted {
    pub(super) kinds: Vec<Kind>,
    /// Attempts that two recorders recorded, beyond the first of each.
    pub(super) twice: usize,
    /// Attempts too little sure to be one.
    pub(super) unsure: usize,
}

/// The glides of `rows` by type and group.
pub(super) fn kinds(rows: &[GlideRow], by: By) -> Sorted {
    let is_sure = |row: &&GlideRow| row.confidence >= LEAST_CONFIDENCE;
    let unsure: BTreeSet<i64> = rows
        .iter()
        .filter(|row| !is_sure(row))
        .map(|row| row.attempt)
        .collect();
    let usable: Vec<&GlideRow> = rows
        .iter()
        .filter(is_sure)
        .filter(|row| by == By::Flap || row.flap == "clean")
        .filter(|row| {
            let [lost, .., distance, sd] = row.terms_ft;
            row.terms_ft.iter().all(|v| v.is_finite())
                && lost > 0.0
                && distance > 0.0
                && sd < USELESS * lost
        })
        .collect();
    let (rows, twice) = once_each(usable);
    let mut by_kind: BTreeMap<String, Vec<&GlideRow>> = BTreeMap::new();
    for row in rows {
        by_kind.entry(kind_of(row)).or_default().push(row);
    }
    let kinds = by_kind
        .into_iter()
        .map(|(name, rows)| kind(name, &rows, by))
        .collect();
    Sorted {
        kinds,
        twice,
        unsure: unsure.len(),
    }
}

/// Of an attempt that several recorders recorded, the one with the least doubt.
fn once_each(rows: Vec<&GlideRow>) -> (Vec<&GlideRow>, usize) {
    let before: BTreeSet<i64> = rows.iter().map(|row| row.attempt).collect();
    let mut kept: BTreeMap<(&str, &str), Vec<&GlideRow>> = BTreeMap::new();
    for row in rows {
        let of_one = kept.entry((&row.registration, &row.flap)).or_default();
        let same = of_one.iter().rposition(|other| {
            other.recording != row.recording
                && (seconds(&other.utc) - seconds(&row.utc)).abs() < SAME_ATTEMPT_S
        });
        match same {
            Some(i) if doubt(row) < doubt(of_one[i]) => of_one[i] = row,
            Some(_) => {}
            None => of_one.push(row),
        }
    }
    let mut rows: Vec<&GlideRow> = kept.into_values().flatten().collect();
    rows.sort_by(|a, b| (&a.utc, a.attempt, &a.flap).cmp(&(&b.utc, b.attempt, &b.flap)));
    let after: BTreeSet<i64> = rows.iter().map(|row| row.attempt).collect();
    (rows, before.len() - after.len())
}

fn doubt(row: &GlideRow) -> f64 {
    row.terms_ft[5] / row.terms_ft[0]
}

fn seconds(utc: &str) -> f64 {
    utc.parse::<Timestamp>()
        .map_or(f64::NAN, |t| t.as_millisecond() as f64 / 1000.0)
}

/// The type as the briefing has it; else its handbook speed and weight stand for it.
fn kind_of(row: &GlideRow) -> String {
    match (&row.kind, row.handbook_best_glide_kcas) {
        (Some(kind), _) => kind.clone(),
        (None, Some(kt)) => match row.reference_weight_lb {
            Some(lb) => format!("best glide {kt:.0} kt at {lb:.0} lb"),
            None => format!("best glide {kt:.0} kt"),
        },
        (None, None) => format!("type of {} not given", row.registration),
    }
}

fn kind(name: String, rows: &[&GlideRow], by: By) -> Kind {
    let best_glide_kcas = median(
        rows.iter()
            .filter_map(|r| r.handbook_best_glide_kcas.or(r.best_glide_kcas)),
    );
    let mut groups: BTreeMap<String, Vec<&GlideRow>> = BTreeMap::new();
    for row in rows {
        let of = match by {
            By::Aircraft => row.registration.clone(),
            By::Type => name.clone(),
            By::Flap => format!("{}, {}", row.registration, row.flap),
            By::Month => row.utc.get(..7).unwrap_or_default().to_owned(),
        };
        groups.entry(of).or_default().push(row);
    }
    let mut groups: Vec<Group> = groups
        .into_iter()
        .map(|(name, rows)| Group {
            name,
            handbook_glide_ratio: median(
                rows.iter()
                    // a handbook's ratio is for the clean aeroplane
                    .filter(|r| r.flap == "clean")
                    .filter_map(|r| r.handbook_glide_ratio),
            ),
            abeam_target_ft: median(rows.iter().filter_map(|r| r.abeam_target_ft)),
            glides: in_flights(rows.iter().map(|r| glide(r, best_glide_kcas)).collect()),
        })
        .collect();
    steady(
        groups
            .iter_mut()
            .flat_map(|g| &mut g.glides)
            .map(|glide| &mut glide.sd),
    );
    Kind {
        name,
        groups,
        best_glide_kcas,
        reference_weight_lb: median(rows.iter().filter_map(|r| r.reference_weight_lb)),
    }
}

/// Glides in the order of time with their flights numbered.
fn in_flights(mut glides: Vec<Glide>) -> Vec<Glide> {
    let mut flight = 0;
    for k in 1..glides.len() {
        let (last, this) = (&glides[k - 1], &glides[k]);
        let same_air = this.utc_s - last.utc_s < SAME_AIR_S;
        flight += usize::from(this.recording != last.recording && !same_air);
        glides[k].flight = flight;
    }
    glides
}

/// Draws the standard deviations towards their middle one as far as they differ by the noise of the draws only:
/// a weight is to tell a poor recording from a good one, not one seed from another.
fn steady<'a>(sds: impl Iterator<Item = &'a mut f64>) {
    let mut sds: Vec<&mut f64> = sds.filter(|sd| **sd > 0.0).collect();
    let logs: Vec<f64> = sds.iter().map(|sd| sd.ln()).collect();
    let Some(middle) = median(logs.iter().copied()) else {
        return;
    };
    let off = median(logs.iter().map(|log| (log - middle).abs())).unwrap_or(0.0);
    // median absolute deviation to a standard deviation, for a normal law
    let spread = 1.4826 * off;
    let real = (1.0 - (SD_NOISE / spread.max(SD_NOISE)).powi(2)).sqrt();
    for (sd, log) in sds.iter_mut().zip(logs) {
        **sd = (middle + real * (log - middle)).exp();
    }
}

fn glide(row: &GlideRow, best_glide_kcas: Option<f64>) -> Glide {
    let [lost, parasite, induced, turning, distance, sd] = row.terms_ft;
    // A recording without the handbook's speed was measured from its own.
    let ratio = match (
        row.handbook_best_glide_kcas,
        row.best_glide_kcas,
        best_glide_kcas,
    ) {
        (Some(own), _, Some(all)) | (None, Some(own), Some(all)) => (own / all).powi(2),
        _ => 1.0,
    };
    Glide {
        utc_s: seconds(&row.utc),
        utc: row.utc.clone(),
        recording: row.recording,
        flight: 0,
        lost: lost / distance,
        terms: [
            parasite / distance * ratio,
            induced / distance / ratio,
            turning / distance / ratio,
        ],
        sd: sd / distance,
    }
}

/// The middle one of the values.
pub(super) fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    (!values.is_empty()).then(|| crate::quantity::quantile_sorted(&values, 0.5))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Draws;

    #[test]
    fn the_noise_of_the_draws_is_no_weight_and_real_differences_stay() {
        let mut draws = Draws::new(3, 3);
        let mut alike: Vec<f64> = (0..200)
            .map(|_| 150.0 * (0.05 * draws.normal()).exp())
            .collect();
        steady(alike.iter_mut());
        // by hand: what is left of a spread of 5 % is less than 2 %
        assert!(alike.iter().all(|sd| (sd / 150.0).ln().abs() < 0.02));
        let mut different = [100.0, 200.0, 400.0, 800.0, 1600.0];
        steady(different.iter_mut());
        for (sd, was) in different.iter().zip([100.0, 200.0, 400.0, 800.0, 1600.0]) {
            assert!((sd / was).ln().abs() < 0.01, "{sd} of {was}");
        }
    }
}
