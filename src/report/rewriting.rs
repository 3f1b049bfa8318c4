//! Sentences of the document in the units and the time of a report.
//!
//! A quantity is a number with its unit, or two with `to` between them; an interval in parentheses right after it has
//! its unit too. Values are rounded to the nearest whole unit (tenths for m/s and km), intervals outwards.

use super::number::{self, MINUS, UNIT_SPACE};
use super::wording::Wording;

/// The units of sentences, the longer before what they start with.
const UNITS: [&str; 5] = ["ft/min", "ft", "kt", "NM", "lb"];

/// `text`, converted.
pub(super) fn rewritten(text: &str, wording: &Wording) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    let mut before = ' ';
    while let Some(next) = rest.chars().next() {
        let free = !before.is_alphanumeric() && !matches!(before, '.' | ':' | '_' | '-');
        let starts = next.is_ascii_digit() || matches!(next, '+' | MINUS);
        let found = (free && starts)
            .then(|| time(rest, wording).or_else(|| quantity(rest, wording)))
            .flatten();
        if let Some((words, left)) = found {
            out.push_str(&words);
            rest = left;
            before = ' ';
            continue;
        }
        out.push(next);
        before = next;
        rest = &rest[next.len_utf8()..];
    }
    out
}

/// `16:14:15 UTC` at the start.
fn time<'a>(text: &'a str, wording: &Wording) -> Option<(String, &'a str)> {
    let (clock, rest) = text.split_at_checked(8)?;
    let rest = rest.strip_prefix(" UTC")?;
    let mut parts = clock.split(':').map(str::parse::<i32>);
    let (Some(Ok(h)), Some(Ok(m)), Some(Ok(s))) = (parts.next(), parts.next(), parts.next()) else {
        return None;
    };
    let local = (3600 * h + 60 * m + s + wording.ahead_s()).rem_euclid(86_400);
    let (h, m, s) = (local / 3600, local / 60 % 60, local % 60);
    Some((format!("{h:02}:{m:02}:{s:02} {}", wording.zone()), rest))
}

/// A number, perhaps a range, with a unit, and perhaps an interval after it.
fn quantity<'a>(text: &'a str, wording: &Wording) -> Option<(String, &'a str)> {
    let (first, rest) = number_at(text)?;
    let (second, rest) = match between(rest).and_then(number_at) {
        Some((second, rest)) => (Some(second), rest),
        None => (None, rest),
    };
    let after = rest.strip_prefix([' ', UNIT_SPACE, '\u{202f}'])?;
    let (unit, rest) = UNITS.into_iter().find_map(|unit| {
        let rest = after.strip_prefix(unit)?;
        let ends = !rest.starts_with(|c: char| c.is_alphanumeric() || c == '/');
        ends.then_some((unit, rest))
    })?;
    let shown = wording.shown(unit, 0);
    if (shown.factor - 1.0).abs() < 1e-12 {
        let length = text.len() - rest.len();
        return Some((text[..length].to_owned(), rest));
    }
    let decimals = usize::from(matches!(shown.unit, "m/s" | "km"));
    let step = if decimals == 1 { 0.1 } else { 1.0 };
    let plus = if text.starts_with('+') { "+" } else { "" };
    let low = |x: f64| number::number((shown.of(x) / step + 1e-6).floor() * step, decimals);
    let high = |x: f64| number::number((shown.of(x) / step - 1e-6).ceil() * step, decimals);
    let words = if let Some(second) = second {
        let (low, high) = (low(first), high(second));
        format!("{low} to {high}{UNIT_SPACE}{}", shown.unit)
    } else {
        let value = number::number((shown.of(first) / step).round() * step, decimals);
        format!("{plus}{value}{UNIT_SPACE}{}", shown.unit)
    };
    let interval = rest.strip_prefix(" (").and_then(|inner| {
        let (a, inner) = number_at(inner)?;
        let (b, inner) = number_at(between(inner)?)?;
        Some((a, b, inner.strip_prefix(')')?))
    });
    match interval {
        Some((a, b, rest)) => Some((format!("{words} ({} to {})", low(a), high(b)), rest)),
        None if unit == "ft" && second.is_none() && is_mark(first) => {
            Some((wording.mark(first), rest))
        }
        None => Some((words, rest)),
    }
}

/// Heights that the trade names in feet come in steps of this, ft.
const MARKS_FT: f64 = 500.0;

fn is_mark(feet: f64) -> bool {
    feet > 0.0 && feet % MARKS_FT == 0.0
}

/// What follows the word between the ends of a range.
fn between(text: &str) -> Option<&str> {
    text.strip_prefix(" to ").or_else(|| text.strip_prefix('–'))
}

/// The number that a text starts with, and what follows it.
fn number_at(text: &str) -> Option<(f64, &str)> {
    let (sign, digits) = match text.strip_prefix([MINUS, '-']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let end = digits
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '\u{202f}'))
        .unwrap_or(digits.len());
    // a full stop ends the sentence, a narrow space stands before the unit
    let written = digits[..end].trim_end_matches(['.', '\u{202f}']);
    let value: f64 = written.replace('\u{202f}', "").parse().ok()?;
    Some((sign * value, &digits[written.len()..]))
}

#[cfg(test)]
mod tests {
    use super::super::wording::Units;
    use super::*;
    use jiff::tz::{Offset, TimeZone};

    #[test]
    fn quantities_and_times_are_converted_and_nothing_else() {
        let zone = TimeZone::fixed(Offset::from_seconds(-3600).unwrap());
        let wording = Wording::new(Units::Metric, &zone, "2026-05-03T10:21:40Z");
        // 1 ft is 0.3048 m, 1 kt 1.852 km/h, 1 ft/min 0.00508 m/s, 1 lb 0.4536 kg: hand calculations
        for (text, wanted) in [
            (
                "descended at 3700 ft/min (3500 to 3900) at 00:14:15 UTC, 490 ft above the aim",
                "descended at 18.8 m/s (17.7 to 19.9) at 23:14:15 UTC−01:00, 149 m above the aim",
            ),
            (
                "down to 56 kt, below the approach speed of 67 kt",
                "down to 104 km/h, below the approach speed of 124 km/h",
            ),
            (
                "−30 ft short; 500 to 850 ft (95 %)",
                "−9 m short; 152 to 260 m (95 %)",
            ),
            ("74 kt at 2277 lb.", "137 km/h at 1033 kg."),
            (
                "elevation_ft = 330 would fit; line 649, flap 10°, 1.13 times, 0:33",
                "",
            ),
            (
                "14 s, 30° of bank, 2 orbits, P-07, file-20 ftx, 2026-05-03",
                "",
            ),
        ] {
            let wanted = if wanted.is_empty() { text } else { wanted };
            let made = rewritten(text, &wording).replace(UNIT_SPACE, " ");
            assert_eq!(made, wanted);
        }
    }
}
