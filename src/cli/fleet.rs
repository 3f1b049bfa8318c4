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
use crate::quantity::counted;
use crate::report::fleet;

/// Does what was asked.
pub(super) fn run(args: &FleetArgs, terminal: &mut Terminal) -> Exit {
    let manner = match overview::manner(&args.reports, terminal) {
        Ok(manner) => manner,
        Err(exit) => return exit,
    };
    let read = logbook::opened(args.book.logbook.as_deref(), Access::Read).and_then(|logbook| {
        let rows = logbook.glides().map_err(|error| told(&error))?;
        let without = logbook.without_clean_glide();
        Ok((rows, without.map_err(|error| told(&error))?))
    });
    let (rows, without) = match read {
        Ok(read) => read,
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
    let mut report = analyse(&rows, options);
    report.warnings.splice(0..0, left_out(&without));
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

/// What is said of the attempts that stand in no row: how many of which aircraft, and why.
fn left_out(without: &[(String, u32)]) -> Vec<String> {
    let (unnamed, named): (Vec<_>, Vec<_>) = without.iter().partition(|w| w.0.is_empty());
    let mut out = Vec::new();
    if !named.is_empty() {
        let all: u32 = named.iter().map(|w| w.1).sum();
        let each: Vec<String> = named.iter().map(|w| format!("{}: {}", w.0, w.1)).collect();
        out.push(format!(
            "{} without a clean glide of 20 s or more between best glide and base or flap: left out ({})",
            counted(all as usize, "attempt"),
            each.join(", ")
        ));
    }
    for (_, count) in unnamed {
        out.push(format!(
            "{} of recordings without a registration: left out; put `registration` in the briefings",
            counted(*count as usize, "attempt")
        ));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attempts_that_stand_nowhere_are_counted() {
        let of = |list: &[(&str, u32)]| {
            let owned: Vec<_> = list.iter().map(|(r, n)| ((*r).to_owned(), *n)).collect();
            left_out(&owned)
        };
        assert!(of(&[]).is_empty());
        let said = of(&[("", 2), ("Trainer 2", 3), ("Trainer 4", 1)]);
        assert_eq!(said.len(), 2);
        assert!(said[0].starts_with("4 attempts without a clean glide"));
        assert!(
            said[0].ends_with("(Trainer 2: 3, Trainer 4: 1)"),
            "{}",
            said[0]
        );
        assert!(said[1].starts_with("2 attempts of recordings without a registration"));
    }
}
