//! Instants: the many ways a recorder writes one.

use super::number;

/// Seconds in a day.
pub(crate) const DAY_S: f64 = 86_400.0;

/// 1980-01-01T00:00:00Z: no receiver of navigation satellites wrote an earlier time.
const EARLIEST_S: f64 = 315_532_800.0;

/// 2100-01-01T00:00:00Z.
const LATEST_S: f64 = 4_102_444_800.0;

/// An instant, and whether the text said which zone it is in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    /// Seconds since 1970-01-01T00:00:00Z, the clock read as UTC where no zone was stated.
    pub(crate) utc_s: f64,
    /// The text named its zone.
    pub(crate) zoned: bool,
}

/// Is this an instant at which a recording can have been made (1980 to 2100)?
pub(crate) fn is_plausible(utc_s: f64) -> bool {
    (EARLIEST_S..LATEST_S).contains(&utc_s)
}

/// Seconds from 1970-01-01 to the start of a day of the Gregorian calendar; `None` if there is no such day.
pub(crate) fn date_s(year: u32, month: u32, day: u32) -> Option<f64> {
    const MONTH_DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let length = *MONTH_DAYS.get((month as usize).checked_sub(1)?)? + u32::from(leap && month == 2);
    if day == 0 || day > length || !(1..=9999).contains(&year) {
        return None;
    }
    // Days of a year that starts in March, so that the leap day comes last.
    let (y, m) = if month > 2 {
        (i64::from(year), month - 3)
    } else {
        (i64::from(year) - 1, month + 9)
    };
    let days = y * 365 + y / 4 - y / 100 + y / 400 + i64::from((153 * m + 2) / 5 + day) - 1;
    // 719,468 days from 0000-03-01 to 1970-01-01.
    Some((days - 719_468) as f64 * DAY_S)
}

/// Seconds after midnight; a leap second (60) is let through.
pub(crate) fn time_of_day_s(hour: u32, minute: u32, second: u32) -> Option<f64> {
    (hour < 24 && minute < 60 && second <= 60)
        .then(|| f64::from(hour * 3600 + minute * 60 + second))
}

/// Half a day, s: a clock that falls by more has passed midnight.
pub(crate) const HALF_DAY_S: f64 = 43_200.0;

/// Start of the day that stands for an unknown date (2000-01-01), seconds since 1970.
pub(crate) fn stand_in_day_s() -> f64 {
    date_s(2000, 1, 1).unwrap_or(EARLIEST_S)
}

/// Runs a clock that only shows the time of day over midnights.
#[derive(Debug, Default)]
pub(crate) struct DayClock {
    /// Start of the day the clock is in, seconds since 1970.
    pub(crate) day_s: f64,
    /// The time of day shown last.
    pub(crate) last_s: Option<f64>,
    /// Midnights passed.
    pub(crate) midnights: u32,
}

impl DayClock {
    /// The instant of a time of day that follows those before.
    pub(crate) fn utc_s(&mut self, time_of_day_s: f64) -> f64 {
        if let Some(last_s) = self.last_s {
            if last_s - time_of_day_s > HALF_DAY_S {
                self.day_s += DAY_S;
                self.midnights += 1;
            } else if time_of_day_s - last_s > HALF_DAY_S && self.midnights > 0 {
                // A late record from before the midnight just passed.
                self.day_s -= DAY_S;
                self.midnights -= 1;
            }
        }
        self.last_s = Some(time_of_day_s);
        self.day_s + time_of_day_s
    }

    /// A new date from the file.
    pub(crate) fn set_day(&mut self, day_s: f64) {
        self.day_s = day_s;
        self.last_s = None;
        self.midnights = 0;
    }
}

/// Date and time in one text: ISO 8601 and what is near it, or mail style (RFC 2822).
pub(crate) fn parse(text: &[u8]) -> Option<Stamp> {
    let text = text.trim_ascii();
    fast(text).or_else(|| slow(text))
}

/// `YYYY-MM-DD?HH:MM:SS[.fraction][zone]`, digit by digit.
fn fast(text: &[u8]) -> Option<Stamp> {
    let (head, rest) = text.split_at_checked(19)?;
    if head[4] != b'-' || head[7] != b'-' || head[13] != b':' || head[16] != b':' {
        return None;
    }
    if !matches!(head[10], b'T' | b't' | b' ') {
        return None;
    }
    let two = |at: usize| number::whole(&head[at..at + 2]);
    let day_s = date_s(number::whole(&head[..4])?, two(5)?, two(8)?)?;
    let clock_s = time_of_day_s(two(11)?, two(14)?, two(17)?)?;
    let (fraction_s, zone) = fraction(rest)?;
    let (offset_s, zoned) = zone_offset_s(zone)?;
    Some(Stamp {
        utc_s: day_s + clock_s + fraction_s - offset_s,
        zoned,
    })
}

