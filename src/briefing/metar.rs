//! Wind, temperature and pressure from a METAR.
//!
//! Why not the `metar` crate (0.9.3, MIT)? It reads a whole report by one
//! grammar. Three groups are needed here, and the report is typed or pasted by
//! a pilot: a missing station, a wind in km/h or one odd group refuses the
//! whole there, and the message speaks of single characters. It would also add
//! 19 crates, one with assembly. So: look at each group, read the three kinds
//! that are needed, leave all others alone, and complain only about a group
//! that was clearly meant to be one of the three.
//!
//! Source of the groups: WMO No. 306, Manual on Codes, volume I.1, FM 15 METAR.

use super::limits;
use crate::units::{HPA_PER_INHG, MPS_PER_KMH, MPS_PER_KT};

/// What is needed of a METAR; what it does not say is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Metar {
    /// Day of the month, hour and minute UTC.
    pub issued: Option<(u8, u8, u8)>,
    /// Surface wind: mean over ten minutes (two in the United States).
    pub wind: Option<MetarWind>,
    /// Temperature, °C: whole degrees, tenths where the remarks give them.
    pub temperature_c: Option<f64>,
    /// QNH, hPa. A Q group is rounded down to whole hPa, so the truth lies up to 1 hPa above.
    pub qnh_hpa: Option<f64>,
}

/// The wind of a METAR.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MetarWind {
    /// Direction it blows from, degrees true; `None` when variable, calm or not reported.
    pub from_deg_true: Option<f64>,
    /// Mean speed, kt.
    pub speed_kt: f64,
    /// Gusts, kt.
    pub gust_kt: Option<f64>,
    /// Sector the direction varied over, degrees true, clockwise.
    pub sector_deg_true: Option<(f64, f64)>,
}

/// A METAR group that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("expected {expected}, found `{group}`")]
pub struct MetarError {
    /// The group as written; the whole text where no group can be named.
    pub group: String,
    /// What was expected in its place.
    pub expected: String,
}

const WIND_FORM: &str =
    "wind as direction and speed, such as 27012KT, 27012G22KT, VRB03KT or 04005MPS";

/// Reads the groups that are needed of a METAR or SPECI.
///
/// # Errors
/// A group that was clearly meant as wind, time, temperature or pressure and
/// cannot be read; a forecast (TAF); or no such group at all.
///
/// # Example
/// ```
/// let metar = stillprop::briefing::metar::read("ZZZZ 241020Z 27012G22KT 9999 09/02 Q1003")?;
/// assert_eq!(metar.wind.unwrap().from_deg_true, Some(270.0));
/// assert_eq!((metar.temperature_c, metar.qnh_hpa), (Some(9.0), Some(1003.0)));
/// # Ok::<(), stillprop::briefing::metar::MetarError>(())
/// ```
pub fn read(text: &str) -> Result<Metar, MetarError> {
    let upper = text.to_ascii_uppercase();
    let mut groups = upper
        .split_ascii_whitespace()
        .map(|group| group.trim_end_matches('='));
    let mut metar = Metar::default();
    let mut in_remarks = false;
    let mut is_first = true;
    // The wind group was there, even if it only said that nothing was measured.
    let mut saw_known_group = false;
    while let Some(group) = groups.next() {
        match group {
            "TAF" => {
                return Err(refuse(
                    group,
                    "an observation (METAR or SPECI), not a forecast",
                ));
            }
            // A second report pasted behind the first.
            "METAR" | "SPECI" if !is_first => break,
            // What follows is a forecast.
            "NOSIG" | "BECMG" | "TEMPO" => {
                groups.by_ref().find(|later| *later == "RMK");
                in_remarks = true;
            }
            "RMK" => in_remarks = true,
            _ if in_remarks => {
                if let (Some(tenths_c), Some(whole_c)) =
                    (tenths_of_remarks(group), metar.temperature_c)
                    && (tenths_c - whole_c).abs() <= 1.0
                {
                    metar.temperature_c = Some(tenths_c);
                }
            }
            _ => saw_known_group |= read_group(group, &mut metar)?,
        }
        is_first = false;
    }
    if saw_known_group {
        Ok(metar)
    } else {
        Err(refuse(
            text.trim(),
            "a METAR with wind, temperature or pressure",
        ))
    }
}

