//! How often 95 % intervals hold the truth: in forty simulated flights here, and in the four hundred of `docs/intervals.md`.
//! Nine times in ten is asked of all but the figures listed, which are known to be too sure.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use rayon::prelude::*;
use stillprop::briefing;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};

use super::truth::goals::least_inside;
use super::truth::rows::Score;
use super::truth::scoring::score;
use super::truth::simulator::record;
use super::truth::summary::lines;

/// The goal: an interval holds the truth at least so often.
const GOAL: f64 = 0.90;

/// Figures whose intervals are known to be too narrow, the share that they hold at least, and why.
/// Nothing may be added here without a cause that was found; what is held again is to be taken out.
const TOO_NARROW: [(&str, f64, &str); 14] = [
    (
        "settling_height_lost_ft",
        0.75,
        "follows the instant from which best glide was held, a choice between few",
    ),
    (
        "glide_cas_sd_kt",
        0.55,
        "gusts are drawn with one correlation time; slow recorders show too little of them",
    ),
    ("glide_cas_min_kt", 0.65, "extremes follow the gusts"),
    ("glide_cas_max_kt", 0.75, "extremes follow the gusts"),
    (
        "bank_max_deg",
        0.70,
        "an extreme, seen through a slow recorder",
    ),
    (
        "overhead_time_s",
        0.70,
        "which of several passes counts is chosen once",
    ),
    (
        "base_turn_time_s",
        0.70,
        "where a turn begins is a limit of bank, not an event",
    ),
    (
        "final_cas_mean_kt",
        0.80,
        "flap changes drag and speed on final",
    ),
    ("final_cas_sd_kt", 0.60, "as glide_cas_sd_kt"),
    (
        "touchdown_time_s",
        0.75,
        "bounces and long floats are taken for the touchdown",
    ),
    ("touchdown_along_ft", 0.75, "as touchdown_time_s"),
    ("touchdown_ground_speed_kt", 0.75, "as touchdown_time_s"),
    ("touchdown_cas_kt", 0.70, "as touchdown_time_s"),
    (
        "float_distance_ft",
        0.65,
        "as touchdown_time_s, and the start of the flare is soft",
    ),
];

fn known_floor(figure: &str) -> Option<f64> {
    TOO_NARROW
        .iter()
        .find(|(name, ..)| *name == figure)
        .map(|(_, floor, _)| *floor)
}

#[test]
fn forty_simulated_flights() {
    let scores: Vec<Score> = (1..=40u64)
        .into_par_iter()
        .map(|seed| {
            let r = record(seed);
            let recording = read(&r.bytes, &r.file_name, &ReadOptions::default()).unwrap();
            let notes = briefing::parse(&r.briefing, "briefing.toml").unwrap();
            let debrief = debrief(&recording, &notes, "", &Options::default()).unwrap();
            score(&r, &serde_json::to_value(&debrief).unwrap(), seed)
        })
        .collect();
    let count = |of: fn(&Score) -> usize| scores.iter().map(of).sum::<usize>();
    let (findable, missed, none) = (
        count(|s| s.findable),
        count(|s| s.missed),
        count(|s| s.false_ones),
    );
    assert!(findable > 60, "{findable} attempts");
    assert!(
        50 * missed <= findable && 50 * none <= findable,
        "{missed} missed, {none} false, of {findable}"
    );
    let mut judged = 0;
    for line in lines(scores.iter()) {
        let inside = (line.cover * line.n as f64).round() as usize;
        let floor = known_floor(line.figure).unwrap_or(GOAL);
        println!(
            "{} {inside} of {} sharp {:.2}",
            line.figure, line.n, line.sharp
        );
        // series: instants of a few flights, not independent
        if line.n >= 15 && !line.figure.starts_with("series") {
            judged += 1;
            assert!(
                inside >= least_inside(line.n, floor),
                "{}: {inside} of {} inside",
                line.figure,
                line.n
            );
        }
    }
    assert!(judged > 20, "{judged} figures");
}

/// Figures of the table of all recorders: count, share inside, verdict.
fn page() -> BTreeMap<String, (usize, f64, String)> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/intervals.md");
    let text = fs::read_to_string(path).unwrap();
    let (_, after) = text.split_once("## Recorders: all (").unwrap();
    let (flights, table) = after.split_once(')').unwrap();
    assert!(
        flights.parse::<usize>().unwrap() >= 400,
        "{flights} flights"
    );
    table
        .lines()
        .take_while(|line| !line.starts_with("## "))
        .filter(|line| line.starts_with("| ") && !line.starts_with("| figure"))
        .map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let number = |i: usize| cells[i].parse::<f64>().unwrap_or(f64::NAN);
            (
                cells[0].to_owned(),
                (number(2) as usize, number(5), cells[9].to_owned()),
            )
        })
        .collect()
}

#[test]
fn the_page_of_four_hundred_flights() {
    let page = page();
    assert!(page.len() > 35, "{} figures", page.len());
    let mut held = 0;
    for (figure, (n, cover, verdict)) in &page {
        let inside = (cover * *n as f64).round() as usize;
        match (known_floor(figure), verdict.as_str()) {
            (_, "yes" | "by chance" | "too wide") => held += 1,
            (Some(floor), "too narrow") => {
                assert!(inside >= least_inside(*n, floor), "{figure}: {cover}");
            }
            // instants of one flight stand together, so that chance allows more than their number says
            (None, "too narrow") if figure.starts_with("series") => {
                assert!(*cover > GOAL - 0.03, "{figure}: {cover}");
            }
            _ => panic!("{figure}: {verdict}, {cover} of {n}"),
        }
    }
    assert!(3 * held > 2 * page.len(), "{held} of {} held", page.len());
}

#[test]
fn every_figure_known_as_too_narrow_is_on_the_page() {
    let page = page();
    for (figure, floor, why) in TOO_NARROW {
        assert!(page.contains_key(figure), "{figure}");
        assert!(floor < GOAL && !why.is_empty());
    }
}
