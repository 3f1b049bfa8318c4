//! One recording, one flight day: fixes hours or days away from the rest belong to something else.
//!
//! A recorder that starts before its clock is set writes the date of its making; two files joined
//! hold two days. Joined up, either would be one flight over years.

use crate::reading::{Fix, Notes};

/// A pause between two flights of one day is shorter than this, s.
const LONGEST_PAUSE_S: f64 = 4.0 * 3600.0;

/// A recording covers no more than this, s: what comes after grows with time as well as with fixes.
const LONGEST_SPAN_S: f64 = 24.0 * 3600.0;

/// What a note says of fixes that belong to another day.
pub(super) const ANOTHER_TIME: &str = "fixes hours or days away from the rest: a clock that was not set yet, or another flight; the part with most fixes was kept";

/// Keeps the part with most fixes of a recording, in order of time, that pauses for hours.
pub(super) fn keep_the_longest(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    let (from, to) = most_within_a_span(fixes, longest_without_pause(fixes));
    if to - from == fixes.len() {
        return;
    }
    for other in fixes[..from].iter().chain(&fixes[to..]) {
        notes.dropped(other.line, ANOTHER_TIME);
    }
    fixes.truncate(to);
    fixes.drain(..from);
}

/// The part without a long pause that has most fixes; the first of equals.
fn longest_without_pause(fixes: &[Fix]) -> (usize, usize) {
    let mut best = (0, 0);
    let mut from = 0;
    for to in 1..=fixes.len() {
        let ends = fixes
            .get(to)
            .is_none_or(|next| next.utc_s - fixes[to - 1].utc_s > LONGEST_PAUSE_S);
        if ends {
            if to - from > best.1 - best.0 {
                best = (from, to);
            }
            from = to;
        }
    }
    best
}

/// The stretch of a part that has most fixes within the longest span.
fn most_within_a_span(fixes: &[Fix], (start, end): (usize, usize)) -> (usize, usize) {
    let mut best = (start, start);
    let mut from = start;
    for to in start..end {
        while fixes[to].utc_s - fixes[from].utc_s > LONGEST_SPAN_S {
            from += 1;
        }
        if to + 1 - from > best.1 - best.0 {
            best = (from, to + 1);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(times_s: impl IntoIterator<Item = f64>) -> Vec<Fix> {
        times_s
            .into_iter()
            .enumerate()
            .map(|(i, utc_s)| Fix {
                utc_s,
                line: i as u32 + 1,
                ..Fix::default()
            })
            .collect()
    }

    fn kept(times_s: impl IntoIterator<Item = f64>) -> (Vec<u32>, u32, u32) {
        let mut fixes = at(times_s);
        let mut notes = Notes::default();
        keep_the_longest(&mut fixes, &mut notes);
        let note = notes.into_list().into_iter().next();
        (
            fixes.iter().map(|f| f.line).collect(),
            note.as_ref().map_or(0, |n| n.dropped_fixes),
            note.map_or(0, |n| n.first_line),
        )
    }

    const YEAR_S: f64 = 365.0 * 86_400.0;

    #[test]
    fn a_date_a_year_before_or_behind_goes() {
        assert_eq!(kept([-YEAR_S, 0.0, 1.0, 2.0]), (vec![2, 3, 4], 1, 1));
        assert_eq!(
            kept([0.0, 1.0, 2.0, YEAR_S, YEAR_S + 1.0]),
            (vec![1, 2, 3], 2, 4)
        );
    }

    #[test]
    fn a_long_lunch_stays() {
        assert_eq!(
            kept([0.0, 1.0, 3.9 * 3600.0, 3.9 * 3600.0 + 1.0]),
            (vec![1, 2, 3, 4], 0, 0)
        );
    }

    #[test]
    fn fixes_hours_apart_for_years_leave_one_day() {
        let (lines, dropped, _) = kept((0..10_000).map(|i| f64::from(i) * 3600.0));
        assert_eq!((lines.len(), dropped), (25, 9975));
    }
}
