//! `stillprop progress`.

use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::keeping::told;
use super::overview_args::{OverviewFormat, ProgressArgs};
use super::terminal::Terminal;
use super::{logbook, overview};
use crate::logbook::{Access, Logbook, Who};
use crate::progress::{self, ProgressReport};
use crate::report::{Manner, progress as drawn};

/// Does what was asked.
pub(super) fn run(args: &ProgressArgs, terminal: &mut Terminal) -> Exit {
    let manner = match overview::manner(&args.reports, terminal) {
        Ok(manner) => manner,
        Err(exit) => return exit,
    };
    let done =
        logbook::opened(args.book.logbook.as_deref(), Access::Read).and_then(|logbook| match &args
            .pilot
        {
            Some(code) => one(&logbook, code, (args, &manner), terminal),
            None => all(&logbook, (args, &manner), terminal),
        });
    done.unwrap_or_else(|problem| {
        terminal.tell(&problem);
        Exit::Failed
    })
}

fn report(logbook: &Logbook, code: &str) -> Result<Option<ProgressReport>, Diagnostic> {
    let rows = logbook
        .attempts(Who::Pilot(code))
        .map_err(|error| told(&error))?;
    Ok(progress::pilot(code, &rows))
}

fn one(
    logbook: &Logbook,
    code: &str,
    (args, manner): (&ProgressArgs, &Manner),
    terminal: &mut Terminal,
) -> Result<Exit, Diagnostic> {
    let Some(report) = report(logbook, code)? else {
        if !logbook
            .attempts(Who::Pilot(code))
            .map_err(|error| told(&error))?
            .is_empty()
        {
            return Err(Diagnostic::error(format!(
                "{code}: no attempt of this pilot in the logbook is sure enough to be one"
            ))
            .with_help("`stillprop logbook show FLIGHT` shows them; a debrief says what speaks against each"));
        }
        let pilots = logbook.pilots().map_err(|error| told(&error))?;
        let known = if pilots.is_empty() {
            "no briefing of it gives a pilot: put `pilot` under `[people]`".to_owned()
        } else {
            format!("it holds those of {}", pilots.join(", "))
        };
        return Err(Diagnostic::error(format!(
            "{code}: the logbook holds no attempt of this pilot"
        ))
        .with_help(known));
    };
    for warning in &report.warnings {
        terminal.tell(&Diagnostic::warning(warning.clone()));
    }
    // a code may hold what no file name does
    let safe: String = code
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '-' || c == '_' {
                c
            } else {
                '_'
            }
        })
        .collect();
    Ok(overview::write(
        (&args.reports, &format!("progress-{safe}")),
        &drawn::table(&report, manner),
        |format| match format {
            OverviewFormat::Json => drawn::json(&report),
            OverviewFormat::Csv => drawn::csv(&report),
            OverviewFormat::Svg => drawn::sheet_svg(&report, manner),
            OverviewFormat::Html => drawn::page_html(&report, manner),
        },
        terminal,
    ))
}

fn all(
    logbook: &Logbook,
    (args, manner): (&ProgressArgs, &Manner),
    terminal: &mut Terminal,
) -> Result<Exit, Diagnostic> {
    let mut reports = Vec::new();
    for code in logbook.pilots().map_err(|error| told(&error))? {
        reports.extend(report(logbook, &code)?);
    }
    if reports.is_empty() {
        return Err(
            Diagnostic::error("the logbook holds no attempt of a pilot with a code")
                .with_help("put `pilot` under `[people]` in the briefings, codes and not names"),
        );
    }
    let report = progress::overview(&reports);
    Ok(overview::write(
        (&args.reports, "progress"),
        &drawn::overview_table(&report, manner),
        |format| match format {
            OverviewFormat::Json => drawn::overview_json(&report),
            OverviewFormat::Csv => drawn::overview_csv(&report),
            OverviewFormat::Svg => drawn::overview_svg(&report, manner),
            OverviewFormat::Html => drawn::overview_html(&report, manner),
        },
        terminal,
    ))
}
