//! A briefing to be completed by hand: what a recording shows filled in, the rest switched off.

use std::fmt::Write as _;

/// What could be found out about a recording.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draft {
    /// Name of the recording.
    pub file: String,
    /// First fix, RFC 3339.
    pub start_utc: String,
    /// The runway it was flown to.
    pub runway: Option<DraftRunway>,
    /// Other runways it was flown to or that fit as well, as `ZZLA/27`.
    pub other_runways: Vec<String>,
    /// Runways near the track, in words, where none fits.
    pub near: Option<String>,
    /// Where it touched down, latitude and longitude, degrees.
    pub touchdown_deg: Option<(f64, f64)>,
    /// Direction of the touchdown, degrees true.
    pub landing_true_deg: Option<f64>,
    /// Elevation of its ground by its own altitudes, ft.
    pub ground_ft: Option<f64>,
    /// Registration, where the recorder has one.
    pub registration: Option<String>,
    /// Pilot, where the recorder has a code; never a name.
    pub pilot: Option<String>,
    /// The speed usually held in its glides, kt calibrated.
    pub usual_glide_kcas: Option<f64>,
    /// Its attempts, in time order.
    pub attempts: Vec<DraftAttempt>,
}

/// A runway of the table that a recording was flown to.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftRunway {
    /// Ident of the airfield.
    pub airfield: String,
    /// The runway in the direction flown.
    pub runway: String,
    /// How it was used, in words.
    pub how: String,
    /// Elevation of its threshold, ft.
    pub elevation_ft: Option<f64>,
    /// Its direction, degrees true.
    pub landing_true_deg: f64,
    /// What is to be said of the table.
    pub caution: String,
}

/// One attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftAttempt {
    /// Power reduction, RFC 3339.
    pub reduction_utc: String,
    /// What happened when, in words.
    pub what: String,
}

/// Longest code of a person, and of an aeroplane.
const LONGEST_CODE: (usize, usize) = (8, 12);

/// The text, if it looks like the code of a person: letters, a hyphen or none, digits, as `P-07`.
pub fn code_of_person(text: &str) -> Option<String> {
    let text = text.trim();
    let digits = text.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = text.len() - digits.len();
    let digits = digits.strip_prefix('-').unwrap_or(digits);
    let is_code = text.len() <= LONGEST_CODE.0
        && letters <= 3
        && !digits.is_empty()
        && digits.bytes().all(|b| b.is_ascii_digit());
    is_code.then(|| text.to_owned())
}

/// The text, if it looks like a registration or the number of a school's aeroplane: with a digit in it, or
/// letters of nationality, a hyphen and the letters that make five with them.
pub fn code_of_aircraft(text: &str) -> Option<String> {
    let text = text.trim();
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == ' ';
    let capitals = |part: &str| part.bytes().all(|b| b.is_ascii_uppercase());
    let marks = text.split_once('-').is_some_and(|(nation, own)| {
        matches!((nation.len(), own.len()), (1, 4) | (2, 3)) && capitals(nation) && capitals(own)
    });
    let is_code = !text.is_empty()
        && text.len() <= LONGEST_CODE.1
        && text.chars().all(plain)
        && (marks || text.bytes().any(|b| b.is_ascii_digit()));
    is_code.then(|| text.to_owned())
}

