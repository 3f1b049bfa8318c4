//! The page about accuracy: every figure, by class of recorder.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::classes::ALL;
use crate::truth::goals::{Judged, On, judge, least_inside};
use crate::truth::rows::Score;
use crate::truth::summary::{Line, lines};

const ABOUT_INTERVALS: &str = "\
# Intervals

Written by `cargo bench --bench accuracy -- --seeds SEEDS --page`; not by hand. One flight for each of
SEEDS seeds of the simulator in `tests/truth`, whose physics shares nothing with the program, was debriefed
and held against what was flown. A 95 % interval should hold the truth 19 times in 20; the goal is
between 90 and 99 times in 100. [accuracy.md](accuracy.md) has flights of another simulator.

- **n**, **not measured**, **rms**, **cover**, **sharp**: as there. **below**, **above**: share of the truths
  below the interval, and above it.
- **held**: *yes* where cover is from 0.90 to 0.99; *too narrow* or *too wide* where it is outside of that by
  more than chance explains (one row in forty each way); *by chance* where it is outside by no more than that.
";

type ByClass<'a> = BTreeMap<String, Vec<&'a Score>>;

const INTRODUCTION: &str = "\
# Accuracy

Written by `cargo bench --bench accuracy -- --reference`; not by hand. What the figures come from:
every recording in [`tests/reference-flights/`](../tests/reference-flights/README.md) debriefed with
the briefing beside it and held against what was flown. The flights were simulated with the JSBSim
flight dynamics library; real receivers, air and pilots may do worse. Other flights of other
aeroplanes will give other numbers, the more so the fewer there are of a class.

How to read a table:

- **n**: figures held against a truth; **not measured**: truths for which the program gave a reason
  in place of a figure.
- **bias, median, p95, rms** of the error, which is what the program says less what was flown: its
  mean, the median and the 95 % point of its size, its root mean square. Unit of the figure; per cent
  of the truth for rates and ratios.
- **cover**: share of the truths inside the 95 % interval. **sharp**: mean half-width of the interval
  over 1.96 rms; 1 is just what the errors need.
- **goal**: greatest median or rms. **met**: *yes*; *error* where it is greater; *interval* where the
  truth is outside more often than chance allows (one table row in forty), or sharp is above 1.6.

The goal of the touchdown along is stricter at 5 Hz and more, a median of 25 ft; the goal of the height
abeam is meant for recordings with a stretch on the ground in them. Both are judged here as for all.

Averages over the glide are held against the truth over the same window. Times are held against the
truth after the mean lateness of the recorder's stamps, which no track can show.

Classes of recorders: by nominal rate, and by what was recorded beside position and altitude: *velocity*
is speed and course, *engine channel* engine speed or noise, *airspeed* true or indicated airspeed.
Several recorders were on one flight, so the rows are not independent. Where few recordings stand
behind a class (the first table says how many), it shows the flights they were on more than the
recorders.
";

/// The page.
pub fn page(by_class: &ByClass<'_>, rates: &[String], channels: &[String]) -> String {
    let all = [ALL.to_owned()];
    let there = |name: &&String| by_class.contains_key(*name);
    let names: Vec<&String> = all
        .iter()
        .chain(rates)
        .chain(channels)
        .filter(there)
        .collect();
    let mut out = INTRODUCTION.to_owned();
    out += "\n## Attempts\n\n| recorders | recordings | attempts | missed | false |\n|---|---|---|---|---|\n";
    for name in &names {
        let scores = scores(by_class, name);
        let count = |of: fn(&Score) -> usize| scores.iter().map(|s| of(s)).sum::<usize>();
        let _ = writeln!(
            out,
            "| {name} | {} | {} | {} | {} |",
            scores.len(),
            count(|s| s.findable),
            count(|s| s.missed),
            count(|s| s.false_ones)
        );
    }
    out += "\n## In short\n\nMedian or rms of the error, whichever the goal is about. `*` is beyond the goal; `°` is an interval\nthat holds the truth too seldom or is too wide.\n";
    for columns in [
        all.iter().chain(rates).collect::<Vec<_>>(),
        channels.iter().filter(there).collect(),
    ] {
        in_short(&mut out, by_class, &columns);
    }
    for name in names {
        let _ = write!(out, "\n## Recorders: {name}\n\n");
        in_full(&mut out, &lines(scores(by_class, name).iter().copied()));
    }
    out
}

