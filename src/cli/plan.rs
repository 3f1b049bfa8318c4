//! What the command line means. Nothing here touches the disk.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use jiff::tz::{Offset, TimeZone};

use super::args::{DebriefArgs, Format, PaperSize, SheetLook, UnitsShown, WordingArgs};
use super::diagnostic::{Diagnostic, briefing_errors};
use super::keeping::Book;
use crate::briefing::{BriefingError, Overrides, parse_aim, parse_runway};
use crate::debrief::Debrief;
use crate::debrief::Options;
use crate::report::{Manner, Paper, SheetOptions, Units, Wording, picture};

/// What `stillprop debrief` is to do.
#[derive(Debug)]
pub(super) struct DebriefPlan {
    pub(super) flights: Vec<Flight>,
    /// One briefing for all flights, in place of those beside them.
    pub(super) briefing: Option<PathBuf>,
    pub(super) overrides: Overrides,
    pub(super) columns: Option<PathBuf>,
    /// A table of runways in place of the program's.
    pub(super) runways: Option<PathBuf>,
    /// Id or file of a standard, as typed.
    pub(super) standard: Option<String>,
    pub(super) destination: Destination,
    pub(super) options: Options,
    /// Sheets, but for the wording, which depends on the day of the recording.
    sheet: SheetOptions,
    units: Units,
    zone: TimeZone,
    pub(super) explain_attempts: bool,
    pub(super) quiet: bool,
    /// Logbook to keep the debriefs in.
    pub(super) logbook: Book,
    /// Debrief what is kept unchanged, too.
    pub(super) again: bool,
}

/// One recording to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Flight {
    pub(super) source: Source,
    /// As typed, for messages.
    pub(super) shown: String,
    /// Name without folders, for the document.
    pub(super) file_name: String,
    /// Name without its ending: what stands beside it starts with this.
    pub(super) stem: String,
    /// What the names of its reports start with.
    pub(super) report_stem: String,
    /// Folder of its reports within that of all.
    pub(super) subfolder: PathBuf,
}

/// Where the bytes of a recording come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Source {
    File(PathBuf),
    StandardInput,
}

/// Where reports go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Destination {
    /// Files in a folder.
    Folder {
        folder: PathBuf,
        formats: Vec<Format>,
    },
    /// One report, on standard output, alone.
    StandardOutput(Format),
}

impl DebriefPlan {
    /// The plan, or everything about the command line that cannot be meant.
    pub(super) fn new(args: DebriefArgs) -> Result<Self, Vec<Diagnostic>> {
        let mut problems = Vec::new();
        let flights: Vec<Flight> = args.flights.iter().map(|path| Flight::new(path)).collect();
        let overrides = overrides(&args).unwrap_or_else(|error| {
            problems.extend(briefing_errors(&error));
            Overrides::default()
        });
        let destination = destination(&args);
        let zone = zone(&args.wording.time).unwrap_or_else(|problem| {
            problems.push(problem);
            TimeZone::UTC
        });
        if flights
            .iter()
            .filter(|flight| flight.source == Source::StandardInput)
            .count()
            > 1
        {
            problems.push(Diagnostic::error(
                "`-` (standard input) can be read only once",
            ));
        }
        match &destination {
            Ok(Destination::StandardOutput(_)) if flights.len() > 1 => {
                problems.push(
                    Diagnostic::error(format!(
                        "`--out -` prints the report of one recording, but {} are named",
                        flights.len()
                    ))
                    .with_help("name a folder: `--out reports`"),
                );
            }
            Ok(Destination::Folder { formats, .. }) => problems.extend(clashes(&flights, formats)),
            Ok(Destination::StandardOutput(_)) => {}
            Err(problem) => problems.push(problem.clone()),
        }
        match destination {
            Ok(destination) if problems.is_empty() => Ok(DebriefPlan {
                flights,
                briefing: args.briefing,
                overrides,
                columns: args.columns,
                runways: args.runways,
                standard: args.standard,
                destination,
                options: Options {
                    draws: args.draws as usize,
                    seed: args.seed,
                    standard: None,
                },
                sheet: SheetOptions {
                    kilometres: args.kilometres,
                    paper: match args.paper {
                        PaperSize::Both => Paper::Both,
                        PaperSize::A4 => Paper::A4,
                        PaperSize::Letter => Paper::Letter,
                    },
                    dark: args.look == SheetLook::Dark,
                    wording: Wording::default(),
                },
                units: units(args.wording.units),
                zone,
                explain_attempts: args.explain_attempts,
                quiet: args.quiet,
                logbook: match args.logbook {
                    Some(path) => Book::Named(path),
                    None if args.no_logbook => Book::No,
                    None => Book::Usual,
                },
                again: args.again,
            }),
            _ => Err(problems),
        }
    }
}

impl DebriefPlan {
    /// Units and time of day of the reports on `debrief`.
    pub(super) fn wording(&self, debrief: &Debrief) -> Wording {
        Wording::new(self.units, &self.zone, &debrief.recording.start_utc)
    }

