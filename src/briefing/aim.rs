//! The `[aim]` table of a briefing: a place, or a runway to be looked up.

use super::coordinate::{self, Axis};
use super::error::{BriefingError, Complaint, Place, Problem};
use super::limits::{self, LONGEST_TEXT};
use super::parse::{Reader, Section};
use super::{Aim, Overrides};

/// Keys of the table.
pub(super) const KEYS: &[&str] = &[
    "name",
    "airfield",
    "runway",
    "past_threshold_ft",
    "latitude_deg",
    "longitude_deg",
    "elevation_ft",
    "landing_true_deg",
    "landing_magnetic_deg",
];

/// A value, and where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Written<T> {
    /// The value.
    pub value: T,
    /// Where it was written, for what turns out to be wrong with it.
    pub place: Place,
}

/// A runway as the aim, not looked up yet.
#[derive(Debug, Clone, PartialEq)]
pub struct RunwayAim {
    /// Code of the airfield.
    pub airfield: Written<String>,
    /// Name of the runway in the direction of landing.
    pub runway: Option<Written<String>>,
    /// How far after the landing threshold the aim point is, ft; before it where negative.
    pub past_threshold_ft: Option<Written<f64>>,
}

impl Reader<'_> {
    pub(super) fn aim(&mut self, section: Section<'_>) -> Aim {
        let airfield = self.written_text(section, "airfield");
        let runway = self.written_text(section, "runway");
        let past = self.number_of(section, "past_threshold_ft");
        let past_threshold_ft = past.zip(section.get("past_threshold_ft"));
        let past_threshold_ft = past_threshold_ft.map(|(value, at)| Written {
            value,
            place: self.place_of(at.span()),
        });
        let aim = Aim {
            name: self.text_of(section, "name", LONGEST_TEXT),
            latitude_deg: self.coordinate_of(section, "latitude_deg"),
            longitude_deg: self.coordinate_of(section, "longitude_deg"),
            elevation_ft: self.number_of(section, "elevation_ft"),
            landing_true_deg: self.number_of(section, "landing_true_deg"),
            landing_magnetic_deg: self.number_of(section, "landing_magnetic_deg"),
            runway: airfield.map(|airfield| RunwayAim {
                airfield,
                runway,
                past_threshold_ft,
            }),
        };
        self.aim_holds_together(section, &aim);
        aim
    }

    fn written_text(&mut self, section: Section<'_>, key: &'static str) -> Option<Written<String>> {
        let value = self.text_of(section, key, LONGEST_TEXT)?;
        let place = self.place_of(section.get(key)?.span());
        Some(Written { value, place })
    }

    /// A coordinate as a number, or as text with degrees, minutes and seconds.
    pub(super) fn coordinate_of(&mut self, section: Section<'_>, key: &'static str) -> Option<f64> {
        let value = section.get(key)?;
        let Some(text) = value.get_ref().as_str() else {
            return self.number_of(section, key);
        };
        let (axis, example) = if key == "latitude_deg" {
            (Axis::Latitude, "51°30'15\\\"N")
        } else {
            (Axis::Longitude, "2°15'30\\\"W")
        };
        let limit = limits::limit(&format!("{}.{key}", section.name))?;
        let complaint = match coordinate::read(text, axis) {
            Ok(degrees) if limit.holds(degrees) => return Some(degrees),
            Ok(degrees) => {
                let complaint = Complaint::OutOfRange {
                    key: key.into(),
                    low: limit.low,
                    high: limit.high,
                    unit: limit.unit,
                    found: text.to_owned(),
                };
                self.report(value.span(), complaint, limit.likely_meaning(degrees));
                return None;
            }
            Err(why) => Complaint::WrongType {
                key: key.into(),
                expected: coordinate::EXPECTED.into(),
                found: format!("{}: {why}", self.describe_with_text(value)),
            },
        };
        let help = format!("as {key} = \"{example}\", or decimal degrees without quotes");
        self.report(value.span(), complaint, Some(help));
        None
    }

    fn aim_holds_together(&mut self, section: Section<'_>, aim: &Aim) {
        for (found, missing) in [
            ("latitude_deg", "longitude_deg"),
            ("longitude_deg", "latitude_deg"),
            ("runway", "airfield"),
            ("past_threshold_ft", "airfield"),
        ] {
            if let (Some(value), None) = (section.get(found), section.get(missing))
                && !section.misspells(missing)
            {
                let complaint = Complaint::Incomplete {
                    found: found.into(),
                    missing: missing.into(),
                };
                self.report(value.span(), complaint, None);
            }
        }
        for (one, other, what, help) in [
            (
                "airfield",
                "latitude_deg",
                "where the aim is",
                "leave out `airfield` and `runway`, or `latitude_deg` and `longitude_deg`",
            ),
            (
                "landing_magnetic_deg",
                "landing_true_deg",
                "the direction of landing",
                "leave one of them out",
            ),
        ] {
            if let (Some(value), Some(_)) = (section.get(one), section.get(other)) {
                let complaint =
                    Complaint::Contradiction(format!("`{one}` and `{other}` both say {what}"));
                self.report(value.span(), complaint, Some(help.into()));
            }
        }
        self.direction_is_no_runway_number(section, aim);
        if let (Some(value), Some(0.0), Some(0.0)) = (
            section.get("latitude_deg"),
            aim.latitude_deg,
            aim.longitude_deg,
        ) {
            let complaint = Complaint::Contradiction(
                "the aim point is at latitude 0, longitude 0, in the open sea".into(),
            );
            self.report(
                value.span(),
                complaint,
                Some("leave both keys out where they are not known".into()),
            );
        }
    }
}

