//! Many flights: a batch on one and two cores, a fleet over 10,000 attempts, a logbook of 1,000,000.
//!
//! `cargo bench --bench flights`. `-- batch`, `-- fleet` or `-- logbook` runs one of them, `-- logbook 100000` with so
//! many attempts. The logbook needs some gigabytes of room in `target`.
//!
//! Times are processor time where the kernel tells it (Linux), with the clock's beside it: on a machine that does other
//! work only the first says something.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench tells what it measured"
)]

use std::env;
use std::fmt;
use std::fs;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use stillprop::briefing::Briefing;
use stillprop::debrief::document::Series;
use stillprop::debrief::{Debrief, Options as DebriefOptions, debrief};
use stillprop::fleet::model::Run;
use stillprop::fleet::{By, Options, analyse};
use stillprop::logbook::{Access, GlideRow, Kept, Logbook, PARQUET_BUILT, Shape, Who};
use stillprop::quantity::Measured;
use stillprop::random::Draws;
use stillprop::reading::{ReadOptions, read};

fn main() {
    let words: Vec<String> = env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let asked = |name: &str| words.is_empty() || words.iter().any(|w| w == name);
    let count = words
        .iter()
        .find_map(|w| w.parse().ok())
        .unwrap_or(1_000_000);
    if asked("batch") {
        batch();
    }
    if asked("fleet") {
        fleet();
    }
    if asked("logbook") {
        logbook(count);
    }
}

/// What something took.
struct Spent {
    processor_s: Option<f64>,
    clock_s: f64,
}

impl Spent {
    fn and(&self, other: &Spent) -> Spent {
        Spent {
            processor_s: self.processor_s.zip(other.processor_s).map(|(a, b)| a + b),
            clock_s: self.clock_s + other.clock_s,
        }
    }
}

impl fmt::Display for Spent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.processor_s {
            Some(s) => write!(
                f,
                "{s:.2} s of processor time, {:.2} s by the clock",
                self.clock_s
            ),
            None => write!(f, "{:.2} s by the clock", self.clock_s),
        }
    }
}

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

    fn spent(&self) -> Spent {
        Spent {
            processor_s: self.processor_s.zip(processor_s()).map(|(a, b)| b - a),
            clock_s: self.clock.elapsed().as_secs_f64(),
        }
    }
}

/// Processor time of this process and of those it started and waited for, s, in hundredths.
fn processor_s() -> Option<f64> {
    let text = fs::read_to_string("/proc/self/stat").ok()?;
    // the name of the program, in brackets, may hold anything
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let ticks = fields.get(11..15)?.iter().map(|t| t.parse::<f64>().ok());
    Some(0.01 * ticks.sum::<Option<f64>>()?)
}

fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/tmp")
        .join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// The 87 reference recordings, to sheets, pages, documents and a logbook.
fn batch() {
    let folder_of_flights = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference-flights");
    // what truth stands beside them is no recording
    let mut flights: Vec<PathBuf> = fs::read_dir(folder_of_flights)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.to_string_lossy();
            let name = name.trim_end_matches(".gz");
            let of_recordings = [".gpx", ".igc", ".csv"];
            of_recordings.iter().any(|end| name.ends_with(end)) && !name.ends_with(".motion.csv")
        })
        .collect();
    flights.sort();
    for threads in ["1", "2"] {
        let out = folder("bench-batch");
        let watch = Watch::start();
        let output = Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .args(["debrief", "--quiet", "--logbook", "l.sqlite"])
            .args(&flights)
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(&out)
            .output()
            .unwrap();
        assert!(matches!(output.status.code(), Some(0 | 3)), "{output:?}");
        let spent = watch.spent();
        let kept = Logbook::open(&out.join("l.sqlite"), Access::Read).unwrap();
        let n = kept.recordings().unwrap().len();
        println!(
            "batch of {n} recordings, {threads} threads: {spent}, {:.1} recordings for each second of processor time",
            n as f64 / spent.processor_s.unwrap_or(f64::NAN)
        );
    }
}

/// 50 airframes with 200 glides each.
fn fleet() {
    let mut draws = Draws::new(1, 1);
    let rows: Vec<GlideRow> = (0..10_000)
        .map(|i| {
            let x2 = (1.0 + 0.05 * draws.normal()).powi(2);
            let turning = 0.2 * draws.uniform();
            let sd = 0.004 + 0.004 * draws.uniform();
            let lost = 0.04 * x2 + 0.065 / x2 + 0.09 * turning + sd * draws.normal();
            let ft = 15_000.0;
            GlideRow {
                attempt: i,
                recording: i / 2,
                utc: format!(
                    "20{:02}-{:02}-{:02}T10:{:02}:00Z",
                    20 + i / 50 / 36,
                    1 + i / 50 / 3 % 12,
                    1 + i / 50 % 3 * 9,
                    i % 50
                ),
                registration: format!("Trainer {}", i % 50),
                kind: None,
                pilot: None,
                confidence: 1.0,
                handbook_best_glide_kcas: Some(70.0),
                best_glide_kcas: Some(68.0),
                handbook_glide_ratio: Some(9.5),
                reference_weight_lb: Some(2300.0),
                abeam_target_ft: Some(1000.0),
                abeam_height_ft: None,
                along_ft: None,
                flap: "clean".to_owned(),
                terms_ft: [lost * ft, x2 * ft, ft / x2, turning / x2 * ft, ft, sd * ft],
                seconds: 120.0,
                tas_over_cas: 1.05,
            }
        })
        .collect();
    let watch = Watch::start();
    let report = analyse(
        &rows,
        Options {
            by: By::Aircraft,
            run: Run::default(),
        },
    );
    println!(
        "fleet over {} attempts of {} airframes: {}",
        report.attempts,
        report.airframes.len(),
        watch.spent()
    );
}

