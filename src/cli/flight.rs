//! One recording: bytes → reports.

use std::any::Any;
use std::fmt::Write as _;
use std::panic::{self, AssertUnwindSafe};
use std::path::Path;

use sha2::{Digest, Sha256};

use super::diagnostic::{Diagnostic, briefing_errors};
use super::exit::Exit;
use super::files;
use super::keeping::Keeping;
use super::plan::{DebriefPlan, Destination, Flight};
use super::reports;
use crate::airfields::Airfields;
use crate::briefing::{self, Briefing, Overrides};
use crate::debrief::{self, Debrief, DebriefError, Options};
use crate::reading::{self, ReadOptions};
use crate::report::{self, words};

/// What all flights of one run share.
#[derive(Debug)]
pub(super) struct Common {
    /// The briefing named on the command line.
    pub(super) briefing: Option<Briefing>,
    pub(super) reading: ReadOptions,
    /// Draws, seed, and the standard named on the command line.
    pub(super) options: Options,
    /// Logbook in which the debriefs are kept.
    pub(super) logbook: Option<Keeping>,
    /// The table of runways named on the command line.
    pub(super) airfields: Option<Airfields>,
}

/// What became of one recording.
#[derive(Debug, Default)]
pub(super) struct Outcome {
    /// For standard output.
    pub(super) printed: Vec<u8>,
    /// For standard error, in this order.
    pub(super) told: Vec<Diagnostic>,
    pub(super) failed: bool,
    pub(super) without_attempt: bool,
    /// In the logbook already, and not debriefed again.
    pub(super) unchanged: bool,
    pub(super) attempts: usize,
}

impl Outcome {
    /// The exit status it calls for.
    pub(super) fn exit(&self) -> Exit {
        if self.failed {
            Exit::Failed
        } else if self.without_attempt {
            Exit::NoAttempt
        } else {
            Exit::Done
        }
    }

    fn fail(&mut self, problems: impl IntoIterator<Item = Diagnostic>) {
        self.failed = true;
        self.told.extend(problems);
    }
}

/// Debriefs one recording. Whatever goes wrong is in the outcome, so that the others go on.
pub(super) fn debrief(flight: &Flight, common: &Common, plan: &DebriefPlan) -> Outcome {
    panic::catch_unwind(AssertUnwindSafe(|| {
        let mut outcome = Outcome::default();
        match gather(flight, common, &plan.overrides) {
            Ok(mut gathered) => {
                debrief_gathered(&mut gathered, flight, common, plan, &mut outcome);
            }
            Err(problems) => outcome.fail(problems),
        }
        outcome
    }))
    .unwrap_or_else(|payload| {
        let mut outcome = Outcome::default();
        outcome.fail([defect(flight, payload.as_ref())]);
        outcome
    })
}

/// The document of one recording with the briefing beside it; nothing is written.
pub(super) fn document_alone(flight: &Flight, common: &Common) -> Result<Debrief, Vec<Diagnostic>> {
    panic::catch_unwind(AssertUnwindSafe(|| {
        let mut gathered = gather(flight, common, &Overrides::default())?;
        document(&mut gathered, flight, common)
    }))
    .unwrap_or_else(|payload| Err(vec![defect(flight, payload.as_ref())]))
}

/// All that goes into a debrief.
struct Gathered {
    bytes: Vec<u8>,
    sha256: String,
    briefing: Briefing,
}

fn debrief_gathered(
    gathered: &mut Gathered,
    flight: &Flight,
    common: &Common,
    plan: &DebriefPlan,
    outcome: &mut Outcome,
) {
    let keeping = common.logbook.as_ref();
    if let Some(keeping) = keeping.filter(|keeping| keeping.skips && !plan.again)
        && let Destination::Folder { folder, .. } = &plan.destination
    {
        match keeping.attempts_kept(&gathered.sha256, &gathered.briefing) {
            Ok(Some(attempts)) if all_there(flight, plan, folder, attempts) => {
                outcome.unchanged = true;
                outcome.without_attempt = attempts == 0;
                outcome.attempts = attempts;
                outcome.told.push(Diagnostic::progress(format!(
                    "{}: in the logbook already and unchanged; not debriefed again",
                    flight.shown
                )));
                return;
            }
            Ok(_) => {}
            Err(problem) => {
                outcome.fail([problem]);
                return;
            }
        }
    }
    match document(gathered, flight, common) {
        Ok(debrief) => {
            deliver(&debrief, flight, plan, outcome);
            outcome.attempts = debrief.attempts.len();
            // last, so that what is in the logbook has its reports
            if let Some(keeping) = keeping.filter(|_| !outcome.failed)
                && let Err(problem) = keeping.keep(&debrief, &gathered.briefing)
            {
                outcome.fail([problem]);
            }
        }
        Err(problems) => outcome.fail(problems),
    }
}

