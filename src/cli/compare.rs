//! `stillprop compare`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::flight::{self, Common};
use super::overview;
use super::overview_args::{CompareArgs, OverviewFormat};
use super::plan::Flight;
use super::terminal::Terminal;
use crate::compare::{HOW_MANY, Side, compare};
use crate::debrief::document::SCHEMA;
use crate::debrief::{Debrief, Options};
use crate::quantity::counted;
use crate::reading::ReadOptions;
use crate::report::compare as drawn;

/// Does what was asked.
pub(super) fn run(args: &CompareArgs, terminal: &mut Terminal) -> Exit {
    let manner = match overview::manner(&args.reports, terminal) {
        Ok(manner) => manner,
        Err(exit) => return exit,
    };
    // a recording named twice is read once, and its warnings are told once
    let mut read: BTreeMap<PathBuf, Debrief> = BTreeMap::new();
    let named: Vec<(PathBuf, Option<u32>)> = args.attempts.iter().map(|n| split(n)).collect();
    for (path, _) in &named {
        if read.contains_key(path) {
            continue;
        }
        match debriefed(path) {
            Ok(debrief) => {
                read.insert(path.clone(), debrief);
            }
            Err(problems) => {
                for problem in &problems {
                    terminal.tell(problem);
                }
                return Exit::Failed;
            }
        }
    }
    let mut sides = Vec::new();
    for (path, number) in &named {
        let (debrief, shown) = (&read[path], path.display());
        let before = sides.len();
        sides.extend(
            debrief
                .attempts
                .iter()
                .filter(|a| number.is_none_or(|n| a.number == n))
                .map(|attempt| Side { debrief, attempt }),
        );
        if sides.len() == before {
            let what = number.map_or_else(
                || "no attempt was found in it".to_owned(),
                |n| format!("no attempt {n}; it holds {}", debrief.attempts.len()),
            );
            terminal.tell(&Diagnostic::error(format!("{shown}: {what}")));
            return Exit::Failed;
        }
    }
    if !(HOW_MANY.0..=HOW_MANY.1).contains(&sides.len()) {
        terminal.tell(
            &Diagnostic::error(format!(
                "{} named, expected {} to {}",
                counted(sides.len(), "attempt"),
                HOW_MANY.0,
                HOW_MANY.1
            ))
            .with_help("name single attempts of a recording by their number: `flight.igc:2`"),
        );
        return Exit::WrongUsage;
    }
    let comparison = compare(&sides);
    for warning in &comparison.warnings {
        terminal.tell(&Diagnostic::warning(warning.clone()));
    }
    overview::write(
        (&args.reports, "compare"),
        &drawn::table(&comparison, &manner),
        |format| match format {
            OverviewFormat::Json => drawn::json(&comparison),
            OverviewFormat::Csv => drawn::csv(&comparison),
            OverviewFormat::Svg => drawn::sheet_svg(&comparison, &sides, &manner),
            OverviewFormat::Html => drawn::page_html(&comparison, &sides, &manner),
        },
        terminal,
    )
}

/// `flight.igc:2` is attempt 2 of `flight.igc`, unless a file has that whole name.
fn split(named: &Path) -> (PathBuf, Option<u32>) {
    let text = named.to_string_lossy();
    match text.rsplit_once(':') {
        Some((path, number)) if !named.exists() => match number.parse() {
            Ok(number) => (PathBuf::from(path), Some(number)),
            Err(_) => (named.to_owned(), None),
        },
        _ => (named.to_owned(), None),
    }
}

/// The document of a recording, or the one that `debrief --format json` wrote.
fn debriefed(path: &Path) -> Result<Debrief, Vec<Diagnostic>> {
    let flight = Flight::new(path);
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("json"))
    {
        return document(&flight).map_err(|problem| vec![problem]);
    }
    let common = Common {
        briefing: None,
        reading: ReadOptions::default(),
        options: Options::default(),
        airfields: None,
        logbook: None,
    };
    flight::document_alone(&flight, &common)
}

fn document(flight: &Flight) -> Result<Debrief, Diagnostic> {
    let bytes = super::files::read_flight(flight)?;
    let help = "name a recording, or a document that `stillprop debrief --format json` wrote";
    let debrief: Debrief = serde_json::from_slice(&bytes).map_err(|error| {
        Diagnostic::error(format!("{}: not such a document: {error}", flight.shown)).with_help(help)
    })?;
    if debrief.schema == SCHEMA {
        Ok(debrief)
    } else {
        Err(Diagnostic::error(format!(
            "{}: a document of kind `{}`, expected `{SCHEMA}`",
            flight.shown, debrief.schema
        ))
        .with_help(help))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_an_attempt_stands_after_the_name() {
        assert_eq!(split(Path::new("a/b.igc:2")), ("a/b.igc".into(), Some(2)));
        assert_eq!(split(Path::new("a/b.igc")), ("a/b.igc".into(), None));
        assert_eq!(split(Path::new("c:x.igc")), ("c:x.igc".into(), None));
    }
}
