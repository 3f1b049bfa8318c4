//! Whether the words of an event say that flap was taken.

use super::Event;

/// Words that say flap came up, or never went down.
const UP: [&str; 7] = ["up", "no", "in", "zero", "retract", "rais", "clean"];

impl Event {
    /// Whether this says that flap was extended: flap, and nothing of up, retracted or zero.
    pub fn is_flap_extension(&self) -> bool {
        says_flap_extension(&self.what)
    }

    /// Whether this says that flap came in again.
    pub fn is_flap_retraction(&self) -> bool {
        says_flap(&self.what.to_lowercase()) && !says_flap_extension(&self.what)
    }
}

/// Whether these lower-case words are about flap.
fn says_flap(what: &str) -> bool {
    what.split(|c: char| !c.is_alphanumeric())
        .any(|w| w.starts_with("flap"))
}

/// Whether these words say that flap was extended.
pub fn says_flap_extension(what: &str) -> bool {
    let what = what.to_lowercase();
    let mut words = what
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    let up = |w: &str| {
        UP.iter()
            .any(|u| w == *u || (u.len() > 3 && w.starts_with(u)))
            || w.trim_end_matches("deg").parse::<f64>() == Ok(0.0)
    };
    says_flap(&what) && !words.any(up)
}

/// The most flap there is, degrees: a greater number is something else.
const MOST_DEG: f64 = 60.0;
/// What "full flap" counts as, degrees: more than any number.
const FULL_DEG: f64 = 90.0;

/// The setting these words name, degrees: the number next after "flap", else next before; `None` without one.
pub fn flap_setting_deg(what: &str) -> Option<f64> {
    let what = what.to_lowercase();
    let words: Vec<&str> = what
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let at = words.iter().position(|w| w.starts_with("flap"))?;
    let near = |i: Option<usize>| i.and_then(|i| words.get(i)).copied();
    let (before, after) = (near(at.checked_sub(1)), near(Some(at + 1)));
    if before == Some("full") || after == Some("full") {
        return Some(FULL_DEG);
    }
    let setting = |word: &str| {
        let digits = word.trim_end_matches(|c: char| !c.is_ascii_digit());
        digits.parse::<f64>().ok().filter(|deg| *deg <= MOST_DEG)
    };
    let later = words.iter().skip(at + 1).find_map(|w| setting(w));
    later.or_else(|| words[..at].iter().rev().find_map(|w| setting(w)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_setting_is_the_number_beside_flap() {
        for (what, deg) in [
            ("flap 10 at 65 kt", Some(10.0)),
            ("flap 10, 1040 ft", Some(10.0)),
            ("Flaps: 25deg", Some(25.0)),
            ("20\u{b0} of flap", Some(20.0)),
            ("full flap", Some(90.0)),
            ("flap not full", None),
            ("at 900 ft flap", None),
            ("power back 10", None),
        ] {
            assert_eq!(flap_setting_deg(what), deg, "{what}");
        }
    }

    fn extends(what: &str) -> bool {
        let event = Event {
            utc: String::new(),
            what: what.into(),
        };
        event.is_flap_extension()
    }

    #[test]
    fn flap_down_is_told_from_flap_up() {
        for what in [
            "flap 10",
            "Flaps 20°",
            "full flap",
            "flaps down",
            "first stage of flap",
            "took flap, 10deg",
            "flap",
        ] {
            assert!(extends(what), "{what}");
        }
        for what in [
            "flaps up",
            "Flap 0",
            "flap retracted",
            "flaps raised",
            "flap: zero",
            "no flap",
            "flaps 0deg",
            "power back on",
            "raising flap",
        ] {
            assert!(!extends(what), "{what}");
        }
    }
}