fn gather(
    flight: &Flight,
    common: &Common,
    overrides: &Overrides,
) -> Result<Gathered, Vec<Diagnostic>> {
    let bytes = files::read_flight(flight).map_err(|problem| vec![problem])?;
    let beside;
    let briefing = if let Some(briefing) = &common.briefing {
        briefing
    } else {
        beside = briefing_beside(flight)?;
        &beside
    };
    let mut briefing = briefing
        .overridden_by(overrides)
        .map_err(|error| briefing_errors(&error))?;
    if let Some(path) = flight.events_beside().filter(|path| files::is_there(path)) {
        let text = files::read_text(&path).map_err(|problem| vec![problem])?;
        let events = briefing::parse_events(&text, &path.display().to_string())
            .map_err(|error| briefing_errors(&error))?;
        briefing.add_events(events);
    }
    Ok(Gathered {
        sha256: hexadecimal(&Sha256::digest(&bytes)),
        bytes,
        briefing,
    })
}

fn document(
    gathered: &mut Gathered,
    flight: &Flight,
    common: &Common,
) -> Result<Debrief, Vec<Diagnostic>> {
    let recording = reading::read(&gathered.bytes, &flight.file_name, &common.reading).map_err(
        |mut error| {
            error.file_name.clone_from(&flight.shown);
            vec![Diagnostic::error(error.to_string())]
        },
    )?;
    // a long recording is many megabytes, and has been read
    gathered.bytes = Vec::new();
    debrief::debrief_among(
        recording,
        &gathered.briefing,
        &gathered.sha256,
        &common.options,
        common.airfields.as_ref(),
    )
    .map_err(|error| debrief_errors(error, flight))
}

/// Why a recording could not be debriefed.
pub(super) fn debrief_errors(error: DebriefError, flight: &Flight) -> Vec<Diagnostic> {
    match error {
        DebriefError::Briefing(error) => briefing_errors(&error),
        DebriefError::Clean(mut error) => {
            error.file_name.clone_from(&flight.shown);
            vec![Diagnostic::error(error.to_string())]
        }
    }
}

/// Whether every report of a recording with so many attempts is there.
fn all_there(flight: &Flight, plan: &DebriefPlan, folder: &Path, attempts: usize) -> bool {
    let Destination::Folder { formats, .. } = &plan.destination else {
        return false;
    };
    let folder = folder.join(&flight.subfolder);
    formats.iter().all(|format| {
        reports::names(
            *format,
            attempts,
            plan.standard.is_some(),
            &flight.report_stem,
        )
        .iter()
        .all(|name| folder.join(name).is_file())
    })
}

fn briefing_beside(flight: &Flight) -> Result<Briefing, Vec<Diagnostic>> {
    match flight.briefing_beside() {
        Some(path) if files::is_there(&path) => read_briefing(&path),
        _ => Ok(Briefing::default()),
    }
}

/// Reads and checks a briefing file.
pub(super) fn read_briefing(path: &Path) -> Result<Briefing, Vec<Diagnostic>> {
    let text = files::read_text(path).map_err(|problem| vec![problem])?;
    let shown = path.display().to_string();
    briefing::parse(&text, &shown).map_err(|error| {
        if reading::read(text.as_bytes(), &shown, &ReadOptions::default()).is_ok() {
            let problem = format!("{shown}: expected a briefing, found a recording");
            return vec![Diagnostic::error(problem).with_help(
                "a briefing is a text of `key = value` lines; `stillprop brief FLIGHT` drafts one",
            )];
        }
        briefing_errors(&error)
    })
}

