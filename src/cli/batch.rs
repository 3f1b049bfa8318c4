//! Several recordings at once, told in the order they were named.

use std::collections::BTreeMap;
use std::sync::mpsc;
use std::thread;

use rayon::prelude::*;

use super::diagnostic::{Diagnostic, Level};
use super::exit::Exit;
use super::files;
use super::flight::{self, Common, Outcome};
use super::keeping::Keeping;
use super::memory;
use super::plan::{DebriefPlan, Destination, Flight};
use super::standards;
use super::summary::Summary;
use super::terminal::Terminal;
use super::walk;
use crate::reading::ReadOptions;

/// Does what `plan` says.
pub(super) fn debrief(plan: &DebriefPlan, terminal: &mut Terminal) -> Exit {
    memory::keep_what_is_freed();
    let reports = match &plan.destination {
        Destination::Folder { folder, .. } => Some(folder.as_path()),
        Destination::StandardOutput(_) => None,
    };
    let walked = walk::recordings(&plan.flights, reports);
    if walked.of_folders && reports.is_none() {
        terminal.tell(
            &Diagnostic::error(
                "`--out -` prints the report of one recording, but a folder is named",
            )
            .with_help("name a folder for the reports: `--out reports`"),
        );
        return Exit::WrongUsage;
    }
    let common = match prepare(plan, walked.of_folders) {
        Ok(common) => common,
        Err((exit, problems)) => {
            for problem in &problems {
                terminal.tell(problem);
            }
            return exit;
        }
    };
    let mut exit = if walked.of_nothing {
        Exit::NoRecording
    } else {
        Exit::Done
    };
    if let Some(kept) = common.logbook.as_ref().and_then(Keeping::unasked) {
        terminal.tell(&kept);
    }
    for problem in &walked.problems {
        terminal.tell(problem);
        if problem.level == Level::Error {
            exit = Exit::Failed;
        }
    }
    if let Some(folder) = reports {
        files::remove_abandoned(folder, walked.flights.iter().map(|f| f.subfolder.as_path()));
    }
    if walked.of_folders {
        return exit.and(of_folders(&walked.flights, plan, &common, terminal));
    }
    let several = walked.flights.len() > 1;
    let mut printed_before = false;
    let mut deliver = |terminal: &mut Terminal, outcome: &Outcome| {
        for diagnostic in &outcome.told {
            terminal.tell(diagnostic);
        }
        if several && printed_before && !outcome.printed.is_empty() {
            exit = exit.and(terminal.print("\n"));
        }
        printed_before |= !outcome.printed.is_empty();
        exit = exit.and(terminal.print(&outcome.printed));
        exit = exit.and(outcome.exit());
    };
    if let [only] = &walked.flights[..] {
        deliver(terminal, &flight::debrief(only, &common, plan));
    } else {
        in_parallel(&walked.flights, plan, &common, terminal, deliver);
    }
    exit
}

/// Whole folders: a counter, then a summary in which each recording that failed has a line.
fn of_folders(
    flights: &[Flight],
    plan: &DebriefPlan,
    common: &Common,
    terminal: &mut Terminal,
) -> Exit {
    let mut exit = Exit::Done;
    let mut summary = Summary::default();
    if let Destination::Folder { folder, .. } = &plan.destination {
        summary.folder = Some(folder.clone());
    }
    in_parallel(flights, plan, common, terminal, |_, outcome| {
        summary.add(outcome);
        exit = exit.and(outcome.exit());
    });
    for line in summary.failures() {
        terminal.tell(&line);
    }
    exit.and(terminal.print_result(&summary.to_string()))
}

/// What must be there before the first flight is read; a standard that cannot be had is wrong usage, as
/// where it is to be printed.
fn prepare(plan: &DebriefPlan, of_folders: bool) -> Result<Common, (Exit, Vec<Diagnostic>)> {
    let mut exit = Exit::Failed;
    let mut problems = Vec::new();
    let mut common = Common {
        briefing: None,
        reading: ReadOptions::default(),
        options: plan.options.clone(),
        logbook: None,
        airfields: None,
    };
    if let Some(path) = &plan.briefing {
        match flight::read_briefing(path) {
            Ok(briefing) => common.briefing = Some(briefing),
            Err(found) => problems.extend(found),
        }
    }
    if let Some(name) = &plan.standard {
        match standards::named(name) {
            Ok(standard) => common.options.standard = Some(standard),
            Err(found) => {
                exit = Exit::WrongUsage;
                problems.extend(found);
            }
        }
    }
    if let Some(path) = &plan.runways {
        match files::read_runways(path) {
            Ok(airfields) => common.airfields = Some(airfields),
            Err(problem) => problems.push(problem),
        }
    }
    if let Some(path) = &plan.columns {
        match files::read_columns(path) {
            Ok(map) => common.reading.columns = map,
            Err(problem) => problems.push(problem),
        }
    }
    if let Destination::Folder { folder, .. } = &plan.destination {
        problems.extend(files::check_folder(folder).err());
    }
    if problems.is_empty()
        && let Some(book) = plan.logbook.file()
    {
        match Keeping::open(&book, &common, of_folders) {
            Ok(keeping) => common.logbook = Some(keeping),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(common)
    } else {
        Err((exit, problems))
    }
}

/// Debriefs on every core; `deliver` gets each outcome as soon as those before it have been told.
fn in_parallel(
    flights: &[Flight],
    plan: &DebriefPlan,
    common: &Common,
    terminal: &mut Terminal,
    mut deliver: impl FnMut(&mut Terminal, &Outcome),
) {
    let (sender, receiver) = mpsc::channel();
    thread::scope(|scope| {
        scope.spawn(move || {
            // One after the other rather than in halves, so that the first are told first.
            flights
                .iter()
                .enumerate()
                .par_bridge()
                .for_each_with(sender, |sender, (i, flight)| {
                    // The receiver lives until the last sender is gone.
                    let _ = sender.send((i, flight::debrief(flight, common, plan)));
                });
        });
        let mut early: BTreeMap<usize, Outcome> = BTreeMap::new();
        let mut next = 0;
        terminal.count(0, flights.len());
        for (done, (i, outcome)) in receiver.into_iter().enumerate() {
            early.insert(i, outcome);
            while let Some(outcome) = early.remove(&next) {
                deliver(terminal, &outcome);
                next += 1;
            }
            terminal.count(done + 1, flights.len());
        }
        terminal.clear();
    });
}