    /// How the sheets of `debrief` are drawn.
    pub(super) fn sheet(&self, debrief: &Debrief) -> SheetOptions {
        SheetOptions {
            wording: self.wording(debrief),
            ..self.sheet
        }
    }
}

/// How reports on many days are worded.
pub(super) fn manner(args: &WordingArgs) -> Result<Manner, Diagnostic> {
    Ok(Manner::new(units(args.units), zone(&args.time)?))
}

fn units(shown: UnitsShown) -> Units {
    match shown {
        UnitsShown::Us => Units::Us,
        UnitsShown::Metric => Units::Metric,
    }
}

/// `utc`, `+02:00`, `-0330` or the name of a zone.
fn zone(text: &str) -> Result<TimeZone, Diagnostic> {
    if ["utc", "z"].contains(&text.to_ascii_lowercase().as_str()) {
        return Ok(TimeZone::UTC);
    }
    if let Some(seconds) = offset_s(text) {
        let offset = Offset::from_seconds(seconds);
        return offset.map(TimeZone::fixed).map_err(|_| not_a_zone(text));
    }
    TimeZone::get(text).map_err(|_| not_a_zone(text))
}

/// Seconds of `+02:00`, `+0200` or `+2`.
fn offset_s(text: &str) -> Option<i32> {
    let (sign, digits) = match text.split_at_checked(1)? {
        ("+", digits) => (1, digits),
        ("-", digits) => (-1, digits),
        _ => return None,
    };
    let (hours, minutes) = match digits.split_once(':') {
        Some(parts) => parts,
        None if digits.len() == 4 => digits.split_at_checked(2)?,
        None => (digits, "0"),
    };
    let plain = |part: &str| {
        let digits = part.bytes().all(|b| b.is_ascii_digit());
        part.parse::<i32>()
            .ok()
            .filter(|_| digits && part.len() < 3)
    };
    let (hours, minutes) = (plain(hours)?, plain(minutes).filter(|m| *m < 60)?);
    (hours <= 14).then_some(sign * (3600 * hours + 60 * minutes))
}

fn not_a_zone(text: &str) -> Diagnostic {
    Diagnostic::error(format!(
        "`--time {text}`: expected `utc`, an offset or the name of a time zone"
    ))
    .with_help("for example `--time +02:00` or `--time Europe/Vienna`")
}

impl Flight {
    pub(super) fn new(path: &Path) -> Self {
        if path.as_os_str() == "-" {
            return Flight {
                source: Source::StandardInput,
                shown: "standard input".into(),
                file_name: "stdin".into(),
                stem: "stdin".into(),
                report_stem: "stdin".into(),
                subfolder: PathBuf::new(),
            };
        }
        let file_name = path.file_name().map_or_else(
            || path.display().to_string(),
            |name| name.to_string_lossy().into_owned(),
        );
        Flight {
            source: Source::File(path.to_owned()),
            shown: path.display().to_string(),
            report_stem: stem(&file_name).to_owned(),
            stem: stem(&file_name).to_owned(),
            subfolder: PathBuf::new(),
            file_name,
        }
    }

    /// A recording found in a folder; `inner` is the way to it from the folder that was named.
    pub(super) fn in_folder(path: &Path, inner: &Path) -> Self {
        Flight {
            subfolder: inner.to_owned(),
            ..Flight::new(path)
        }
    }

    /// Where its reports go, and under which name.
    pub(super) fn report_place(&self) -> (PathBuf, String) {
        (self.subfolder.clone(), self.report_stem.clone())
    }

    /// Where its briefing would be found by name.
    pub(super) fn briefing_beside(&self) -> Option<PathBuf> {
        self.beside("briefing.toml")
    }

    /// Where its events would be found by name.
    pub(super) fn events_beside(&self) -> Option<PathBuf> {
        self.beside("events.csv")
    }

    fn beside(&self, ending: &str) -> Option<PathBuf> {
        match &self.source {
            Source::StandardInput => None,
            Source::File(path) => {
                // The name as it is: it need not be text.
                let mut name = stem_of_path(path);
                name.push(".");
                name.push(ending);
                Some(path.with_file_name(name))
            }
        }
    }
}

/// `flight` of `flight.igc`, `flight.igc.gz` and `flight`.
fn stem(file_name: &str) -> &str {
    let unpacked = strip_extension(file_name, |extension| extension.eq_ignore_ascii_case("gz"));
    strip_extension(unpacked, |_| true)
}

/// The same of a name that need not be text.
fn stem_of_path(path: &Path) -> OsString {
    let is_packed = path
        .extension()
        .is_some_and(|extension| extension.eq_ignore_ascii_case("gz"));
    let unpacked = if is_packed {
        path.file_stem()
    } else {
        path.file_name()
    };
    let unpacked = Path::new(unpacked.unwrap_or_default());
    unpacked.file_stem().unwrap_or_default().to_owned()
}

