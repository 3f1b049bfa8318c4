//! The tables of the page: one number a cell, so that they copy into a spreadsheet.

use super::stretches;
use maud::{Markup, PreEscaped, html};

use super::super::number::{self, Figure};
use super::super::panel::wind_arrows::arrow_svg;
use super::super::rows::groups;
use super::super::wording::{Units, Wording};
use super::super::words;
use crate::debrief::document::{Attempt, Debrief, Reference};
use crate::measures::catalogue::{CATALOGUE, MeasureInfo};
use crate::measures::explained;
use crate::quantity::Measured;

/// The cell of a value, as it is shown.
fn value(figure: &Figure, shown: &str) -> Markup {
    html! { td class=(if figure.told { "value" } else { "untold" }) { (shown) } }
}

/// Value, low and high as three cells.
fn three(measured: &Measured, figure: Option<Figure>) -> Markup {
    html! {
        @if let Some(figure) = figure {
            (value(&figure, figure.shown())) td { (figure.low) } td { (figure.high) }
        } @else {
            td colspan="3" class="missing" { (words::printable(measured.reason().unwrap_or("not measured"))) }
        }
    }
}

/// What the cursor says at a key point.
fn at_key_points(attempt: &Attempt) -> Markup {
    html! {
        @if attempt.series.elapsed_s.len() > 1 {
            p class="note screen" {
                "At a key point the cursor shows the figures of this table, which hold the doubt of its instant too; \
                 elsewhere those of the path at that very time."
            }
        }
    }
}

/// The key points.
pub(super) fn key_points(attempt: &Attempt, wording: Wording) -> Markup {
    let marks = super::marks::marks(attempt);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label={ "Key points of attempt " (attempt.number) } {
            table {
                caption { "Key points" }
                thead {
                    tr {
                        th scope="col" { "No" } th scope="col" class="left" { "Key point" }
                        th scope="col" class="utc" { (wording.zone()) } th scope="col" { "m:ss" }
                        th scope="col" { "Height, " (wording.ft().unit) } th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" { "CAS, " (wording.kt().unit) } th scope="col" { "low" } th scope="col" { "high" }
                    }
                }
                tbody {
                    @for point in &attempt.key_points {
                        @let utc = point.utc.value();
                        @let elapsed = utc.as_ref().and_then(|utc| words::elapsed_s(attempt, utc));
                        @let mark = elapsed.and_then(|t| marks.iter().find(|m| m.kind == point.kind && (m.elapsed_s - t).abs() < 1e-6));
                        tr {
                            td { @if let Some(mark) = mark { (mark.number) } }
                            th scope="row" { (words::printable(&words::key_point_name(point))) (elapsed.map_or("", words::power_still_on)) }
                            @if let Some(utc) = &utc {
                                td class="utc" { (words::printable(&wording.time_of_day(utc))) }
                                td class="clock" { (elapsed.map(number::clock).unwrap_or_default()) }
                                (three(&point.height_ft, wording.height(&point.height_ft)))
                                (three(&point.cas_kt, wording.speed(&point.cas_kt)))
                            } @else {
                                td colspan="8" class="missing" {
                                    "not measured: " (words::printable(point.utc.reason().unwrap_or("time unknown")))
                                }
                            }
                        }
                    }
                }
            }
        }
        (at_key_points(attempt))
    }
}

/// All measures.
pub(super) fn measures(attempt: &Attempt, reference: &Reference, wording: Wording) -> Markup {
    let groups = groups(attempt, reference, wording);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label={ "Measures of attempt " (attempt.number) } {
            table {
                caption { "Measures, with 95 % intervals" }
                thead {
                    tr {
                        th scope="col" { "Measure" } th scope="col" { "Value" }
                        th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" class="left" { "Unit" }
                        @if attempt.grade.is_some() { th scope="col" class="left" { "Verdict" } }
                    }
                }
                @for group in &groups {
                    tbody {
                        tr class="group" { th scope="rowgroup" colspan="6" {
                            (group.name)
                            @if !group.yardstick.is_empty() { " " span { (group.yardstick) } }
                        } }
                        @for row in &group.rows {
                            @let stretch = stretches::of(attempt, row.info.id).map(|(from, to)| format!("{from:.1},{to:.1}"));
                            tr data-stretch=[stretch] {
                                th scope="row" {
                                    (explained(row.info, wording))
                                }
                                (value(&row.figure, row.shown()))
                                td { (row.figure.low) } td { (row.figure.high) }
                                td class="unit" { (wording.unit(row.info)) }
                                @if attempt.grade.is_some() { td class="left" { (row.verdict.as_deref().unwrap_or("")) } }
                            }
                        }
                        @for missing in &group.missing {
                            tr { td colspan="6" class="missing" { (words::printable(&wording.sentence(&missing.sentence()))) } }
                        }
                    }
                }
            }
        }
    }
}

/// What a measure is; a share is in per cent here.
fn definition(info: &MeasureInfo, wording: Wording) -> String {
    let said = wording.sentence(info.definition);
    said.replace(
        "0 is never, 1 is always",
        "0\u{a0}% is never, 100\u{a0}% is always",
    )
}

