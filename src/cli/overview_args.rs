//! The command line of the reports on many attempts, as typed.

use std::path::PathBuf;

use clap::ValueEnum;

use super::args::WordingArgs;

/// What they all take.
#[derive(Debug, clap::Args)]
pub(super) struct ReportsArgs {
    /// Folder for the reports; `-` prints one report to standard output
    #[arg(
        long,
        value_name = "DIR",
        default_value = "reports",
        help_heading = "Reports"
    )]
    pub(super) out: PathBuf,

    /// Reports to write [default: svg,html,json]
    #[arg(
        long,
        value_name = "LIST",
        value_enum,
        value_delimiter = ',',
        help_heading = "Reports"
    )]
    pub(super) format: Vec<OverviewFormat>,

    #[command(flatten)]
    pub(super) wording: WordingArgs,

    /// Say nothing but errors
    #[arg(long, short, help_heading = "Reports")]
    pub(super) quiet: bool,
}

/// The logbook they read.
#[derive(Debug, clap::Args)]
pub(super) struct BookArgs {
    /// The logbook [default: `stillprop/logbook.sqlite` in the folder for programs' data]
    #[arg(long, value_name = "FILE")]
    pub(super) logbook: Option<PathBuf>,
}

const COMPARE_EXAMPLES: &str = "\
An attempt is a recording, or a document that `debrief --format json` wrote; `:2` after the name is its second
attempt, without it all of them count.

Examples:
  stillprop compare monday.igc friday.igc
  stillprop compare monday.igc:1 monday.igc:3 reports/friday.json:2 --format svg
  stillprop compare monday.igc friday.igc --units metric --time +02:00";

#[derive(Debug, clap::Args)]
#[command(after_help = COMPARE_EXAMPLES)]
pub(super) struct CompareArgs {
    /// Two to eight attempts; the first is what the others are held against
    #[arg(value_name = "FLIGHT[:N]", required = true)]
    pub(super) attempts: Vec<PathBuf>,

    #[command(flatten)]
    pub(super) reports: ReportsArgs,
}

const PROGRESS_EXAMPLES: &str = "\
Files written: progress-P-07.svg, .html, .json, .csv; without a pilot progress.svg and so on

Examples:
  stillprop progress P-07 --logbook school.logbook
  stillprop progress --logbook school.logbook
  stillprop progress P-07 --units metric --time Europe/Vienna";

#[derive(Debug, clap::Args)]
#[command(after_help = PROGRESS_EXAMPLES)]
pub(super) struct ProgressArgs {
    /// Code of the pilot, for example `P-07`
    pub(super) pilot: Option<String>,

    #[command(flatten)]
    pub(super) book: BookArgs,

    #[command(flatten)]
    pub(super) reports: ReportsArgs,
}

const FLEET_EXAMPLES: &str = "\
Files written: fleet.svg, fleet.html, fleet.json, fleet.csv (fleet-type.svg and so on with `--by type`)

Examples:
  stillprop fleet --logbook school.logbook
  stillprop fleet --logbook school.logbook --by month --format csv --out -
  stillprop fleet --logbook school.logbook --units metric";

#[derive(Debug, clap::Args)]
#[command(after_help = FLEET_EXAMPLES)]
pub(super) struct FleetArgs {
    #[command(flatten)]
    pub(super) book: BookArgs,

    /// What a row is
    #[arg(long, value_enum, default_value = "aircraft")]
    pub(super) by: FleetBy,

    #[command(flatten)]
    pub(super) reports: ReportsArgs,

    /// Number of draws
    #[arg(long, value_name = "N", default_value_t = 2000,
        value_parser = clap::value_parser!(u64).range(200..=100_000))]
    pub(super) draws: u64,

    /// Seed of the draws: the same seed gives the same bytes
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(super) seed: u64,
}

/// What the rows of a fleet report are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum FleetBy {
    /// Airframes
    Aircraft,
    /// Types of aircraft
    Type,
    /// Airframes with each flap setting known
    Flap,
    /// Months of each type
    Month,
}

/// A kind of report on many attempts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(super) enum OverviewFormat {
    /// The printable sheet
    Svg,
    /// The page, one self-contained file
    Html,
    /// The document, for programs
    Json,
    /// The table, for spreadsheets
    Csv,
}

impl OverviewFormat {
    /// What is written when nothing is named.
    pub(super) const USUAL: [OverviewFormat; 3] = [
        OverviewFormat::Svg,
        OverviewFormat::Html,
        OverviewFormat::Json,
    ];

    pub(super) fn extension(self) -> &'static str {
        match self {
            OverviewFormat::Svg => "svg",
            OverviewFormat::Html => "html",
            OverviewFormat::Json => "json",
            OverviewFormat::Csv => "csv",
        }
    }
}
