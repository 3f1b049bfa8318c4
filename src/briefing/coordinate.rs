//! Latitude and longitude as text: decimal degrees, degrees and minutes, degrees, minutes and seconds.

/// Which of the two a text is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Axis {
    /// North and south.
    Latitude,
    /// East and west.
    Longitude,
}

impl Axis {
    fn letters(self) -> [char; 2] {
        match self {
            Axis::Latitude => ['N', 'S'],
            Axis::Longitude => ['E', 'W'],
        }
    }

    fn other(self) -> Axis {
        match self {
            Axis::Latitude => Axis::Longitude,
            Axis::Longitude => Axis::Latitude,
        }
    }
}

/// What a coordinate may look like, in words.
pub(super) const EXPECTED: &str =
    "decimal degrees, degrees and minutes, or degrees, minutes and seconds";

/// Degrees, minutes, seconds.
const UNITS: [&str; 3] = ["degrees", "minutes", "seconds"];

/// Reads one coordinate in degrees, south and west negative; not held against its range.
///
/// # Definition
/// One to three numbers with `°`, `'`, `"`, their typographic likes, `:` or spaces between; of these only
/// the last may have decimals. The side is a letter in front or behind, or a sign, not both.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn read(text: &str, axis: Axis) -> Result<f64, String> {
    let (side, body) = side_of(text.trim(), axis)?;
    let (sign, body) = match body.strip_prefix(['-', '\u{2212}', '+']) {
        Some(_) if side.is_some() => {
            return Err("write a sign or a letter for the side, not both".to_owned());
        }
        Some(rest) if !body.starts_with('+') => (-1.0, rest),
        Some(rest) => (1.0, rest),
        None => (side.unwrap_or(1.0), body),
    };
    let numbers = numbers_of(body)?;
    let mut degrees = 0.0;
    for (i, (number, has_decimals)) in numbers.iter().enumerate() {
        if *has_decimals && i + 1 < numbers.len() {
            return Err(format!(
                "{} have decimals, but {} follow: only the last number may have them",
                UNITS[i],
                UNITS[i + 1]
            ));
        }
        if i > 0 && *number >= 60.0 {
            return Err(format!("{} run from 0 to 59, found {number}", UNITS[i]));
        }
        degrees += number / [1.0, 60.0, 3600.0][i];
    }
    Ok(sign * degrees)
}

/// The side by its letter, as a sign, and the text without it.
fn side_of(text: &str, axis: Axis) -> Result<(Option<f64>, &str), String> {
    let sign = |letter: char| {
        let letter = letter.to_ascii_uppercase();
        let at = |axis: Axis| axis.letters().iter().position(|l| *l == letter);
        match at(axis) {
            Some(0) => Ok(Some(1.0)),
            Some(_) => Ok(Some(-1.0)),
            None if at(axis.other()).is_some() => {
                let [one, other] = axis.letters();
                Err(format!("expected {one} or {other} here, found {letter}"))
            }
            None => Ok(None),
        }
    };
    let first = text.chars().next().filter(char::is_ascii_alphabetic);
    let last = text.chars().next_back().filter(char::is_ascii_alphabetic);
    match (first, last) {
        (Some(_), Some(_)) if !text.contains(|c: char| c.is_ascii_digit()) => {
            Err("no number in it".to_owned())
        }
        (Some(_), Some(_)) if text.len() > 1 => Err("two letters for the side".to_owned()),
        (Some(letter), _) => Ok((sign(letter)?, text[1..].trim_start())),
        (_, Some(letter)) => Ok((sign(letter)?, text[..text.len() - 1].trim_end())),
        _ => Ok((None, text)),
    }
}

/// The numbers, each with whether it is written with decimals.
fn numbers_of(text: &str) -> Result<Vec<(f64, bool)>, String> {
    let mut numbers: Vec<(f64, bool)> = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(rest.len());
        let digits = &rest[..end];
        let number: f64 = digits
            .parse()
            .map_err(|_| format!("cannot be read from `{rest}` on"))?;
        if numbers.len() == UNITS.len() {
            return Err("more than three numbers".to_owned());
        }
        let after = rest[end..].trim_start();
        rest = match mark(after) {
            Some((unit, length)) => {
                if unit != UNITS[numbers.len()] {
                    let expected = UNITS[numbers.len()];
                    return Err(format!("{unit} where {expected} belong"));
                }
                after[length..].trim_start()
            }
            None => after.strip_prefix(':').unwrap_or(after).trim_start(),
        };
        numbers.push((number, digits.contains('.')));
    }
    if numbers.is_empty() {
        return Err("no number in it".to_owned());
    }
    Ok(numbers)
}

