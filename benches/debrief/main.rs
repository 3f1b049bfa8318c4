//! How long a debrief takes and how much memory, from the bytes of the recording to the text of the reports.
//!
//! ```text
//! cargo bench --bench debrief             # all of it; some minutes
//! cargo bench --bench debrief -- parts    # where the time goes
//! cargo bench --bench debrief -- length   # time and memory of recordings with and without attempts
//! cargo bench --bench debrief -- scaling  # time and memory against the number of fixes, to a million;
//!                                         # with --picture also docs/pictures/scaling.svg
//! cargo bench --bench debrief -- batch    # one-hour flights on one core and on two
//! ```
//!
//! Times are processor time, where the kernel tells it (Linux; else time by the clock): other work on the machine does
//! not count. Each case is gone over several times and the least counts. Memory is the most that a process of its own
//! took for one recording, as the kernel counts it.

#![allow(clippy::print_stdout, reason = "the table is the result")]

mod flights;
mod scaling;

use std::hint::black_box;
use std::process::Command;
use std::time::{Duration, Instant};

use flights::{Asked, BRIEFING, gpx};
use rayon::prelude::*;
use scaling::Measured;
use stillprop::briefing::{self, Briefing};
use stillprop::cleaning::{CleanTrack, clean};
use stillprop::debrief::{Debrief, Options, debrief, debrief_among};
use stillprop::flight_path::{self, Setting};
use stillprop::reading::{ReadOptions, Recording, read};
use stillprop::report::{SheetOptions, document_json, page_html, sheet_svg};

/// How long each case is gone over.
const TIME_PER_CASE: Duration = Duration::from_secs(3);
/// The recording that is taken apart.
const TWO_HOURS: Asked = Asked {
    hours: 2.0,
    rate_hz: 1.0,
    circuits: 1,
};
/// Names a case for a process of its own.
const ALONE: &str = "--alone";
/// Has the drawing written.
const PICTURE: &str = "--picture";

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let Some(at) = arguments.iter().position(|a| a == ALONE) {
        alone(&arguments[at + 1..]);
        return;
    }
    let asked = |part: &str| {
        let named: Vec<&String> = arguments.iter().filter(|a| !a.starts_with('-')).collect();
        named.is_empty() || named.iter().any(|a| *a == part)
    };
    if asked("parts") {
        parts();
    }
    if asked("length") {
        length();
    }
    if asked("scaling") {
        scaling(arguments.iter().any(|a| a == PICTURE));
    }
    if asked("batch") {
        batch();
    }
}

fn the_briefing() -> Briefing {
    briefing::parse(BRIEFING, "bench").expect("the sample briefing can be read")
}

fn recording(bytes: &[u8]) -> Recording {
    read(bytes, "bench.gpx", &ReadOptions::default()).expect("the recording can be read")
}

fn document(recording: &Recording) -> Debrief {
    debrief(recording, &the_briefing(), "", &Options::default()).expect("it can be debriefed")
}

/// The same as the program does it: the recording is let go on the way.
fn document_alone(recording: Recording) -> Debrief {
    debrief_among(recording, &the_briefing(), "", &Options::default(), None)
        .expect("it can be debriefed")
}

/// Letters of all reports.
fn reports(debrief: &Debrief) -> usize {
    let sheets = (0..debrief.attempts.len().max(1))
        .map(|i| sheet_svg(debrief, i, &SheetOptions::default()).len())
        .sum::<usize>();
    sheets + page_html(debrief).len() + document_json(debrief).len()
}

/// Processor time of this process so far, threads that ended too, s: user and system time in hundredths of a second.
fn spent_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    // the name of the program, in brackets, may hold anything
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let ticks = |i: usize| fields.get(i)?.parse::<f64>().ok();
    Some(0.01 * (ticks(11)? + ticks(12)?))
}

/// From the bytes to the reports.
fn whole(bytes: &[u8]) -> usize {
    reports(&document_alone(recording(bytes)))
}

/// Least time of several, s. Short work is done many times in a row: the kernel counts in steps of some milliseconds.
fn least_s<T>(mut work: impl FnMut() -> T) -> f64 {
    let begun = Instant::now();
    black_box(work());
    let in_a_row = (0.2 / begun.elapsed().as_secs_f64()).ceil().clamp(1.0, 1e4);
    let mut least = f64::INFINITY;
    let mut rounds = 0;
    while rounds < 2 || begun.elapsed() < TIME_PER_CASE {
        let watch = Watch::start();
        for _ in 0..in_a_row as usize {
            black_box(work());
        }
        least = least.min(watch.seconds() / in_a_row);
        rounds += 1;
    }
    least
}

/// Processor time of all threads of this process, or the clock's where that is not told.
struct Watch {
    processor_s: Option<f64>,
    clock: Instant,
}

