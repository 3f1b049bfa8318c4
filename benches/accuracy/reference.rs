//! The reference flights debriefed and scored, by class of recorder.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::truth::reference::{Flight, Recording, flights, scoring};
use crate::truth::rows::Score;
use crate::{classes, debriefed, page, write};

/// One recording with its score and its classes.
pub struct Scored<'a> {
    /// What was scored.
    pub recording: &'a Recording,
    /// Its errors.
    pub score: Score,
    /// The classes it belongs to.
    pub classes: Vec<String>,
}

/// Scores the recordings whose name contains `only`, and shows the worst rows of the figures in
/// `worst`; without `only`, writes the page.
pub fn run(only: Option<&str>, worst: &[&str]) {
    let flights = match flights() {
        Ok(flights) => flights,
        Err(problem) => return eprintln!("{problem}"),
    };
    let wanted: Vec<(&Flight, &Recording)> = flights
        .iter()
        .flat_map(|flight| flight.recordings.iter().map(move |r| (flight, r)))
        .filter(|(_, recording)| only.is_none_or(|part| recording.file.contains(part)))
        .collect();
    let scored: Vec<Scored<'_>> = wanted
        .par_iter()
        .enumerate()
        .map(|(place, (flight, recording))| one(flight, recording, place as u64))
        .collect();
    let mut by_class: BTreeMap<String, Vec<&Score>> = BTreeMap::new();
    for one in &scored {
        for class in &one.classes {
            by_class.entry(class.clone()).or_default().push(&one.score);
        }
    }
    let rates = classes::by_rate(wanted.iter().map(|(_, recording)| recording.rate_hz));
    let text = page::page(&by_class, &rates, &classes::by_channel());
    if only.is_some() {
        println!("{text}");
    } else {
        write("accuracy.md", &text);
    }
    for one in scored
        .iter()
        .filter(|one| one.score.missed + one.score.false_ones > 0)
    {
        let (missed, none) = (one.score.missed, one.score.false_ones);
        println!("{}: {missed} missed, {none} false", one.recording.file);
    }
    for figure in worst {
        show_worst(&scored, figure);
    }
}

fn one<'a>(flight: &Flight, recording: &'a Recording, place: u64) -> Scored<'a> {
    let result = recording.read().and_then(|(bytes, briefing)| {
        let document = debriefed(&bytes, &recording.file, &briefing)?;
        let score = scoring::score(flight, recording, &document, place)?;
        Ok((score, classes::of(recording.rate_hz, &document)))
    });
    let (score, classes) = result.unwrap_or_else(|problem| {
        eprintln!("{}: {problem}", recording.file);
        let findable = flight
            .attempts
            .iter()
            .filter(|a| recording.holds(a))
            .count();
        let score = Score {
            findable,
            missed: findable,
            ..Score::default()
        };
        (score, vec![classes::ALL.to_owned()])
    });
    Scored {
        recording,
        score,
        classes,
    }
}

fn show_worst(scored: &[Scored<'_>], figure: &str) {
    let mut rows: Vec<_> = scored
        .iter()
        .flat_map(|one| one.score.rows.iter().map(move |row| (row, one.recording)))
        .filter(|(row, _)| row.figure == figure)
        .collect();
    rows.sort_by(|a, b| b.0.error.abs().total_cmp(&a.0.error.abs()));
    for (row, recording) in rows.iter().take(12) {
        println!(
            "{figure} {} error {:.2} [{:.2}, {:.2}]",
            recording.file, row.error, row.low, row.high
        );
    }
}
