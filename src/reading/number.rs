//! Decimal numbers as recorders write them.

/// Powers of ten that an `f64` holds exactly.
const EXACT_POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Largest whole number below which every whole number is an `f64`: 2⁵³.
const EXACT_INTEGER: u64 = 1 << 53;

/// Most characters of a number that cannot overflow while its digits are gathered.
const FAST_DIGITS: usize = 18;

/// A decimal number, blanks around it allowed; `None` if it is anything else, or not finite.
///
/// Up to 2⁵³ in the digits and 22 decimals the quotient of two exact `f64` is the
/// correctly rounded value (Clinger 1990, "How to read floating point numbers
/// accurately"), so the common case needs no slow path; the rest is left to the
/// standard library.
pub(crate) fn parse(bytes: &[u8]) -> Option<f64> {
    let text = bytes.trim_ascii();
    let (negative, digits) = match text {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] | rest => (false, rest),
    };
    if digits.len() > FAST_DIGITS {
        return slow(text);
    }
    let (mantissa, rest) = gather(0, digits);
    let (mantissa, rest, behind) = match rest {
        [b'.', fraction @ ..] => {
            let (mantissa, rest) = gather(mantissa, fraction);
            (mantissa, rest, fraction.len() - rest.len())
        }
        _ => (mantissa, rest, 0),
    };
    if !rest.is_empty() || mantissa > EXACT_INTEGER {
        return slow(text);
    }
    if matches!(digits, [] | [b'.']) {
        return None;
    }
    let value = decimals(mantissa as f64, behind);
    Some(if negative { -value } else { value })
}

/// Adds the digits at the start of a text to a whole number; with what follows them.
#[inline]
fn gather(mut whole: u64, mut text: &[u8]) -> (u64, &[u8]) {
    while let [byte, rest @ ..] = text {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            break;
        }
        whole = whole * 10 + u64::from(digit);
        text = rest;
    }
    (whole, text)
}

/// The value of so many digits behind a decimal point, `whole` being the number they spell.
pub(crate) fn decimals(whole: f64, digits: usize) -> f64 {
    EXACT_POWERS.get(digits).map_or(0.0, |power| whole / power)
}

/// Numbers with exponents or more digits than the fast path takes.
fn slow(text: &[u8]) -> Option<f64> {
    if text.len() > 64 || !text.iter().any(u8::is_ascii_digit) {
        return None; // "nan", "inf" and their like are not numbers here
    }
    let value: f64 = std::str::from_utf8(text).ok()?.parse().ok()?;
    value.is_finite().then_some(value)
}

/// A number where a comma may stand for the decimal point or part thousands.
///
/// With `decimal_comma`, `1.234,5` is 1234.5; without, `1,234.5` is.
pub(crate) fn parse_grouped(bytes: &[u8], decimal_comma: bool) -> Option<f64> {
    if let Some(value) = parse(bytes).filter(|_| !decimal_comma) {
        return Some(value);
    }
    if !bytes.contains(&b',') {
        return parse(bytes);
    }
    let mut plain = Vec::with_capacity(bytes.len());
    for &byte in bytes.iter().take(64) {
        match (byte, decimal_comma) {
            (b',', true) => plain.push(b'.'),
            (b'.', true) | (b',', false) => {}
            _ => plain.push(byte),
        }
    }
    parse(&plain)
}

/// The whole number that `digits` spell; `None` unless all are decimal digits.
#[inline]
pub(crate) fn whole(digits: &[u8]) -> Option<u32> {
    if digits.is_empty() || digits.len() > 9 {
        return None;
    }
    let mut value = 0_u32;
    let mut all_digits = true;
    for &byte in digits {
        let digit = byte.wrapping_sub(b'0');
        all_digits &= digit <= 9;
        value = value.wrapping_mul(10).wrapping_add(u32::from(digit));
    }
    all_digits.then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn reads_what_recorders_write() {
        for (text, value) in [
            ("47", 47.0),
            (" -0.0012454 ", -0.0012454),
            ("+1.5", 1.5),
            (".5", 0.5),
            ("5.", 5.0),
            ("1e3", 1000.0),
            ("1785084250390", 1785084250390.0),
            ("51.504166666666666666667", 51.504_166_666_666_67),
        ] {
            assert_eq!(parse(text.as_bytes()), Some(value), "{text}");
        }
    }

    #[test]
    fn refuses_what_is_not_a_finite_number() {
        for text in [
            "",
            " ",
            "-",
            ".",
            "nan",
            "NaN",
            "inf",
            "-Infinity",
            "1e999",
            "12a",
            "1 2",
            "0x10",
            "1.2.3",
            "--1",
        ] {
            assert_eq!(parse(text.as_bytes()), None, "{text:?}");
        }
    }

    #[test]
    fn commas_follow_the_file() {
        assert_eq!(parse_grouped(b"51,5042", true), Some(51.5042));
        assert_eq!(parse_grouped(b"1.234,5", true), Some(1234.5));
        assert_eq!(parse_grouped(b"1,234.5", false), Some(1234.5));
    }

    #[test]
    fn whole_numbers_are_digits_only() {
        assert_eq!(whole(b"00357"), Some(357));
        assert_eq!(whole(b"-0357"), None);
        assert_eq!(whole(b""), None);
        assert_eq!(whole(b"1234567890"), None);
    }

    proptest! {
        #[test]
        fn agrees_with_the_standard_library(value in -1e9_f64..1e9, decimals in 0_usize..9) {
            let text = format!("{value:.decimals$}");
            prop_assert_eq!(parse(text.as_bytes()), text.parse().ok());
        }
    }
}