impl Draft {
    /// The briefing as text: what was found as keys, what is missing as remarks to be completed.
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        let _ = writeln!(
            out,
            "# Briefing of {}, drafted from the recording.\n\
             # Check every line; take away the # before a key and put your own value to add it.",
            one_line(&self.file)
        );
        self.aim(&mut out);
        self.air(&mut out);
        self.aircraft(&mut out);
        self.events(&mut out);
        out
    }

    fn aim(&self, out: &mut String) {
        out.push_str("\n[aim]\n");
        if let Some(runway) = &self.runway {
            let _ = writeln!(out, "# {}.", one_line(&runway.how));
            let _ = writeln!(out, "# {}.", one_line(&runway.caution));
            let _ = writeln!(out, "airfield = \"{}\"", one_line(&runway.airfield));
            let _ = writeln!(out, "runway = \"{}\"", one_line(&runway.runway));
            out.push_str("past_threshold_ft = 0          # the mark aimed at, ft past the landing threshold\n");
            if !self.other_runways.is_empty() {
                let others = self.other_runways.join(", ");
                let _ = writeln!(
                    out,
                    "# it fits or was flown to as well: {}",
                    one_line(&others)
                );
            }
            if let Some(ft) = runway.elevation_ft {
                let _ = writeln!(
                    out,
                    "# elevation_ft = {ft:.0}   # of the threshold, from the table; a value of yours wins"
                );
            }
            let _ = writeln!(
                out,
                "# landing_true_deg = {:.1}   # of the runway, from the table",
                runway.landing_true_deg
            );
        } else {
            out.push_str("# No runway of the table was landed on or lined up with. Name one:\n# airfield = \"ABCD\"\n# runway = \"09\"\n# past_threshold_ft = 500\n# or give the place.\n");
            if let Some(near) = &self.near {
                let _ = writeln!(out, "# {}", one_line(near));
            }
            if let Some((latitude_deg, longitude_deg)) = self.touchdown_deg {
                out.push_str("# Where it touched down, which is not where it was meant to:\n");
                let _ = writeln!(out, "# latitude_deg = {latitude_deg:.6}");
                let _ = writeln!(out, "# longitude_deg = {longitude_deg:.6}");
            } else {
                out.push_str(
                    "# latitude_deg = \"51°30'15\\\"N\"\n# longitude_deg = \"2°15'30\\\"W\"\n",
                );
            }
            if let Some(deg) = self.landing_true_deg {
                let _ = writeln!(
                    out,
                    "landing_true_deg = {deg:.0}          # direction of the touchdown"
                );
            } else {
                out.push_str("# landing_magnetic_deg = 90\n");
            }
        }
        if let Some(ft) = self.ground_ft {
            let _ = writeln!(
                out,
                "# {}elevation_ft = {ft:.0}   # what the recorder has on its own ground or lowest: look it up",
                if self.runway.is_some() { "or " } else { "" }
            );
        }
    }

    fn air(&self, out: &mut String) {
        // day and time of the METAR that goes with it
        let at = self
            .attempts
            .first()
            .map_or(&self.start_utc, |a| &a.reduction_utc);
        let group = match (at.get(8..10), at.get(11..13)) {
            (Some(day), Some(hour)) => format!("{day}{hour}00Z"),
            _ => "ddhhmmZ".to_owned(),
        };
        let _ = writeln!(
            out,
            "\n[air]\n\
             # the METAR nearest in place and time, whole:\n\
             # metar = \"METAR ZZZZ {group} 12009KT 9999 FEW035 14/08 Q1018\"\n\
             # or by hand:\n\
             # qnh_hpa = 1018\n\
             # temperature_c = 14             # at the aim\n\
             # wind_from_deg_true = 120\n\
             # wind_kt = 9"
        );
    }

    fn aircraft(&self, out: &mut String) {
        out.push_str("\n[aircraft]\n");
        match &self.registration {
            Some(code) => {
                let _ = writeln!(
                    out,
                    "registration = \"{}\"   # as the recorder has it",
                    one_line(code)
                );
            }
            None => out.push_str("# registration = \"Trainer 3\"\n"),
        }
        let held = self.usual_glide_kcas.map_or_else(String::new, |kt| {
            format!(" (usually held in this recording: about {kt:.0})")
        });
        let _ = writeln!(
            out,
            "# from the handbook{held}:\n\
             # best_glide_kcas = 71\n\
             # reference_weight_lb = 2400     # the weight that speed is for\n\
             # weight_lb = 2180               # as flown\n\
             # glide_ratio = 9.4\n\
             # approach_kcas = 63\n\
             # stall_clean_kcas = 52\n\
             # stall_landing_kcas = 47\n\
             \n[targets]\n\
             # abeam_height_ft = 1000\n\
             # glide_kcas = 68                # the speed to hold, where not the handbook's as printed\n\
             \n[people]                       # codes, not names"
        );
        match &self.pilot {
            Some(code) => {
                let _ = writeln!(out, "pilot = \"{}\"", one_line(code));
            }
            None => out.push_str("# pilot = \"P-07\"\n"),
        }
        out.push_str("# instructor = \"I-02\"\n");
    }

    fn events(&self, out: &mut String) {
        if self.attempts.is_empty() {
            out.push_str("\n# No attempt was found in the recording.\n");
        } else {
            out.push_str("\n# Attempts found:\n");
        }
        for (i, attempt) in self.attempts.iter().enumerate() {
            let _ = writeln!(out, "#   {}: {}", i + 1, one_line(&attempt.what));
        }
        let at = self
            .attempts
            .first()
            .map_or(&self.start_utc, |a| &a.reduction_utc);
        let _ = writeln!(
            out,
            "# What happened when, as often as there was something:\n\
             # [[event]]\n\
             # utc = \"{}\"\n\
             # what = \"flap 10\"",
            one_line(at)
        );
    }
}

