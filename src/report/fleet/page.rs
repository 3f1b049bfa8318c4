//! The fleet as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number::{self, Figure};
use super::super::page::shell::{self, WIDTH};
use super::super::wording::Manner;
use super::super::words;
use super::drawing::Column;
use super::{drawing, finding, findings_differ, named_apart, percent, types, with_interval};
use crate::fleet::document::{Airframe, FleetReport, TypePolar};

/// The whole page.
pub fn page_html(report: &FleetReport, manner: &Manner) -> String {
    let report = &named_apart(report);
    // one month is no history
    let (with_history, too_short): (Vec<&Airframe>, Vec<&Airframe>) =
        report.airframes.iter().partition(|a| a.history.len() > 1);
    let too_short: Vec<&str> = too_short.iter().map(|a| &a.registration[..]).collect();
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
                div class="panels polars" { @for (i, kind) in report.types.iter().enumerate() {
                    div class="column" { (polar(i, kind, manner)) (polar_facts(kind, manner)) }
                } }
            }
            section aria-labelledby="history" {
                h2 id="history" { "History" }
                @if !with_history.is_empty() {
                    p { "Glide ratio month by month with 95 % intervals, against the airframe’s own; the field is 20 % up and down, and an arrow goes on to the value beside it." }
                    div class="panels" { @for (i, airframe) in with_history.iter().enumerate() { (history(i, airframe)) } }
                }
                @if !too_short.is_empty() {
                    p { "Glides of one month only, or of none: " (words::printable(&too_short.join(", "))) "." }
                }
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
        drawing::dots_height(look, report.airframes.len()) - 1.3 * look.body,
    );
    let mut columns = vec![Column::new("Glide ratio", 130.0, |a| {
        with_interval(number::plain(&a.glide_ratio, 1))
    })];
    if findings_differ(report) {
        columns.push(Column::new("Finding", 200.0, |a| {
            finding(a).trim_start_matches("glides ").to_owned()
        }));
    }
    let drawn = shell::drawn(
        "dots",
        size,
        ("Glide ratios", "each with its interval"),
        |canvas, area| {
            let rows = (report, &report.airframes[..]);
            drawing::dots(canvas, area, rows, (&columns, look.body), look);
        },
    );
    // on a phone it is looked at piece by piece: the letters stay letters
    html! {
        h3 { (drawing::TITLE) }
        div class="scroll broad" tabindex="0" role="region" aria-label="Glide ratios" {
            div { (shell::panel(&drawn)) }
        }
        p class="note" { (drawing::KEY) }
    }
}

fn polar(index: usize, kind: &TypePolar, manner: &Manner) -> Markup {
    let prefix = format!("polar{index}");
    let name = manner.figures().sentence(&kind.name);
    let drawn = shell::drawn(
        &prefix,
        (WIDTH, 270.0),
        ("Polar", name.as_str()),
        |canvas, area| {
            drawing::polar(canvas, area, (index, kind), manner.figures(), Look::PAGE);
        },
    );
    shell::panel(&drawn)
}

/// Whether the speed of the best ratio is one that nobody flew.
fn beyond_flown(kind: &TypePolar) -> bool {
    let best = kind.best_ratio_kcas.value();
    best.zip(kind.flown_kcas)
        .is_some_and(|(best, [slowest, fastest])| best < slowest || best > fastest)
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
        div class="scroll" tabindex="0" role="region" aria-label={ "Polar, " (words::printable(&manner.figures().sentence(&kind.name))) } { table class="pairs" { tbody {
            @for (name, figure) in rows {
                tr { th scope="row" { (name) } td { (with_interval(figure)) } }
            }
        } } }
        @if beyond_flown(kind) { p class="note" {
            "The speed of the best ratio lies beyond the speeds flown, and so does much of its interval: it is a guess."
        } }
    }
}

/// A value with its interval, which goes below it where there is no room beside it.
fn value_over(figure: Option<Figure>) -> Markup {
    html! {
        @if let Some(figure) = figure { (figure.value) " " span { "(" (figure.interval()) ")" } }
        @else { "–" }
    }
}

fn table(report: &FleetReport, manner: &Manner) -> Markup {
    let (feet, rate) = (manner.figures().ft(), manner.figures().fpm());
    let letters = types(report);
    let letter = |a: &Airframe| {
        let of = letters.iter().find(|(_, name)| *name == a.aircraft_type);
        of.map_or_else(String::new, |(letter, _)| letter.clone())
    };
    let findings = findings_differ(report);
    let head = html! {
        th scope="col" { (words::sentence_case(&report.by)) }
        @if letters.len() > 1 { th scope="col" class="left" { "Type" } }
        th scope="col" { "Attempts" } th scope="col" { "Glide ratio" }
        th scope="col" { "By its own glides alone" } th scope="col" { "Handbook" }
        th scope="col" { "Chance of 5 % or more below the handbook" } th scope="col" { "Sink, " (rate.unit) }
        th scope="col" { "Against the others, %" } th scope="col" { "Abeam, " (feet.unit) }
        @if findings { th scope="col" class="left" { "Finding" } }
    };
    let rows = html! {
        @for a in &report.airframes {
            tr {
                th scope="row" { (words::printable(&a.registration)) }
                @if letters.len() > 1 {
                    td class="left" { (letter(a)) }
                }
                td { (a.attempts) }
                td class="value" { (value_over(number::plain(&a.glide_ratio, 1))) }
                td { (value_over(number::plain(&a.glide_ratio_alone, 1))) }
                td { @if let Some(book) = a.handbook_glide_ratio { (number::number(book, 1)) } @else { "–" } }
                td { (percent(a.probability_5_percent_below_handbook)) }
                td { (value_over(number::in_unit(&a.air_sink_rate_fpm, rate, f64::INFINITY))) }
                td { (value_over(number::plain(&a.against_others_percent, 1))) }
                td { (value_over(number::in_unit(&a.abeam_height_needed_ft, feet, f64::INFINITY))) }
                @if findings { td class="left" { (finding(a)) } }
            }
        }
    };
    html! {
        (shell::wide_table("Figures, with 95 % intervals", &head, &rows))
        @if let Some(one) = report.airframes.first().filter(|_| !findings) {
            p { "Finding on each: " (finding(one)) "." }
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
