//! `stillprop logbook`: what is kept, shown, written out and forgotten.

use std::env;
use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, BufWriter, Write as _};
use std::path::{Path, PathBuf};

use super::args::{LogbookArgs, LogbookCommand, LogbookShape};
use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::files;
use super::keeping::told;
use super::terminal::Terminal;
use crate::debrief::document::METHOD;
use crate::logbook::{Access, AttemptRow, Logbook, LogbookError, RecordingRow, Shape, Who};
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::Measured;
use crate::report::{Wording, number};

/// Does what was asked.
pub(super) fn run(args: &LogbookArgs, terminal: &mut Terminal) -> Exit {
    match carried_out(args, terminal) {
        Ok(exit) => exit,
        Err(problem) => {
            terminal.tell(&problem);
            Exit::Failed
        }
    }
}

/// The logbook named, or the usual one.
pub(super) fn opened(named: Option<&Path>, access: Access) -> Result<Logbook, Diagnostic> {
    let path = match named {
        Some(path) => path.to_owned(),
        None => usual_path()?,
    };
    Logbook::open(&path, access).map_err(|error| told(&error))
}

/// Where the logbook is when none is named: the platform's folder for a program's data.
fn usual_path() -> Result<PathBuf, Diagnostic> {
    let folder = |name: &str| {
        env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let data = if cfg!(windows) {
        folder("APPDATA")
    } else if cfg!(target_os = "macos") {
        folder("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        folder("XDG_DATA_HOME").or_else(|| folder("HOME").map(|home| home.join(".local/share")))
    };
    data.map(|data| data.join("stillprop/logbook.sqlite"))
        .ok_or_else(|| {
            Diagnostic::error("no logbook is named").with_help("name one: `--logbook FILE`")
        })
}

fn carried_out(args: &LogbookArgs, terminal: &mut Terminal) -> Result<Exit, Diagnostic> {
    let access = match args.command {
        LogbookCommand::Forget { .. } => Access::Write,
        _ => Access::Read,
    };
    if access == Access::Write {
        // to forget makes no new file
        opened(args.logbook.as_deref(), Access::Read)?;
    }
    let mut logbook = opened(args.logbook.as_deref(), access)?;
    let failed = |error: LogbookError| told(&error);
    match &args.command {
        LogbookCommand::List => {
            let rows = logbook.recordings().map_err(failed)?;
            Ok(terminal.print(&list(&rows)))
        }
        LogbookCommand::Show { recording } => {
            let rows = logbook.recordings().map_err(failed)?;
            let Some(row) = found(&rows, recording) else {
                return Err(Diagnostic::error(format!(
                    "{recording}: the logbook holds no such recording"
                ))
                .with_help("`stillprop logbook list` shows their numbers and names"));
            };
            let attempts = logbook.attempts(Who::Recording(row.id)).map_err(failed)?;
            Ok(terminal.print(&show(row, &attempts)))
        }
        LogbookCommand::Export { format, out } => {
            let shape = match format {
                LogbookShape::Csv => Shape::Csv,
                LogbookShape::Jsonl => Shape::JsonLines,
            };
            export(&logbook, shape, out, terminal)
        }
        LogbookCommand::Forget { person } => match logbook.forget(person).map_err(failed)? {
            None => Err(Diagnostic::error(format!(
                "{person}: the logbook holds no such code"
            ))
            .with_help("`stillprop logbook list` shows the codes")),
            Some(gone) => Ok(terminal.print(&format!(
                "Forgotten: {person}. {} recordings flown removed with all their figures, {} instructed stay without the code.\nReports written by `debrief`, recordings and briefings are files of yours: remove those yourself.\n",
                gone.recordings, gone.instructed
            ))),
        },
        LogbookCommand::Check => {
            let findings = logbook.check(METHOD).map_err(failed)?;
            if findings.is_empty() {
                return Ok(terminal.print("The logbook is sound.\n"));
            }
            let mut out = String::new();
            for finding in &findings {
                let _ = writeln!(out, "{}", finding.what);
            }
            let damaged = findings.iter().any(|finding| finding.damaged);
            if !damaged {
                out.push_str("Otherwise the logbook is sound.\n");
            }
            let printed = terminal.print(&out);
            Ok(printed.and(if damaged { Exit::Failed } else { Exit::Done }))
        }
    }
}

fn export(
    logbook: &Logbook,
    shape: Shape,
    out: &Path,
    terminal: &mut Terminal,
) -> Result<Exit, Diagnostic> {
    if out.as_os_str() == "-" {
        return match logbook.export(shape, &mut BufWriter::new(io::stdout().lock())) {
            Err(LogbookError::Export(error)) if error.kind() == io::ErrorKind::BrokenPipe => {
                Ok(Exit::Done)
            }
            Err(error) => Err(told(&error)),
            Ok(_) => Ok(Exit::Done),
        };
    }
    let count = files::write_through(out, |file: &mut BufWriter<File>| {
        let count = logbook.export(shape, file)?;
        file.flush()?;
        Ok(count)
    })
    .map_err(|error| match error {
        LogbookError::Export(error) => Diagnostic::error(format!(
            "{}: cannot be written: {}",
            out.display(),
            files::plain(&error)
        )),
        other => told(&other),
    })?;
    terminal.tell(&Diagnostic::progress(format!(
        "wrote {}: {count} attempts",
        out.display()
    )));
    Ok(Exit::Done)
}

fn found<'a>(rows: &'a [RecordingRow], named: &str) -> Option<&'a RecordingRow> {
    let by_number = named
        .parse()
        .ok()
        .and_then(|id: i64| rows.iter().find(|row| row.id == id));
    by_number.or_else(|| {
        rows.iter()
            .rev()
            .find(|row| row.file == named || (named.len() >= 8 && row.sha256.starts_with(named)))
    })
}

