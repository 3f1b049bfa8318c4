//! How accurate the figures are, and whether their intervals hold the truth.
//!
//! ```text
//! cargo bench --bench accuracy -- --seeds 400     # flights of the simulator in `tests/truth`
//! cargo bench --bench accuracy -- --reference     # the reference flights; writes docs/accuracy.md
//! ```

#![allow(clippy::print_stdout, clippy::print_stderr)]
#![allow(
    dead_code,
    unreachable_pub,
    clippy::pedantic,
    reason = "the simulator is shared with tests, which use other parts of it"
)]

#[path = "../../tests/truth/mod.rs"]
mod truth;

mod classes;
mod page;
mod reference;

use rayon::prelude::*;
use truth::rows::Score;
use truth::scoring::score;
use truth::simulator::{self, Recorded};
use truth::summary::lines;

use stillprop::briefing;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};
use stillprop::report::document_json;

fn run(seed: u64) -> (Recorded, Result<Score, String>) {
    let recorded = simulator::record(seed);
    let result = document(&recorded).map(|d| score(&recorded, &d, seed));
    (recorded, result)
}

fn document(recorded: &Recorded) -> Result<serde_json::Value, String> {
    debriefed(&recorded.bytes, &recorded.file_name, &recorded.briefing)
}

/// What the program says about a recording, as it would write it.
fn debriefed(bytes: &[u8], file_name: &str, briefing: &str) -> Result<serde_json::Value, String> {
    let recording = read(bytes, file_name, &ReadOptions::default()).map_err(|e| e.to_string())?;
    let briefing = briefing::parse(briefing, file_name).map_err(|e| e.to_string())?;
    let debrief =
        debrief(&recording, &briefing, "", &Options::default()).map_err(|e| e.to_string())?;
    serde_json::from_str(&document_json(&debrief)).map_err(|e| e.to_string())
}

fn explain(seed: u64) {
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

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let value = |name: &str| {
        arguments
            .iter()
            .position(|a| a == name)
            .and_then(|i| arguments.get(i + 1))
    };
    if arguments.iter().any(|a| a == "--reference") {
        let worst = value("--worst").map_or("", |v| v.as_str());
        return reference::run(value("--only").map(String::as_str), worst);
    }
    let seeds: u64 = value("--seeds").and_then(|v| v.parse().ok()).unwrap_or(40);
    let first: u64 = value("--first").and_then(|v| v.parse().ok()).unwrap_or(1);
    if let Some(folder) = value("--dump") {
        for seed in first..first + seeds {
            let r = simulator::record(seed);
            let path = std::path::Path::new(folder).join(&r.file_name);
            std::fs::write(&path, &r.bytes).expect("the folder exists");
            std::fs::write(path.with_extension("briefing.toml"), &r.briefing)
                .expect("the folder exists");
            println!(
                "{seed} {:.0} s {:?}",
                r.flight.samples.len() as f64 * 0.05,
                r.flight.attempts
            );
        }
        return;
    }
    if let Some(list) = value("--explain") {
        for seed in list.split(',').filter_map(|s| s.parse().ok()) {
            explain(seed);
        }
        return;
    }
    let all: Vec<(Recorded, Result<Score, String>)> =
        (first..first + seeds).into_par_iter().map(run).collect();
    let mut groups: Vec<(String, Vec<&Score>)> = vec![("all".into(), Vec::new())];
    for (recorded, result) in &all {
        match result {
            Err(problem) => println!("{}: {problem}", recorded.file_name),
            Ok(score) => {
                let r = &recorded.receiver;
                let names = [
                    "all".to_string(),
                    if r.rate_hz < 0.9 {
                        "below 1 Hz".into()
                    } else if r.rate_hz < 3.0 {
                        "1 and 2 Hz".into()
                    } else {
                        "5 and 10 Hz".into()
                    },
                    if r.has_velocity {
                        "with velocity".into()
                    } else {
                        "without velocity".into()
                    },
                    if r.airspeed.is_some() {
                        "with airspeed".into()
                    } else {
                        "without airspeed".into()
                    },
                ];
                for name in names {
                    match groups.iter_mut().find(|g| g.0 == name) {
                        Some(g) => g.1.push(score),
                        None => groups.push((name, vec![score])),
                    }
                }
            }
        }
    }
    for (name, scores) in &groups {
        let count = |f: &dyn Fn(&Score) -> usize| scores.iter().map(|s| f(s)).sum::<usize>();
        println!(
            "\n{name}: {} recordings, {} attempts, {} missed, {} false",
            scores.len(),
            count(&|s| s.findable),
            count(&|s| s.missed),
            count(&|s| s.false_ones)
        );
        println!(
            "{:30} {:>6} {:>5} {:>8} {:>8} {:>8} {:>8} {:>6} {:>6}  {:>5} {:>5}",
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
                "{:30} {:6} {:5} {:8.2} {:8.2} {:8.2} {:8.2} {:6.3} {:6.2}  {:5.3} {:5.3}",
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
    for figure in value("--worst")
        .map_or("", |v| v.as_str())
        .split(',')
        .filter(|f| !f.is_empty())
    {
        let mut rows: Vec<_> = all
            .iter()
            .filter_map(|a| a.1.as_ref().ok())
            .flat_map(|s| &s.rows)
            .filter(|r| r.figure == figure)
            .collect();
        rows.sort_by(|a, b| b.error.abs().total_cmp(&a.error.abs()));
        println!();
        for r in rows.iter().take(12) {
            println!(
                "{figure} seed {} error {:.2} [{:.2}, {:.2}] {:?}",
                r.seed,
                r.error,
                r.low,
                r.high,
                all[(r.seed - first) as usize].0.receiver
            );
        }
    }
    if arguments.iter().any(|a| a == "--missed") {
        for (recorded, result) in &all {
            if let Ok(s) = result
                && (s.missed > 0 || s.false_ones > 0)
            {
                println!(
                    "{}: {} missed, {} false, {:?}",
                    recorded.file_name, s.missed, s.false_ones, recorded.flight.attempts
                );
            }
        }
    }
}
