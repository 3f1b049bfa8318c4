//! `stillprop standards`: what an attempt can be held against, printed; and `--standard` found.

use std::fmt::Write as _;
use std::path::Path;

use super::diagnostic::Diagnostic;
use super::files;
use crate::grading::{self, Criterion, Standard};
use crate::report::bounds::published;
use crate::report::verdicts::SHARE_IS_OURS;

/// The standard of an id, or of a file whose name ends in `.toml`.
pub(super) fn named(name: &str) -> Result<Standard, Vec<Diagnostic>> {
    let path = Path::new(name);
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("toml"))
    {
        let text = files::read_text(path).map_err(|problem| vec![problem])?;
        return grading::parse(&text, name, grading::embedded()).map_err(|error| {
            let told = |p: &grading::StandardProblem| Diagnostic::error(p.to_string());
            error.problems.iter().map(told).collect()
        });
    }
    grading::find(name).cloned().ok_or_else(|| {
        let (what, help) = grading::unknown_id(name);
        vec![Diagnostic::error(what).with_help(help)]
    })
}

/// Every standard, one a line.
pub(super) fn all() -> String {
    let standards = grading::embedded();
    let width = standards.iter().map(|s| s.id.len()).max().unwrap_or(0);
    standards.iter().fold(String::new(), |mut out, standard| {
        let _ = writeln!(out, "{:width$}  {}", standard.id, standard.name);
        out
    })
}

/// One standard, with the source of each figure.
pub(super) fn one(standard: &Standard) -> String {
    let mut out = format!("{}\n{}\n", standard.id, standard.name);
    if !standard.authority.is_empty() {
        let _ = writeln!(out, "{}", standard.authority);
    }
    if let Some(note) = &standard.note {
        let _ = writeln!(out, "{note}");
    }
    out.push_str("\nShown by a track\n");
    for criterion in &standard.criteria {
        let _ = writeln!(out, "  {}: {}", criterion.name, bounds(criterion));
        let _ = writeln!(out, "    measure  {}", criterion.measure);
        let caution = criterion
            .basis
            .caution()
            .map_or_else(String::new, |c| format!(" ({c})"));
        let _ = writeln!(out, "    source   {}{caution}", criterion.source);
        if criterion.within_kt.is_some() {
            let _ = writeln!(out, "    note     {SHARE_IS_OURS}");
        }
    }
    if !standard.by_hand.is_empty() {
        out.push_str("\nTo be marked by hand\n");
    }
    for line in &standard.by_hand {
        let _ = writeln!(out, "  {}", line.what);
        if !line.source.is_empty() {
            let _ = writeln!(out, "    source   {}", line.source);
        }
    }
    if !standard.checklist.is_empty() {
        let _ = writeln!(out, "\nChecklist: {}", standard.checklist.join(", "));
    }
    let _ = writeln!(
        out,
        "\nMet where at least {:.0} % of the possible paths are inside, not met where at most {:.0} % are,\nelse too close to call. Evidence, not a pass: the examiner or instructor decides.",
        100.0 * standard.met_from_share,
        100.0 * standard.not_met_to_share,
    );
    out
}

/// The tolerance, counted from a speed of the briefing where it is.
fn bounds(criterion: &Criterion) -> String {
    if let (Some([low, high]), Some(about)) = (criterion.within_kt, criterion.about) {
        let speeds = published("glide_cas_mean_kt", (Some(low), Some(high)), true);
        let share = published(&criterion.measure, (criterion.low, criterion.high), false);
        return format!("{speeds} of {} for {share} of the time", about.words());
    }
    let words = published(
        &criterion.measure,
        (criterion.low, criterion.high),
        criterion.about.is_some(),
    );
    let about = criterion
        .about
        .map_or_else(String::new, |about| format!(" of {}", about.words()));
    format!("{words}{about}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(id: &str, measure: &str) -> String {
        let standard = grading::find(id).unwrap();
        let mut criteria = standard.criteria.iter();
        bounds(criteria.find(|c| c.measure == measure).unwrap())
    }

    #[test]
    fn tolerances_as_they_are_published() {
        assert_eq!(of("AU-MOS", "touchdown_along_ft"), "±60 m (±197 ft)");
        assert_eq!(
            of("US-commercial-PO180", "touchdown_along_ft"),
            "0 to 200 ft"
        );
        assert_eq!(
            of("US-private-emergency", "glide_cas_within_share"),
            "±10 kt of best glide speed for at least 90 % of the time"
        );
        assert_eq!(
            of("Canada-ultralight", "glide_cas_within_share"),
            "0 to +10 mph (0 to +9 kt) of best glide speed for at least 90 % of the time"
        );
    }
}