/// Writes or prints the reports of `debrief`.
fn deliver(debrief: &Debrief, flight: &Flight, plan: &DebriefPlan, outcome: &mut Outcome) {
    for warning in &debrief.warnings {
        outcome
            .told
            .push(Diagnostic::warning(format!("{}: {warning}", flight.shown)));
    }
    outcome.without_attempt = debrief.attempts.is_empty();
    match &plan.destination {
        Destination::StandardOutput(format) => {
            let (attempts, files) = (debrief.attempts.len(), reports::count(debrief, *format));
            if files > 1 {
                let problem = format!(
                    "{}: {attempts} attempts make {files} files, but `--out -` prints one report",
                    flight.shown
                );
                outcome
                    .fail([Diagnostic::error(problem).with_help("name a folder: `--out reports`")]);
                return;
            }
            match reports::rendered(debrief, *format, plan, &flight.report_stem) {
                Ok(mut files) => outcome.printed = files.pop().unwrap_or_default().1,
                Err(problem) => outcome.fail([problem]),
            }
            if outcome.without_attempt {
                outcome.told.push(no_attempt(debrief, flight));
            }
            if plan.explain_attempts {
                outcome
                    .told
                    .push(Diagnostic::progress(attempts_explained(debrief).trim_end()));
            }
        }
        Destination::Folder { folder, formats } => {
            let folder = &folder.join(&flight.subfolder);
            let mut written = Vec::new();
            'formats: for &format in formats {
                let files = match reports::rendered(debrief, format, plan, &flight.report_stem) {
                    Ok(files) => files,
                    Err(problem) => {
                        outcome.fail([problem]);
                        continue;
                    }
                };
                for (name, bytes) in files {
                    match files::write_whole(folder, &name, &bytes) {
                        Ok(path) => written.push(path.display().to_string()),
                        Err(problem) => {
                            // The others would fail for the same reason.
                            outcome.fail([problem]);
                            break 'formats;
                        }
                    }
                }
            }
            if outcome.without_attempt && debrief.not_attempts.is_empty() {
                outcome.told.push(no_attempt(debrief, flight));
            }
            if !plan.quiet {
                let mut text = report::summary_table_in(debrief, plan.wording(debrief));
                if plan.explain_attempts {
                    text.push('\n');
                    text.push_str(&attempts_explained(debrief));
                }
                outcome.printed = text.into_bytes();
            }
            if !written.is_empty() {
                outcome.told.push(Diagnostic::progress(format!(
                    "wrote {}",
                    written.join(", ")
                )));
            }
        }
    }
}

/// How many power reductions are named where none is an attempt.
const NEAREST_NAMED: usize = 5;

/// Why nothing was debriefed: the nearest candidates, and what each lacks.
fn no_attempt(debrief: &Debrief, flight: &Flight) -> Diagnostic {
    let mut text = format!("{}: no practice forced landing found", flight.shown);
    let mut nearest: Vec<_> = debrief.not_attempts.iter().collect();
    nearest.sort_by(|a, b| b.confidence.total_cmp(&a.confidence));
    nearest.truncate(NEAREST_NAMED);
    nearest.sort_by(|a, b| a.utc.cmp(&b.utc));
    for candidate in nearest {
        let _ = write!(
            text,
            "\n  {}  power reduced at {:.0} ft: {}",
            words::time_of_day(&candidate.utc),
            candidate.height_ft,
            candidate.reason
        );
    }
    let diagnostic = Diagnostic::warning(text);
    if !debrief.holds_altitude() {
        diagnostic.with_help(
            "export the flight again with its altitudes, or use the file of another recorder",
        )
    } else if debrief.not_attempts.is_empty() {
        diagnostic.with_help("an attempt starts where the power comes off 500 ft or more up; nowhere in this recording does it")
    } else {
        diagnostic
    }
}

/// How sure each attempt is, and what the other power reductions lack.
fn attempts_explained(debrief: &Debrief) -> String {
    let mut out = String::from("Power reductions looked at\n");
    let mut lines: Vec<(String, String)> = Vec::new();
    for attempt in &debrief.attempts {
        let start = attempt
            .key_points
            .iter()
            .find(|point| point.kind == "power_reduction");
        let utc = start
            .and_then(|point| point.utc.value())
            .unwrap_or_default();
        let height = start.and_then(|point| point.height_ft.value());
        let text = format!(
            "{}attempt {}, ends with a {}",
            height.map_or_else(String::new, |ft| format!("{ft:.0} ft: ")),
            attempt.number,
            words::ending(attempt.ending)
        );
        lines.push((utc, format!("{:>5.2}  {text}", attempt.confidence)));
    }
    for other in &debrief.not_attempts {
        let text = format!(
            "{:.0} ft: not an attempt: {}",
            other.height_ft, other.reason
        );
        lines.push((
            other.utc.clone(),
            format!("{:>5.2}  {text}", other.confidence),
        ));
    }
    if lines.is_empty() {
        out.push_str("  none: nowhere does the power come off 500 ft or more up\n");
        return out;
    }
    out.push_str("  time      probability of being an attempt\n");
    lines.sort();
    for (utc, text) in lines {
        let _ = writeln!(out, "  {:<8} {text}", words::time_of_day(&utc));
    }
    out
}

/// Bytes as people write hashes.
pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut out, byte| {
        let _ = write!(out, "{byte:02x}");
        out
    })
}

fn defect(flight: &Flight, payload: &(dyn Any + Send)) -> Diagnostic {
    let what = payload
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| payload.downcast_ref::<&str>().copied())
        .unwrap_or("no message");
    Diagnostic::error(format!(
        "{}: a defect of this program: {what}",
        flight.shown
    ))
    .with_help("the other recordings are not concerned; please report it with the recording")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hashes_are_written_as_usual() {
        // FIPS 180-4, the empty message
        assert!(hexadecimal(&Sha256::digest([])).starts_with("e3b0c44298fc1c14"));
    }
}