/// The decimals of a second at the start of `text` (`.5`, `,5` or none), and what follows.
fn fraction(text: &[u8]) -> Option<(f64, &[u8])> {
    let [b'.' | b',', rest @ ..] = text else {
        return Some((0.0, text));
    };
    let digits = rest.iter().take_while(|b| b.is_ascii_digit()).count();
    let used = digits.min(9);
    let value = number::decimals(f64::from(number::whole(&rest[..used])?), used);
    Some((value, &rest[digits..]))
}

/// Seconds east of UTC that a zone text stands for, and whether it stands for any.
pub(crate) fn zone_offset_s(text: &[u8]) -> Option<(f64, bool)> {
    let (sign, rest) = match text.trim_ascii() {
        b"" => return Some((0.0, false)),
        b"Z" | b"z" | b"UTC" | b"utc" | b"GMT" => return Some((0.0, true)),
        [b'+', rest @ ..] => (1.0, rest),
        [b'-', rest @ ..] => (-1.0, rest),
        _ => return None,
    };
    let (hours, minutes) = match rest {
        [_, b':', m @ ..] => (&rest[..1], m),
        [_, _, b':', m @ ..] => (&rest[..2], &m[..m.len().min(2)]),
        [_, _, m @ ..] if m.len() == 2 => (&rest[..2], m),
        [_] | [_, _] => (rest, &b"0"[..]),
        _ => return None,
    };
    let (hours, minutes) = (number::whole(hours)?, number::whole(minutes)?);
    (hours <= 18 && minutes < 60).then(|| (sign * f64::from(hours * 3600 + minutes * 60), true))
}

/// Everything the fast form is not.
fn slow(text: &[u8]) -> Option<Stamp> {
    if text.len() > 64 {
        return None;
    }
    let text = std::str::from_utf8(text).ok()?;
    let seconds = |t: jiff::Timestamp| t.as_nanosecond() as f64 / 1e9;
    if let Ok(instant) = text.parse::<jiff::Timestamp>() {
        return Some(Stamp {
            utc_s: seconds(instant),
            zoned: true,
        });
    }
    if let Ok(clock) = text.parse::<jiff::civil::DateTime>() {
        let part = |value: i8| u32::try_from(value).ok();
        let day_s = date_s(
            u32::try_from(clock.year()).ok()?,
            part(clock.month())?,
            part(clock.day())?,
        )?;
        let clock_s = time_of_day_s(
            part(clock.hour())?,
            part(clock.minute())?,
            part(clock.second())?,
        )?;
        let utc_s = day_s + clock_s + f64::from(clock.subsec_nanosecond()) / 1e9;
        // A lone date would be midnight: that is not a time.
        return (text.contains(':') || text.contains('T')).then_some(Stamp {
            utc_s,
            zoned: false,
        });
    }
    let mail = jiff::fmt::rfc2822::parse(text).ok()?;
    Some(Stamp {
        utc_s: seconds(mail.timestamp()),
        zoned: true,
    })
}

/// `HH:MM:SS[.fraction]`, `HH:MM`, `HHMMSS[.fraction]`, each with an optional AM or PM: seconds after midnight.
pub(crate) fn parse_time_of_day(text: &[u8]) -> Option<f64> {
    let text = text.trim_ascii();
    let upper = text.to_ascii_uppercase();
    let (body, half) = match upper.as_slice() {
        [body @ .., b'A', b'M'] => (body.trim_ascii(), Some(0)),
        [body @ .., b'P', b'M'] => (body.trim_ascii(), Some(12)),
        [body @ .., b'Z'] | body => (body, None),
    };
    let split = body
        .iter()
        .position(|b| matches!(b, b'.' | b','))
        .unwrap_or(body.len());
    let (fraction_s, rest) = fraction(&body[split..])?;
    if !rest.is_empty() {
        return None;
    }
    let whole = &body[..split];
    let (mut hour, minute, second) = if whole.contains(&b':') {
        let mut parts = whole.split(|b| *b == b':');
        let hour = number::whole(parts.next()?)?;
        let minute = number::whole(parts.next()?)?;
        let second = parts.next().map_or(Some(0), number::whole)?;
        if parts.next().is_some() {
            return None;
        }
        (hour, minute, second)
    } else if whole.len() == 6 {
        (
            number::whole(&whole[..2])?,
            number::whole(&whole[2..4])?,
            number::whole(&whole[4..])?,
        )
    } else {
        return None;
    };
    if let Some(half) = half {
        if !(1..=12).contains(&hour) {
            return None;
        }
        hour = hour % 12 + half;
    }
    Some(time_of_day_s(hour, minute, second)? + fraction_s)
}

/// The order of day, month and year in a written date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// 2026-05-03.
    YearMonthDay,
    /// 03.05.2026.
    DayMonthYear,
    /// 05/03/2026.
    MonthDayYear,
}

