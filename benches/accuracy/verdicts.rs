//! The reference flights graded, and the verdicts held against what was flown.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use rayon::prelude::*;
use stillprop::debrief::Options;

use crate::truth::reference::verdicts::{Tally, every_criterion, tally};
use crate::truth::reference::{Flight, Recording, flights};
use crate::{debriefed_with, write};

const HEAD: &str = "\
# Verdicts

Written by `cargo bench --bench accuracy -- --verdicts`; not by hand. Every recording in
[`tests/reference-flights/`](../tests/reference-flights/README.md) is graded against every published
criterion that `stillprop standards` lists, each once, and against ten narrower limits close to what
the flights flew, where a verdict can go wrong; each verdict is held against what was flown. A
verdict is *met* where nine in ten of the possible paths or more are inside the limits, *not met*
where one in ten or fewer are. Shares of time within a tolerance: of the glide within ±10 kt of best glide, of final within −5 and
+10 kt of approach speed, as the first standards of the list have it. Several
recorders were on one flight and several limits are on one measure, so the rows are not independent.
Measures without a truth in the reference flights have no row.

- **met, right**: share of the criteria called met that the flight met in truth; goal 97 %.
- **not met, right**: share of those called not met that it did not meet; goal 97 %.
- **too close**: share of those with a figure that are too close to call; goal a third at 1 Hz.
- **not measured**: there is a truth, and the program gave a reason in place of a figure.

";

type Tallies = BTreeMap<String, Tally>;

/// Grades the recordings whose name contains `only`; without it, writes the page.
pub fn run(only: Option<&str>) {
    let flights = match flights() {
        Ok(flights) => flights,
        Err(problem) => return eprintln!("{problem}"),
    };
    let wanted: Vec<(&Flight, &Recording)> = flights
        .iter()
        .flat_map(|flight| flight.recordings.iter().map(move |r| (flight, r)))
        .filter(|(_, recording)| only.is_none_or(|part| recording.file.contains(part)))
        .collect();
    let options = Options {
        standard: Some(every_criterion()),
        ..Options::default()
    };
    let tallies: Vec<(f64, Tallies)> = wanted
        .par_iter()
        .filter_map(|(flight, recording)| {
            let graded = recording.read().and_then(|(bytes, briefing)| {
                let document = debriefed_with(&bytes, &recording.file, &briefing, &options)?;
                tally(flight, recording, &document)
            });
            match graded {
                Ok(tallies) => Some((recording.rate_hz, tallies)),
                Err(problem) => {
                    eprintln!("{}: {problem}", recording.file);
                    None
                }
            }
        })
        .collect();
    let mut text = HEAD.to_owned();
    table(&mut text, "All recorders", tallies.iter());
    let mut rates: Vec<f64> = tallies.iter().map(|(rate, _)| *rate).collect();
    rates.sort_by(f64::total_cmp);
    rates.dedup();
    for rate in rates {
        let of_rate = tallies.iter().filter(|(r, _)| *r == rate);
        table(&mut text, &format!("Recorders: {rate} Hz"), of_rate);
    }
    if only.is_some() {
        println!("{text}");
    } else {
        write("verdicts.md", text.trim_end());
    }
}

fn table<'a>(out: &mut String, title: &str, tallies: impl Iterator<Item = &'a (f64, Tallies)>) {
    let mut by_measure = Tallies::new();
    for (measure, tally) in tallies.flat_map(|(_, tallies)| tallies) {
        let sum = by_measure.entry(measure.clone()).or_default();
        *sum = sum.and(*tally);
    }
    let all = by_measure
        .values()
        .fold(Tally::default(), |sum, tally| sum.and(*tally));
    let _ = writeln!(
        out,
        "## {title}\n\n| measure | met, right | not met, right | too close | not measured |\n|---|---|---|---|---|"
    );
    let rows = by_measure
        .iter()
        .map(|(measure, tally)| (measure.as_str(), tally));
    for (measure, t) in std::iter::once(("all", &all)).chain(rows) {
        let share = |right: usize, wrong: usize| match right + wrong {
            0 => "–".to_owned(),
            n => format!("{:.1} % of {n}", 100.0 * right as f64 / n as f64),
        };
        let judged = t.met_right + t.met_wrong + t.not_right + t.not_wrong;
        let _ = writeln!(
            out,
            "| {measure} | {} | {} | {} | {} |",
            share(t.met_right, t.met_wrong),
            share(t.not_right, t.not_wrong),
            share(t.close, judged),
            t.none
        );
    }
    out.push('\n');
}
