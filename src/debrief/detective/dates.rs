//! Events and a METAR of another day or another hour than the recording.

use jiff::Timestamp;
use jiff::tz::Offset;

use crate::briefing::Event;
use crate::debrief::instants::rfc3339;

/// How far outside the recording, or an attempt, a noted time may be, s.
const SLACK_S: f64 = 120.0;
/// A METAR is of the weather flown in for about this long, s (routine reports come every half hour or hour).
const METAR_HOLDS_S: f64 = 3.0 * HOUR_S;
const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 24.0 * HOUR_S;
/// Receivers count weeks modulo 1024: after that their date falls back (interface specification IS-GPS-200).
const ROLLOVER_S: f64 = 1024.0 * 7.0 * DAY_S;

/// The day that readers put in the place of one that a recording does not say, 2000-01-01, days since 1970.
const NO_DATE_DAYS: f64 = 10_957.0;

/// What the recording covers, s since 1970.
#[derive(Debug, Clone)]
pub(super) struct Covered {
    /// First and last fix.
    pub(super) recording_s: (f64, f64),
    /// The attempts found.
    pub(super) attempts_s: Vec<(f64, f64)>,
}

/// The warning about the events of the briefing, if they need one.
pub(super) fn of_events(events: &[Event], covered: &Covered) -> Option<String> {
    let times_s: Vec<f64> = events.iter().filter_map(Event::utc_s).collect();
    let first = events.iter().find(|e| e.utc_s().is_some())?;
    let inside = |t: f64, (from, to): (f64, f64)| t > from - SLACK_S && t < to + SLACK_S;
    let all_in_recording = |shift_s: f64| {
        times_s
            .iter()
            .all(|t| inside(t + shift_s, covered.recording_s))
    };
    let in_attempts = |shift_s: f64| {
        let there = |t: f64| covered.attempts_s.iter().any(|a| inside(t, *a));
        times_s.iter().filter(|t| there(**t + shift_s)).count()
    };
    // A day, a month or a year slips as a whole; a time zone by quarters of an hour.
    let days = ((covered.recording_s.0 - times_s[0]) / DAY_S).round();
    let whole_days = [0.0, -1.0, 1.0].map(|k| (days + k) * DAY_S);
    let zones = (1..=56).flat_map(|k| [1.0, -1.0].map(|sign| sign * f64::from(k) * 0.25 * HOUR_S));
    let fits = whole_days
        .into_iter()
        .filter(|s| *s != 0.0)
        .chain([ROLLOVER_S, -ROLLOVER_S])
        .chain(zones)
        .filter(|s| all_in_recording(*s))
        .max_by_key(|s| (in_attempts(*s), std::cmp::Reverse((s.abs() / 60.0) as u64)));
    let outside = times_s
        .iter()
        .filter(|t| !inside(**t, covered.recording_s))
        .count();
    if outside == 0 {
        // inside the recording but in none of its attempts, as a time zone does in a long recording
        let shift_s = fits.filter(|s| {
            times_s.len() >= 2 && in_attempts(0.0) == 0 && in_attempts(*s) == times_s.len()
        })?;
        return Some(format!(
            "no event of the briefing is in an attempt, but all are if shifted by {}: local time in place of UTC, or the recorder's clock is wrong; {}",
            span(shift_s),
            rewritten(first, shift_s)
        ));
    }
    let (from, to) = covered.recording_s;
    let what = if outside == times_s.len() {
        "the events of the briefing are".to_owned()
    } else {
        format!(
            "{outside} of the {} events of the briefing are",
            times_s.len()
        )
    };
    let what = format!(
        "{what} outside the recording ({} to {})",
        short(from),
        short(to)
    );
    let no_date = (covered.recording_s.0 / DAY_S).floor() == NO_DATE_DAYS;
    Some(match fits.filter(|_| outside == times_s.len()) {
        Some(s) if no_date && (s / DAY_S).fract() == 0.0 => format!(
            "{what}: its date is not known, and 2000-01-01 stands for it; {}",
            rewritten(first, s)
        ),
        Some(s) if (s.abs() - ROLLOVER_S).abs() < 1.0 => format!(
            "{what}: 1024 weeks apart, as when a receiver's week number overflows; take the recorder's date as wrong, or {}",
            rewritten(first, s)
        ),
        Some(s) if (s / DAY_S).fract() == 0.0 => format!(
            "{what}: the date is {} off, in the briefing or in the recorder; {}",
            span(s),
            rewritten(first, s)
        ),
        Some(s) => format!(
            "{what}, but inside if shifted by {}: local time in place of UTC, or the recorder's clock is wrong; {}",
            span(s),
            rewritten(first, s)
        ),
        None => format!("{what}: check their date and time (UTC)"),
    })
}

fn rewritten(event: &Event, shift_s: f64) -> String {
    let utc = rfc3339(event.utc_s().unwrap_or(f64::NAN) + shift_s);
    format!(
        "for \"{}\" write utc = \"{}\"",
        event.what,
        utc.replace(".000Z", "Z")
    )
}

fn short(utc_s: f64) -> String {
    rfc3339(utc_s)
        .get(..16)
        .unwrap_or_default()
        .replace('T', " ")
        + " UTC"
}

fn span(shift_s: f64) -> String {
    let (sign, size_s) = (if shift_s < 0.0 { "-" } else { "+" }, shift_s.abs());
    if size_s >= DAY_S && (size_s / DAY_S).fract() == 0.0 {
        let days = size_s / DAY_S;
        return format!("{days:.0} day{}", if days > 1.0 { "s" } else { "" });
    }
    let minutes = (size_s / 60.0).round() as u64;
    format!("{sign}{}:{:02} h", minutes / 60, minutes % 60)
}

