//! `stillprop logbook`: what is kept, shown, written out and forgotten.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{self, BufWriter, IsTerminal, Write as _};
use std::path::{Path, PathBuf};

use super::args::{LogbookArgs, LogbookCommand, LogbookShape};
use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::files;
use super::keeping::{told, usual_path};
use super::terminal::Terminal;
use crate::debrief::document::METHOD;
use crate::logbook::{
    Access, AttemptRow, Logbook, LogbookError, PARQUET_BUILT, RecordingRow, Shape, Who,
};
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::{Measured, counted};
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
    let path = path_of(named)?;
    Logbook::open(&path, access).map_err(|error| match error {
        LogbookError::Missing { .. } if named.is_none() => told(&error).with_help(
            "name another with `--logbook FILE`, or start it with `stillprop logbook start`",
        ),
        other => told(&other),
    })
}

/// The path named, or that of the usual logbook.
fn path_of(named: Option<&Path>) -> Result<PathBuf, Diagnostic> {
    named
        .map(Path::to_owned)
        .or_else(usual_path)
        .ok_or_else(|| {
            Diagnostic::error("no logbook is named").with_help("name one: `--logbook FILE`")
        })
}

/// Opened to write, but not made where it is missing.
fn to_change(named: Option<&Path>) -> Result<Logbook, Diagnostic> {
    opened(named, Access::Read)?;
    opened(named, Access::Write)
}

/// Makes the logbook where it is missing, with the folder it is in.
fn start(named: Option<&Path>) -> Result<String, Diagnostic> {
    let path = path_of(named)?;
    let shown = path.display();
    if files::is_there(&path) {
        Logbook::open(&path, Access::Read).map_err(|error| told(&error))?;
        return Ok(format!("The logbook {shown} is there already.\n"));
    }
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(|error| {
            Diagnostic::error(format!(
                "{}: cannot be made: {}",
                folder.display(),
                files::plain(&error)
            ))
            .with_help("name a file in a folder of yours with `--logbook`")
        })?;
    }
    Logbook::open(&path, Access::Write).map_err(|error| told(&error))?;
    Ok(match named {
        Some(_) => {
            format!("Started {shown}. `debrief` keeps in it where it is named with `--logbook`.\n")
        }
        None => format!(
            "Started {shown}. From now on `debrief` keeps in it, too; `--no-logbook` leaves it alone, and removing the file ends it.\n"
        ),
    })
}

fn carried_out(args: &LogbookArgs, terminal: &mut Terminal) -> Result<Exit, Diagnostic> {
    let named = args.logbook.as_deref();
    let to_read = || opened(named, Access::Read);
    let failed = |error: LogbookError| told(&error);
    match &args.command {
        LogbookCommand::Start => Ok(terminal.print(&start(named)?)),
        LogbookCommand::List => {
            let rows = to_read()?.recordings().map_err(failed)?;
            Ok(terminal.print(&list(&rows)))
        }
        LogbookCommand::Show { recording } => {
            let logbook = to_read()?;
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
            if let Some(problem) = no_parquet(*format, out) {
                terminal.tell(&problem);
                return Ok(Exit::WrongUsage);
            }
            let shape = match format {
                LogbookShape::Csv => Shape::Csv,
                LogbookShape::Jsonl => Shape::JsonLines,
                LogbookShape::Parquet => Shape::Parquet,
            };
            export(&to_read()?, shape, out, terminal)
        }
        LogbookCommand::Forget { person } => match to_change(named)?.forget(person).map_err(failed)? {
            None => Err(Diagnostic::error(format!(
                "{person}: the logbook holds no such code"
            ))
            .with_help("`stillprop logbook list` shows the codes")),
            Some(gone) => Ok(terminal.print(&format!(
                "Forgotten: {person}. {} flown removed with all their figures, {} instructed stay without the code.\nReports written by `debrief`, recordings and briefings are files of yours: remove those yourself.\n",
                counted(gone.recordings, "recording"),
                gone.instructed
            ))),
        },
        LogbookCommand::Check => {
            let findings = to_read()?.check(METHOD).map_err(failed)?;
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

/// Why an export of this shape, if it is Parquet, cannot be written to `out`.
fn no_parquet(shape: LogbookShape, out: &Path) -> Option<Diagnostic> {
    if shape != LogbookShape::Parquet {
        return None;
    }
    if !PARQUET_BUILT {
        let problem = "`--format parquet`: this program was built without `parquet`";
        return Some(Diagnostic::error(problem).with_help(
            "build it with `cargo install --path . --features parquet`, or export CSV, which the same engines read",
        ));
    }
    (out.as_os_str() == "-" && io::stdout().is_terminal()).then(|| {
        Diagnostic::error("Parquet is nothing to read on a terminal")
            .with_help("name a file: `--out attempts.parquet`")
    })
}

fn export(
    logbook: &Logbook,
    shape: Shape,
    out: &Path,
    terminal: &mut Terminal,
) -> Result<Exit, Diagnostic> {
    if out.as_os_str() == "-" {
        return match logbook.export(shape, &mut BufWriter::new(io::stdout())) {
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
        "wrote {}: {}",
        out.display(),
        counted(count, "attempt")
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
    let _ = writeln!(out, "{}", counted(rows.len(), "recording"));
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
