//! From arguments to an exit status.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use super::args::{Args, Command, SchemaOf};
use super::exit::Exit;
use super::plan::DebriefPlan;
use super::terminal::Terminal;
use super::{batch, brief, compare, explain, fleet, logbook, misuse, progress, standards};
use crate::compare::Comparison;
use crate::fleet::document::FleetReport;
use crate::logbook::line_schema_json;
use crate::progress::document::{Overview, ProgressReport};
use crate::report;

/// Runs the program with `args`, the first of which is its own name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    match Args::try_parse_from(misuse::with_aim_in_one(args)) {
        Ok(args) => command(args.command).into(),
        Err(error) => {
            if let Some(problem) = misuse::recording_for_command(&error) {
                Terminal::new(false).tell(&problem);
                return Exit::WrongUsage.into();
            }
            // Help and version are no errors, and go to standard output.
            let _ = error.print();
            if error.use_stderr() {
                Exit::WrongUsage
            } else {
                Exit::Done
            }
            .into()
        }
    }
}

fn command(command: Command) -> Exit {
    match command {
        Command::Debrief(args) => {
            let mut terminal = Terminal::new(args.quiet);
            match DebriefPlan::new(*args) {
                Ok(plan) => batch::debrief(&plan, &mut terminal),
                Err(problems) => {
                    for problem in &problems {
                        terminal.tell(problem);
                    }
                    Exit::WrongUsage
                }
            }
        }
        Command::Brief(args) => brief::brief(&args, &mut Terminal::new(false)),
        Command::Standards { standard } => {
            let mut terminal = Terminal::new(false);
            match standard.as_deref().map(standards::named) {
                None => terminal.print(&standards::all()),
                Some(Ok(standard)) => terminal.print(&standards::one(&standard)),
                Some(Err(problems)) => {
                    for problem in &problems {
                        terminal.tell(problem);
                    }
                    Exit::WrongUsage
                }
            }
        }
        Command::Compare(args) => compare::run(&args, &mut Terminal::new(args.reports.quiet)),
        Command::Fleet(args) => fleet::run(&args, &mut Terminal::new(args.reports.quiet)),
        Command::Progress(args) => progress::run(&args, &mut Terminal::new(args.reports.quiet)),
        Command::Logbook(args) => logbook::run(&args, &mut Terminal::new(false)),
        Command::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Args::command(), "stillprop", &mut text);
            Terminal::new(false).print(&text)
        }
        Command::Man => super::manual::print(),
        Command::Schema { document } => Terminal::new(false).print(&schema(document)),
        Command::Explain { measure } => {
            let mut terminal = Terminal::new(false);
            match measure.as_deref().map(explain::one) {
                None => terminal.print(&explain::all()),
                Some(Ok(text)) => terminal.print(&text),
                Some(Err(problem)) => {
                    terminal.tell(&problem);
                    Exit::WrongUsage
                }
            }
        }
    }
}

/// The JSON schema of a document.
fn schema(document: SchemaOf) -> String {
    match document {
        SchemaOf::Debrief => report::schema_json(),
        SchemaOf::Fleet => report::schema_json_of::<FleetReport>(),
        SchemaOf::Progress => report::schema_json_of::<ProgressReport>(),
        SchemaOf::ProgressOverview => report::schema_json_of::<Overview>(),
        SchemaOf::Compare => report::schema_json_of::<Comparison>(),
        SchemaOf::LogbookLine => line_schema_json(),
    }
}
