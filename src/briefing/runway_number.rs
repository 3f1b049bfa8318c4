//! The number of a runway, typed where its direction belongs.

use super::Aim;
use super::error::Complaint;
use super::parse::{Reader, Section};

/// The keys that hold the direction of landing.
const KEYS: [&str; 2] = ["landing_true_deg", "landing_magnetic_deg"];

/// Up to this runway the number may be the direction, too: runway 02 lies at 2° true where the variation is 18° west.
const MAY_BE_BOTH: u16 = 3;

/// The number of a runway, 1 to 36: `9`, `09`, `27L`, `36 R`.
fn read(text: &str) -> Option<u16> {
    let digits = text
        .trim()
        .trim_end_matches(['L', 'R', 'C', 'l', 'r', 'c'])
        .trim_end();
    let is_short = (1..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    digits
        .parse()
        .ok()
        .filter(|number| is_short && (1..=36).contains(number))
}

fn what_to_write(number: u16) -> String {
    let direction_deg = number * 10;
    format!(
        "if {number:02} is the number of the runway, write landing_magnetic_deg = {direction_deg} in its place: \
         runways are numbered by tens of degrees magnetic"
    )
}

/// What to write where a direction is written as a runway is: with a zero before it, a letter behind it, or as text.
pub(super) fn in_place_of_direction(key: &str, text: &str) -> Option<String> {
    let text = text.split('#').next().unwrap_or("");
    let bare = text.trim().trim_matches('"');
    KEYS.contains(&key).then(|| read(bare).map(what_to_write))?
}

impl Reader<'_> {
    /// A direction of landing that is the number of the runway in the aim's name.
    pub(super) fn direction_is_no_runway_number(&mut self, section: Section<'_>, aim: &Aim) {
        let runway = aim.runway.as_ref().and_then(|r| r.runway.as_ref());
        let named = runway.map(|r| r.value.as_str()).and_then(read).or_else(|| {
            let words = aim.name.as_deref()?.split([' ', ',', '/', '(', ')']);
            // `09` or `27L` in a name is a runway; `9` may be anything
            words
                .filter(|word| word.len() >= 2)
                .filter_map(read)
                .next_back()
        });
        let Some(number) = named.filter(|number| *number > MAY_BE_BOTH) else {
            return;
        };
        for (key, degrees) in KEYS
            .into_iter()
            .zip([aim.landing_true_deg, aim.landing_magnetic_deg])
        {
            if let (Some(value), Some(degrees)) = (section.get(key), degrees)
                && degrees == f64::from(number)
            {
                let complaint = Complaint::Contradiction(format!(
                    "`{key}` of {degrees} degrees is the number of runway {number:02}, not its direction"
                ));
                self.report(value.span(), complaint, Some(what_to_write(number)));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::briefing::parse;

    const FIX: &str = "if 36 is the number of the runway, write landing_magnetic_deg = 360 in its place: runways are numbered by \
                       tens of degrees magnetic";

    fn refused(aim: &str) -> String {
        parse(&format!("[aim]\n{aim}\n"), "f.toml")
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn a_runway_number_is_one_or_two_digits_and_a_side() {
        for (text, expected) in [
            ("9", Some(9)),
            ("09", Some(9)),
            ("27L", Some(27)),
            (" 36 r ", Some(36)),
            ("0", None),
            ("37", None),
            ("090", None),
            ("9.5", None),
            ("L", None),
            ("", None),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }

    #[test]
    fn a_direction_that_is_the_runway_of_the_name_is_refused_with_the_fix() {
        for aim in [
            "name = \"Larkfield, 36\"\nlanding_true_deg = 36",
            "name = \"Larkfield (36L)\"\nlanding_magnetic_deg = 36",
            "airfield = \"ZZLA\"\nrunway = \"36\"\nlanding_true_deg = 36",
        ] {
            let error = refused(aim);
            assert!(
                error.contains("of 36 degrees is the number of runway 36, not its direction"),
                "{error}"
            );
            assert!(error.ends_with(&format!("help: {FIX}")), "{error}");
        }
    }

    #[test]
    fn a_direction_that_may_be_right_is_taken() {
        for aim in [
            "landing_true_deg = 36",
            "name = \"Larkfield, 04\"\nlanding_true_deg = 36",
            "name = \"Larkfield, 02\"\nlanding_true_deg = 2",
            "name = \"Field 9\"\nlanding_true_deg = 9",
            "name = \"Larkfield, 36\"\nlanding_true_deg = 358",
        ] {
            assert!(parse(&format!("[aim]\n{aim}\n"), "f.toml").is_ok(), "{aim}");
        }
    }

    #[test]
    fn a_direction_written_as_runways_are_says_what_to_write() {
        for aim in [
            "landing_true_deg = \"36\"",
            "landing_true_deg = \"36L\"",
            "landing_true_deg = 36L   # the left one",
        ] {
            let error = refused(aim);
            assert!(error.ends_with(&format!("help: {FIX}")), "{error}");
        }
        // a number in TOML starts with no zero
        let error = refused("landing_true_deg = 09");
        assert!(
            error.contains("write landing_magnetic_deg = 90 in"),
            "{error}"
        );
        let error = refused("elevation_ft = \"36\"");
        assert!(error.ends_with("help: write elevation_ft = 36"), "{error}");
    }
}