/// A document of one attempt to make others of.
fn template() -> Debrief {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-tracks");
    let bytes = fs::read(samples.join("two-orbits-avionics.csv")).unwrap();
    let recording = read(&bytes, "two-orbits-avionics.csv", &ReadOptions::default()).unwrap();
    let text = fs::read_to_string(samples.join("two-orbits-avionics.briefing.toml")).unwrap();
    let briefing: Briefing = stillprop::briefing::parse(&text, "").unwrap();
    let options = DebriefOptions {
        draws: 40,
        ..DebriefOptions::default()
    };
    let mut document = debrief(&recording, &briefing, "", &options).unwrap();
    // the logbook does not keep it
    for attempt in &mut document.attempts {
        attempt.series = Series::default();
    }
    document
}

/// Another attempt of the same kind: every figure moved by some per cent, so that no column repeats itself and is packed
/// smaller than those of real flights.
fn varied(template: &Debrief, draws: &mut Draws) -> Debrief {
    let mut document = template.clone();
    for attempt in &mut document.attempts {
        for measured in attempt.measures.values_mut() {
            if let Measured::Known { value, low, high } = measured {
                let factor = 1.0 + 0.05 * draws.normal();
                for v in [value, low, high] {
                    *v *= factor;
                }
            }
        }
    }
    document
}

/// Recordings kept one by one, as a batch does.
const ONE_BY_ONE: usize = 1000;

/// So many attempts, a thousand to a transaction, each a recording of its own, 500 pilots, 100 aircraft; then what is asked of it.
fn logbook(count: usize) {
    let path = folder("bench-logbook").join("l.sqlite");
    let mut logbook = Logbook::open(&path, Access::Write).unwrap();
    let mut document = template();
    let mut draws = Draws::new(7, 7);
    let mut spent = Spent {
        processor_s: Some(0.0),
        clock_s: 0.0,
    };
    let mut at = 0;
    while at < count {
        let some: Vec<Debrief> = (at..count.min(at + 1000))
            .map(|i| {
                document.recording.sha256 = format!("{:064x}", i as u64 * 0x9E37_79B9_7F4A_7C15);
                document.reference.pilot = Some(format!("P-{}", i % 500));
                document.reference.registration = Some(format!("Trainer {}", i % 100));
                varied(&document, &mut draws)
            })
            .collect();
        at += some.len();
        let kept: Vec<Kept<'_>> = some
            .iter()
            .map(|debrief| Kept {
                debrief,
                method: 1,
                inputs_sha256: "inputs",
            })
            .collect();
        let watch = Watch::start();
        logbook.keep_all(&kept).unwrap();
        spent = spent.and(&watch.spent());
    }
    let bytes = fs::metadata(&path).unwrap().len();
    println!(
        "logbook of {count} attempts: {spent} to insert ({:.0} for each second of processor time), {:.0} MB",
        count as f64 / spent.processor_s.unwrap_or(f64::NAN),
        bytes as f64 / 1e6
    );
    let watch = Watch::start();
    for i in count..count + ONE_BY_ONE {
        document.recording.sha256 = format!("{:064x}", i as u64 * 0x9E37_79B9_7F4A_7C15);
        let kept = Kept {
            debrief: &document,
            method: 1,
            inputs_sha256: "inputs",
        };
        logbook.keep(&kept).unwrap();
    }
    println!(
        "  {ONE_BY_ONE} more, one to a transaction: {}",
        watch.spent()
    );
    let timed = |what: &str, f: &dyn Fn() -> usize| {
        let watch = Watch::start();
        let n = f();
        println!("  {what}: {} ({n})", watch.spent());
    };
    let hash = document.recording.sha256.clone();
    timed("is it kept?", &|| {
        logbook
            .attempts_kept(&hash, 1, "inputs")
            .unwrap()
            .unwrap_or(0)
    });
    timed("one pilot's attempts with all figures", &|| {
        logbook.attempts(Who::Pilot("P-7")).unwrap().len()
    });
    timed("all glides", &|| logbook.glides().unwrap().len());
    timed("one pilot's progress", &|| {
        let rows = logbook.attempts(Who::Pilot("P-7")).unwrap();
        stillprop::progress::pilot("P-7", &rows).map_or(0, |report| report.attempts as usize)
    });
    timed("looked over", &|| logbook.check(1).unwrap().len());
    for shape in [Shape::Csv, Shape::JsonLines, Shape::Parquet] {
        if shape == Shape::Parquet && !PARQUET_BUILT {
            continue;
        }
        let file = path.with_extension("export");
        timed(&format!("exported as {shape:?}"), &|| {
            let mut out = BufWriter::new(fs::File::create(&file).unwrap());
            logbook.export(shape, &mut out).unwrap()
        });
        let bytes = fs::metadata(&file).unwrap().len();
        println!("    {:.0} MB", bytes as f64 / 1e6);
    }
    drop(logbook);
    let _ = fs::remove_dir_all(path.parent().unwrap());
}