/// Takes one group in front of the remarks; true when it is of a kind that is needed.
fn read_group(group: &str, metar: &mut Metar) -> Result<bool, MetarError> {
    if looks_like_wind(group) {
        let wind = wind(group)?;
        if metar.wind.is_none() {
            metar.wind = wind;
        }
        return Ok(true);
    }
    if let Some(sector) = sector(group)? {
        if let Some(wind) = &mut metar.wind {
            wind.sector_deg_true = Some(sector);
        }
        return Ok(false);
    }
    if let Some(digits) = group
        .strip_suffix('Z')
        .filter(|digits| is_number(digits) && digits.len() >= 4)
    {
        metar.issued = Some(issued(group, digits)?);
        return Ok(false);
    }
    if let Some(temperature_c) = temperature(group)? {
        metar.temperature_c = metar.temperature_c.or(Some(temperature_c));
        return Ok(true);
    }
    if let Some(qnh_hpa) = pressure(group)? {
        metar.qnh_hpa = metar.qnh_hpa.or(Some(qnh_hpa));
        return Ok(true);
    }
    // Missing groups of an automatic report: known, with nothing in them.
    Ok(matches!(group, "Q////" | "A////" | "/////"))
}

fn looks_like_wind(group: &str) -> bool {
    let stem = ["KTS", "KT", "MPS", "KMH"]
        .iter()
        .find_map(|unit| group.strip_suffix(unit));
    match stem {
        Some(stem) => stem.chars().any(|c| c.is_ascii_digit() || c == '/'),
        // Five digits without a unit: in front of the remarks nothing else looks so.
        None => group.len() == 5 && is_number(group),
    }
}

fn wind(group: &str) -> Result<Option<MetarWind>, MetarError> {
    let wrong = || refuse(group, WIND_FORM);
    let (stem, kt_per_unit) = if let Some(stem) = group.strip_suffix("KT") {
        (stem, 1.0)
    } else if let Some(stem) = group.strip_suffix("MPS") {
        (stem, MPS_PER_KT.recip())
    } else if let Some(stem) = group.strip_suffix("KMH") {
        (stem, MPS_PER_KMH / MPS_PER_KT)
    } else {
        return Err(wrong());
    };
    let (direction, speeds) = stem.split_at_checked(3).ok_or_else(wrong)?;
    let (mean, gust) = match speeds.split_once('G') {
        Some((mean, gust)) => (mean, Some(gust)),
        None => (speeds, None),
    };
    if mean == "//" {
        return Ok(None);
    }
    // P means "more than", for speeds the code has no room for.
    let speed = |text: &str| -> Option<f64> {
        let digits = text.strip_prefix('P').unwrap_or(text);
        if matches!(digits.len(), 2 | 3) && is_number(digits) {
            digits.parse().ok()
        } else {
            None
        }
    };
    let speed_kt = speed(mean).ok_or_else(wrong)? * kt_per_unit;
    let gust_kt = match gust {
        None | Some("//") => None,
        Some(gust) => Some(speed(gust).ok_or_else(wrong)? * kt_per_unit),
    };
    let from_deg_true = match direction {
        "VRB" | "///" => None,
        _ if is_number(direction) => Some(within_circle(group, direction)?),
        _ => return Err(wrong()),
    };
    in_range(group, "air.wind_kt", speed_kt)?;
    if gust_kt.is_some_and(|gust_kt| gust_kt < speed_kt) {
        return Err(refuse(group, "gusts above the mean wind"));
    }
    // Calm is written 00000: that is not a wind from the north.
    let from_deg_true = from_deg_true.filter(|_| speed_kt > 0.0);
    Ok(Some(MetarWind {
        from_deg_true,
        speed_kt,
        gust_kt,
        sector_deg_true: None,
    }))
}

fn sector(group: &str) -> Result<Option<(f64, f64)>, MetarError> {
    match group.split_once('V') {
        Some((from, to))
            if group.len() == 7 && is_number(from) && is_number(to) && from.len() == 3 =>
        {
            Ok(Some((
                within_circle(group, from)?,
                within_circle(group, to)?,
            )))
        }
        _ => Ok(None),
    }
}