/// The three numbers of a written date, in the order written; `20260503` gives three too.
pub(crate) fn date_parts(text: &[u8]) -> Option<[u32; 3]> {
    let text = text.trim_ascii();
    if text.len() == 8 && text.iter().all(u8::is_ascii_digit) {
        return Some([
            number::whole(&text[..4])?,
            number::whole(&text[4..6])?,
            number::whole(&text[6..])?,
        ]);
    }
    let mut parts = text
        .split(|b| matches!(b, b'-' | b'/' | b'.' | b' '))
        .filter(|p| !p.is_empty());
    let found = [
        number::whole(parts.next()?)?,
        number::whole(parts.next()?)?,
        number::whole(parts.next()?)?,
    ];
    parts.next().is_none().then_some(found)
}

/// Seconds from 1970-01-01 to the start of the day that three numbers in this order name.
pub(crate) fn ordered_date_s(parts: [u32; 3], order: DateOrder) -> Option<f64> {
    let [a, b, c] = parts;
    let (year, month, day) = match order {
        DateOrder::YearMonthDay => (a, b, c),
        DateOrder::DayMonthYear => (c, b, a),
        DateOrder::MonthDayYear => (c, a, b),
    };
    date_s(full_year(year), month, day)
}

/// Two-digit years: 80 to 99 are of the last century.
pub(crate) fn full_year(year: u32) -> u32 {
    match year {
        0..=79 => year + 2000,
        80..=99 => year + 1900,
        _ => year,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn utc_s(text: &str) -> Option<f64> {
        parse(text.as_bytes()).map(|s| s.utc_s)
    }

    #[test]
    fn days_are_counted_from_1970() {
        assert_eq!(date_s(1970, 1, 1), Some(0.0));
        assert_eq!(date_s(1980, 1, 1), Some(EARLIEST_S));
        assert_eq!(date_s(2100, 1, 1), Some(LATEST_S));
        assert_eq!(date_s(2026, 2, 29), None);
        assert!(date_s(2024, 2, 29).is_some());
        assert_eq!(date_s(2026, 0, 1), None);
        assert_eq!(date_s(2026, 13, 1), None);
    }

    #[test]
    fn the_same_instant_in_many_spellings() {
        // 2026-05-03T10:21:40Z is 1,777,803,700 s after 1970 (20,576 days and 37,300 s).
        for text in [
            "2026-05-03T10:21:40Z",
            "2026-05-03 10:21:40",
            " 2026-05-03T12:21:40+02:00 ",
            "2026-05-03T12:21:40+0200",
            "2026-05-03T12:21:40+02",
            "2026-05-03T05:51:40-04:30",
            "2026-05-03t10:21:40.000z",
            "20260503T102140Z",
            "2026-05-03T10:21:40 UTC",
            "Sun, 3 May 2026 10:21:40 +0000",
        ] {
            assert_eq!(utc_s(text), Some(1_777_803_700.0), "{text}");
        }
    }

    #[test]
    fn says_whether_the_zone_was_stated() {
        assert_eq!(parse(b"2026-05-03T10:21:40Z").map(|s| s.zoned), Some(true));
        assert_eq!(
            parse(b"2026-05-03T10:21:40.5").map(|s| s.zoned),
            Some(false)
        );
    }

    #[test]
    fn refuses_what_is_no_instant() {
        for text in [
            "",
            "2026-05-03",
            "2026-13-03T10:21:40Z",
            "2026-05-03T25:00:00Z",
            "10:21:40",
            "yesterday",
            "2026-05-03T10:21:40X",
        ] {
            assert_eq!(utc_s(text), None, "{text:?}");
        }
    }

    #[test]
    fn times_of_day() {
        assert_eq!(parse_time_of_day(b"10:21:47"), Some(37_307.0));
        assert_eq!(parse_time_of_day(b"102147.25"), Some(37_307.25));
        assert_eq!(parse_time_of_day(b"12:00:01 AM"), Some(1.0));
        assert_eq!(parse_time_of_day(b"1:00 pm"), Some(46_800.0));
        assert_eq!(parse_time_of_day(b"24:00:00"), None);
        assert_eq!(parse_time_of_day(b"10"), None);
    }

    #[test]
    fn dates_in_three_orders() {
        let want = date_s(2026, 5, 3);
        for (text, order) in [
            ("2026-05-03", DateOrder::YearMonthDay),
            ("20260503", DateOrder::YearMonthDay),
            ("3.5.26", DateOrder::DayMonthYear),
            ("05/03/2026", DateOrder::MonthDayYear),
        ] {
            let parts = date_parts(text.as_bytes()).unwrap();
            assert_eq!(ordered_date_s(parts, order), want, "{text}");
        }
        assert_eq!(date_parts(b"3 May"), None);
    }

    proptest! {
        #[test]
        fn agrees_with_jiff(second in 315_532_800_i64..4_102_444_800, milli in 0_i64..1000) {
            let instant = jiff::Timestamp::from_millisecond(second * 1000 + milli).unwrap();
            let read = fast(instant.to_string().as_bytes()).unwrap();
            prop_assert!((read.utc_s - (second as f64 + milli as f64 / 1000.0)).abs() < 1e-6);
        }
    }
}