/// The warning about the METAR, if it needs one. `issued` is day of the month, hour, minute UTC.
pub(super) fn of_metar(issued: (u8, u8, u8), recording_s: (f64, f64)) -> Option<String> {
    let apart_s = |t: f64| (recording_s.0 - t).max(t - recording_s.1).max(0.0);
    let nearest_s = (-1..=1)
        .filter_map(|months| issued_s(issued, recording_s.0, months))
        .min_by(|a, b| apart_s(*a).total_cmp(&apart_s(*b)))?;
    let off_s = apart_s(nearest_s);
    if off_s <= METAR_HOLDS_S {
        return None;
    }
    let (day, hour, minute) = issued;
    let off = if off_s < 1.5 * DAY_S {
        format!("{:.0} hours", off_s / HOUR_S)
    } else {
        format!("{:.0} days or more", off_s / DAY_S)
    };
    Some(format!(
        "the METAR (issued on day {day:02} at {hour:02}:{minute:02} UTC) is {off} from the recording ({} to {}): its QNH and wind are of another time; give the METAR of the flight, or check the recorder's date",
        short(recording_s.0),
        short(recording_s.1)
    ))
}

/// The instant of a METAR in the month of `near_s`, or some months from it.
fn issued_s((day, hour, minute): (u8, u8, u8), near_s: f64, months: i32) -> Option<f64> {
    let near = Offset::UTC
        .to_datetime(Timestamp::from_second(near_s as i64).ok()?)
        .date();
    let month = near
        .first_of_month()
        .checked_add(jiff::Span::new().months(months))
        .ok()?;
    let date = jiff::civil::Date::new(month.year(), month.month(), i8::try_from(day).ok()?).ok()?;
    let at = date.at(i8::try_from(hour).ok()?, i8::try_from(minute).ok()?, 0, 0);
    Some(Offset::UTC.to_timestamp(at).ok()?.as_second() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-05-03T10:00:00Z
    const START_S: f64 = 1_777_802_400.0;

    fn covered() -> Covered {
        Covered {
            recording_s: (START_S, START_S + 1800.0),
            attempts_s: vec![(START_S + 600.0, START_S + 900.0)],
        }
    }

    fn events(utc: &[&str]) -> Vec<Event> {
        utc.iter()
            .map(|utc| Event {
                utc: (*utc).into(),
                what: "flap 10".into(),
            })
            .collect()
    }

    #[test]
    fn events_inside_are_no_matter() {
        let good = events(&["2026-05-03T10:11:00Z", "2026-05-03T10:29:00Z"]);
        assert_eq!(of_events(&good, &covered()), None);
        assert_eq!(of_events(&[], &covered()), None);
    }

    #[test]
    fn a_wrong_day_is_told_with_the_right_one() {
        for wrong in [
            "2026-05-02T10:11:00Z",
            "2026-03-05T10:11:00Z",
            "2025-05-03T10:11:00Z",
        ] {
            let said = of_events(&events(&[wrong]), &covered()).unwrap();
            assert!(said.contains("the date is"), "{said}");
            assert!(
                said.ends_with("for \"flap 10\" write utc = \"2026-05-03T10:11:00Z\""),
                "{said}"
            );
        }
    }

    #[test]
    fn a_recording_without_a_date_is_not_called_days_off() {
        let start_s = NO_DATE_DAYS * DAY_S + 36_000.0;
        let undated = Covered {
            recording_s: (start_s, start_s + 1800.0),
            attempts_s: Vec::new(),
        };
        let said = of_events(&events(&["2026-05-03T10:11:00Z"]), &undated).unwrap();
        assert!(said.contains("its date is not known"), "{said}");
        assert!(
            said.ends_with("write utc = \"2000-01-01T10:11:00Z\""),
            "{said}"
        );
    }

    #[test]
    fn a_time_zone_is_told() {
        let said = of_events(&events(&["2026-05-03T12:11:00Z"]), &covered()).unwrap();
        assert!(said.contains("shifted by -2:00 h: local time"), "{said}");
        // inside a long recording
        let long = Covered {
            recording_s: (START_S - 9000.0, START_S + 9000.0),
            ..covered()
        };
        let local = events(&["2026-05-03T11:11:00Z", "2026-05-03T11:12:00Z"]);
        let said = of_events(&local, &long).unwrap();
        assert!(said.contains("if shifted by -1:00 h"), "{said}");
        assert_eq!(of_events(&local[..1], &long), None);
    }

    #[test]
    fn a_receiver_that_fell_back_1024_weeks_is_told() {
        let back = ROLLOVER_S;
        let old = Covered {
            recording_s: (START_S - back, START_S + 1800.0 - back),
            attempts_s: Vec::new(),
        };
        let said = of_events(&events(&["2026-05-03T10:11:00Z"]), &old).unwrap();
        assert!(said.contains("1024 weeks"), "{said}");
    }

    #[test]
    fn a_metar_of_the_hour_is_no_matter_even_across_a_month() {
        assert_eq!(of_metar((3, 9, 50), (START_S, START_S + 1800.0)), None);
        // 2026-06-01T00:10:00Z
        let june_s = 1_780_272_600.0;
        assert_eq!(of_metar((31, 23, 50), (june_s, june_s + 900.0)), None);
        let said = of_metar((2, 9, 50), (START_S, START_S + 1800.0)).unwrap();
        assert!(said.contains("24 hours"), "{said}");
        let said = of_metar((24, 9, 50), (START_S, START_S + 1800.0)).unwrap();
        assert!(said.contains("days or more"), "{said}");
    }
}
