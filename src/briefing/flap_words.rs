//! Whether the words of an event say that flap was taken.

use super::Event;

/// Words that say flap came up, or never went down.
const UP: [&str; 7] = ["up", "no", "in", "zero", "retract", "rais", "clean"];

impl Event {
    /// Whether this says that flap was extended: flap, and nothing of up, retracted or zero.
    pub fn is_flap_extension(&self) -> bool {
        says_flap_extension(&self.what)
    }
}

/// Whether these words say that flap was extended.
pub fn says_flap_extension(what: &str) -> bool {
    let what = what.to_lowercase();
    let mut words = what
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    let about_flap = words.clone().any(|w| w.starts_with("flap"));
    let up = |w: &str| {
        UP.iter()
            .any(|u| w == *u || (u.len() > 3 && w.starts_with(u)))
            || w.trim_end_matches("deg").parse::<f64>() == Ok(0.0)
    };
    about_flap && !words.any(up)
}

#[cfg(test)]
mod tests {
    use super::*;

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