/// Text of a file must not become a line or the end of a text of its own.
fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_control() || c == '"' || c == '\\' {
                ' '
            } else {
                c
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::briefing::{Briefing, parse};

    #[test]
    fn only_codes_are_copied() {
        for code in ["P-07", "I02", "77", "STU-123"] {
            assert_eq!(code_of_person(code).as_deref(), Some(code));
        }
        for name in [
            "Anna Muster",
            "A. Muster",
            "MUSTER",
            "Muster7",
            "",
            "P-",
            "P-07 Anna",
            "J-P",
        ] {
            assert_eq!(code_of_person(name), None, "{name}");
        }
        for code in ["TRAINER 1", "Z-ABCD", "ZZ-ABC", "7 TANGO"] {
            assert_eq!(code_of_aircraft(code).as_deref(), Some(code));
        }
        for name in [
            "Anna Muster",
            "ANNA-LENA",
            "Trainer",
            "",
            "TRAINER 1 OF THE CLUB",
        ] {
            assert_eq!(code_of_aircraft(name), None, "{name}");
        }
    }

    #[test]
    fn nothing_found_is_a_briefing_of_remarks() {
        let text = Draft::default().to_toml();
        assert_eq!(parse(&text, "f.toml"), Ok(Briefing::default()), "{text}");
    }

    #[test]
    fn every_remark_is_a_key_the_reader_takes() {
        let draft = Draft {
            file: "evil\n[aim]\nname = \"x\"".into(),
            start_utc: "2026-05-03T10:00:00.000Z".into(),
            touchdown_deg: Some((51.0, -2.0)),
            landing_true_deg: Some(92.4),
            ground_ft: Some(310.2),
            registration: Some("TRAINER 1".into()),
            pilot: Some("P-07".into()),
            usual_glide_kcas: Some(70.0),
            attempts: vec![DraftAttempt {
                reduction_utc: "2026-05-03T10:21:40.000Z".into(),
                what: "power off".into(),
            }],
            ..Draft::default()
        };
        let text = draft.to_toml();
        let briefing = parse(&text, "f.toml").unwrap();
        assert_eq!(briefing.aircraft.registration.as_deref(), Some("TRAINER 1"));
        assert_eq!(briefing.people.pilot.as_deref(), Some("P-07"));
        assert_eq!(briefing.aim.landing_true_deg, Some(92.0));
        assert_eq!(briefing.aim.name, None);
        // switched on, they are read too
        let is_key = |line: &str| {
            line.strip_prefix("# ").is_some_and(|rest| {
                rest.starts_with("[[")
                    || rest.split_once(" = ").is_some_and(|(key, _)| {
                        key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_')
                    })
            })
        };
        // the place is one way to say the aim, a runway the other
        let of_runway = |line: &str| {
            ["# airfield", "# runway", "# past_"]
                .iter()
                .any(|key| line.starts_with(key))
        };
        let on: Vec<&str> = text
            .lines()
            .map(|line| {
                if is_key(line) && !of_runway(line) {
                    &line[2..]
                } else {
                    line
                }
            })
            .collect();
        let whole = parse(&on.join("\n"), "f.toml").unwrap();
        assert_eq!(whole.aim.elevation_ft, Some(310.0));
        assert_eq!(whole.air.qnh_hpa, Some(1018.0));
        assert_eq!(whole.air_resolved().unwrap().metar_issued, Some((3, 10, 0)));
        assert_eq!(whole.aircraft.stall_landing_kcas, Some(47.0));
        assert_eq!(whole.events[0].utc, "2026-05-03T10:21:40.000Z");
    }
}
