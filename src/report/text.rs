//! The short table for a terminal: plain text, at most 80 columns.

use std::fmt::Write as _;

use super::headline::headline;
use super::number;
use super::rows::{Group, groups};
use super::words;
use crate::debrief::document::{Attempt, Debrief};

/// The widest line.
const COLUMNS: usize = 80;
/// Where verdicts start, after a space.
const VERDICT_FROM: usize = 68;

/// What was flown, in a table a terminal shows without wrapping.
pub fn summary_table(debrief: &Debrief) -> String {
    let mut out = String::new();
    let recording = &debrief.recording;
    let when = [
        words::day(&recording.start_utc),
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
            let height = number::number((candidate.height_ft / 10.0).round() * 10.0, 0);
            let time = words::time_of_day(&candidate.utc);
            wrapped(
                &mut out,
                "  ",
                &format!("{time}  {height} ft: {}", candidate.reason),
            );
        }
    }
    for attempt in &debrief.attempts {
        out.push('\n');
        write_attempt(&mut out, debrief, attempt);
    }
    out.push('\n');
    wrapped(&mut out, "", &words::heights_rest_on(debrief));
    if let Some(best) = words::best_glide(&debrief.reference) {
        wrapped(&mut out, "", &best);
    }
    out
}

fn write_attempt(out: &mut String, debrief: &Debrief, attempt: &Attempt) {
    let headline = headline(debrief, attempt);
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
            &format!("Power reduction at {} UTC", words::time_of_day(&utc)),
        );
    }
    for group in groups(attempt, &debrief.reference) {
        write_group(out, &group);
    }
    let said = super::debrief_words::sentences(debrief, attempt);
    for sentence in &said {
        wrapped(out, "  ", sentence);
    }
    if let Some(sentence) = super::checklist_words::sentence(attempt) {
        wrapped(out, "  ", &sentence);
    }
    // what the sentences say already is not said again
    let again = |remark: &String| {
        said.iter().any(|s| {
            s.split_once(": ")
                .is_some_and(|(_, words)| remark.ends_with(words.trim_end_matches('.')))
        })
    };
    let first = super::in_hand_words::remarks(attempt);
    let first = first.into_iter().filter(|remark| !again(remark));
    for remark in first.chain(words::remarks(attempt)) {
        wrapped(out, "  ", &words::sentence_case(&remark));
    }
}

fn write_group(out: &mut String, group: &Group) {
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
            row.info.label,
            row.figure.shown(),
            number::unit(row.info),
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
