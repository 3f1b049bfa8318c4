//! The fleet as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number;
use super::super::page::shell::{self, WIDTH};
use super::super::wording::Manner;
use super::super::words;
use super::drawing::Column;
use super::{drawing, finding, in_unit, percent, types, with_interval};
use crate::fleet::document::{Airframe, FleetReport, TypePolar};

/// The whole page.
pub fn page_html(report: &FleetReport, manner: &Manner) -> String {
    let history = |i: usize, airframe: &Airframe| {
        let (prefix, name) = (format!("h{i}"), ("History", &airframe.registration[..]));
        let drawn = shell::drawn(&prefix, (WIDTH, 120.0), name, |canvas, area| {
            drawing::history(canvas, area, i, airframe, manner, Look::PAGE);
        });
        shell::panel(&drawn)
    };
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
                    "Glide at idle, clean, wings level, brought to best glide speed and reference weight. Every figure is the middle of the draws, with its 95 % interval. The glide ratio is drawn towards the others of the type as far as they are alike; its interval holds for each airframe, also for one that is like no other. Beside it is what the glides of this one alone say."
                }
                (dots(report))
                (table(report, manner))
            }
            section aria-labelledby="polars" {
                h2 id="polars" { "Polars" }
                div class="panels" { @for (i, kind) in report.types.iter().enumerate() {
                    div class="column" { (polar(i, kind, manner)) (polar_facts(kind, manner)) }
                } }
            }
            section aria-labelledby="history" {
                h2 id="history" { "History" }
                p { "Glide ratio month by month with 95 % intervals, against the airframe’s own; the field is 20 % up and down, and an arrow goes on to the value beside it." }
                div class="panels" { @for (i, airframe) in report.airframes.iter().enumerate() { (history(i, airframe)) } }
            }
            section aria-labelledby="notes" {
                h2 id="notes" { "What this rests on" }
                (shell::remarks(&report.warnings, manner.figures()))
                p { "Glides of one type share a drag polar; each airframe has its own parasite drag, each flight its own air. An airframe with few glides is drawn towards the others of its type as far as those are alike. Who differs is found such that no more than one finding in twenty is expected to be wrong. The height abeam is that at which the same pattern works out as it does at the handbook’s glide and the height wanted." }
            }
        }
    };
    let foot = (&report.cautions[..], report.program.as_str());
    shell::page("Fleet", &body, foot, None)
}

fn dots(report: &FleetReport) -> Markup {
    let look = Look::PAGE;
    let size = (
        2.4 * WIDTH,
        drawing::dots_height(look, report.airframes.len()) + 12.0,
    );
    let columns = [
        Column::new("Glide ratio", 130.0, |a| {
            with_interval(number::plain(&a.glide_ratio, 1))
        }),
        Column::new("Finding", 200.0, |a| {
            finding(a).trim_start_matches("glides ").to_owned()
        }),
    ];
    let drawn = shell::drawn("dots", size, ("Glide ratios", "dots"), |canvas, area| {
        let rows = (report, &report.airframes[..]);
        drawing::dots(canvas, area, rows, (&columns, look.body), look);
    });
    // on a phone it is looked at piece by piece: the letters stay letters
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Glide ratios" {
            div style="min-width:46rem" { (shell::panel(&drawn)) }
        }
    }
}

fn polar(index: usize, kind: &TypePolar, manner: &Manner) -> Markup {
    let prefix = format!("polar{index}");
    let drawn = shell::drawn(
        &prefix,
        (WIDTH, 270.0),
        ("Polar", "polar"),
        |canvas, area| {
            drawing::polar(canvas, area, (index, kind), manner.figures(), Look::PAGE);
        },
    );
    shell::panel(&drawn)
}

fn polar_facts(kind: &TypePolar, manner: &Manner) -> Markup {
    let knots = manner.figures().kt();
    let best_ratio = format!("Speed of the best ratio, {}", knots.unit);
    let rows = [
        (
            best_ratio.as_str(),
            number::in_unit(&kind.best_ratio_kcas, knots, f64::INFINITY),
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
        div class="scroll" tabindex="0" role="region" aria-label="Polar" { table { tbody {
            @for (name, figure) in rows {
                tr { th scope="row" { (name) } td { (with_interval(figure)) } }
            }
        } } }
    }
}

fn table(report: &FleetReport, manner: &Manner) -> Markup {
    let (feet, rate) = (manner.figures().ft(), manner.figures().fpm());
    let letters = types(report);
    let letter = |a: &Airframe| {
        let of = letters.iter().find(|(_, name)| *name == a.aircraft_type);
        of.map_or_else(String::new, |(letter, _)| letter.clone())
    };
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Airframes" {
            table style="white-space:nowrap" {
                thead style="white-space:normal" { tr {
                    th { (words::sentence_case(&report.by)) }
                    @if letters.len() > 1 { th class="left" { "Type" } }
                    th { "Attempts" } th { "Glide ratio" } th { "By its own glides alone" } th { "Handbook" }
                    th { "Over 5 % below handbook" } th { "Sink, " (rate.unit) } th { "Against the others, %" }
                    th { "Abeam, " (feet.unit) } th class="left" { "Finding" }
                } }
                tbody { @for a in &report.airframes {
                    tr {
                        th scope="row" { (words::printable(&a.registration)) }
                        @if letters.len() > 1 {
                            td class="left" { (letter(a)) }
                        }
                        td { (a.attempts) }
                        td class="value" { (with_interval(number::plain(&a.glide_ratio, 1))) }
                        td { (with_interval(number::plain(&a.glide_ratio_alone, 1))) }
                        td { @if let Some(book) = a.handbook_glide_ratio { (number::number(book, 1)) } }
                        td { (percent(a.probability_5_percent_below_handbook)) }
                        td { (in_unit(&a.air_sink_rate_fpm, rate)) }
                        td { (with_interval(number::plain(&a.against_others_percent, 1))) }
                        td { (in_unit(&a.abeam_height_needed_ft, feet)) }
                        td class="left" { (finding(a)) }
                    }
                } }
            }
        }
        @if letters.len() > 1 { p {
            "Types: "
            @for (i, (letter, name)) in letters.iter().enumerate() {
                @if i > 0 { "; " } (letter) ": " (words::printable(&manner.figures().sentence(name)))
            }
            "."
        } }
    }
}
