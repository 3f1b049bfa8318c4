//! Units in column names, and what a name says once they are taken off.

use crate::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT, MPS_PER_MPH};

/// A unit as columns name them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Metre,
    Foot,
    MetrePerSecond,
    Knot,
    KilometrePerHour,
    MilePerHour,
    FootPerMinute,
    Degree,
    Radian,
    /// Ten-millionths of a degree.
    DegreeE7,
    Celsius,
    Fahrenheit,
    PerMinute,
    Second,
    Millisecond,
    Percent,
}

impl Unit {
    /// A value in this unit, in the unit the fix has.
    pub(super) fn convert(self, value: f64) -> f64 {
        match self {
            Self::Foot => value * M_PER_FT,
            Self::Knot => value * MPS_PER_KT,
            Self::KilometrePerHour => value * MPS_PER_KMH,
            Self::MilePerHour => value * MPS_PER_MPH,
            Self::FootPerMinute => value * MPS_PER_FPM,
            Self::Radian => value.to_degrees(),
            Self::DegreeE7 => value / 1e7,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Millisecond => value / 1000.0,
            Self::Metre
            | Self::MetrePerSecond
            | Self::Degree
            | Self::Celsius
            | Self::PerMinute
            | Self::Second
            | Self::Percent => value,
        }
    }

    /// The unit that words stand for, `ms` being left to [`Named::parse`].
    pub(super) fn of_words(words: &[&str]) -> Option<Self> {
        Some(match words {
            ["m" | "meter" | "meters" | "metre" | "metres"] => Self::Metre,
            ["ft" | "feet" | "foot"] => Self::Foot,
            ["mps" | "ms1"]
            | ["m" | "meters" | "metres", "s" | "sec" | "second"]
            | ["m", "per", "s"] => Self::MetrePerSecond,
            ["kt" | "kts" | "kn" | "knot" | "knots"] => Self::Knot,
            ["kmh" | "kph" | "kmph"] | ["km", "h" | "hr"] => Self::KilometrePerHour,
            ["mph"] | ["mi", "h" | "hr"] => Self::MilePerHour,
            ["fpm"] | ["ft", "min" | "mn"] | ["feet", "per", "minute"] => Self::FootPerMinute,
            ["deg" | "degs" | "degree" | "degrees"] | ["deg", "t" | "true"] => Self::Degree,
            ["rad" | "radian" | "radians"] => Self::Radian,
            ["e7" | "1e7" | "dege7"] | ["deg", "e7"] => Self::DegreeE7,
            ["c" | "celsius" | "degc"] | ["deg", "c"] => Self::Celsius,
            ["f" | "fahrenheit" | "degf"] | ["deg", "f"] => Self::Fahrenheit,
            ["s" | "sec" | "secs" | "second" | "seconds"] => Self::Second,
            ["ms" | "msec" | "millis" | "milliseconds" | "millisecond"] => Self::Millisecond,
            ["rpm"] => Self::PerMinute,
            ["percent" | "pct"] => Self::Percent,
            _ => return None,
        })
    }

    /// The unit a column map names.
    pub(super) fn of_name(name: &str) -> Option<Self> {
        let words = words(name);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        Self::of_words(&words)
    }
}

/// A column name taken apart: words in lower case without the unit, and the unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Named {
    pub(super) words: Vec<String>,
    pub(super) unit: Option<Unit>,
}

impl Named {
    /// Takes a name apart: `GNSS altitude (m)`, `alt_msl_ft`, `GndSpd`, `speed [m/s]`.
    pub(super) fn parse(name: &str) -> Self {
        let (plain, bracketed) = brackets(name);
        let mut all = words(&plain);
        let inside = words(&bracketed);
        let mut unit = if bracketed.contains('%') {
            Some(Unit::Percent)
        } else {
            None
        };
        if unit.is_none() {
            unit = take_unit(&inside, false).map(|(unit, rest)| {
                all.extend(rest);
                unit
            });
        }
        if unit.is_none() {
            all.extend(inside);
            if let Some((found, rest)) = take_unit(&all, true) {
                unit = Some(found);
                all = rest;
            }
        }
        // `speed_ms` is in metres per second, `time_ms` in milliseconds.
        if unit == Some(Unit::Millisecond)
            && all.iter().any(|w| {
                w.contains("speed")
                    || w.contains("spd")
                    || matches!(w.as_str(), "gs" | "ias" | "tas" | "vs" | "climb" | "vario")
            })
        {
            unit = Some(Unit::MetrePerSecond);
        }
        Self { words: all, unit }
    }

