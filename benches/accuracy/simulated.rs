//! Flights of the simulator in `tests/truth`, debriefed and scored.

use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::path::Path;

use rayon::prelude::*;

use crate::truth::rows::{Row, Score};
use crate::truth::scoring::score;
use crate::truth::simulator::{self, Recorded};
use crate::truth::summary::lines;
use crate::{classes, debriefed, page, write};

/// One flight with its score and the classes of its recorder.
struct Scored {
    recorded: Recorded,
    score: Score,
    classes: Vec<String>,
}

/// Scores flights; writes the page about intervals, or shows the same as text.
pub fn run(seeds: Range<u64>, as_page: bool, missed: bool, worst: &[&str]) {
    let count = seeds.end - seeds.start;
    let scored: Vec<Scored> = seeds.into_par_iter().filter_map(one).collect();
    let mut by_class: BTreeMap<String, Vec<&Score>> = BTreeMap::new();
    for one in &scored {
        for class in &one.classes {
            by_class.entry(class.clone()).or_default().push(&one.score);
        }
    }
    let rates = classes::by_rate(scored.iter().map(|one| one.recorded.receiver.rate_hz));
    if as_page {
        write("intervals.md", &page::intervals(count, &by_class, &rates));
    } else {
        let all = [classes::ALL.to_owned()];
        for name in all.iter().chain(&rates).chain(&classes::by_channel()) {
            show(name, by_class.get(name).map_or(&[], Vec::as_slice));
        }
    }
    for figure in worst {
        show_worst(&scored, figure);
    }
    for one in scored.iter().filter(|_| missed) {
        let (lost, none) = (one.score.missed, one.score.false_ones);
        if lost + none > 0 {
            println!(
                "{}: {lost} missed, {none} false, {:?}",
                one.recorded.file_name, one.recorded.flight.attempts
            );
        }
    }
}

fn one(seed: u64) -> Option<Scored> {
    let recorded = simulator::record(seed);
    match document(&recorded) {
        Ok(document) => Some(Scored {
            score: score(&recorded, &document, seed),
            classes: classes::of(recorded.receiver.rate_hz, &document),
            recorded,
        }),
        Err(problem) => {
            eprintln!("{}: {problem}", recorded.file_name);
            None
        }
    }
}

fn document(recorded: &Recorded) -> Result<serde_json::Value, String> {
    debriefed(&recorded.bytes, &recorded.file_name, &recorded.briefing)
}

fn show(name: &str, scores: &[&Score]) {
    let count = |of: fn(&Score) -> usize| scores.iter().map(|s| of(s)).sum::<usize>();
    println!(
        "\n{name}: {} recordings, {} attempts, {} missed, {} false",
        scores.len(),
        count(|s| s.findable),
        count(|s| s.missed),
        count(|s| s.false_ones)
    );
    println!(
        "{:38} {:>6} {:>5} {:>8} {:>8} {:>8} {:>8} {:>6} {:>6}  {:>5} {:>5}",
        "figure",
        "n",
        "none",
        "bias",
        "med|e|",
        "p95|e|",
        "rms",
        "cover",
        "sharp",
        "below",
        "above"
    );
    for l in lines(scores.iter().copied()) {
        println!(
            "{:38} {:6} {:5} {:8.2} {:8.2} {:8.2} {:8.2} {:6.3} {:6.2}  {:5.3} {:5.3}",
            format!("{} [{}]", l.figure, l.unit),
            l.n,
            l.none,
            l.bias,
            l.median,
            l.p95,
            l.rms,
            l.cover,
            l.sharp,
            l.outside.0,
            l.outside.1
        );
    }
}

fn show_worst(scored: &[Scored], figure: &str) {
    let mut rows: Vec<(&Row, &Recorded)> = scored
        .iter()
        .flat_map(|one| one.score.rows.iter().map(|row| (row, &one.recorded)))
        .filter(|(row, _)| row.figure == figure)
        .collect();
    rows.sort_by(|a, b| b.0.error.abs().total_cmp(&a.0.error.abs()));
    println!();
    for (row, recorded) in rows.iter().take(12) {
        println!(
            "{figure} seed {} error {:.2} [{:.2}, {:.2}] {:?}",
            row.seed, row.error, row.low, row.high, recorded.receiver
        );
    }
}

/// Writes recordings and briefings, for the program itself.
pub fn dump(seeds: Range<u64>, folder: &Path) {
    for seed in seeds {
        let recorded = simulator::record(seed);
        let path = folder.join(&recorded.file_name);
        let written = fs::write(&path, &recorded.bytes)
            .and_then(|()| fs::write(path.with_extension("briefing.toml"), &recorded.briefing));
        match written {
            Ok(()) => println!("{seed} {} {:?}", path.display(), recorded.flight.attempts),
            Err(problem) => eprintln!("{}: {problem}", path.display()),
        }
    }
}

/// Tells what was flown, what was found and which figures are outside their intervals.
pub fn explain(seed: u64) {
    let r = simulator::record(seed);
    println!("{seed}: {:?}", r.receiver);
    for e in &r.flight.attempts {
        println!(
            "  truth {:?} {:.0} ft",
            e,
            r.flight.height_ft(e.reduction_s())
        );
    }
    let Ok(d) = document(&r) else { return };
    let clock = r.flight.plan.start_utc_s + r.stamp_shift_s;
    println!(
        "  height reference {} warnings {}",
        d["height_reference"], d["warnings"]
    );
    for a in d["attempts"].as_array().into_iter().flatten() {
        println!(
            "  found {} {} from {} to {} {}",
            a["ending"],
            a["confidence"],
            a["key_points"][0]["utc"]["value"],
            a["steady_glide"],
            a["remarks"]
        );
    }
    for a in d["not_attempts"].as_array().into_iter().flatten() {
        let t = a["utc"]
            .as_str()
            .and_then(|t| t.parse::<jiff::Timestamp>().ok())
            .map_or(0.0, |t| t.as_millisecond() as f64 / 1000.0);
        println!(
            "  rejected {:.1} {} {}",
            t - clock,
            a["confidence"],
            a["reason"]
        );
    }
    for row in score(&r, &d, seed).rows {
        if (row.low > 0.0 || row.high < 0.0) && !row.figure.starts_with("series") {
            println!(
                "  outside {:30} {:9.2} [{:.2}, {:.2}]",
                row.figure, row.error, row.low, row.high
            );
        }
    }
}