fn strip_extension(name: &str, of: impl Fn(&str) -> bool) -> &str {
    match name.rsplit_once('.') {
        Some((before, extension)) if !before.is_empty() && of(extension) => before,
        _ => name,
    }
}

fn overrides(args: &DebriefArgs) -> Result<Overrides, BriefingError> {
    let overrides = Overrides {
        aim_deg: args.aim.as_deref().map(parse_aim).transpose()?,
        runway: args.runway.as_deref().map(parse_runway).transpose()?,
        elevation_ft: args.elevation,
        landing_true_deg: args.landing,
    };
    // Ranges are the briefing's; what it says otherwise does not matter for them.
    crate::briefing::Briefing::default().overridden_by(&overrides)?;
    Ok(overrides)
}

fn destination(args: &DebriefArgs) -> Result<Destination, Diagnostic> {
    let mut formats = args.format.clone();
    formats.sort_unstable();
    formats.dedup();
    for (format, built, feature) in [
        (Format::Png, picture::PNG_BUILT, "png"),
        (Format::Pdf, picture::PDF_BUILT, "pdf"),
    ] {
        if formats.contains(&format) && !built {
            let problem =
                format!("`--format {feature}`: this program was built without `{feature}`");
            let help = format!(
                "build it with `cargo install --path . --features {feature}`, or open the SVG or the page in a browser and print it"
            );
            return Err(Diagnostic::error(problem).with_help(help));
        }
    }
    if formats.contains(&Format::StageCheck) && args.standard.is_none() {
        return Err(Diagnostic::error("a stage-check form needs a standard")
            .with_help("name one with `--standard`; `stillprop standards` lists them"));
    }
    if args.out.as_os_str() == "-" {
        return match formats[..] {
            [format] => Ok(Destination::StandardOutput(format)),
            _ => Err(
                Diagnostic::error("`--out -` prints one report, so it needs one `--format`")
                    .with_help("for the document alone: `--format json --out -`"),
            ),
        };
    }
    if formats.is_empty() {
        formats = Format::USUAL.to_vec();
        formats.extend(args.standard.as_ref().map(|_| Format::StageCheck));
    }
    Ok(Destination::Folder {
        folder: args.out.clone(),
        formats,
    })
}

/// Recordings whose reports would overwrite each other.
fn clashes(flights: &[Flight], formats: &[Format]) -> Vec<Diagnostic> {
    let mut by_stem: BTreeMap<&str, &Flight> = BTreeMap::new();
    let mut problems = Vec::new();
    let mut clash = |one: &Flight, other: &Flight, report: &str| {
        problems.push(
            Diagnostic::error(format!(
                "the reports of `{}` and of `{}` would both be named `{report}`",
                one.shown, other.shown
            ))
            .with_help("debrief them into different folders with `--out`"),
        );
    };
    for flight in flights {
        if let Some(earlier) = by_stem.insert(&flight.stem, flight) {
            let extension = formats.first().map_or("json", |format| format.extension());
            clash(earlier, flight, &format!("{}.{extension}", flight.stem));
        }
    }
    if formats.contains(&Format::Svg) && formats.contains(&Format::StageCheck) {
        for flight in flights {
            let form = flight.stem.strip_suffix(".check");
            if let Some(other) = form.and_then(|stem| by_stem.get(stem)) {
                clash(other, flight, &format!("{}.svg", flight.stem));
            }
        }
    }
    if formats.contains(&Format::Svg) {
        for flight in flights {
            // The sheets of several attempts are numbered.
            let numbered = flight.stem.rsplit_once('-').filter(|(_, number)| {
                !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
            });
            if let Some(other) = numbered.and_then(|(stem, _)| by_stem.get(stem)) {
                clash(other, flight, &format!("{}.svg", flight.stem));
            }
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reports_are_named_after_the_recording() {
        for (file_name, expected) in [
            ("flight.igc", "flight"),
            ("flight.igc.gz", "flight"),
            ("flight.GPX.GZ", "flight"),
            ("2026-05-03 14.20.csv", "2026-05-03 14.20"),
            ("flight", "flight"),
            (".igc", ".igc"),
        ] {
            assert_eq!(stem(file_name), expected, "{file_name}");
            assert_eq!(stem_of_path(Path::new(file_name)), expected, "{file_name}");
        }
    }

    #[test]
    fn a_briefing_is_looked_for_beside_the_recording() {
        let flight = Flight::new(Path::new("may/flight.igc.gz"));
        assert_eq!(
            flight.briefing_beside(),
            Some(PathBuf::from("may/flight.briefing.toml"))
        );
        assert_eq!(Flight::new(Path::new("-")).briefing_beside(), None);
    }

    #[test]
    fn a_numbered_sheet_may_belong_to_two_recordings() {
        let flights: Vec<Flight> = ["a.igc", "a-2.igc", "b-1.igc"]
            .iter()
            .map(|name| Flight::new(Path::new(name)))
            .collect();
        assert_eq!(clashes(&flights, &Format::USUAL).len(), 1);
        assert_eq!(clashes(&flights, &[Format::Json]).len(), 0);
    }
}
