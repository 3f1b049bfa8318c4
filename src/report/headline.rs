//! The attempt in one sentence, and two or three more facts beside it, by rules.

use super::number::{self, Figure, UNIT_SPACE};
use super::wording::{Shown, Units, Wording};
use super::{in_hand_words, words};
use crate::debrief::document::{Attempt, Debrief, Ending};
use crate::measures::catalogue;
use crate::quantity::Measured;

/// What is said first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Headline {
    /// The outcome, short enough to be read from across a room.
    pub outcome: String,
    /// How sure it is, or what is behind it; may be empty.
    pub detail: String,
    /// Further facts, each a short clause.
    pub facts: Vec<String>,
}

/// The headline of one attempt.
pub fn headline(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Headline {
    let (outcome, detail) = match attempt.ending {
        Ending::Touchdown => touchdown(debrief, attempt, wording),
        Ending::GoAround => go_around(attempt, wording),
        Ending::EndOfRecording => end_of_recording(attempt, wording),
    };
    let gravest = in_hand_words::gravest_first(attempt).into_iter().next();
    let facts = [
        gravest.map(|danger| in_hand_words::danger_in_short(attempt, danger)),
        abeam(debrief, attempt, wording),
        speed(debrief, attempt, wording),
        in_hand(attempt, wording),
    ]
    .into_iter()
    .flatten();
    Headline {
        outcome,
        detail,
        facts: facts.collect(),
    }
}

/// A figure of the attempt with its raw interval.
fn measured(attempt: &Attempt, wording: Wording, id: &str) -> Option<(Figure, f64, f64)> {
    let measure = attempt.measures.get(id)?;
    let (low, high) = measure.interval()?;
    Some((wording.figure(catalogue::find(id)?, measure)?, low, high))
}

/// A number without its sign.
fn size(text: &str) -> &str {
    text.trim_start_matches(['+', number::MINUS])
}

/// A touchdown whose interval is no longer than this, ft, can be said to be at a point.
const AT_THE_AIM_FT: f64 = 400.0;

/// `310 ft beyond the aim`, and the interval in the same words.
pub(super) fn along(figure: &Figure, low: f64, high: f64, shown: Shown) -> (String, String) {
    let unit = shown.unit;
    let (value, from, to) = (size(&figure.value), size(&figure.low), size(&figure.high));
    let place = match (value, figure.value.starts_with(number::MINUS)) {
        _ if !figure.told && low >= 0.0 => "beyond the aim".to_owned(),
        _ if !figure.told && high <= 0.0 => "short of the aim".to_owned(),
        _ if !figure.told => "can\u{2019}t be told from the aim".to_owned(),
        ("0", _) if high - low <= AT_THE_AIM_FT => "at the aim".to_owned(),
        ("0", _) => "near the aim".to_owned(),
        (_, true) => format!("{value}{UNIT_SPACE}{unit} short of the aim"),
        (_, false) => format!("{value}{UNIT_SPACE}{unit} beyond the aim"),
    };
    let interval = if low >= 0.0 {
        format!("{from} to {to}{UNIT_SPACE}{unit}")
    } else if high <= 0.0 {
        format!("{to} to {from}{UNIT_SPACE}{unit}")
    } else {
        format!("{from}{UNIT_SPACE}{unit} short to {to}{UNIT_SPACE}{unit} beyond")
    };
    (place, interval)
}

fn touchdown(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> (String, String) {
    if debrief.reference.aim_source == "touchdown" {
        return (
            "Touchdown".to_owned(),
            "no aim was given: everything is measured from the touchdown itself".to_owned(),
        );
    }
    let Some((figure, low, high)) = measured(attempt, wording, "touchdown_along_ft") else {
        return (
            "Touchdown, place not measured".to_owned(),
            reason(attempt, wording, "touchdown_along_ft"),
        );
    };
    let (place, interval) = along(&figure, low, high, wording.ft());
    let doubt = attempt
        .touched_probability
        .filter(|p| *p < words::SURE)
        .map_or_else(String::new, |p| {
            let share = number::number(100.0 * p, 0);
            format!("; {share}{UNIT_SPACE}% sure that the wheels touched")
        });
    (
        format!("Touchdown {place}"),
        format!("{interval} (95{UNIT_SPACE}%){doubt}"),
    )
}

fn go_around(attempt: &Attempt, wording: Wording) -> (String, String) {
    let unit = wording.ft().unit;
    let outcome = measured(attempt, wording, "go_around_height_ft").map_or_else(
        || "Go-around".to_owned(),
        |(figure, ..)| {
            let lowest = if figure.told {
                format!("Go-around, lowest {}{UNIT_SPACE}{unit}", figure.value)
            } else {
                format!("Go-around, lowest {}{UNIT_SPACE}{unit}", figure.interval())
            };
            match power_up(attempt, wording) {
                Some(height) => {
                    format!("{lowest} (power up at about {height}{UNIT_SPACE}{unit})")
                }
                None => lowest,
            }
        },
    );
    let detail = measured(attempt, wording, "projected_touchdown_along_ft").map_or_else(
        || reason(attempt, wording, "projected_touchdown_along_ft"),
        |(figure, low, high)| {
            let (place, interval) = along(&figure, low, high, wording.ft());
            format!("projected from the last of the glide: touchdown {place} ({interval})")
        },
    );
    (outcome, detail)
}

/// Height at which the power came back, as the table of key points has it.
fn power_up(attempt: &Attempt, wording: Wording) -> Option<String> {
    let point = attempt.key_points.iter().find(|p| p.kind == "go_around")?;
    Some(wording.height(&point.height_ft)?.value)
}

fn end_of_recording(attempt: &Attempt, wording: Wording) -> (String, String) {
    let unit = wording.ft().unit;
    let outcome = attempt
        .series
        .height_ft
        .iter()
        .rev()
        .find(|h| h.is_finite())
        .map_or_else(
            || "The recording ends in the glide".to_owned(),
            |h| {
                let tens = wording.ft().tens(*h);
                format!("The recording ends at {tens}{UNIT_SPACE}{unit}")
            },
        );
    (
        outcome,
        "neither touchdown nor go-around was recorded".to_owned(),
    )
}

/// Why a measure is missing.
fn reason(attempt: &Attempt, wording: Wording, id: &str) -> String {
    attempt
        .measures
        .get(id)
        .and_then(Measured::reason)
        .map(|why| wording.sentence(why))
        .unwrap_or_default()
}

fn abeam(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Option<String> {
    let unit = wording.ft().unit;
    let (height, ..) = measured(attempt, wording, "abeam_height_ft")?;
    if !height.told {
        return Some(format!(
            "Height abeam {} ({}{UNIT_SPACE}{unit})",
            height.shown(),
            height.interval()
        ));
    }
    let at = format!("Abeam at {}{UNIT_SPACE}{unit}", height.value);
    let error = measured(attempt, wording, "abeam_height_error_ft");
    let target = debrief.reference.abeam_target_ft;
    Some(match (error, target) {
        (Some((error, low, high)), Some(target)) => {
            let off = size(&error.value);
            // in the unit just said, or in both
            let target = match wording.units {
                Units::Us => wording.ft().whole(target),
                Units::Metric => wording.mark(target),
            };
            if low > 0.0 {
                format!("{at}, {off} above the {target} wanted")
            } else if high < 0.0 {
                format!("{at}, {off} below the {target} wanted")
            } else {
                format!("{at}, {target} wanted")
            }
        }
        _ => format!("{at} ({})", height.interval()),
    })
}

fn speed(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Option<String> {
    let (shown, knots) = (wording.kt(), wording.kt().unit);
    let (mean, ..) = measured(attempt, wording, "glide_cas_mean_kt")?;
    let mut clauses = vec![if mean.told {
        format!("Glide at {}{UNIT_SPACE}{knots}", mean.value)
    } else {
        format!(
            "Glide speed {} ({}{UNIT_SPACE}{knots})",
            mean.shown(),
            mean.interval()
        )
    }];
    if let Some(best) = debrief.reference.to_hold_kcas() {
        clauses.push(format!("best glide {}", shown.whole(best)));
    }
    if let Some((share, ..)) = measured(attempt, wording, "glide_cas_within_share") {
        let [below, above] = debrief.reference.speed_band_kt.map(|kt| shown.whole(kt));
        let band = if below == above {
            format!("\u{b1}{above}")
        } else {
            format!("\u{2212}{below}/+{above}")
        };
        if share.told {
            clauses.push(format!(
                "within {band}{UNIT_SPACE}{knots} {}{UNIT_SPACE}% of the time",
                share.value
            ));
        }
    }
    Some(clauses.join(", "))
}

fn in_hand(attempt: &Attempt, wording: Wording) -> Option<String> {
    let unit = wording.ft().unit;
    let (least, low, high) = measured(attempt, wording, "height_in_hand_min_ft")?;
    if !least.told && high < 0.0 {
        let (most, least) = (size(&least.low), size(&least.high));
        return Some(format!(
            "Out of reach by {least} to {most}{UNIT_SPACE}{unit} at the worst before final"
        ));
    }
    if !least.told && low > 0.0 {
        return Some(format!(
            "Height in hand {}{UNIT_SPACE}{unit} at the least before final",
            least.interval()
        ));
    }
    if !least.told {
        return Some(format!(
            "Height in hand can\u{2019}t be told ({}{UNIT_SPACE}{unit} at the least before final)",
            least.interval()
        ));
    }
    let final_s = attempt.key_points.iter().find(|p| p.kind == "on_final");
    let final_s = final_s.and_then(|p| words::elapsed_s(attempt, &p.utc.value()?));
    let stretched = attempt.in_hand.dangers.iter().find(|danger| {
        let from = danger.from_utc.value();
        let from_s = from.and_then(|utc| words::elapsed_s(attempt, &utc));
        danger.kind == "stretching" && from_s.zip(final_s).is_some_and(|(from, at)| from >= at)
    });
    let later = stretched
        .filter(|_| high >= 0.0)
        .map_or_else(String::new, |danger| {
            let doubt = in_hand_words::doubt(danger.probability);
            format!(", out of reach on final{doubt}")
        });
    Some(if high < 0.0 {
        format!(
            "Out of reach by {}{UNIT_SPACE}{unit} at the worst before final",
            size(&least.value)
        )
    } else if low < 0.0 {
        format!(
            "Height in hand {}{UNIT_SPACE}{unit} at the least before final: too close to call{later}",
            least.value
        )
    } else {
        format!(
            "Height in hand {}{UNIT_SPACE}{unit} at the least before final{later}",
            least.value
        )
    })
}

/// The headline as plain sentences, for descriptions and for the page's first line.
pub fn in_words(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> String {
    let headline = headline(debrief, attempt, wording);
    let mut sentences = vec![headline.outcome];
    if !headline.detail.is_empty() {
        sentences[0] = format!("{} ({})", sentences[0], headline.detail);
    }
    sentences.extend(headline.facts.iter().map(|fact| words::sentence_case(fact)));
    format!("{}.", sentences.join(". "))
}