impl Watch {
    fn start() -> Self {
        Watch {
            processor_s: processor_s(),
            clock: Instant::now(),
        }
    }

    fn seconds(&self) -> f64 {
        match (self.processor_s, processor_s()) {
            (Some(before), Some(now)) => now - before,
            _ => self.clock.elapsed().as_secs_f64(),
        }
    }
}

/// Processor time of the threads there are now, s.
fn processor_s() -> Option<f64> {
    let mut nanoseconds = 0.0;
    for task in std::fs::read_dir("/proc/self/task").ok()? {
        let text = std::fs::read_to_string(task.ok()?.path().join("schedstat")).ok()?;
        nanoseconds += text.split_whitespace().next()?.parse::<f64>().ok()?;
    }
    Some(1e-9 * nanoseconds)
}

fn milliseconds(seconds: f64) -> String {
    format!("{:.1} ms", 1e3 * seconds)
}

fn smoothed(track: &CleanTrack, recording: &Recording) -> usize {
    let setting = Setting::new(track, &the_briefing(), recording.format, None)
        .expect("the briefing fits the recording");
    flight_path::estimate(track, &setting).mean.points.len()
}

/// Two hours at 1 Hz, part by part.
fn parts() {
    let cases = [0, 1].map(|circuits| {
        let bytes = gpx(Asked {
            circuits,
            ..TWO_HOURS
        });
        let recording = recording(bytes.as_bytes());
        let debrief = document(&recording);
        (bytes, recording, debrief)
    });
    let attempts = cases[1].2.attempts.len();
    println!(
        "| two hours at 1 Hz | no attempt | {attempts} attempts | each attempt |\n|---|---|---|---|"
    );
    let row = |name: &str, of: &dyn Fn(&(String, Recording, Debrief)) -> f64| {
        let [none, some] = [of(&cases[0]), of(&cases[1])];
        println!(
            "| {name} | {} | {} | {} |",
            milliseconds(none),
            milliseconds(some),
            milliseconds((some - none) / attempts as f64)
        );
    };
    row("reading", &|c| least_s(|| read_only(&c.0)));
    row("cleaning", &|c| least_s(|| clean(&c.1)));
    row("path of the whole recording", &|c| {
        let track = clean(&c.1).expect("it can be cleaned");
        least_s(|| smoothed(&track, &c.1))
    });
    row("document, from the recording", &|c| {
        least_s(|| document(&c.1))
    });
    row("sheets, page and JSON, from the document", &|c| {
        least_s(|| reports(&c.2))
    });
    row("all, from the bytes", &|c| {
        least_s(|| whole(c.0.as_bytes()))
    });
    println!();
}

fn read_only(text: &str) -> usize {
    recording(text.as_bytes()).fixes.len()
}

/// Time and memory against length, each case in a process of its own.
fn length() {
    println!(
        "| recording | fixes | attempts | size | time | for each fix | most memory |\n|---|---|---|---|---|---|---|"
    );
    let cruise = |hours: f64, rate_hz: f64| Asked {
        hours,
        rate_hz,
        circuits: 0,
    };
    let cases = [
        cruise(1.0, 1.0),
        cruise(10.0, 1.0),
        cruise(1.0, 10.0),
        cruise(10.0, 10.0),
        TWO_HOURS,
        Asked {
            circuits: 4,
            ..TWO_HOURS
        },
        Asked {
            hours: 5.0,
            rate_hz: 10.0,
            circuits: 1,
        },
        Asked {
            hours: 5.0,
            rate_hz: 10.0,
            circuits: 4,
        },
    ];
    for case in cases {
        let told = in_a_process(case);
        let Some(m) = Told::read(&told) else {
            println!("{told}");
            continue;
        };
        println!(
            "| {} h at {} Hz | {} | {} | {:.1} MB | {} | {:.2} µs | {} |",
            case.hours,
            case.rate_hz,
            m.measured.fixes,
            m.attempts,
            m.measured.megabytes,
            milliseconds(m.measured.seconds),
            1e6 * m.measured.seconds / m.measured.fixes,
            memory(&m.measured)
        );
    }
    println!();
}

