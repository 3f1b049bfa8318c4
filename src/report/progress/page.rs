//! Progress as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number::chance;
use super::super::page::shell::{self, WIDTH};
use super::super::wording::Manner;
use super::super::words;
use super::{
    advice, drawing, endings, figure, headline, label, of_how_many, overview_advice,
    overview_headline, share, verdict, with_figures, with_unit, yardstick,
};
use crate::progress::document::{LAST, MeasureProgress, Overview, ProgressReport};
use crate::quantity::counted;

/// The page of one pilot.
pub fn page_html(report: &ProgressReport, manner: &Manner) -> String {
    let wording = manner.figures();
    let drawing = |i: usize, m: &MeasureProgress| {
        let (prefix, size, name) = (format!("m{i}"), (WIDTH, 200.0), (&m.label[..], verdict(m)));
        let name = (name.0, &name.1[..]);
        shell::panel(&shell::drawn(&prefix, size, name, |canvas, area| {
            drawing::measure(canvas, area, i, m, manner, Look::PAGE);
        }))
    };
    let body = html! {
        header {
            h1 { "Progress of pilot " (words::printable(&report.pilot)) }
            p class="count" {
                (manner.day(&report.first_utc)) " to " (manner.day(&report.last_utc)) ", "
                (endings(report))
            }
        }
        main {
            section {
                h2 { (headline(report)) }
                p class="detail" { (words::printable(&advice(report, wording))) }
                div class="panels" { @for (i, m) in report.measures.iter().enumerate() { (drawing(i, m)) } }
                (table(report, manner))
            }
            section aria-labelledby="notes" {
                h2 id="notes" { "What this rests on" }
                (shell::remarks(&report.warnings, manner.figures()))
                p { "The yardsticks are to follow a pilot with and grade nobody: where a standard has the limit it is taken from there, the rest is common practice. " @if report.compared > 0 { "First and last are means over up to " (report.compared) " flights each, weighted by the doubt of each figure and the spread from one flight to the next; where nearer zero is better, of the distance from zero, the recorder’s noise taken out. The probability of getting better is that of the straight line through all flights. " } @else { "Below four flights no first and last are compared, and no change is told. " } "In the share of the last " (LAST) " attempts each counts by how well it is known, and as half where it can just be used; a hollow dot is too uncertain to tell; at an arrow the line goes on, or the dot lies, beyond the drawing, at the value beside it. An attempt in which something was not achieved, as best glide that was never held, counts as not met; one that could not be measured counts nowhere." }
                ul { @for m in &report.measures {
                    li {
                        (wording.sentence(&m.label)) ": " (yardstick((&m.measure, &m.better, m.yardstick), wording)) " (" (m.yardstick_source) ")"
                    }
                } }
                @for why in shares_missing(report, manner) { p { (why) } }
            }
        }
    };
    let title = &format!("Progress of {}", report.pilot);
    let foot = (&report.cautions[..], report.program.as_str());
    shell::page(title, &body, foot, None)
}

/// A column of the figures: its head, and what it has of a measure.
type Column<'a> = (String, Box<dyn Fn(&MeasureProgress) -> String + 'a>);

fn table(report: &ProgressReport, manner: &Manner) -> Markup {
    let wording = manner.figures();
    let columns: Vec<Column<'_>> = vec![
        ("First".into(), Box::new(|m| figure(m, &m.first, wording))),
        ("Last".into(), Box::new(|m| figure(m, &m.last, wording))),
        (
            "Difference".into(),
            Box::new(|m| figure(m, &m.difference, wording)),
        ),
        (
            "Last better than first".into(),
            Box::new(|m| m.probability_better.map_or_else(|| DASH.into(), chance)),
        ),
        (
            format!("Met, last {LAST}"),
            Box::new(|m| share(m.met_share)),
        ),
    ];
    // what there is of no measure has no column
    let known: Vec<Column<'_>> = columns
        .into_iter()
        .filter(|(_, of)| report.measures.iter().any(|m| of(m) != DASH))
        .collect();
    let head = html! {
        th scope="col" { "Measure" } th scope="col" { "Attempts" }
        @for (head, _) in &known { th scope="col" { (head) } }
        th scope="col" class="left" { "Course" }
    };
    let rows = html! {
        @for m in &report.measures { tr {
            th scope="row" { (with_unit(m, wording)) }
            td { (of_how_many(m)) }
            @for (_, of) in &known { td { (of(m)) } }
            td class="left" { (verdict(m)) }
        } }
    };
    shell::wide_table("Figures, with 95 % intervals", &head, &rows)
}