/// The label of a measure, and behind it where all there is to know of it stands; the script puts that in its place.
fn explained(info: &MeasureInfo, wording: Wording) -> Markup {
    html! {
        details {
            summary { (wording.sentence(info.label)) }
            div class="more" {
                @if explained::find(info.id).is_some() {
                    a href={ "#about-" (info.id) } { "definition and source" }
                } @else {
                    p { (definition(info, wording)) }
                }
            }
        }
    }
}

/// Definition, formula, interval and source of every measure that an attempt has, once in the page.
pub(super) fn explanations(debrief: &Debrief, wording: Wording) -> Markup {
    let known = |info: &&MeasureInfo| {
        let figure = |a: &Attempt| wording.figure(info, a.measures.get(info.id)?);
        debrief.attempts.iter().any(|a| figure(a).is_some())
    };
    html! {
        section class="about" aria-labelledby="about" {
            h2 id="about" { "Measures explained" }
            details open {
            summary { "Definition, formula, interval and source of all measures" }
            div class="columns" {
                @for info in CATALOGUE.iter().filter(known) {
                    div id={ "about-" (info.id) } {
                        h3 { (wording.sentence(info.label)) }
                        @if let Some(all) = explained::find(info.id) {
                            dl {
                                dt { "Definition" } dd { (definition(info, wording)) }
                                // formula and source stay as they are published
                                dt { "Formula, for one possible path" } dd { (all.formula) }
                                dt { "The interval includes" } dd { (wording.sentence(all.includes)) }
                                dt { "It leaves out" } dd { (wording.sentence(all.leaves_out)) }
                                dt { "Source" } dd { (all.source) }
                            }
                        }
                    }
                }
            }
            }
        }
    }
}

/// Wind by height.
pub(super) fn wind(attempt: &Attempt, wording: Wording) -> Markup {
    html! {
        div class="scroll" tabindex="0" role="region" aria-label={ "Wind by height, attempt " (attempt.number) } {
            table {
                caption { "Wind by height above the aim" }
                thead {
                    tr {
                        th scope="col" { "Height, " (wording.ft().unit) } th scope="col" { "To" }
                        th scope="col" { "From, ° true" } th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" { "Speed, " (wording.kt().unit) } th scope="col" { "low" } th scope="col" { "high" }
                    }
                }
                tbody {
                    @for wind in attempt.wind.iter().rev() {
                        tr {
                            th scope="row" class="right" {
                                (wording.level(wind.height_ft))
                                @if wording.units == Units::Metric { " (" (number::number(wind.height_ft, 0)) "\u{a0}ft)" }
                            }
                            @if let Some(bearing) = number::bearing(&wind.from_deg_true) {
                                // the arrow and its words as the figure beside it
                                @let from = bearing.value.parse().unwrap_or(0.0);
                                td { (PreEscaped(arrow_svg(from))) }
                                td class="value" { (bearing.value) }
                                td { (bearing.low) } td { (bearing.high) }
                            } @else {
                                td colspan="4" class="missing" { (words::printable(wind.from_deg_true.reason().unwrap_or_default())) }
                            }
                            (three(&wind.speed_kt, wording.speed(&wind.speed_kt)))
                        }
                    }
                }
            }
        }
    }
}

/// All attempts beside one another.
pub(super) fn side_by_side(debrief: &Debrief, wording: Wording) -> Markup {
    html! {
        section id="side-by-side" aria-labelledby="side-by-side-title" {
            h2 id="side-by-side-title" { "Side by side" }
            div class="scroll" tabindex="0" role="region" aria-label="Side by side" {
                table {
                    caption { "Each value with its 95 % interval" }
                    thead {
                        tr {
                            th scope="col" { "Measure" } th scope="col" class="left" { "Unit" }
                            @for attempt in &debrief.attempts {
                                th scope="col" colspan="2" { (attempt.number) ": " (words::ending(attempt.ending)) }
                            }
                        }
                    }
                    tbody {
                        @for info in CATALOGUE {
                            @let figures: Vec<_> = debrief.attempts.iter()
                                .map(|a| a.measures.get(info.id).and_then(|m| wording.figure(info, m))).collect();
                            @if figures.iter().any(Option::is_some) {
                                tr {
                                    th scope="row" { (wording.sentence(info.label)) }
                                    td class="unit" { (wording.unit(info)) }
                                    @for figure in &figures {
                                        @if let Some(figure) = figure {
                                            (value(figure, figure.shown()))
                                            td class="left" { (figure.interval()) }
                                        } @else {
                                            td { "–" } td {}
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The power reductions that are not attempts.
pub(super) fn not_attempts(debrief: &Debrief, wording: Wording) -> Markup {
    if debrief.not_attempts.is_empty() {
        return html! {};
    }
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Not counted as attempts" {
            table {
                caption { "Power reductions not counted as attempts" }
                thead {
                    tr {
                        th scope="col" { (wording.zone()) } th scope="col" { "Height, " (wording.ft().unit) }
                        th scope="col" { "Chance it was, %" } th scope="col" { "Why it is not counted" }
                    }
                }
                tbody {
                    @for candidate in &debrief.not_attempts {
                        tr {
                            td { (words::printable(&wording.time_of_day(&candidate.utc))) }
                            td { (wording.ft().tens(candidate.height_ft)) }
                            td { (number::number(100.0 * candidate.confidence, 0)) }
                            td class="left" { (words::printable(&words::sentence_case(&wording.sentence(&candidate.reason)))) }
                        }
                    }
                }
            }
        }
    }
}
