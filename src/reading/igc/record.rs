//! The B record: one fix (A4.1).

use std::ops::Range;

use crate::reading::{clock, number};

/// What a B record holds, before any extension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Record {
    /// Seconds after midnight, UTC.
    pub(super) time_of_day_s: f64,
    /// Degrees, north positive.
    pub(super) latitude_deg: f64,
    /// Degrees, east positive.
    pub(super) longitude_deg: f64,
    /// Validity A: a three-dimensional fix.
    pub(super) valid: bool,
    /// Metres, 1013.25 hPa.
    pub(super) pressure_altitude_m: Option<f32>,
    /// Metres, on the datum of the file.
    pub(super) gnss_altitude_m: Option<f32>,
    /// An altitude was there but cannot be read, or is cut off.
    pub(super) bad_altitude: bool,
}

/// Bytes of the time.
pub(super) const TIME: Range<usize> = 1..7;

/// Bytes of the latitude.
pub(super) const LATITUDE: Range<usize> = 7..15;

/// Bytes of the longitude.
pub(super) const LONGITUDE: Range<usize> = 15..24;

/// Byte of the validity.
pub(super) const VALIDITY: usize = 24;

/// Bytes of the pressure altitude.
const PRESSURE_ALTITUDE: Range<usize> = 25..30;

/// Bytes of the GNSS altitude.
const GNSS_ALTITUDE: Range<usize> = 30..35;

/// What makes a B record useless, and the byte where it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Damage {
    pub(super) at: usize,
    /// In words, with the columns (from 1).
    pub(super) what: &'static str,
}

/// Reads a B record.
pub(super) fn parse(line: &[u8]) -> Result<Record, Damage> {
    // Of known length, so that the compiler sees every column within it.
    match line.first_chunk::<{ GNSS_ALTITUDE.end }>() {
        Some(whole) => parse_columns(whole),
        None => parse_columns(line),
    }
}

#[inline(always)]
#[expect(
    clippy::inline_always,
    reason = "once for lines of known length, once for cut ones"
)]
fn parse_columns(line: &[u8]) -> Result<Record, Damage> {
    let cut = Damage {
        at: line.len(),
        what: "B record cut short",
    };
    let damaged = |at, what| Damage { at, what };
    let time_of_day_s = time_of_day_s(line.get(TIME).ok_or(cut)?).ok_or(damaged(
        TIME.start,
        "B record with damaged time (expected HHMMSS in columns 2 to 7)",
    ))?;
    let latitude = line.get(LATITUDE).ok_or(cut)?;
    let longitude = line.get(LONGITUDE).ok_or(cut)?;
    let latitude_deg = angle_deg::<2>(latitude, b'N', b'S', 90).ok_or(damaged(
        LATITUDE.start,
        "B record with damaged latitude (expected DDMMmmm then N or S in columns 8 to 15)",
    ))?;
    let longitude_deg = angle_deg::<3>(longitude, b'E', b'W', 180).ok_or(damaged(
        LONGITUDE.start,
        "B record with damaged longitude (expected DDDMMmmm then E or W in columns 16 to 24)",
    ))?;
    let valid = match line.get(VALIDITY).ok_or(cut)? {
        b'A' => true,
        b'V' => false,
        _ => {
            return Err(damaged(
                VALIDITY,
                "B record with damaged validity (expected A or V in column 25)",
            ));
        }
    };
    let pressure_altitude_m = line.get(PRESSURE_ALTITUDE).and_then(altitude_m);
    let gnss_altitude_m = line.get(GNSS_ALTITUDE).and_then(altitude_m);
    Ok(Record {
        time_of_day_s,
        latitude_deg,
        longitude_deg,
        valid,
        pressure_altitude_m,
        gnss_altitude_m,
        bad_altitude: pressure_altitude_m.is_none() || gnss_altitude_m.is_none(),
    })
}

/// `HHMMSS`.
#[inline]
pub(super) fn time_of_day_s(digits: &[u8]) -> Option<f64> {
    let whole = number::whole(digits)?;
    clock::time_of_day_s(whole / 10_000, whole / 100 % 100, whole % 100)
}

