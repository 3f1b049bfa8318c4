//! `stillprop fleet`.

use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::keeping::told;
use super::overview_args::{FleetArgs, FleetBy, OverviewFormat};
use super::terminal::Terminal;
use super::{logbook, overview};
use crate::fleet::model::Run;
use crate::fleet::{By, Options, analyse};
use crate::logbook::Access;
use crate::report::fleet;

/// Does what was asked.
pub(super) fn run(args: &FleetArgs, terminal: &mut Terminal) -> Exit {
    let manner = match overview::manner(&args.reports, terminal) {
        Ok(manner) => manner,
        Err(exit) => return exit,
    };
    let rows = logbook::opened(args.book.logbook.as_deref(), Access::Read)
        .and_then(|logbook| logbook.glides().map_err(|error| told(&error)));
    let rows = match rows {
        Ok(rows) => rows,
        Err(problem) => {
            terminal.tell(&problem);
            return Exit::Failed;
        }
    };
    let (by, stem) = match args.by {
        FleetBy::Aircraft => (By::Aircraft, "fleet"),
        FleetBy::Type => (By::Type, "fleet-type"),
        FleetBy::Flap => (By::Flap, "fleet-flap"),
        FleetBy::Month => (By::Month, "fleet-month"),
    };
    let options = Options {
        by,
        run: Run {
            seed: args.seed,
            kept: args.draws as usize,
            ..Run::default()
        },
    };
    let report = analyse(&rows, options);
    for warning in &report.warnings {
        terminal.tell(&Diagnostic::warning(warning.clone()));
    }
    let rendered = |format| match format {
        OverviewFormat::Json => fleet::json(&report),
        OverviewFormat::Csv => fleet::csv(&report),
        OverviewFormat::Svg => fleet::sheet_svg(&report, &manner),
        OverviewFormat::Html => fleet::page_html(&report, &manner),
    };
    overview::write(
        (&args.reports, stem),
        &fleet::table(&report, &manner),
        rendered,
        terminal,
    )
}
