//! The H records: date, datum, and what the recorder says of itself (A3.2).

use crate::reading::collect::Collector;
use crate::reading::{AltitudeDatum, clock, number};

/// What the headers say that changes how fixes are read.
#[derive(Debug)]
pub(super) struct Headers {
    /// Start of the day of the first fix, seconds since 1970.
    pub(super) day_s: Option<f64>,
    /// Reference of GNSS altitude.
    pub(super) gnss_datum: AltitudeDatum,
    /// There is none.
    pub(super) no_gnss_altitude: bool,
    /// There is none, or it is not to 1013.25 hPa.
    pub(super) no_pressure_altitude: bool,
}

impl Default for Headers {
    fn default() -> Self {
        Self {
            day_s: None,
            gnss_datum: AltitudeDatum::Unstated,
            no_gnss_altitude: false,
            no_pressure_altitude: false,
        }
    }
}

/// Codes worth keeping, and what they are called (A3.2, A7).
const LABELS: [(&[u8; 3], &str); 16] = [
    (b"PLT", "pilot"),
    (b"CM2", "second crew member"),
    (b"GTY", "aircraft type"),
    (b"GID", "aircraft registration"),
    (b"CID", "competition number"),
    (b"CCL", "class"),
    (b"DTM", "position datum"),
    (b"RFW", "recorder firmware"),
    (b"RHW", "recorder hardware"),
    (b"FTY", "recorder type"),
    (b"GPS", "position receiver"),
    (b"PRS", "pressure sensor"),
    (b"TZN", "time zone"),
    (b"ALG", "GNSS altitude reference"),
    (b"ALP", "pressure altitude reference"),
    (b"SIT", "site"),
];

impl Headers {
    /// Takes one H record, given without its first letter.
    pub(super) fn take(&mut self, line: u32, rest: &[u8], collector: &mut Collector) {
        let Some(code) = rest.get(1..4) else { return };
        let tail = &rest[4..];
        let text = match tail.iter().position(|b| *b == b':') {
            Some(colon) => &tail[colon + 1..],
            None => tail,
        };
        let text = String::from_utf8_lossy(text);
        let value = text.trim().to_ascii_uppercase();
        match code {
            // A3.2.7.5: ELL, GEO, NKN (not known), NIL.
            b"ALG" => match value.get(..3) {
                Some("ELL") => self.gnss_datum = AltitudeDatum::Ellipsoid,
                Some("GEO") => self.gnss_datum = AltitudeDatum::MeanSeaLevel,
                Some("NIL") => self.no_gnss_altitude = true,
                _ => {}
            },
            // ISA, MSL, NKN, NIL.
            b"ALP" => self.no_pressure_altitude |= matches!(value.get(..3), Some("MSL" | "NIL")),
            b"DTM" if !is_wgs84(&value) => {
                collector.notes.remark(line, "the position datum (HFDTM) is not WGS 84; positions were taken as WGS 84 all the same");
            }
            _ => {}
        }
        let Some((_, label)) = LABELS.iter().find(|(known, _)| known.as_slice() == code) else {
            return;
        };
        if value != "NIL" && value != "NKN" {
            collector.say(label, &text);
        }
    }
}

/// The many spellings of WGS 84 (100 is its number in the header of old recorders); silence is consent.
fn is_wgs84(value: &str) -> bool {
    let squeezed: String = value.chars().filter(char::is_ascii_alphanumeric).collect();
    squeezed.is_empty()
        || squeezed.contains("WGS84")
        || squeezed.contains("WGS1984")
        || squeezed.starts_with("100")
}

/// The date in what follows `HFDTE`: `DDMMYY`, `DATE:DDMMYY,NN`, with blanks or not (A3.2).
pub(super) fn date_s(tail: &[u8]) -> Option<f64> {
    let start = tail.iter().position(u8::is_ascii_digit)?;
    let digits = tail.get(start..start + 6)?;
    let two = |at: usize| number::whole(&digits[at..at + 2]);
    clock::date_s(clock::full_year(two(4)?), two(2)?, two(0)?)
}

/// A date at the start of a file name, `YYYY-MM-DD` (the long name of section 2.5).
pub(super) fn date_in_name_s(file_name: &str) -> Option<f64> {
    let name = file_name.rsplit(['/', '\\']).next()?;
    let date = name.get(..10)?.as_bytes();
    if date[4] != b'-' || date[7] != b'-' {
        return None;
    }
    clock::date_s(
        number::whole(&date[..4])?,
        number::whole(&date[5..7])?,
        number::whole(&date[8..])?,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_forms_of_the_date() {
        let want = clock::date_s(2026, 11, 24);
        // The forms of A3.2: before and since amendment list 4.
        for tail in [
            "241126",
            "DATE:241126,01",
            "DATE:241126",
            "DATE: 241126 ",
            " 241126",
        ] {
            assert_eq!(date_s(tail.as_bytes()), want, "{tail}");
        }
        assert_eq!(date_s(b"DATE:321326,01"), None);
        assert_eq!(date_s(b"2411"), None);
        assert_eq!(date_s(b""), None);
    }

    #[test]
    fn a_date_in_the_name() {
        assert_eq!(
            date_in_name_s("2026-11-24-XXX-ABC-01.igc"),
            clock::date_s(2026, 11, 24)
        );
        assert_eq!(date_in_name_s("flight.igc"), None);
        assert_eq!(date_in_name_s("ééééééééé.igc"), None);
    }

    #[test]
    fn spellings_of_the_datum() {
        for name in ["WGS84", "WGS-84", "WGS-1984", "100:WGS84", "100", ""] {
            assert!(is_wgs84(name), "{name}");
        }
        assert!(!is_wgs84("ED50"));
    }
}
