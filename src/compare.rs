//! Stage 9: a few attempts beside each other, and which differences are real.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::debrief::assemble::CAUTIONS;
use crate::debrief::document::{Attempt, Debrief, Ending};
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::Measured;
use crate::random::normal_below;

/// The schema name written into every document.
pub const SCHEMA: &str = "stillprop.compare.v1";

/// Least and most attempts that are compared.
pub const HOW_MANY: (usize, usize) = (2, 8);

/// Aims nearer than this are one, ft.
const SAME_AIM_FT: f64 = 150.0;
/// Half-width of a 95 % interval in standard deviations.
const TWO_SIDED: f64 = 1.959_964;
/// Feet in a degree of latitude, about: enough to tell aims apart.
const FT_PER_DEGREE: f64 = 364_800.0;

/// An attempt and the debrief it is in.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The document.
    pub debrief: &'a Debrief,
    /// The attempt in it.
    pub attempt: &'a Attempt,
}

/// Attempts beside each other.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Comparison {
    /// Always [`SCHEMA`].
    pub schema: String,
    /// Program and version that made it.
    pub program: String,
    /// The attempts; the first is what the others are held against.
    pub attempts: Vec<Compared>,
    /// Whether all have the same aim.
    pub same_aim: bool,
    /// Measures that at least two have, in the order of the tables.
    pub measures: Vec<ComparedMeasure>,
    /// What the reader should know before trusting the figures.
    pub warnings: Vec<String>,
    /// The cautions every report carries.
    pub cautions: Vec<String>,
}

/// One of the attempts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Compared {
    /// Recording.
    pub file: String,
    /// Number of the attempt in it.
    pub number: u32,
    /// When the power came off, RFC 3339.
    pub utc: String,
    /// Pilot's code.
    pub pilot: Option<String>,
    /// Registration.
    pub registration: Option<String>,
    /// How it ended.
    pub ending: Ending,
}

/// One measure of all attempts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ComparedMeasure {
    /// Id.
    pub measure: String,
    /// Of each attempt.
    pub values: Vec<Measured>,
    /// Of each attempt less the first; the first has none.
    pub differences: Vec<Difference>,
}

/// A difference from the first attempt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Difference {
    /// How much, with its interval.
    pub difference: Measured,
    /// Probability that it is real: that the true difference has this sign.
    pub probability_real: Option<f64>,
}

/// Compares attempts; the first is what the others are held against.
pub fn compare(sides: &[Side<'_>]) -> Comparison {
    let same_aim = sides.iter().all(|side| same(side, &sides[0]));
    let mut warnings = Vec::new();
    if !same_aim {
        warnings.push(
            "the aims differ: each attempt is drawn from its own aim, landing upwards".to_owned(),
        );
    }
    if sides
        .iter()
        .any(|s| s.debrief.reference.aim_source != "briefing")
    {
        warnings.push("an attempt without an aim in its briefing is measured from its own touchdown: its distances say nothing about accuracy".to_owned());
    }
    Comparison {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        attempts: sides.iter().map(compared).collect(),
        same_aim,
        measures: CATALOGUE
            .iter()
            .filter_map(|info| measure(info.id, sides))
            .collect(),
        warnings,
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

fn compared(side: &Side<'_>) -> Compared {
    let reduced = side
        .attempt
        .key_points
        .iter()
        .find(|p| p.kind == "power_reduction");
    let reference = &side.debrief.reference;
    Compared {
        file: side.debrief.recording.file.clone(),
        number: side.attempt.number,
        utc: reduced.and_then(|p| p.utc.value()).unwrap_or_default(),
        pilot: reference.pilot.clone(),
        registration: reference.registration.clone(),
        ending: side.attempt.ending,
    }
}

fn same(a: &Side<'_>, b: &Side<'_>) -> bool {
    let place = |side: &Side<'_>| {
        let reference = &side.debrief.reference;
        reference.aim_latitude_deg.zip(reference.aim_longitude_deg)
    };
    match (place(a), place(b)) {
        (Some(a), Some(b)) => {
            let north = (a.0 - b.0) * FT_PER_DEGREE;
            let east =
                crate::units::wrap_180_deg(a.1 - b.1) * FT_PER_DEGREE * a.0.to_radians().cos();
            north.hypot(east) < SAME_AIM_FT
        }
        _ => false,
    }
}

fn measure(id: &str, sides: &[Side<'_>]) -> Option<ComparedMeasure> {
    let values: Vec<Measured> = sides
        .iter()
        .map(|side| match side.attempt.measures.get(id) {
            Some(measured) => measured.clone(),
            None => Measured::unknown("not in the document"),
        })
        .collect();
    if values.iter().filter(|v| v.value().is_some()).count() < 2 {
        return None;
    }
    let differences = values
        .iter()
        .enumerate()
        .map(|(i, value)| difference(&values[0], value, i))
        .collect();
    Some(ComparedMeasure {
        measure: id.into(),
        values,
        differences,
    })
}

fn difference(first: &Measured, other: &Measured, index: usize) -> Difference {
    let known = |m: &Measured| m.value().zip(m.interval());
    let (Some((a, (a_low, a_high))), Some((b, (b_low, b_high))), true) =
        (known(first), known(other), index > 0)
    else {
        let reason = if index == 0 {
            "the first"
        } else {
            "not measured in both"
        };
        return Difference {
            difference: Measured::unknown(reason),
            probability_real: None,
        };
    };
    let value = b - a;
    // each side's own half-width counts where it matters: upwards and downwards differ
    let high = value + (b_high - b).hypot(a - a_low);
    let low = value - (b - b_low).hypot(a_high - a);
    let towards_zero = if value >= 0.0 {
        value - low
    } else {
        high - value
    };
    let sd = towards_zero / TWO_SIDED;
    let probability = if sd > 0.0 {
        normal_below(value.abs() / sd)
    } else if value == 0.0 {
        0.5
    } else {
        1.0
    };
    Difference {
        difference: Measured::Known { value, low, high },
        probability_real: Some(probability),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(value: f64, half: f64) -> Measured {
        Measured::Known {
            value,
            low: value - half,
            high: value + half,
        }
    }

    #[test]
    fn a_difference_by_hand() {
        // 100 ± 30 and 150 ± 40: 50 ± 50, so 50 is 1.96 standard deviations and 97.5 % sure
        let found = difference(&known(100.0, 30.0), &known(150.0, 40.0), 1);
        assert_eq!(found.difference, known(50.0, 50.0));
        assert!((found.probability_real.unwrap() - 0.975).abs() < 1e-5);
    }

    #[test]
    fn equal_figures_differ_as_likely_up_as_down() {
        let found = difference(&known(5.0, 1.0), &known(5.0, 1.0), 1);
        assert!((found.probability_real.unwrap() - 0.5).abs() < 1e-7);
    }

    #[test]
    fn the_first_has_no_difference_from_itself() {
        assert_eq!(
            difference(&known(1.0, 1.0), &known(1.0, 1.0), 0).probability_real,
            None
        );
        let unknown = Measured::unknown("no aim");
        assert!(
            difference(&unknown, &known(1.0, 1.0), 1)
                .difference
                .reason()
                .is_some()
        );
    }
}
