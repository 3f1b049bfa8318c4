//! Stage 9: a few attempts beside each other, and which differences are real.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::debrief::assemble::CAUTIONS;
use crate::debrief::document::{Attempt, Debrief, Ending};
use crate::findings::{FALSE_SHARE, found_by_p_values};
use crate::measures::catalogue::CATALOGUE;
use crate::measures::usable;
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
/// Measures that say the same as another, which comes first: they count once. Height from target is the height abeam less
/// what was wanted; load factor follows from bank, and the glide ratio through the air is the speed over the sink.
const SAME: [(&str, &str); 3] = [
    ("abeam_height_error_ft", "abeam_height_ft"),
    ("load_factor_max", "bank_max_deg"),
    ("glide_ratio_air", "air_sink_rate_fpm"),
];
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
    /// Id of the measure here that says the same: of the two only that one is counted.
    #[serde(default)]
    pub same_as: Option<String>,
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
    /// The finding, after allowing for the number of measures compared: of those that are said to differ, no more than
    /// one in twenty is expected not to. Never where one of the two values is too uncertain to be used.
    #[serde(default)]
    pub found: bool,
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
    let mut measures: Vec<ComparedMeasure> = CATALOGUE
        .iter()
        .filter_map(|info| measure(info.id, sides))
        .collect();
    name_the_same(&mut measures, sides);
    for side in 1..sides.len() {
        find_real(&mut measures, side);
    }
    Comparison {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        attempts: sides.iter().map(compared).collect(),
        same_aim,
        measures,
        warnings,
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

/// Says of each measure which other one says the same here.
fn name_the_same(measures: &mut [ComparedMeasure], sides: &[Side<'_>]) {
    let target = |side: &Side<'_>| side.debrief.reference.abeam_target_ft;
    let one_target = sides.iter().all(|side| target(side) == target(&sides[0]));
    for (id, as_id) in SAME {
        let from_one_target = id != "abeam_height_error_ft" || one_target;
        let is_there = measures.iter().any(|m| m.measure == as_id);
        if let Some(m) = measures.iter_mut().find(|m| m.measure == id)
            && from_one_target
            && is_there
        {
            m.same_as = Some(as_id.to_owned());
        }
    }
}

/// Which differences of attempt `side` are findings; what says the same as another one is where both show it.
fn find_real(measures: &mut [ComparedMeasure], side: usize) {
    let told = |m: &ComparedMeasure| {
        let can = |value: &Measured| {
            value
                .value()
                .zip(value.interval())
                .is_some_and(|(v, (low, high))| usable::can_tell(&m.measure, v, low, high))
        };
        can(&m.values[0]) && can(&m.values[side])
    };
    let chance: Vec<Option<f64>> = measures
        .iter()
        .map(|m| {
            let real = m.differences[side].probability_real?;
            (m.same_as.is_none() && told(m)).then_some(2.0 * (1.0 - real))
        })
        .collect();
    for (m, found) in measures.iter_mut().zip(found_by_p_values(&chance)) {
        m.differences[side].found = found;
    }
    let found: Vec<String> = measures
        .iter()
        .filter(|m| m.differences[side].found)
        .map(|m| m.measure.clone())
        .collect();
    for m in measures {
        if let Some(same) = &m.same_as {
            let own = m.differences[side].probability_real;
            m.differences[side].found = found.contains(same)
                && told(m)
                && own.is_some_and(|real| 2.0 * (1.0 - real) <= FALSE_SHARE);
        }
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
        same_as: None,
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
            found: false,
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
        found: false,
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

    /// A measure of two attempts with these values, each ± `half`.
    fn of_two(id: &str, (first, other): (f64, f64), half: f64) -> ComparedMeasure {
        let values = vec![known(first, half), known(other, half)];
        ComparedMeasure {
            measure: id.into(),
            same_as: None,
            differences: (0..2)
                .map(|i| difference(&values[0], &values[i], i))
                .collect(),
            values,
        }
    }

    #[test]
    fn one_quantity_counts_once_and_chance_among_many_is_no_finding() {
        // heights 100 ft apart, each known to 20 ft, are really apart, and so is the error from the same target
        let mut measures = vec![
            of_two("abeam_height_ft", (900.0, 1000.0), 20.0),
            of_two("abeam_height_error_ft", (-100.0, 0.0), 20.0),
            // 96 % sure by itself: one in ten is, where nothing differs
            of_two("glide_cas_mean_kt", (70.0, 71.26), 1.0),
            // sure, but neither value can be used
            of_two("touchdown_sink_fpm", (600.0, 1600.0), 400.0),
        ];
        measures[1].same_as = Some("abeam_height_ft".into());
        let alone = measures[2].differences[1].probability_real.unwrap();
        assert!((0.955..0.965).contains(&alone), "{alone}");
        assert!(measures[3].differences[1].probability_real.unwrap() > 0.99);
        find_real(&mut measures, 1);
        let found: Vec<bool> = measures.iter().map(|m| m.differences[1].found).collect();
        assert_eq!(found, [true, true, false, false]);
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
