//! How wide a text is, and making it fit.

use super::widths::{BOLD, EXTRA, FIRST, REGULAR};

/// Thousandths of the font size one character takes.
fn advance(character: char, bold: bool) -> u16 {
    let run = if bold { &BOLD } else { &REGULAR };
    let index = u32::from(character).wrapping_sub(FIRST) as usize;
    match run.get(index) {
        Some(&width) if width > 0 => width,
        _ => EXTRA
            .iter()
            .find(|(extra, _, _)| *extra == character)
            .map_or(
                1000,
                |&(_, regular, heavy)| if bold { heavy } else { regular },
            ),
    }
}

/// The width of `text` at the font size `size`, never less than any face of
/// [`FONT_FAMILY`](super::FONT_FAMILY) takes. An unknown character counts a full em.
pub fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    let thousandths: u32 = text.chars().map(|c| u32::from(advance(c, bold))).sum();
    f64::from(thousandths) * size / 1000.0
}

/// `text`, cut with an ellipsis where it is wider than `width`.
pub fn fit(text: &str, size: f64, bold: bool, width: f64) -> String {
    if text_width(text, size, bold) <= width {
        return text.to_owned();
    }
    let room = width - text_width("…", size, bold);
    let mut kept = String::new();
    let mut used = 0.0;
    for character in text.chars() {
        used += f64::from(advance(character, bold)) * size / 1000.0;
        if used > room {
            break;
        }
        kept.push(character);
    }
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

/// What stands after a number on the same line.
const UNITS: [&str; 14] = [
    "ft", "kt", "lb", "ft/min", "NM", "m", "km/h", "kg", "m/s", "km", "s", "%", "min", "g",
];

/// The words of a text; a number and its unit are one, which no line breaks within.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split([' ', '\n', '\t']).filter(|w| !w.is_empty()) {
        let unit = word.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        match words.last_mut() {
            Some(last) if UNITS.contains(&unit) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// `text` in lines no wider than `width`, broken at spaces, but not between a number and its unit; a word wider than
/// a line is broken within.
pub fn wrap(text: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words(text) {
        let joined = if line.is_empty() {
            word.clone()
        } else {
            format!("{line} {word}")
        };
        if text_width(&joined, size, bold) <= width {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for character in word.chars() {
            line.push(character);
            if text_width(&line, size, bold) > width && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(character);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_unit() {
        let width = text_width("near the stall as 58", 10.0, false);
        let lines = wrap("near the stall as 58 kt, level", 10.0, false, width);
        assert_eq!(lines, ["near the stall as", "58 kt, level"]);
        assert_eq!(
            words("at 4:40 (200 ft) in a min"),
            ["at", "4:40", "(200 ft)", "in", "a", "min"]
        );
    }

    #[test]
    fn a_degree_sign_is_one_character_wide() {
        // DejaVu Sans: "0" 1303/2048, "°" 1024/2048 of an em, rounded up to thousandths.
        assert!((text_width("0", 1000.0, false) - 637.0).abs() < 1e-9);
        assert!((text_width("°", 1000.0, false) - 500.0).abs() < 1e-9);
        assert!((text_width("鳥", 10.0, false) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn fitted_and_wrapped_text_is_within_its_width() {
        let text = "A name so long that nobody would ever paint it on an aeroplane-of-any-size";
        let short = fit(text, 10.0, true, 90.0);
        assert!(short.ends_with('…') && text_width(&short, 10.0, true) <= 90.0);
        let lines = wrap(text, 10.0, false, 60.0);
        assert!(
            lines
                .iter()
                .all(|line| text_width(line, 10.0, false) <= 60.0)
        );
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
