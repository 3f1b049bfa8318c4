//! The attempt in one sentence, and two or three more facts beside it, by rules.

use super::number::{self, Figure, UNIT_SPACE};
use super::words;
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
pub fn headline(debrief: &Debrief, attempt: &Attempt) -> Headline {
    let (outcome, detail) = match attempt.ending {
        Ending::Touchdown => touchdown(debrief, attempt),
        Ending::GoAround => go_around(attempt),
        Ending::EndOfRecording => end_of_recording(attempt),
    };
    let facts = [
        abeam(debrief, attempt),
        speed(debrief, attempt),
        in_hand(attempt),
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
fn measured(attempt: &Attempt, id: &str) -> Option<(Figure, f64, f64)> {
    let measure = attempt.measures.get(id)?;
    let (low, high) = measure.interval()?;
    Some((number::figure(catalogue::find(id)?, measure)?, low, high))
}

/// A number without its sign.
fn size(text: &str) -> &str {
    text.trim_start_matches(['+', number::MINUS])
}

/// `310 ft beyond the aim`, and the interval in the same words.
pub(super) fn along(figure: &Figure, low: f64, high: f64) -> (String, String) {
    let (value, from, to) = (size(&figure.value), size(&figure.low), size(&figure.high));
    let place = match (value, figure.value.starts_with(number::MINUS)) {
        _ if !figure.told && low >= 0.0 => "beyond the aim".to_owned(),
        _ if !figure.told && high <= 0.0 => "short of the aim".to_owned(),
        _ if !figure.told => "can\u{2019}t be told from the aim".to_owned(),
        ("0", _) => "at the aim".to_owned(),
        (_, true) => format!("{value}{UNIT_SPACE}ft short of the aim"),
        (_, false) => format!("{value}{UNIT_SPACE}ft beyond the aim"),
    };
    let interval = if low >= 0.0 {
        format!("{from} to {to}{UNIT_SPACE}ft")
    } else if high <= 0.0 {
        format!("{to} to {from}{UNIT_SPACE}ft")
    } else {
        format!("{from}{UNIT_SPACE}ft short to {to}{UNIT_SPACE}ft beyond")
    };
    (place, interval)
}

fn touchdown(debrief: &Debrief, attempt: &Attempt) -> (String, String) {
    if debrief.reference.aim_source == "touchdown" {
        return (
            "Touchdown".to_owned(),
            "no aim was given: everything is measured from the touchdown itself".to_owned(),
        );
    }
    let Some((figure, low, high)) = measured(attempt, "touchdown_along_ft") else {
        return (
            "Touchdown, place not measured".to_owned(),
            reason(attempt, "touchdown_along_ft"),
        );
    };
    let (place, interval) = along(&figure, low, high);
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

fn go_around(attempt: &Attempt) -> (String, String) {
    let outcome = measured(attempt, "go_around_height_ft").map_or_else(
        || "Go-around".to_owned(),
        |(figure, ..)| {
            let lowest = if figure.told {
                format!("Go-around, lowest {}{UNIT_SPACE}ft", figure.value)
            } else {
                format!("Go-around, lowest {}{UNIT_SPACE}ft", figure.interval())
            };
            match power_up_ft(attempt) {
                Some(height) => {
                    format!("{lowest} (power up at about {height}{UNIT_SPACE}ft)")
                }
                None => lowest,
            }
        },
    );
    let detail = measured(attempt, "projected_touchdown_along_ft").map_or_else(
        || reason(attempt, "projected_touchdown_along_ft"),
        |(figure, low, high)| {
            let (place, interval) = along(&figure, low, high);
            format!("projected from the last of the glide: touchdown {place} ({interval})")
        },
    );
    (outcome, detail)
}

/// Height at which the power came back, as the table of key points has it.
fn power_up_ft(attempt: &Attempt) -> Option<String> {
    let point = attempt.key_points.iter().find(|p| p.kind == "go_around")?;
    Some(number::height(&point.height_ft)?.value)
}

fn end_of_recording(attempt: &Attempt) -> (String, String) {
    let outcome = attempt
        .series
        .height_ft
        .iter()
        .rev()
        .find(|h| h.is_finite())
        .map_or_else(
            || "The recording ends in the glide".to_owned(),
            |h| {
                let tens = (h / 10.0).round() * 10.0;
                format!(
                    "The recording ends at {}{UNIT_SPACE}ft",
                    number::number(tens, 0)
                )
            },
        );
    (
        outcome,
        "neither touchdown nor go-around was recorded".to_owned(),
    )
}

/// Why a measure is missing.
fn reason(attempt: &Attempt, id: &str) -> String {
    attempt
        .measures
        .get(id)
        .and_then(Measured::reason)
        .unwrap_or_default()
        .to_owned()
}

fn abeam(debrief: &Debrief, attempt: &Attempt) -> Option<String> {
    let (height, ..) = measured(attempt, "abeam_height_ft")?;
    if !height.told {
        return Some(format!(
            "Height abeam {} ({}{UNIT_SPACE}ft)",
            height.shown(),
            height.interval()
        ));
    }
    let at = format!("Abeam at {}{UNIT_SPACE}ft", height.value);
    let error = measured(attempt, "abeam_height_error_ft");
    let target = debrief
        .reference
        .abeam_target_ft
        .map(|t| number::number(t, 0));
    Some(match (error, target) {
        (Some((error, low, high)), Some(target)) => {
            let off = size(&error.value);
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

fn speed(debrief: &Debrief, attempt: &Attempt) -> Option<String> {
    let (mean, ..) = measured(attempt, "glide_cas_mean_kt")?;
    let mut clauses = vec![if mean.told {
        format!("Glide at {}{UNIT_SPACE}kt", mean.value)
    } else {
        format!(
            "Glide speed {} ({}{UNIT_SPACE}kt)",
            mean.shown(),
            mean.interval()
        )
    }];
    if let Some(best) = debrief.reference.best_glide_kcas {
        clauses.push(format!("best glide {}", number::number(best, 0)));
    }
    if let Some((share, ..)) = measured(attempt, "glide_cas_within_share") {
        let [below, above] = debrief
            .reference
            .speed_band_kt
            .map(|kt| number::number(kt, 0));
        let band = if below == above {
            format!("\u{b1}{above}")
        } else {
            format!("\u{2212}{below}/+{above}")
        };
        if share.told {
            clauses.push(format!(
                "within {band}{UNIT_SPACE}kt {}{UNIT_SPACE}% of the time",
                share.value
            ));
        }
    }
    Some(clauses.join(", "))
}

fn in_hand(attempt: &Attempt) -> Option<String> {
    let (least, low, high) = measured(attempt, "height_in_hand_min_ft")?;
    if !least.told {
        return Some(format!(
            "Height in hand can\u{2019}t be told ({}{UNIT_SPACE}ft at the least before final)",
            least.interval()
        ));
    }
    Some(if high < 0.0 {
        format!(
            "Out of reach by {}{UNIT_SPACE}ft at the worst before final",
            size(&least.value)
        )
    } else if low < 0.0 {
        format!(
            "Height in hand {}{UNIT_SPACE}ft at the least before final: too close to call",
            least.value
        )
    } else {
        format!(
            "Height in hand {}{UNIT_SPACE}ft at the least before final",
            least.value
        )
    })
}

/// The headline as plain sentences, for descriptions and for the page's first line.
pub fn in_words(debrief: &Debrief, attempt: &Attempt) -> String {
    let headline = headline(debrief, attempt);
    let mut sentences = vec![headline.outcome];
    if !headline.detail.is_empty() {
        sentences[0] = format!("{} ({})", sentences[0], headline.detail);
    }
    sentences.extend(headline.facts.iter().map(|fact| words::sentence_case(fact)));
    format!("{}.", sentences.join(". "))
}
