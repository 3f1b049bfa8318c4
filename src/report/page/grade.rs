//! The verdicts on the page.

use maud::{Markup, PreEscaped, html};

use super::super::verdicts;
use super::super::wording::Wording;
use super::super::words;
use super::super::{number, stage_check};
use crate::debrief::document::{Attempt, Debrief};

/// The criteria of the standard with their evidence; nothing where no standard was named.
pub(super) fn table(attempt: &Attempt, wording: Wording) -> Markup {
    let Some(grade) = &attempt.grade else {
        return html! {};
    };
    html! {
        div class="scroll" tabindex="0" role="region" aria-label={ "Verdicts of attempt " (attempt.number) } {
            table {
                caption { "Held against " (words::printable(&grade.standard)) "; the instructor decides" }
                thead {
                    tr {
                        th scope="col" { "Criterion" } th scope="col" class="left" { "Wanted" }
                        th scope="col" { "Chance it was inside, %" } th scope="col" class="left" { "Verdict" }
                    }
                }
                tbody {
                    @for criterion in &grade.criteria {
                        tr class="upper" {
                            th scope="row" { (words::printable(&criterion.name)) }
                            td class="left" { (verdicts::bounds(criterion, wording)) }
                            td { (criterion.share_inside.map(per_cent).unwrap_or_default()) }
                            td class="left" { (verdicts::word(criterion.verdict)) }
                        }
                        tr {
                            td colspan="4" class="missing" {
                                (words::printable(&verdicts::source(criterion)))
                                @if let Some(remark) = &criterion.remark { ". " (words::printable(&words::sentence_case(remark))) }
                            }
                        }
                    }
                }
            }
        }
        @if let Some(note) = &grade.note { p class="note" { (words::printable(note)) } }
    }
}

/// A chance in a column headed by its unit, never quite 0 or 100.
fn per_cent(share: f64) -> String {
    let chance = number::chance(share);
    chance.replace([number::UNIT_SPACE, '%'], "")
}

/// The stage-check form where a standard was named.
pub(super) fn form(debrief: &Debrief, attempt: &Attempt, wording: Wording) -> Markup {
    let index = (attempt.number as usize).saturating_sub(1);
    html! {
        @if let Some(form) = stage_check::in_page(debrief, index, wording) {
            details class="stage-check" {
                summary { "Stage-check form" }
                div class="scroll broad" tabindex="0" role="region" aria-label={ "Stage-check form of attempt " (attempt.number) } {
                    div { (PreEscaped(form)) }
                }
            }
        }
    }
}