/// Degrees, minutes and thousandths of minutes, then the letter of the hemisphere.
#[inline]
fn angle_deg<const DEGREE_DIGITS: usize>(
    text: &[u8],
    positive: u8,
    negative: u8,
    limit_deg: u32,
) -> Option<f64> {
    let (letter, digits) = text.split_last()?;
    let degrees = number::whole(&digits[..DEGREE_DIGITS])?;
    let thousandths = number::whole(&digits[DEGREE_DIGITS..])?;
    if thousandths >= 60_000 {
        return None;
    }
    let all_thousandths = degrees * 60_000 + thousandths;
    if all_thousandths > limit_deg * 60_000 {
        return None;
    }
    let value = f64::from(all_thousandths) / 60_000.0;
    match *letter {
        l if l == positive => Some(value),
        l if l == negative => Some(-value),
        _ => None,
    }
}

/// Five characters, the first a minus below zero.
#[inline]
fn altitude_m(text: &[u8]) -> Option<f32> {
    match number::whole(text) {
        Some(metres) => Some(metres as f32),
        None => unusual_altitude_m(text),
    }
}

/// Below zero, or padded in another way.
#[cold]
fn unusual_altitude_m(text: &[u8]) -> Option<f32> {
    if let [b'-', digits @ ..] = text {
        return number::whole(digits).map(|m| -(m as f32));
    }
    // Some recorders pad with blanks, some write the minus within the zeros.
    let sign = text.iter().position(|b| *b == b'-')?;
    let leads = text[..sign].iter().all(|b| matches!(b, b'0' | b' '));
    number::whole(&text[sign + 1..])
        .filter(|_| leads)
        .map(|m| -(m as f32))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAI/IGC Technical Specification for GNSS Flight Recorders, second edition, AL8, A4.2.2.
    #[test]
    fn the_published_fix_beside_a_pilot_event() {
        let record = parse(b"B1045334945333N01132444EA0135701501").unwrap();
        assert_eq!(record.time_of_day_s, 10.0 * 3600.0 + 45.0 * 60.0 + 33.0);
        assert!((record.latitude_deg - 49.755550).abs() < 5e-7);
        assert!((record.longitude_deg - 11.540733).abs() < 5e-7);
        assert!(record.valid);
        assert_eq!(record.pressure_altitude_m, Some(1357.0));
        assert_eq!(record.gnss_altitude_m, Some(1501.0));
    }

    #[test]
    fn southern_western_and_below_sea_level() {
        let record = parse(b"B2359583412345S15112345EV-001200000").unwrap();
        assert!((record.latitude_deg + 34.205750).abs() < 1e-9);
        assert!((record.longitude_deg - 151.205750).abs() < 1e-9);
        assert_eq!(
            (record.valid, record.pressure_altitude_m),
            (false, Some(-12.0))
        );
        let west = parse(b"B1015305130250N00027750WA0030500357").unwrap();
        assert!((west.longitude_deg + 0.4625).abs() < 1e-12);
    }

    #[test]
    fn names_the_damaged_field() {
        for (line, words, column) in [
            (&b"B"[..], "cut short", 2),
            (b"B103124", "cut short", 8),
            (b"B1031244712#45N00830112EA0123401288", "latitude", 8),
            (b"B1031244760000N00830112EA0123401288", "latitude", 8),
            (b"B1031249100000N00830112EA0123401288", "latitude", 8),
            (b"B1031244712345X00830112EA0123401288", "latitude", 8),
            (b"B1031244712345N18100112EA0123401288", "longitude", 16),
            (b"B1031244712345N0083 112EA0123401288", "longitude", 16),
            (b"B2531244712345N00830112EA0123401288", "time", 2),
            (b"B1031244712345N00830112EX0123401288", "validity", 25),
            (b"B1031244712345N00830112E", "cut short", 25),
        ] {
            let damage = parse(line).unwrap_err();
            assert!(
                damage.what.contains(words) && damage.at + 1 == column,
                "{}: {damage:?}",
                String::from_utf8_lossy(line)
            );
        }
    }

    #[test]
    fn a_damaged_altitude_costs_the_altitude_only() {
        let cut = parse(b"B1031244712345N00830112EA01234012").unwrap();
        assert_eq!(
            (
                cut.pressure_altitude_m,
                cut.gnss_altitude_m,
                cut.bad_altitude
            ),
            (Some(1234.0), None, true)
        );
    }
}
