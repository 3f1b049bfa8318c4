//! The command line as typed. Nothing here touches the disk.

use std::path::PathBuf;
use std::sync::LazyLock;

use clap::{Parser, Subcommand, ValueEnum};

use super::overview_args::{CompareArgs, FleetArgs, ProgressArgs};
use crate::debrief::Options;
use crate::debrief::document::METHOD;

/// Says what was really flown in a practice forced landing, from the recording of it.
#[derive(Debug, Parser)]
#[command(name = "stillprop", version = version(), arg_required_else_help = true, after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Command,
}

/// The version of the program, and of the methods that figures rest on.
fn version() -> &'static str {
    static TEXT: LazyLock<String> =
        LazyLock::new(|| format!("{}, methods of version {METHOD}", env!("CARGO_PKG_VERSION")));
    &TEXT
}

const EXAMPLES: &str = "\
Examples:
  stillprop debrief flight.igc                    sheet, page and document into reports/
  stillprop debrief week/*.gpx --out week/reports --format html,json
  stillprop explain touchdown_along_ft            what a figure means
  stillprop standards US-commercial-PO180         what an attempt can be held against

Exit status:
  0  all done
  1  some input could not be read or some output not written; the others were done
  2  wrong usage; nothing was done
  3  all read, but a recording holds no attempt (its reports, with the reason, are written)
  4  a folder named as FLIGHT holds no recording; the others were done

A practice aid for review on the ground: not for navigation, not for use in flight.";

const DEBRIEF_EXAMPLES: &str = "\
Files written, for `flight.igc`:
  flight.json, flight.html   the whole recording
  flight.svg                 the sheet, when there is one attempt or none
  flight-1.svg, flight-2.svg the sheets, when there are several
  flight.check.svg           the stage-check form, when a standard is named
  flight.png, flight-1.png   the sheet as a picture, where `--format` names it
  flight.pdf, flight.check.pdf   all sheets, all forms, a page each, where `--format` names it
  flight.geojson, flight.kml, flight.path.gpx, flight.path.csv   where `--format` names them

Examples:
  stillprop debrief flight.igc
  stillprop debrief flight.gpx --aim 51.0,-2.0 --elevation 310 --landing 92
  stillprop debrief flight.gpx --runway ABCD/09+500
  stillprop debrief flight.igc --standard US-commercial-PO180
  stillprop debrief flight.igc --format svg --paper a4
  stillprop debrief flight.igc --format pdf --standard US-commercial-PO180
  stillprop debrief flight.igc --units metric --time Europe/Vienna
  stillprop debrief week/*.gpx --out week/reports --format html,json
  stillprop debrief flights --logbook school.logbook
  gunzip -c flight.csv.gz | stillprop debrief - --briefing flight.briefing.toml --format json --out -

Exit status: 0 all done, 1 something could not be read or written, 2 wrong usage, 3 no attempt found,
4 a folder without a recording.";

const COMPLETIONS_EXAMPLES: &str = "\
Examples:
  stillprop completions bash > ~/.local/share/bash-completion/completions/stillprop
  stillprop completions zsh > ~/.zfunc/_stillprop
  stillprop completions fish > ~/.config/fish/completions/stillprop.fish";

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Debrief one or more recordings (GPX, IGC or CSV, packed with gzip or not)
    Debrief(Box<DebriefArgs>),
    /// Draft the briefing of a recording, with what the recording shows filled in
    Brief(BriefArgs),
    /// Print the JSON schema of a document: of what `debrief --format json` writes, or of another
    #[command(
        after_help = "Examples:\n  stillprop schema > debrief.schema.json\n  stillprop schema fleet"
    )]
    Schema {
        /// The document
        #[arg(value_enum, default_value = "debrief")]
        document: SchemaOf,
    },
    /// Say how a measure is defined; without one, list them all
    #[command(
        after_help = "Examples:\n  stillprop explain\n  stillprop explain height_in_hand_min_ft"
    )]
    Explain {
        /// Id of the measure, for example `touchdown_along_ft`
        measure: Option<String>,
    },
    /// Put two to eight attempts over each other, and say which differences are real
    Compare(CompareArgs),
    /// Say what each aeroplane of a logbook glides like, and which differs
    Fleet(FleetArgs),
    /// Follow a pilot's measures over the attempts of a logbook; without a pilot, all of them in short
    Progress(ProgressArgs),
    /// Show, write out or forget what a logbook keeps
    Logbook(LogbookArgs),
    /// List the standards an attempt can be held against; with one, print it with its sources
    #[command(
        after_help = "Examples:\n  stillprop standards\n  stillprop standards US-commercial-PO180\n  stillprop standards school-order-4.toml"
    )]
    Standards {
        /// Id of the standard, or a TOML file, for example `US-commercial-PO180`
        standard: Option<String>,
    },
    /// Print the completions of a shell
    #[command(after_help = COMPLETIONS_EXAMPLES)]
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page, in roff
    #[command(after_help = "Examples:\n  stillprop man > stillprop.1\n  stillprop man | man -l -")]
    Man,
}

/// A document with a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SchemaOf {
    /// What `debrief --format json` writes
    Debrief,
    /// What `fleet --format json` writes
    Fleet,
    /// What `progress PILOT --format json` writes
    Progress,
    /// What `progress --format json` writes without a pilot
    ProgressOverview,
    /// What `compare --format json` writes
    Compare,
    /// A line of `logbook export --format jsonl`
    LogbookLine,
}

#[derive(Debug, clap::Args)]
#[command(after_help = DEBRIEF_EXAMPLES)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
pub(super) struct DebriefArgs {
    /// Recordings, or folders of them; `-` is standard input
    #[arg(value_name = "FLIGHT", required = true)]
    pub(super) flights: Vec<PathBuf>,

    /// What you know and the recorder does not, for all FLIGHTs
    /// [default: `flight.briefing.toml` beside each `flight.igc`, where there is one]
    #[arg(long, value_name = "FILE", help_heading = "The flight")]
    pub(super) briefing: Option<PathBuf>,

    /// Aim point in place of the briefing's: decimal degrees, or as "51°30'N 2°15'W"
    #[arg(
        long,
        value_name = "LAT,LON",
        allow_hyphen_values = true,
        help_heading = "The flight"
    )]
    pub(super) aim: Option<String>,

    /// Aim on a runway, at its threshold or FT past it, in place of the briefing's
    #[arg(
        long,
        value_name = "AIRFIELD/RUNWAY[+FT]",
        conflicts_with = "aim",
        help_heading = "The flight"
    )]
    pub(super) runway: Option<String>,

    /// Your own table of runways in place of the program's, as `scripts/runway_table.py` describes it
    #[arg(long, value_name = "FILE", help_heading = "The flight")]
    pub(super) runways: Option<PathBuf>,

    /// Elevation of the aim point, ft above mean sea level
    #[arg(
        long,
        value_name = "FT",
        allow_negative_numbers = true,
        help_heading = "The flight"
    )]
    pub(super) elevation: Option<f64>,

    /// Direction of landing, degrees true
    #[arg(long, value_name = "DEG", help_heading = "The flight")]
    pub(super) landing: Option<f64>,

    /// What the attempts are held against: a standard of `stillprop standards`, or a TOML file
    #[arg(long, value_name = "ID|FILE", help_heading = "The flight")]
    pub(super) standard: Option<String>,

    /// Which columns of a CSV recording hold what, where their names do not say so
    #[arg(long, value_name = "MAP.toml", help_heading = "The flight")]
    pub(super) columns: Option<PathBuf>,

    /// Folder for the reports; `-` prints one report of one FLIGHT to standard output
    #[arg(
        long,
        value_name = "DIR",
        default_value = "reports",
        help_heading = "Reports"
    )]
    pub(super) out: PathBuf,

    /// Reports to write [default: svg,html,json; with a standard stage-check too]
    #[arg(
        long,
        value_name = "LIST",
        value_enum,
        value_delimiter = ',',
        help_heading = "Reports"
    )]
    pub(super) format: Vec<Format>,

    /// Paper of the sheets; `both` prints whole on A4 and on US Letter
    #[arg(
        long,
        value_name = "PAPER",
        value_enum,
        default_value = "both",
        help_heading = "Reports"
    )]
    pub(super) paper: PaperSize,

    #[command(flatten)]
    pub(super) wording: WordingArgs,

    /// Ground of the sheets: `dark` for screens; the page follows the reader's setting
    #[arg(
        long,
        value_name = "LOOK",
        value_enum,
        default_value = "light",
        help_heading = "Reports"
    )]
    pub(super) look: SheetLook,

    /// Scale bar of the plan in kilometres instead of nautical miles
    #[arg(long, help_heading = "Reports")]
    pub(super) kilometres: bool,

    /// Also say how sure each attempt is, and why other power reductions are none
    #[arg(long, help_heading = "Reports")]
    pub(super) explain_attempts: bool,

    /// Say nothing but errors
    #[arg(long, short, help_heading = "Reports")]
    pub(super) quiet: bool,

    /// Also keep the debriefs in this logbook, made where it is missing; what it holds unchanged is not
    /// debriefed again [default: the usual logbook, once `stillprop logbook start` made it]
    #[arg(long, value_name = "FILE", help_heading = "Logbook")]
    pub(super) logbook: Option<PathBuf>,

    /// Keep the debriefs in no logbook, not even the usual one
    #[arg(long, conflicts_with = "logbook", help_heading = "Logbook")]
    pub(super) no_logbook: bool,

    /// Debrief again what the logbook holds unchanged
    #[arg(long, conflicts_with = "no_logbook", help_heading = "Logbook")]
    pub(super) again: bool,

    /// Number of possible paths drawn: more give smoother intervals and take longer
    #[arg(
        long,
        value_name = "N",
        default_value_t = Options::default().draws as u64,
        value_parser = clap::value_parser!(u64).range(20..=20_000),
        help_heading = "Estimation"
    )]
    pub(super) draws: u64,

    /// Seed of the draws: the same seed gives the same bytes
    #[arg(long, value_name = "N", default_value_t = Options::default().seed, help_heading = "Estimation")]
    pub(super) seed: u64,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  stillprop logbook start             from now on, debriefs are kept\n  stillprop logbook list\n  stillprop logbook show flight.igc\n  stillprop logbook export --out attempts.csv"
)]
pub(super) struct LogbookArgs {
    #[command(subcommand)]
    pub(super) command: LogbookCommand,

    /// The logbook [default: `stillprop/logbook.sqlite` in the folder for programs' data]
    #[arg(long, value_name = "FILE", global = true)]
    pub(super) logbook: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum LogbookCommand {
    /// Start the usual logbook: from then on `debrief` keeps in it, too, where it is told nothing else
    #[command(after_help = "Examples:\n  stillprop logbook start")]
    Start,
    /// List the recordings kept
    #[command(
        after_help = "Examples:\n  stillprop logbook list\n  stillprop logbook list --logbook school.sqlite"
    )]
    List,
    /// Show the attempts of one recording with all their figures
    #[command(
        after_help = "Examples:\n  stillprop logbook show 3\n  stillprop logbook show flight.igc"
    )]
    Show {
        /// Its number in the list, its file name, or the start of its hash
        recording: String,
    },
    /// Write every attempt with all its figures, for other programs
    #[command(
        after_help = "Examples:\n  stillprop logbook export --out attempts.csv\n  stillprop logbook export --format jsonl"
    )]
    Export {
        /// Comma-separated, a JSON object a line, or columns for analytical engines
        #[arg(long, value_enum, default_value = "csv")]
        format: LogbookShape,
        /// File to write; `-` is standard output
        #[arg(long, value_name = "FILE", default_value = "-")]
        out: PathBuf,
    },
    /// Remove a person: recordings flown, the code, and every trace in the file
    #[command(after_help = "Examples:\n  stillprop logbook forget P-07")]
    Forget {
        /// Code of the pilot or instructor, for example `P-07`
        person: String,
    },
    /// Look the file over: damage, older methods, flights kept twice
    #[command(after_help = "Examples:\n  stillprop logbook check")]
    Check,
}

/// Shape of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum LogbookShape {
    /// Comma-separated values
    Csv,
    /// JSON lines
    Jsonl,
    /// Apache Parquet, for analytical engines; in a program built with `--features parquet`
    Parquet,
}

const BRIEF_EXAMPLES: &str = "\
Examples:
  stillprop brief flight.igc             writes flight.briefing.toml, where `debrief` finds it
  stillprop brief flight.igc --out -     prints it

The runway is a guess from open data: check it. What it cannot find out is there as remarks to complete.

Exit status: 0 written, also where no attempt was found; 1 not read, or a file is there already; 2 wrong usage.";

#[derive(Debug, clap::Args)]
#[command(after_help = BRIEF_EXAMPLES)]
pub(super) struct BriefArgs {
    /// Recording; `-` is standard input
    #[arg(value_name = "TRACK")]
    pub(super) track: PathBuf,

    /// File for the briefing; `-` prints it [default: `flight.briefing.toml` beside `flight.igc`]
    #[arg(long, value_name = "FILE")]
    pub(super) out: Option<PathBuf>,

    /// Replace a file that is there
    #[arg(long)]
    pub(super) force: bool,

    /// Your own table of runways in place of the program's
    #[arg(long, value_name = "FILE")]
    pub(super) runways: Option<PathBuf>,

    /// Which columns of a CSV recording hold what, where their names do not say so
    #[arg(long, value_name = "MAP.toml")]
    pub(super) columns: Option<PathBuf>,
}

/// Paper of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperSize {
    /// What fits both
    Both,
    /// A4, landscape
    A4,
    /// US Letter, landscape
    Letter,
}

/// What every command that writes for people takes.
#[derive(Debug, clap::Args)]
pub(super) struct WordingArgs {
    /// Units of what is written for people; documents and tables for programs keep the units of their keys
    #[arg(
        long,
        value_name = "UNITS",
        value_enum,
        default_value = "us",
        help_heading = "Reports"
    )]
    pub(super) units: UnitsShown,

    /// Time of what is written for people: `utc`, an offset as `+02:00`, or a zone as `Europe/Vienna`
    #[arg(
        long,
        value_name = "ZONE",
        default_value = "utc",
        allow_hyphen_values = true,
        help_heading = "Reports"
    )]
    pub(super) time: String,
}

/// Units that are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum UnitsShown {
    /// ft, kt, ft/min, NM
    Us,
    /// m, km/h, m/s, km
    Metric,
}

/// Ground of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SheetLook {
    /// White, for paper
    Light,
    /// Dark, for screens
    Dark,
}

/// A kind of report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(super) enum Format {
    /// The printable sheet, one for each attempt
    Svg,
    /// The page to explore, one self-contained file
    Html,
    /// The document, for programs
    Json,
    /// The stage-check form to sign, one for each attempt; needs a standard
    StageCheck,
    /// Path, key points and ground within glide, for maps
    Geojson,
    /// Path with time and key points, for a globe
    Kml,
    /// The path of the attempts as estimated, as a recording
    Gpx,
    /// The path of the attempts as a table, a row a second
    Csv,
    /// The sheet as a picture, one for each attempt; in a program built with `--features png`
    Png,
    /// The sheets, and with a standard the stage-check forms, as documents with text that can be selected;
    /// in a program built with `--features pdf`
    Pdf,
}

impl Format {
    /// What is written when nothing is named.
    pub(super) const USUAL: [Format; 3] = [Format::Svg, Format::Html, Format::Json];

    pub(super) fn extension(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Html => "html",
            Format::Json => "json",
            Format::StageCheck => "check.svg",
            Format::Geojson => "geojson",
            Format::Kml => "kml",
            // not the name of a recording, which they must never replace
            Format::Gpx => "path.gpx",
            Format::Csv => "path.csv",
            Format::Png => "png",
            Format::Pdf => "pdf",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_holds_together() {
        Args::command().debug_assert();
    }
}