/// Time and memory against the number of fixes: cruise of one to 23 hours, without an attempt.
fn scaling(picture: bool) {
    println!(
        "| rate | fixes | size | time | for each fix | most memory |\n|---|---|---|---|---|---|"
    );
    let mut rates = Vec::new();
    for (rate_hz, counts) in [
        (1.0, &[3_600.0, 10_000.0, 36_000.0, 86_000.0][..]),
        (
            12.0,
            &[10_000.0, 36_000.0, 100_000.0, 360_000.0, 1_000_000.0],
        ),
    ] {
        let mut all = Vec::new();
        for count in counts {
            let told = in_a_process(Asked {
                hours: count / rate_hz / 3600.0,
                rate_hz,
                circuits: 0,
            });
            let Some(m) = Told::read(&told) else {
                println!("{told}");
                continue;
            };
            let m = m.measured;
            println!(
                "| {rate_hz} Hz | {} | {:.1} MB | {} | {:.2} µs | {} |",
                m.fixes,
                m.megabytes,
                milliseconds(m.seconds),
                1e6 * m.seconds / m.fixes,
                memory(&m)
            );
            all.push(m);
        }
        println!(
            "| {rate_hz} Hz | | | grows with the power {:.2} of the fixes | | |",
            scaling::exponent(&all)
        );
        rates.push(all);
    }
    println!();
    if picture {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/pictures/scaling.svg");
        std::fs::write(&path, scaling::svg(&rates)).expect("the drawing can be written");
        println!("wrote {}", path.display());
    }
}

fn memory(m: &Measured) -> String {
    m.memory_mb
        .map_or_else(|| "not measured".to_owned(), |mb| format!("{mb:.0} MB"))
}

/// What a process of its own says of one case.
fn in_a_process(case: Asked) -> String {
    let program = std::env::current_exe().expect("the bench knows its own file");
    let told = Command::new(program)
        .arg(ALONE)
        .args([case.hours, case.rate_hz, case.circuits as f64].map(|v| v.to_string()))
        .output()
        .expect("the bench can be started again");
    String::from_utf8_lossy(&told.stdout).into_owned() + &String::from_utf8_lossy(&told.stderr)
}

/// One case as it was measured.
struct Told {
    attempts: usize,
    measured: Measured,
}

impl Told {
    /// From the line that [`alone`] prints.
    fn read(line: &str) -> Option<Self> {
        let words: Vec<&str> = line.split_whitespace().collect();
        let number = |i: usize| words.get(i)?.parse::<f64>().ok();
        Some(Told {
            attempts: words.first()?.parse().ok()?,
            measured: Measured {
                rate_hz: number(1)?,
                fixes: number(2)?,
                megabytes: number(3)?,
                seconds: number(4)?,
                memory_mb: number(5),
            },
        })
    }
}

/// One case, told as numbers in a line.
fn alone(arguments: &[String]) {
    let number = |i: usize| arguments.get(i).and_then(|a| a.parse::<f64>().ok());
    let (Some(hours), Some(rate_hz), Some(circuits)) = (number(0), number(1), number(2)) else {
        return;
    };
    let asked = Asked {
        hours,
        rate_hz,
        circuits: circuits as usize,
    };
    let bytes = gpx(asked);
    forget_peak();
    let watch = Watch::start();
    let debrief = document_alone(recording(bytes.as_bytes()));
    let fixes = debrief.recording.fixes;
    black_box(reports(&debrief));
    let first_s = watch.seconds();
    let memory = peak_mb().map_or_else(|| "-".to_owned(), |mb| mb.to_string());
    // short ones again, for the least time
    let seconds = if first_s < 2.0 {
        first_s.min(least_s(|| whole(bytes.as_bytes())))
    } else {
        first_s
    };
    println!(
        "{} {rate_hz} {fixes} {} {seconds} {memory}",
        debrief.attempts.len(),
        bytes.len() as f64 / 1e6
    );
}

/// Has the kernel count the peak from now on: making the recording is not the debrief's.
fn forget_peak() {
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}

/// Most memory this process ever held, MB; the bytes of the recording are in it. Linux only.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(1.024e-3 * kilobytes)
}

/// Flights of the batch.
const FLIGHTS: usize = 60;

/// One-hour flights, one after the other and two at a time.
fn batch() {
    println!("| {FLIGHTS} one-hour flights at 1 Hz | one core | two cores |\n|---|---|---|");
    for circuits in [0, 1] {
        let bytes = gpx(Asked {
            hours: 1.0,
            rate_hz: 1.0,
            circuits,
        });
        let attempts = document(&recording(bytes.as_bytes())).attempts.len();
        let rates = [1, 2].map(|cores| {
            let pool = rayon::ThreadPoolBuilder::new()
                .num_threads(cores)
                .build()
                .expect("threads");
            let (before_s, clock) = (spent_s(), Instant::now());
            pool.install(|| {
                (0..FLIGHTS).into_par_iter().for_each(|_| {
                    black_box(whole(bytes.as_bytes()));
                });
            });
            let clock_s = clock.elapsed().as_secs_f64();
            let spent = before_s.zip(spent_s()).map(|(before, now)| now - before);
            [spent.unwrap_or(f64::NAN), clock_s].map(|s| FLIGHTS as f64 / s)
        });
        println!(
            "| {attempts} attempts in each | {:.1} a second of processor time, {:.1} by the clock | {:.1}, {:.1} |",
            rates[0][0], rates[0][1], rates[1][0], rates[1][1]
        );
    }
    println!();
}