fn within_circle(group: &str, digits: &str) -> Result<f64, MetarError> {
    digits
        .parse()
        .ok()
        .filter(|degrees| *degrees <= 360.0)
        .ok_or_else(|| refuse(group, "a direction from 000 to 360"))
}

fn issued(group: &str, digits: &str) -> Result<(u8, u8, u8), MetarError> {
    let part = |from: usize| {
        digits
            .get(from..from + 2)
            .and_then(|part| part.parse::<u8>().ok())
    };
    match (part(0), part(2), part(4)) {
        (Some(day @ 1..=31), Some(hour @ 0..=23), Some(minute @ 0..=59)) if digits.len() == 6 => {
            Ok((day, hour, minute))
        }
        _ => Err(refuse(
            group,
            "day, hour and minute with Z, such as 241020Z",
        )),
    }
}

/// Temperature of a group `09/02`, `M05/M07` or `09///`; nothing for other groups.
fn temperature(group: &str) -> Result<Option<f64>, MetarError> {
    const FORM: &str = "temperature and dew point as two digits each, such as 09/02 or M05/M07";
    let Some((air, dew)) = group.split_once('/') else {
        return Ok(None);
    };
    let digits = |text: &str| text.strip_prefix('M').unwrap_or(text).len();
    let signed = |text: &str| is_number(text.strip_prefix('M').unwrap_or(text));
    if !signed(air) || !(signed(dew) || dew == "//" || dew.is_empty()) || digits(air) > 3 {
        return Ok(None);
    }
    let degrees = |text: &str| -> Option<f64> {
        match text.strip_prefix('M') {
            Some(below) if below.len() == 2 => below.parse().ok().map(|c: f64| -c),
            None if text.len() == 2 => text.parse().ok(),
            _ => None,
        }
    };
    let air_c = degrees(air).ok_or_else(|| refuse(group, FORM))?;
    in_range(group, "air.temperature_c", air_c)?;
    if signed(dew) {
        let dew_c = degrees(dew).ok_or_else(|| refuse(group, FORM))?;
        if dew_c > air_c {
            return Err(refuse(group, "a dew point not above the temperature"));
        }
    }
    Ok(Some(air_c))
}

/// QNH of a group `Q1003` or `A3012`; nothing for other groups.
fn pressure(group: &str) -> Result<Option<f64>, MetarError> {
    let (digits, hpa_per_unit) = if let Some(digits) = group.strip_prefix('Q') {
        (digits, 1.0)
    } else if let Some(digits) = group.strip_prefix('A') {
        (digits, HPA_PER_INHG / 100.0)
    } else {
        return Ok(None);
    };
    if !digits.starts_with(|c: char| c.is_ascii_digit()) {
        return Ok(None);
    }
    let value: f64 = Some(digits)
        .filter(|digits| digits.len() == 4 && is_number(digits))
        .and_then(|digits| digits.parse().ok())
        .ok_or_else(|| {
            refuse(
                group,
                "pressure as Q and four digits of hPa, or A and four digits of inches of mercury",
            )
        })?;
    in_range(group, "air.qnh_hpa", value * hpa_per_unit)?;
    Ok(Some(value * hpa_per_unit))
}

/// Temperature in tenths from the remark `T00501067`: sign and three digits, twice.
fn tenths_of_remarks(group: &str) -> Option<f64> {
    let digits = group
        .strip_prefix('T')
        .filter(|digits| matches!(digits.len(), 4 | 8) && is_number(digits))?;
    let tenths: f64 = digits.get(1..4)?.parse().ok()?;
    match digits.as_bytes()[0] {
        b'0' => Some(tenths / 10.0),
        b'1' => Some(-tenths / 10.0),
        _ => None,
    }
}

fn in_range(group: &str, key: &str, value: f64) -> Result<(), MetarError> {
    match limits::limit(key) {
        Some(limit) if !limit.holds(value) => Err(refuse(
            group,
            &format!(
                "a value from {} to {} {}",
                limit.low, limit.high, limit.unit
            ),
        )),
        _ => Ok(()),
    }
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

fn refuse(group: &str, expected: &str) -> MetarError {
    MetarError {
        group: group.to_owned(),
        expected: expected.to_owned(),
    }
}

#[cfg(test)]
#[path = "metar_tests.rs"]
mod tests;