/// The page about intervals over that many simulated flights.
pub fn intervals(seeds: u64, by_class: &ByClass<'_>, rates: &[String]) -> String {
    let mut out = ABOUT_INTERVALS.replace("SEEDS", &seeds.to_string());
    for name in [ALL.to_owned()].iter().chain(rates) {
        let scores = scores(by_class, name);
        let _ = write!(out, "\n## Recorders: {name} ({})\n\n", scores.len());
        out += "| figure | unit | n | not measured | rms | cover | below | above | sharp | held |\n|---|---|---|---|---|---|---|---|---|---|\n";
        for line in lines(scores.iter().copied()) {
            let (below, above) = line.outside;
            let cells = [line.rms, line.cover, below, above, line.sharp];
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} |",
                line.figure,
                line.unit,
                line.n,
                line.none,
                cells.map(number).join(" | "),
                held(&line)
            );
        }
    }
    out
}

/// Whether the intervals hold the truth as often as they shall.
fn held(line: &Line) -> &'static str {
    let inside = (line.cover * line.n as f64).round() as usize;
    match line.cover {
        cover if cover.is_nan() => "–",
        cover if (0.90..=0.99).contains(&cover) => "yes",
        cover if cover < 0.90 && inside < least_inside(line.n, 0.90) => "too narrow",
        // fewer outside than chance leaves where one in a hundred is
        cover if cover > 0.99 && line.n - inside < least_inside(line.n, 0.01) => "too wide",
        _ => "by chance",
    }
}

/// Two decimals, or a dash where there is no number.
fn number(value: f64) -> String {
    match format!("{value:.2}").as_str() {
        "-0.00" => "0.00".to_owned(),
        text if value.is_finite() => text.to_owned(),
        _ => "–".to_owned(),
    }
}

fn scores<'a, 'b>(by_class: &'a ByClass<'b>, name: &str) -> &'a [&'b Score] {
    by_class.get(name).map_or(&[], Vec::as_slice)
}

/// Figures down, classes across.
fn in_short(out: &mut String, by_class: &ByClass<'_>, columns: &[&String]) {
    let tables: Vec<Vec<Line>> = columns
        .iter()
        .map(|name| lines(scores(by_class, name).iter().copied()))
        .collect();
    let _ = write!(out, "\n| figure | goal |");
    for name in columns {
        let _ = write!(out, " {name} |");
    }
    let _ = writeln!(out, "\n|---|---|{}", "---|".repeat(columns.len()));
    for line in lines(scores(by_class, ALL).iter().copied()) {
        let Some(judged) = judge(&line) else { continue };
        let _ = write!(out, "| {} | {} |", line.figure, goal(&judged, line.unit));
        for table in &tables {
            let there = table.iter().find(|l| l.figure == line.figure);
            let cell = there.and_then(judge).map_or("–".to_owned(), |judged| {
                let error = if judged.error_met { "" } else { "*" };
                let interval = if judged.interval_met { "" } else { "°" };
                format!("{:.2}{error}{interval}", judged.value)
            });
            let _ = write!(out, " {cell} |");
        }
        out.push('\n');
    }
}

/// Everything about one class.
fn in_full(out: &mut String, lines: &[Line]) {
    *out += "| figure | unit | n | not measured | bias | median | p95 | rms | cover | sharp | goal | met |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n";
    for line in lines {
        let judged = judge(line);
        let cells = [
            line.bias,
            line.median,
            line.p95,
            line.rms,
            line.cover,
            line.sharp,
        ];
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} | {} |",
            line.figure,
            line.unit,
            line.n,
            line.none,
            cells.map(number).join(" | "),
            judged.map_or("–".to_owned(), |j| goal(&j, line.unit)),
            judged.map_or("–", |j| met(&j)),
        );
    }
}

fn goal(judged: &Judged, unit: &str) -> String {
    let on = match judged.on {
        On::Median => "median",
        On::Rms => "rms",
    };
    format!("{on} {} {unit}", judged.limit)
        .trim_end()
        .to_owned()
}

fn met(judged: &Judged) -> &'static str {
    match (judged.error_met, judged.interval_met) {
        (true, true) => "yes",
        (false, true) => "error",
        (true, false) => "interval",
        (false, false) => "error, interval",
    }
}
