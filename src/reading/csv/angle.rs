//! Latitudes and longitudes that are not plain decimal degrees.

use crate::reading::number;

/// Degrees, with minutes and seconds or not, with a letter of the hemisphere or not:
/// `51.5042N`, `N51 30.250`, `51°30'15.2"N`, `-51:30:15`.
pub(super) fn parse_deg(text: &[u8], decimal_comma: bool) -> Option<f64> {
    if text.len() > 40 {
        return None;
    }
    let mut negative = false;
    let mut lettered = false;
    let mut parts = [0.0_f64; 3];
    let mut count = 0;
    let mut digits: Vec<u8> = Vec::with_capacity(16);
    for &byte in text.iter().chain(b" ") {
        match byte {
            b'0'..=b'9' | b'.' => digits.push(byte),
            b',' if decimal_comma => digits.push(b'.'),
            _ if !digits.is_empty() => {
                *parts.get_mut(count)? = number::parse(&digits)?;
                count += 1;
                digits.clear();
            }
            _ => {}
        }
        match byte {
            b'-' if count == 0 && digits.is_empty() && !negative => negative = true,
            b'S' | b's' | b'W' | b'w' | b'N' | b'n' | b'E' | b'e' => {
                if lettered || negative {
                    return None;
                }
                lettered = true;
                negative = matches!(byte, b'S' | b's' | b'W' | b'w');
            }
            b'-' | b'A'..=b'Z' | b'a'..=b'z' => return None,
            _ => {}
        }
    }
    let [degrees, minutes, seconds] = parts;
    // Only the last part may have decimals.
    let whole = |value: f64| value.fract() == 0.0;
    let sound = match count {
        1 => true,
        2 => whole(degrees) && minutes < 60.0,
        3 => whole(degrees) && whole(minutes) && minutes < 60.0 && seconds < 60.0,
        _ => false,
    };
    let value = degrees + minutes / 60.0 + seconds / 3600.0;
    sound.then_some(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_latitude_in_many_spellings() {
        for text in [
            "51.504166666666667",
            "51.504166666666667N",
            "N51 30.25",
            "51°30'15\"N",
            "51:30:15",
            "51 30 15.0 n",
        ] {
            let got = parse_deg(text.as_bytes(), false).unwrap();
            assert!((got - 51.504_166_666_666_67).abs() < 1e-9, "{text}");
        }
        assert_eq!(parse_deg(b"0 27.75W", false), Some(-0.4625));
        assert_eq!(parse_deg(b"-0:27:45", false), Some(-0.4625));
        assert_eq!(parse_deg(b"51,5 S", true), Some(-51.5));
    }

    #[test]
    fn refuses_what_is_no_angle() {
        for text in [
            "", "N", "51.5X", "51.5 30", "51 60.0N", "-51.5S", "1 2 3 4", "nan", "51N30E",
        ] {
            assert_eq!(parse_deg(text.as_bytes(), false), None, "{text}");
        }
    }
}
