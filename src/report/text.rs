//! The short table for a terminal: plain text, at most 80 columns.

use std::fmt::Write as _;

use super::headline::headline;
use super::rows::{Group, groups};
use super::wording::Wording;
use super::words;
use crate::debrief::document::{Attempt, Debrief};

/// The widest line.
const COLUMNS: usize = 80;
/// Where verdicts start, after a space.
const VERDICT_FROM: usize = 68;

/// What was flown, in a table a terminal shows without wrapping.
pub fn summary_table(debrief: &Debrief) -> String {
    summary_table_in(debrief, Wording::default())
}

/// The same in the units and the time of `wording`.
pub fn summary_table_in(debrief: &Debrief, wording: Wording) -> String {
    let mut out = String::new();
    let recording = &debrief.recording;
    let when = [
        wording.day(&recording.start_utc),
        recording.start_utc.clone(),
    ]
    .into_iter()
    .find(|text| !text.is_empty())
    .unwrap_or_default();
    wrapped(
        &mut out,
        "",
        &format!("{}: {when}, {}", recording.file, words::recorder(debrief)),
    );
    if debrief.attempts.is_empty() {
        wrapped(&mut out, "", "No practice forced landing found.");
        for candidate in &debrief.not_attempts {
            let height = wording.ft().tens(candidate.height_ft);
            let unit = wording.ft().unit;
            let time = wording.time_of_day(&candidate.utc);
            wrapped(
                &mut out,
                "  ",
                &format!(
                    "{time}  {height} {unit}: {}",
                    wording.sentence(&candidate.reason)
                ),
            );
        }
    }
    for attempt in &debrief.attempts {
        out.push('\n');
        write_attempt(&mut out, debrief, attempt, wording);
    }
    out.push('\n');
    wrapped(&mut out, "", &words::heights_rest_on(debrief));
    if let Some(best) = words::best_glide(&debrief.reference, wording) {
        wrapped(&mut out, "", &best);
    }
    out
}

fn write_attempt(out: &mut String, debrief: &Debrief, attempt: &Attempt, wording: Wording) {
    let headline = headline(debrief, attempt, wording);
    let title = format!(
        "Attempt {} of {}: {}",
        attempt.number,
        debrief.attempts.len(),
        headline.outcome
    );
    wrapped(out, "", &title);
    if !headline.detail.is_empty() {
        wrapped(out, "  ", &words::sentence_case(&headline.detail));
    }
    if let Some(utc) = words::power_off(attempt) {
        wrapped(
            out,
            "  ",
            &format!(
                "Power reduction at {} {}",
                wording.time_of_day(&utc),
                wording.zone()
            ),
        );
    }
    for sentence in super::spoken::spoken(debrief, attempt, wording).in_order() {
        wrapped(out, "  ", &format!("\u{2013} {sentence}"));
    }
    for group in groups(attempt, &debrief.reference, wording) {
        write_group(out, &group, wording);
    }
}

fn write_group(out: &mut String, group: &Group, wording: Wording) {
    if group.rows.is_empty() {
        return;
    }
    let yardstick = match group.yardstick.as_str() {
        "" => String::new(),
        text => format!(" ({text})"),
    };
    wrapped(out, " ", &format!("{}{yardstick}", group.name));
    for row in &group.rows {
        let interval = row.figure.interval();
        let verdict = row.verdict.as_deref().unwrap_or_default();
        let line = format!(
            "  {:<29} {:>10} {:<6} {:<18}",
            wording.sentence(row.info.label),
            row.shown(),
            wording.unit(row.info),
            interval
        );
        write_row(out, line.trim_end(), verdict);
    }
}

/// A row with its verdict in full: in its column, else at the end of the line, else on the next.
fn write_row(out: &mut String, row: &str, verdict: &str) {
    let room = COLUMNS.saturating_sub(row.chars().count() + 1);
    let width = verdict.chars().count();
    if row.chars().count() <= VERDICT_FROM && VERDICT_FROM + 1 + width <= COLUMNS {
        out.push_str(format!("{row:<VERDICT_FROM$} {verdict}").trim_end());
    } else if width <= room {
        let _ = write!(out, "{row} {verdict:>room$}");
    } else {
        out.push_str(&cut(row, COLUMNS));
        let _ = write!(out, "\n{verdict:>COLUMNS$}");
    }
    out.push('\n');
}

/// Text in lines of at most [`COLUMNS`], each after `indent`, further lines two deeper.
fn wrapped(out: &mut String, indent: &str, text: &str) {
    let text: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let mut line = indent.to_owned();
    let mut empty = true;
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let word = cut(word, COLUMNS - indent.len() - 2);
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            out.push_str(&line);
            out.push('\n');
            line = format!("{indent}  ");
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

/// The first `width` characters, the last an ellipsis where something is cut.
fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}
