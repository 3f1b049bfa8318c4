//! `stillprop brief`: a briefing of a recording, with what the recording shows filled in.

use std::path::{Path, PathBuf};

use super::args::BriefArgs;
use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::files;
use super::flight::debrief_errors;
use super::plan::Flight;
use super::terminal::Terminal;
use crate::debrief::{self, Options};
use crate::reading::{self, ReadOptions};

/// Fewer draws than a debrief: times and places are rounded anyway.
const DRAWS: usize = 60;

/// Drafts the briefing of one recording and writes or prints it.
pub(super) fn brief(args: &BriefArgs, terminal: &mut Terminal) -> Exit {
    let flight = Flight::new(&args.track);
    let to = match (&args.out, flight.briefing_beside()) {
        (Some(out), _) if out.as_os_str() == "-" => None,
        (Some(out), _) => Some(out.clone()),
        (None, beside) => beside,
    };
    let outcome = to
        .as_deref()
        .map_or(Ok(()), |path| check_free(path, args.force))
        .map_err(|problem| vec![problem])
        .and_then(|()| text(args, &flight))
        .and_then(|text| match &to {
            None => Ok((text, None)),
            Some(path) => write(path, &text)
                .map(|path| (String::new(), Some(path)))
                .map_err(|problem| vec![problem]),
        });
    match outcome {
        Ok((printed, written)) => {
            if let Some(path) = written {
                terminal.tell(&Diagnostic::progress(format!("wrote {}", path.display())));
            }
            terminal.print(&printed)
        }
        Err(problems) => {
            for problem in &problems {
                terminal.tell(problem);
            }
            Exit::Failed
        }
    }
}

fn text(args: &BriefArgs, flight: &Flight) -> Result<String, Vec<Diagnostic>> {
    let one = |problem| vec![problem];
    let airfields = args.runways.as_deref().map(files::read_runways);
    let airfields = airfields.transpose().map_err(one)?;
    let mut options = ReadOptions::default();
    if let Some(path) = &args.columns {
        options.columns = files::read_columns(path).map_err(one)?;
    }
    let bytes = files::read_flight(flight).map_err(one)?;
    let recording = reading::read(&bytes, &flight.file_name, &options).map_err(|mut error| {
        error.file_name.clone_from(&flight.shown);
        vec![Diagnostic::error(error.to_string())]
    })?;
    let few = Options {
        draws: DRAWS,
        ..Options::default()
    };
    let draft = debrief::draft(&recording, &few, airfields.as_ref())
        .map_err(|error| debrief_errors(error, flight))?;
    Ok(draft.to_toml())
}

fn check_free(path: &Path, force: bool) -> Result<(), Diagnostic> {
    if path.exists() && !force {
        return Err(
            Diagnostic::error(format!("{}: is there already", path.display())).with_help(
                "name another file with `--out`, print it with `--out -`, or replace it with `--force`",
            ),
        );
    }
    Ok(())
}

fn write(path: &Path, text: &str) -> Result<PathBuf, Diagnostic> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(Diagnostic::error(format!(
            "{}: expected the name of a file",
            path.display()
        )));
    };
    files::write_whole(folder, name, text.as_bytes())
}
