//! Progress as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::page::overview;
use super::super::svg::{Canvas, Rect};
use super::super::words;
use super::{advice, chance, drawing, figure, headline, label, of_how_many, verdict, yardstick};
use crate::progress::document::{Overview, ProgressReport};

/// Width of the drawings, in their own units.
const WIDTH: f64 = 384.0;

/// The page of one pilot.
pub fn page_html(report: &ProgressReport) -> String {
    let [landed, around, open] = report.endings;
    let body = html! {
        header {
            h1 { "Progress of pilot " (words::printable(&report.pilot)) }
            p class="count" {
                (words::day(&report.first_utc)) " to " (words::day(&report.last_utc)) ", "
                (landed) " touchdowns, " (around) " go-arounds, " (open) " cut short"
            }
        }
        main {
            section {
                h2 { (headline(report)) }
                p class="detail" { (words::printable(&advice(report))) }
                div class="panels" { @for (i, m) in report.measures.iter().enumerate() {
                    @let mut canvas = Canvas::new(&format!("m{i}-"));
                    @let () = drawing::measure(&mut canvas, Rect::new(4.0, 4.0, WIDTH - 8.0, 192.0), i, m, Look::PAGE);
                    (overview::drawing(&canvas.finish((WIDTH, 200.0), "drawing", &m.label, &m.measure)))
                } }
                (table(report))
            }
            section aria-labelledby="notes" {
                h2 id="notes" { "What this rests on" }
                (overview::remarks(&report.warnings))
                p { "The yardsticks are the program’s own, to follow a pilot with, and no standard. First and last are means over up to " (report.compared) " flights each, weighted by the doubt of each figure and the spread from one flight to the next; where nearer zero is better, of the distance from zero, the recorder’s noise taken out. The probability of getting better is that of the straight line through all flights. Below four flights none of these is told. An attempt in which something was not achieved, as best glide that was never held, counts as not met; one that could not be measured counts nowhere." }
                ul { @for m in &report.measures {
                    li { (m.label) ": " (yardstick(m)) " (" (m.yardstick_source) ")" }
                } }
            }
        }
    };
    overview::page(
        &format!("Progress of {}", report.pilot),
        &body,
        &report.cautions,
        &report.program,
    )
}

fn table(report: &ProgressReport) -> Markup {
    html! {
        div class="scroll" tabindex="0" { table {
            thead { tr {
                th { "Measure" } th { "Attempts" } th { "First" } th { "Last" } th { "Difference" }
                th { "Last better than first" } th { "Met, last attempts" } th class="left" { "Course" }
            } }
            tbody { @for m in &report.measures { tr {
                th scope="row" { (m.label) @if !m.unit.is_empty() { ", " (m.unit) } }
                td { (of_how_many(m)) }
                td { (figure(m, &m.first)) }
                td { (figure(m, &m.last)) }
                td { (figure(m, &m.difference)) }
                td { @if let Some(p) = m.probability_better { (chance(p)) } @else { "–" } }
                td { @if let Some(share) = m.met_share { (format!("{:.0} %", 100.0 * share)) } @else { "–" } }
                td class="left" { (verdict(m)) }
            } } }
        } }
    }
}

/// The page of all pilots.
pub fn overview_html(report: &Overview) -> String {
    let body = html! {
        header { h1 { "Pilots" } }
        main {
            section {
                h2 { (report.pilots.len()) " pilots" }
                p class="detail" { "Share of the last five attempts within the yardstick; ↑ getting better, ↓ getting worse, of which one in twenty is expected to be chance." }
                div class="scroll" tabindex="0" { table {
                    thead { tr {
                        th { "Pilot" } th { "Attempts" } th { "Last" }
                        @for met in report.pilots.first().iter().flat_map(|p| &p.met_shares) {
                            th { (label(&met.measure)) }
                        }
                    } }
                    tbody { @for pilot in &report.pilots { tr {
                        th scope="row" { (words::printable(&pilot.pilot)) }
                        td { (pilot.attempts) }
                        td { (pilot.last_utc.get(..10).unwrap_or_default()) }
                        @for met in &pilot.met_shares { td {
                            @if let Some(share) = met.share { (format!("{:.0} %", 100.0 * share)) } @else { "–" }
                            @if pilot.improving.contains(&met.measure) { " ↑" }
                            @if pilot.worsening.contains(&met.measure) { " ↓" }
                        } }
                    } } }
                } }
                (overview::remarks(&report.warnings))
            }
        }
    };
    overview::page("Pilots", &body, &report.cautions, &report.program)
}
