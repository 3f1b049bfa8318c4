//! The tables of the page: one number a cell, so that they copy into a spreadsheet.

use maud::{Markup, PreEscaped, html};

use super::super::number;
use super::super::panel::wind_arrows::arrow_svg;
use super::super::rows::groups;
use super::super::words;
use crate::debrief::document::{Attempt, Debrief};
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::Measured;

/// Value, low and high as three cells.
fn three(measured: &Measured, decimals: u8) -> Markup {
    html! {
        @if let Some(figure) = number::plain(measured, decimals) {
            td class="value" { (figure.value) } td { (figure.low) } td { (figure.high) }
        } @else {
            td colspan="3" class="missing" { (words::printable(measured.reason().unwrap_or("not measured"))) }
        }
    }
}

/// The key points.
pub(super) fn key_points(attempt: &Attempt) -> Markup {
    let marks = super::marks::marks(attempt);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Key points" {
            table {
                caption { "Key points" }
                thead {
                    tr {
                        th scope="col" { "No" } th scope="col" { "Key point" }
                        th scope="col" { "UTC" } th scope="col" { "m:ss" }
                        th scope="col" { "Height, ft" } th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" { "CAS, kt" } th scope="col" { "low" } th scope="col" { "high" }
                    }
                }
                tbody {
                    @for point in &attempt.key_points {
                        @let utc = point.utc.value();
                        @let elapsed = utc.as_ref().and_then(|utc| words::elapsed_s(attempt, utc));
                        @let mark = elapsed.and_then(|t| marks.iter().find(|m| m.kind == point.kind && (m.elapsed_s - t).abs() < 1e-6));
                        tr {
                            td { @if let Some(mark) = mark { (mark.number) } }
                            th scope="row" { (words::printable(&words::sentence_case(&words::key_point(&point.kind)))) }
                            @if let Some(utc) = &utc {
                                td { (words::printable(&words::time_of_day(utc))) }
                                td { (elapsed.map(number::clock).unwrap_or_default()) }
                                (three(&point.height_ft, 0))
                                (three(&point.cas_kt, 0))
                            } @else {
                                td colspan="8" class="missing" {
                                    "not measured, " (words::printable(point.utc.reason().unwrap_or("time unknown")))
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// All measures.
pub(super) fn measures(attempt: &Attempt) -> Markup {
    let groups = groups(attempt);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Measures" {
            table {
                caption { "Measures, with 95 % intervals" }
                thead {
                    tr {
                        th scope="col" { "Measure" } th scope="col" { "Value" }
                        th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" { "Unit" }
                        @if attempt.grade.is_some() { th scope="col" { "Verdict" } }
                    }
                }
                @for group in &groups {
                    tbody {
                        tr class="group" { th scope="rowgroup" colspan="6" { (group.name) } }
                        @for row in &group.rows {
                            tr {
                                th scope="row" title=(row.info.definition) { (row.info.label) }
                                td class="value" { (row.figure.value) }
                                td { (row.figure.low) } td { (row.figure.high) }
                                td class="unit" { (number::unit(row.info)) }
                                @if attempt.grade.is_some() { td class="left" { (row.verdict.as_deref().unwrap_or("")) } }
                            }
                        }
                        @for missing in &group.missing {
                            tr { td colspan="6" class="missing" { (words::printable(&missing.sentence())) } }
                        }
                    }
                }
            }
        }
    }
}

/// Wind by height.
pub(super) fn wind(attempt: &Attempt) -> Markup {
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Wind by height" {
            table {
                caption { "Wind by height above the aim" }
                thead {
                    tr {
                        th scope="col" { "Height, ft" } th scope="col" { "To" }
                        th scope="col" { "From, ° true" } th scope="col" { "low" } th scope="col" { "high" }
                        th scope="col" { "Speed, kt" } th scope="col" { "low" } th scope="col" { "high" }
                    }
                }
                tbody {
                    @for (i, wind) in attempt.wind.iter().enumerate().rev() {
                        tr {
                            th scope="row" class="right" { (number::number(wind.height_ft, 0)) }
                            @if let (Some(from), Some((low, high))) = (wind.from_deg_true.value(), wind.from_deg_true.interval()) {
                                td { (PreEscaped(arrow_svg(&format!("a{}-wind{i}-", attempt.number), from))) }
                                td class="value" { (number::direction(from)) }
                                td { (number::direction(low)) } td { (number::direction(high)) }
                            } @else {
                                td colspan="4" class="missing" { (words::printable(wind.from_deg_true.reason().unwrap_or_default())) }
                            }
                            (three(&wind.speed_kt, 0))
                        }
                    }
                }
            }
        }
    }
}

/// All attempts beside one another.
pub(super) fn side_by_side(debrief: &Debrief) -> Markup {
    html! {
        section id="side-by-side" aria-labelledby="side-by-side-title" {
            h2 id="side-by-side-title" { "Side by side" }
            div class="scroll" tabindex="0" role="region" aria-label="Side by side" {
                table {
                    caption { "Each value with its 95 % interval" }
                    thead {
                        tr {
                            th scope="col" { "Measure" } th scope="col" { "Unit" }
                            @for attempt in &debrief.attempts {
                                th scope="col" colspan="2" { (attempt.number) ": " (words::ending(attempt.ending)) }
                            }
                        }
                    }
                    tbody {
                        @for info in CATALOGUE {
                            @let figures: Vec<_> = debrief.attempts.iter()
                                .map(|a| a.measures.get(info.id).and_then(|m| number::figure(info, m))).collect();
                            @if figures.iter().any(Option::is_some) {
                                tr {
                                    th scope="row" title=(info.definition) { (info.label) }
                                    td class="unit" { (number::unit(info)) }
                                    @for figure in &figures {
                                        @if let Some(figure) = figure {
                                            td class="value" { (figure.value) }
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
pub(super) fn not_attempts(debrief: &Debrief) -> Markup {
    if debrief.not_attempts.is_empty() {
        return html! {};
    }
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Not counted as attempts" {
            table {
                caption { "Power reductions not counted as attempts" }
                thead {
                    tr {
                        th scope="col" { "UTC" } th scope="col" { "Height, ft" }
                        th scope="col" { "Chance it was, %" } th scope="col" { "Why it is not counted" }
                    }
                }
                tbody {
                    @for candidate in &debrief.not_attempts {
                        tr {
                            td { (words::printable(&words::time_of_day(&candidate.utc))) }
                            td { (number::number((candidate.height_ft / 10.0).round() * 10.0, 0)) }
                            td { (number::number(100.0 * candidate.confidence, 0)) }
                            td class="left" { (words::printable(&words::sentence_case(&candidate.reason))) }
                        }
                    }
                }
            }
        }
    }
}
