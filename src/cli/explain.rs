//! `stillprop explain`: the catalogue of measures, printed.

use std::fmt::Write as _;

use super::diagnostic::Diagnostic;
use crate::briefing::spelling::nearest;
use crate::measures::catalogue::{CATALOGUE, MeasureInfo};
use crate::measures::explained;

/// The definition of one measure.
pub(super) fn one(id: &str) -> Result<String, Diagnostic> {
    CATALOGUE
        .iter()
        .find(|info| info.id == id)
        .map(definition)
        .ok_or_else(|| {
            let asked = id.to_lowercase().replace(' ', "_");
            let holds = || {
                let mut ids = CATALOGUE.iter().map(|info| info.id);
                ids.find(|known| known.contains(&asked))
            };
            let near = nearest(id, CATALOGUE.iter().map(|info| info.id)).or_else(holds);
            let help = near.map_or_else(
                || "`stillprop explain` lists them all".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            Diagnostic::error(format!("no measure is called `{id}`")).with_help(help)
        })
}

/// Every measure, one a line, in the order of the reports.
pub(super) fn all() -> String {
    let width = CATALOGUE
        .iter()
        .map(|info| info.id.len())
        .max()
        .unwrap_or(0);
    CATALOGUE.iter().fold(String::new(), |mut out, info| {
        let _ = writeln!(out, "{:width$}  {}", info.id, info.label);
        out
    })
}

/// Columns of a terminal.
const WIDTH: usize = 80;

fn definition(info: &MeasureInfo) -> String {
    let unit = if info.unit.is_empty() {
        String::new()
    } else {
        format!(", {}", info.unit)
    };
    let mut out = format!("{}\n{}{unit} ({})\n", info.id, info.label, info.group);
    let mut part = |title: &str, text: &str| {
        let _ = write!(out, "\n{title}\n{}", wrapped(text));
    };
    part("Definition", info.definition);
    if let Some(explanation) = explained::find(info.id) {
        part("Formula, for one possible path", explanation.formula);
        part("The interval includes", explanation.includes);
        part("It leaves out", explanation.leaves_out);
        part("Source", explanation.source);
    }
    out.push_str(
        "\nThe value is the median over the draws, low and high hold 95 % of them\n(JCGM 101:2008).\n",
    );
    out
}

/// Lines of at most [`WIDTH`] columns, indented by two.
fn wrapped(text: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in text.split(' ') {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > WIDTH {
            out.push('\n');
            column = 0;
        }
        if column == 0 {
            out.push_str("  ");
            column = 2;
        } else {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out.push('\n');
    out
}