    /// Does any of these words stand in the name?
    pub(super) fn has(&self, any: &[&str]) -> bool {
        self.words.iter().any(|w| any.contains(&w.as_str()))
    }
}

/// The longest run of words that is a unit: of the whole name at its end, of a bracket at its start.
fn take_unit(words: &[String], at_end: bool) -> Option<(Unit, Vec<String>)> {
    for length in (1..=3.min(words.len())).rev() {
        // A name that is nothing but a unit is a name (`rpm`).
        if at_end && length == words.len() {
            continue;
        }
        let range = if at_end {
            words.len() - length..words.len()
        } else {
            0..length
        };
        let slice: Vec<&str> = words[range.clone()].iter().map(String::as_str).collect();
        if let Some(unit) = Unit::of_words(&slice) {
            let rest = words
                .iter()
                .enumerate()
                .filter(|(i, _)| !range.contains(i))
                .map(|(_, w)| w.clone())
                .collect();
            return Some((unit, rest));
        }
    }
    None
}

/// A name without its brackets, and what is in them.
fn brackets(name: &str) -> (String, String) {
    let (mut outside, mut inside) = (String::new(), String::new());
    let mut depth = 0_u32;
    for c in name.chars().take(120) {
        match c {
            '(' | '[' | '{' => {
                depth += 1;
                outside.push(' ');
                inside.push(' ');
            }
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            c if depth > 0 => inside.push(c),
            c => outside.push(c),
        }
    }
    (outside, inside)
}

/// The words of a name, in lower case: parted at whatever is no letter or digit, and before capitals.
fn words(name: &str) -> Vec<String> {
    let characters: Vec<char> = name.chars().take(120).collect();
    let mut words = vec![String::new()];
    for (i, &c) in characters.iter().enumerate() {
        if !c.is_alphanumeric() {
            words.push(String::new());
            continue;
        }
        let before = i.checked_sub(1).map(|j| characters[j]);
        let after = characters.get(i + 1);
        let starts = c.is_uppercase()
            && (before.is_some_and(char::is_lowercase)
                || (before.is_some_and(char::is_uppercase)
                    && after.is_some_and(|a| a.is_lowercase())));
        if starts {
            words.push(String::new());
        }
        if let Some(word) = words.last_mut() {
            word.extend(c.to_lowercase());
        }
    }
    words.retain(|w| !w.is_empty());
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn takes_names_apart() {
        for (name, words, unit) in [
            ("alt_msl_ft", "alt msl", Some(Unit::Foot)),
            ("GNSS altitude (m)", "gnss altitude", Some(Unit::Metre)),
            (
                "Vertical speed (m/s)",
                "vertical speed",
                Some(Unit::MetrePerSecond),
            ),
            ("speed_kmh", "speed", Some(Unit::KilometrePerHour)),
            ("speed_m_s", "speed", Some(Unit::MetrePerSecond)),
            ("speed_ms", "speed", Some(Unit::MetrePerSecond)),
            ("Timestamp (ms)", "timestamp", Some(Unit::Millisecond)),
            ("time_ms", "time", Some(Unit::Millisecond)),
            ("GndSpd", "gnd spd", None),
            ("AltMSL (ft msl)", "alt msl msl", Some(Unit::Foot)),
            ("UTCOfst", "utc ofst", None),
            ("VSpd [ft/min]", "v spd", Some(Unit::FootPerMinute)),
            ("OAT (°C)", "oat", Some(Unit::Celsius)),
            ("flaps (%)", "flaps", Some(Unit::Percent)),
            ("trk_true_deg", "trk true", Some(Unit::Degree)),
            ("rpm", "rpm", None),
            ("latE7", "lat", Some(Unit::DegreeE7)),
            ("epoch_s", "epoch", Some(Unit::Second)),
        ] {
            let named = Named::parse(name);
            assert_eq!(
                (named.words.join(" ").as_str(), named.unit),
                (words, unit),
                "{name}"
            );
        }
    }

    #[test]
    fn converts_to_the_units_of_a_fix() {
        assert_eq!(Unit::Foot.convert(1000.0), 304.8);
        assert!((Unit::Fahrenheit.convert(59.0) - 15.0).abs() < 1e-12);
        assert!((Unit::KilometrePerHour.convert(126.0) - 35.0).abs() < 1e-12);
    }
}