/// What stands where there is no figure.
const DASH: &str = "\u{2013}";

/// Why there is no share of the last attempts, once for all measures of which the same is to be said.
fn shares_missing(report: &ProgressReport, manner: &Manner) -> Vec<String> {
    let mut said: Vec<(&str, Vec<String>)> = Vec::new();
    for m in &report.measures {
        let Some(why) = m.met_share_missing.as_deref() else {
            continue;
        };
        let label = manner.figures().sentence(&m.label);
        match said.iter_mut().find(|(known, _)| *known == why) {
            Some((_, labels)) => labels.push(label),
            None => said.push((why, vec![label])),
        }
    }
    said.iter()
        .map(|(why, labels)| {
            let of = if labels.len() == report.measures.len() {
                "any measure".to_owned()
            } else {
                labels.join("; ")
            };
            format!("Share of the last {LAST} not measured, of {of}: {why}.")
        })
        .collect()
}

/// The page of all pilots.
pub fn overview_html(report: &Overview, manner: &Manner) -> String {
    let body = html! {
        header { h1 { "Pilots" } }
        main {
            section {
                h2 { (overview_headline(report)) }
                p class="detail" { (overview_advice(report, manner.figures())) }
                p { "Share of the last " (LAST) " attempts within the yardstick, below it the attempts there are of a measure; ↑ getting better, ↓ getting worse, of which one in twenty is expected to be chance." }
                (shares(report, manner))
                (shell::remarks(&report.warnings, manner.figures()))
            }
        }
    };
    let foot = (&report.cautions[..], report.program.as_str());
    shell::page("Pilots", &body, foot, None)
}

/// What each pilot met of the last attempts.
fn shares(report: &Overview, manner: &Manner) -> Markup {
    let wording = manner.figures();
    let known = with_figures(report);
    let head = html! {
        th scope="col" { "Pilot" } th scope="col" { "Attempts" } th scope="col" { "Last" }
        @for m in known.iter().map(|&k| &report.measures[k]) { th scope="col" {
            (wording.sentence(label(&m.measure))) ", " (yardstick((&m.measure, &m.better, m.yardstick), wording))
        } }
    };
    let rows = html! {
        @if report.measures.iter().any(|m| m.share.is_some()) { tr {
            th scope="row" { "All" } td {} td {}
            @for m in known.iter().map(|&k| &report.measures[k]) { td { (share(m.share)) br; span class="untold" { (counted(m.pilots as usize, "pilot")) } } }
        } }
        @for pilot in &report.pilots { tr {
            th scope="row" { (words::printable(&pilot.pilot)) }
            td { (pilot.attempts) }
            td { (manner.iso_day(&pilot.last_utc)) }
            @for met in known.iter().filter_map(|&k| pilot.met_shares.get(k)) { td {
                (share(met.share))
                @if pilot.improving.contains(&met.measure) { " ↑" }
                @if pilot.worsening.contains(&met.measure) { " ↓" }
                @if met.attempts > 0 { br; span class="untold" { "of " (met.attempts) } }
            } }
        } }
    };
    let name = format!("Share of the last {LAST} attempts");
    shell::wide_table(&name, &head, &rows)
}