/// The unit a mark at the start of a text stands for, and the bytes of the mark.
fn mark(text: &str) -> Option<(&'static str, usize)> {
    // the longer marks first: two primes are seconds
    const MARKS: [(&str, &str); 17] = [
        ("''", "seconds"),
        ("\u{2032}\u{2032}", "seconds"),
        ("\u{2019}\u{2019}", "seconds"),
        ("\"", "seconds"),
        ("\u{2033}", "seconds"),
        ("\u{201d}", "seconds"),
        ("\u{201c}", "seconds"),
        ("\u{ff02}", "seconds"),
        ("'", "minutes"),
        ("\u{2032}", "minutes"),
        ("\u{2019}", "minutes"),
        ("\u{2018}", "minutes"),
        ("\u{b4}", "minutes"),
        ("\u{ff07}", "minutes"),
        ("\u{b0}", "degrees"),
        ("\u{ba}", "degrees"),
        ("\u{2da}", "degrees"),
    ];
    let (mark, unit) = MARKS.iter().find(|(mark, _)| text.starts_with(mark))?;
    Some((unit, mark.len()))
}

/// A pair of coordinates taken apart: at the comma, or where the letter of the first ends it.
pub(super) fn pair(text: &str) -> Option<(&str, &str)> {
    if let Some(parts) = text.split_once(',') {
        return Some(parts);
    }
    let text = text.trim();
    let letter = |of: [char; 2]| text.find(|c: char| of.contains(&c.to_ascii_uppercase()));
    if text.starts_with(|c: char| c.is_ascii_alphabetic()) {
        // the letters in front: the second coordinate starts with its own
        let at = letter(Axis::Longitude.letters()).filter(|at| *at > 0)?;
        return Some(text.split_at(at));
    }
    let at = letter(Axis::Latitude.letters())?;
    Some(text.split_at(at + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_place_in_many_spellings() {
        // 51°28'40.12" is 51 + 28/60 + 40.12/3600 = 51.477811 degrees
        for text in [
            "51°28'40.12\"N",
            "51° 28′ 40.12″ N",
            "51º28’40.12” n",
            "N 51 28 40.12",
            "51:28:40.12N",
            "51 28 40.12",
            "+51 28' 40.12''",
            "51.477811",
            "51.477811° N",
            "N51°28.66867'",
        ] {
            let found = read(text, Axis::Latitude).unwrap();
            assert!((found - 51.477_811).abs() < 1e-6, "{text}: {found}");
        }
        for text in ["-2 30", "2°30'W", "W002:30:00", "\u{2212}2.5", "2.5w"] {
            assert_eq!(read(text, Axis::Longitude), Ok(-2.5), "{text}");
        }
        // a place just south of the equator keeps its side
        assert_eq!(read("0°30'S", Axis::Latitude), Ok(-0.5));
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (text, expected) in [
            ("51°60'N", "minutes run from 0 to 59, found 60"),
            ("51 10 75", "seconds run from 0 to 59, found 75"),
            (
                "51.5 10 N",
                "degrees have decimals, but minutes follow: only the last number may have them",
            ),
            ("51 10 20 30", "more than three numbers"),
            ("51'30\"", "minutes where degrees belong"),
            ("2°30'W", "expected N or S here, found W"),
            (
                "-51 30 S",
                "write a sign or a letter for the side, not both",
            ),
            ("N51S", "two letters for the side"),
            ("51,5", "cannot be read from `,5` on"),
            ("north", "no number in it"),
            ("", "no number in it"),
            ("N", "no number in it"),
            ("5.1.2", "cannot be read from `5.1.2` on"),
        ] {
            assert_eq!(
                read(text, Axis::Latitude).unwrap_err(),
                expected,
                "{text:?}"
            );
        }
    }

    #[test]
    fn a_pair_is_taken_apart() {
        for (text, latitude, longitude) in [
            ("51.0,-2.0", 51.0, -2.0),
            ("51°30'N, 2°15'W", 51.5, -2.25),
            ("51 30 N 2 15 W", 51.5, -2.25),
            ("N51 30 W002 15", 51.5, -2.25),
            ("51°30′N2°15′W", 51.5, -2.25),
        ] {
            let (first, second) = pair(text).unwrap();
            assert_eq!(read(first, Axis::Latitude), Ok(latitude), "{text}");
            assert_eq!(read(second, Axis::Longitude), Ok(longitude), "{text}");
        }
        assert_eq!(pair("51.0 -2.0"), None);
    }
}
