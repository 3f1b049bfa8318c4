//! The reports of one recording, by name.

use super::args::Format;
use super::diagnostic::Diagnostic;
use super::plan::DebriefPlan;
use crate::debrief::Debrief;
use crate::report::{self, exchange, picture, picture::PictureProblem};

/// A file to write: its name, and what is in it.
pub(super) type Named = (String, Vec<u8>);

/// The files of one format by name; none where the recording gives none.
pub(super) fn rendered(
    debrief: &Debrief,
    format: Format,
    plan: &DebriefPlan,
    stem: &str,
) -> Result<Vec<Named>, Diagnostic> {
    let extension = format.extension();
    let one = |text: String| Ok(vec![(format!("{stem}.{extension}"), text.into_bytes())]);
    match format {
        Format::Json => one(report::document_json(debrief)),
        Format::Html => one(report::page_html_in(debrief, plan.wording(debrief))),
        Format::Geojson => one(report::geojson(debrief)),
        Format::Kml => one(exchange::kml(debrief)),
        Format::Gpx => one(exchange::path_gpx(debrief)),
        Format::Csv => one(exchange::path_csv(debrief)),
        Format::Svg => Ok(numbered(sheets(debrief, plan), stem, extension)),
        Format::StageCheck => Ok(numbered(forms(debrief, plan), stem, extension)),
        Format::Png => {
            let pictures = sheets(debrief, plan)
                .iter()
                .map(|sheet| picture::png(sheet))
                .collect::<Result<Vec<_>, _>>();
            let pictures = pictures.map_err(|problem| not_drawn(stem, extension, &problem))?;
            Ok(numbered(pictures, stem, extension))
        }
        Format::Pdf => pdfs(debrief, plan, stem),
    }
}

/// All sheets in one file, and with a standard all its forms in another.
fn pdfs(debrief: &Debrief, plan: &DebriefPlan, stem: &str) -> Result<Vec<Named>, Diagnostic> {
    let title = format!("Practice forced landings in {}", debrief.recording.file);
    let parts = [
        ("pdf", sheets(debrief, plan), title),
        ("check.pdf", forms(debrief, plan), "Stage check".to_owned()),
    ];
    let mut files = Vec::new();
    for (extension, pages, title) in parts {
        if !pages.is_empty() {
            let bytes = picture::pdf(&pages, &title)
                .map_err(|problem| not_drawn(stem, extension, &problem))?;
            files.push((format!("{stem}.{extension}"), bytes));
        }
    }
    Ok(files)
}

/// Names of the files of one format, of a recording with so many attempts.
pub(super) fn names(format: Format, attempts: usize, graded: bool, stem: &str) -> Vec<String> {
    let ending = format.extension();
    match format {
        Format::Svg | Format::Png | Format::StageCheck if attempts > 1 => (1..=attempts)
            .map(|n| format!("{stem}-{n}.{ending}"))
            .collect(),
        Format::StageCheck if attempts == 0 => Vec::new(),
        Format::Pdf if graded && attempts > 0 => {
            vec![format!("{stem}.{ending}"), format!("{stem}.check.{ending}")]
        }
        _ => vec![format!("{stem}.{ending}")],
    }
}

/// How many files a format makes of a recording.
pub(super) fn count(debrief: &Debrief, format: Format) -> usize {
    let graded = || {
        debrief
            .attempts
            .iter()
            .filter(|a| a.grade.is_some())
            .count()
    };
    match format {
        Format::Svg | Format::Png => debrief.attempts.len().max(1),
        Format::StageCheck => graded(),
        Format::Pdf => 1 + usize::from(graded() > 0),
        _ => 1,
    }
}

/// The sheet of every attempt, or the one that says that there is none.
fn sheets(debrief: &Debrief, plan: &DebriefPlan) -> Vec<String> {
    let options = plan.sheet(debrief);
    (0..debrief.attempts.len().max(1))
        .map(|i| report::sheet_svg(debrief, i, &options))
        .collect()
}

/// The stage-check forms; none where there is no attempt or no standard.
fn forms(debrief: &Debrief, plan: &DebriefPlan) -> Vec<String> {
    (0..debrief.attempts.len())
        .filter_map(|i| report::stage_check_svg_in(debrief, i, plan.wording(debrief)))
        .collect()
}

/// `flight.svg`, or `flight-1.svg`, `flight-2.svg` where there are several.
fn numbered(texts: Vec<impl Into<Vec<u8>>>, stem: &str, extension: &str) -> Vec<Named> {
    let several = texts.len() > 1;
    let name = |i: usize| {
        if several {
            format!("{stem}-{}.{extension}", i + 1)
        } else {
            format!("{stem}.{extension}")
        }
    };
    texts
        .into_iter()
        .enumerate()
        .map(|(i, text)| (name(i), text.into()))
        .collect()
}

fn not_drawn(stem: &str, extension: &str, problem: &PictureProblem) -> Diagnostic {
    Diagnostic::error(format!("{stem}.{extension}: {problem}"))
        .with_help("the other formats are not concerned: leave it out of `--format`")
}