/// Reads the value of `--aim`: `LAT,LON` in decimal degrees or with minutes and seconds.
///
/// # Errors
/// Text that is not two coordinates, or coordinates out of range.
pub fn parse_aim(text: &str) -> Result<(f64, f64), BriefingError> {
    let wrong = |found: String| {
        let complaint = Complaint::WrongType {
            key: "LAT,LON".into(),
            expected: format!("two coordinates in {}", coordinate::EXPECTED),
            found,
        };
        let help = "latitude first, south and west negative or by letter: --aim 51.0,-2.0, or --aim \"51°30'N 2°15'W\"";
        BriefingError::from(Problem::named("--aim", complaint, Some(help.into())))
    };
    let (first, second) = coordinate::pair(text).ok_or_else(|| wrong(format!("`{text}`")))?;
    let read = |part: &str, axis| {
        coordinate::read(part, axis).map_err(|why| wrong(format!("`{text}`: {why}")))
    };
    let latitude_deg = read(first, Axis::Latitude)?;
    let longitude_deg = read(second, Axis::Longitude)?;
    if latitude_deg.abs() > 90.0 && latitude_deg.abs() <= 180.0 && longitude_deg.abs() <= 90.0 {
        let complaint = Complaint::OutOfRange {
            key: "latitude_deg".into(),
            low: -90.0,
            high: 90.0,
            unit: "degrees",
            found: latitude_deg.to_string(),
        };
        let help =
            format!("latitude comes first; did you mean --aim {longitude_deg},{latitude_deg}?");
        return Err(Problem::named("--aim", complaint, Some(help)).into());
    }
    let overrides = Overrides {
        aim_deg: Some((latitude_deg, longitude_deg)),
        ..Overrides::default()
    };
    super::Briefing::default().overridden_by(&overrides)?;
    Ok((latitude_deg, longitude_deg))
}

/// Reads the value of `--runway`: airfield, `/`, runway, and feet past the threshold with their sign.
///
/// # Errors
/// Text that is not so, or more feet than a runway has.
pub fn parse_runway(text: &str) -> Result<RunwayAim, BriefingError> {
    let place = || Place::Named("--runway".to_owned());
    let wrong = || {
        let complaint = Complaint::WrongType {
            key: "AIRFIELD/RUNWAY".into(),
            expected:
                "an airfield, `/` and a runway, and where it is not the threshold feet past it"
                    .into(),
            found: format!("`{text}`"),
        };
        let help = "as --runway ABCD/09, or --runway ABCD/09+500 for 500 ft past the threshold";
        BriefingError::from(Problem::named("--runway", complaint, Some(help.into())))
    };
    let (airfield, rest) = text.split_once('/').ok_or_else(wrong)?;
    let (runway, past) = match rest.find(['+', '-']) {
        Some(at) => (&rest[..at], Some(&rest[at..])),
        None => (rest, None),
    };
    let code = |part: &str| {
        let part = part.trim();
        let holds = |c: char| c.is_ascii_alphanumeric() || c == '-';
        (!part.is_empty() && part.len() <= 12 && part.chars().all(holds))
            .then(|| part.to_ascii_uppercase())
            .ok_or_else(wrong)
    };
    let written = |value| Written {
        value,
        place: place(),
    };
    let past_threshold_ft = match past {
        None => None,
        Some(past) => {
            let digits = past.trim().trim_end_matches("ft").trim_end();
            let value: f64 = digits.parse().map_err(|_| wrong())?;
            super::resolve::out_of_range("--runway", "aim.past_threshold_ft", value)
                .map_or(Ok(()), |problem| Err(BriefingError::from(problem)))?;
            Some(Written {
                value,
                place: place(),
            })
        }
    };
    Ok(RunwayAim {
        airfield: written(code(airfield)?),
        runway: Some(written(code(runway)?)),
        past_threshold_ft,
    })
}

#[cfg(test)]
#[path = "aim_tests.rs"]
mod tests;
