//! The fleet as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number;
use super::super::page::overview;
use super::super::svg::{Canvas, Rect};
use super::super::words;
use super::{drawing, finding, percent, with_interval};
use crate::fleet::document::{FleetReport, TypePolar};

/// Width of the drawings, in their own units.
const WIDTH: f64 = 384.0;

/// The whole page.
pub fn page_html(report: &FleetReport) -> String {
    let body = html! {
        header {
            h1 { "Fleet" }
            p class="count" {
                (report.attempts) " attempts in " (report.recordings) " recordings, by " (report.by)
            }
        }
        main {
            section {
                h2 { (words::printable(&super::sheet::headline(report))) }
                p class="detail" {
                    "Glide at idle, clean, wings level, brought to best glide speed and reference weight. Every figure is the middle of the draws, with its 95 % interval. The glide ratio is drawn towards the others of the type as far as they are alike; beside it is what the glides of this one alone say."
                }
                (overview::drawing(&dots(report)))
                (table(report))
            }
            section aria-labelledby="polars" {
                h2 id="polars" { "Polars" }
                div class="panels" { @for (i, kind) in report.types.iter().enumerate() {
                    div { (overview::drawing(&polar(i, kind))) (polar_facts(kind)) }
                } }
            }
            section aria-labelledby="history" {
                h2 id="history" { "History" }
                p { "Glide ratio month by month with 95 % intervals, against the airframe’s own; the field is 20 % up and down." }
                div class="panels" { @for (i, airframe) in report.airframes.iter().enumerate() {
                    @let mut canvas = Canvas::new(&format!("h{i}-"));
                    @let () = drawing::history(&mut canvas, Rect::new(4.0, 4.0, WIDTH - 8.0, 112.0), i, airframe, Look::PAGE);
                    (overview::drawing(&canvas.finish((WIDTH, 120.0), "drawing", "History", &airframe.registration)))
                } }
            }
            section aria-labelledby="notes" {
                h2 id="notes" { "What this rests on" }
                (overview::remarks(&report.warnings))
                p { "Glides of one type share a drag polar; each airframe has its own parasite drag, each flight its own air. An airframe with few glides is drawn towards the others of its type as far as those are alike. Who differs is found such that no more than one finding in twenty is expected to be wrong. The height abeam is that at which the same pattern works out as it does at the handbook’s glide and the height wanted." }
            }
        }
    };
    overview::page("Fleet", &body, &report.cautions, &report.program)
}

fn dots(report: &FleetReport) -> String {
    let look = Look::PAGE;
    let width = 2.4 * WIDTH;
    let height = drawing::dots_height(look, report.airframes.len()) + 12.0;
    let mut canvas = Canvas::new("dots-");
    let area = Rect::new(6.0, 6.0, width - 12.0, height - 12.0);
    drawing::dots(&mut canvas, area, report, &report.airframes, look);
    canvas.finish((width, height), "drawing", "Glide ratios", "dots")
}

fn polar(index: usize, kind: &TypePolar) -> String {
    let mut canvas = Canvas::new(&format!("polar{index}-"));
    drawing::polar(
        &mut canvas,
        Rect::new(6.0, 6.0, WIDTH - 12.0, 258.0),
        kind,
        Look::PAGE,
    );
    canvas.finish((WIDTH, 270.0), "drawing", "Polar", "polar")
}

fn polar_facts(kind: &TypePolar) -> Markup {
    let rows = [
        (
            "Speed of the best ratio, kt",
            number::plain(&kind.best_ratio_kcas, 0),
        ),
        (
            "Drag in turns against that of the load factor",
            number::plain(&kind.turning_share, 1),
        ),
        (
            "Spread between airframes, %",
            number::plain(&kind.between_airframes_percent, 1),
        ),
        (
            "Spread from glide to glide, %",
            number::plain(&kind.between_glides_percent, 1),
        ),
    ];
    html! {
        table { tbody { @for (name, figure) in rows {
            tr { th scope="row" { (name) } td { (with_interval(figure)) } }
        } } }
    }
}

fn table(report: &FleetReport) -> Markup {
    html! {
        div class="scroll" tabindex="0" {
            table {
                thead { tr {
                    th { (words::sentence_case(&report.by)) }
                    th { "Attempts" } th { "Glide ratio" } th { "By its own glides alone" } th { "Handbook" }
                    th { "Over 5 % below handbook" } th { "Sink, ft/min" } th { "Against the others, %" }
                    th { "Abeam, ft" } th class="left" { "Finding" }
                } }
                tbody { @for a in &report.airframes {
                    tr {
                        th scope="row" { (words::printable(&a.registration)) }
                        td { (a.attempts) }
                        td class="value" { (with_interval(number::plain(&a.glide_ratio, 1))) }
                        td { (with_interval(number::plain(&a.glide_ratio_alone, 1))) }
                        td { @if let Some(book) = a.handbook_glide_ratio { (number::number(book, 1)) } }
                        td { (percent(a.probability_5_percent_below_handbook)) }
                        td { (with_interval(number::plain(&a.air_sink_rate_fpm, 0))) }
                        td { (with_interval(number::plain(&a.against_others_percent, 1))) }
                        td { (with_interval(number::plain(&a.abeam_height_needed_ft, 0))) }
                        td class="left" { (finding(a)) }
                    }
                } }
            }
        }
    }
}