fn list(rows: &[RecordingRow]) -> String {
    let mut out = format!(
        "{:>6}  {:<16}  {:<12} {:<8} {:<8} {:>8}  recording\n",
        "number", "start (UTC)", "aircraft", "pilot", "instr.", "attempts"
    );
    for row in rows {
        let text = |value: &Option<String>| value.clone().unwrap_or_else(|| "-".into());
        let _ = writeln!(
            out,
            "{:>6}  {:<16}  {:<12} {:<8} {:<8} {:>8}  {}",
            row.id,
            row.start_utc
                .get(..16)
                .unwrap_or_default()
                .replace('T', " "),
            text(&row.registration),
            text(&row.pilot),
            text(&row.instructor),
            row.attempts,
            row.file
        );
    }
    let _ = writeln!(out, "{} recordings", rows.len());
    out
}

fn show(row: &RecordingRow, attempts: &[AttemptRow]) -> String {
    let mut out = format!(
        "{}, {}, {}\nsha256 {}, methods of version {}\n",
        row.file,
        row.registration.as_deref().unwrap_or("aircraft not given"),
        row.pilot.as_deref().unwrap_or("pilot not given"),
        row.sha256,
        row.method
    );
    for attempt in attempts {
        let _ = writeln!(
            out,
            "\nAttempt {}, {}, ends with {}",
            attempt.number,
            attempt.utc,
            attempt.ending.replace('_', " ")
        );
        for info in CATALOGUE {
            let figure = attempt.figures.get(info.id).and_then(|[value, low, high]| {
                let measured = Measured::Known {
                    value: *value,
                    low: *low,
                    high: *high,
                };
                Wording::default().figure(info, &measured)
            });
            if let Some(figure) = figure {
                let _ = writeln!(
                    out,
                    "  {:<34} {:>8} {:<6} {}",
                    info.label,
                    figure.value,
                    number::unit(info),
                    figure.interval()
                );
            }
        }
    }
    out
}
