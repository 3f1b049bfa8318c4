//! The part of the page about height in hand: dangers, moments, events, projections, plan, time, fields.

use maud::{Markup, html};

use super::super::in_hand_words::{interval_of, judged_at};
use super::super::number::{self, clock};
use super::super::panel::moments;
use super::super::wording::Wording;
use super::super::words;
use crate::debrief::document::{Attempt, HeightPlanned};
use crate::measures::{catalogue, usable};
use crate::quantity::Measured;

/// The section of one attempt, with the drawing of the ground within glide; the drawing alone, which says why there is
/// none, where nothing is known.
pub(super) fn section(attempt: &Attempt, wording: Wording, within_glide: &Markup) -> Markup {
    let story = &attempt.in_hand;
    let ground = html! { div class="panel" data-panel="within-glide" { (within_glide) } };
    if story.rests_on.is_empty() && story.time_budget.is_empty() && story.fields.is_empty() {
        return ground;
    }
    html! {
        h3 { "Was the aim point within reach?" }
        div class="tables short" {
            div { (moments_table(attempt, wording)) (events(attempt, wording)) (fields(attempt, wording)) (ground) }
            div { (projections(attempt, wording)) (budget(attempt)) (plan(attempt, wording)) }
        }
        @if let Some(change) = story.drag_change.as_ref().filter(|c| c.probability >= 0.5) {
            p { (sentence(&change.words)) "." }
        }
        @if !story.rests_on.is_empty() {
            p { "Height in hand rests on:" }
            ul { @for line in &story.rests_on { li { (words::printable(&wording.sentence(line))) } } }
            p class="note" { "That glide ratio is what the aeroplane would do wings level at best glide. \u{201c}Glide ratio, air\u{201d} among the measures is what was flown over the steady glide, turns and other speeds included: the two differ." }
        }
    }
}

fn sentence(text: &str) -> String {
    words::printable(&words::sentence_case(text))
}

/// A table of an attempt with a caption, its head and its rows.
fn table(attempt: &Attempt, caption: &str, head: &Markup, rows: &Markup) -> Markup {
    let label = format!("{caption}, attempt {}", attempt.number);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label=(label) {
            table { caption { (caption) } thead { tr { (head) } } tbody { (rows) } }
        }
    }
}

/// Value and interval as two cells.
fn two(measured: &Measured, decimals: u8) -> Markup {
    html! {
        @if let Some(figure) = number::plain(measured, decimals) {
            td class="value" { (figure.value) } td class="left" { (figure.interval()) }
        } @else {
            td colspan="2" class="missing" { (words::printable(measured.reason().unwrap_or("not measured"))) }
        }
    }
}

/// A time from the power reduction and its interval as two cells; the value can be told from as narrow an interval on
/// as that of the time until best glide is reached.
fn seconds(measured: &Measured) -> Markup {
    let told = measured
        .interval()
        .zip(measured.value())
        .is_none_or(|((low, high), value)| usable::can_tell("settling_time_s", value, low, high));
    html! {
        @if let Some(figure) = number::plain(measured, 0).filter(|_| !told) {
            td class="missing" { (number::CANNOT_TELL) } td class="left" { (figure.interval()) }
        } @else { (two(measured, 0)) }
    }
}

/// How far something moved, with its sign, and the interval as two cells, however wide.
fn moved(measured: &Measured, wording: Wording) -> Markup {
    html! {
        @if let Some(figure) = number::signed(measured, wording.ft()) {
            td class="value" { (figure.value) } td class="left" { (figure.interval()) }
        } @else { (two(measured, 0)) }
    }
}

/// A height or a distance and its interval as two cells, however wide.
fn feet(measured: &Measured, wording: Wording) -> Markup {
    html! {
        @if let Some(figure) = number::in_unit(measured, wording.ft(), f64::INFINITY) {
            td class="value" { (figure.value) } td class="left" { (figure.interval()) }
        } @else { (two(measured, 0)) }
    }
}

/// A place along the landing line, or that its interval is too wide to tell.
fn place(measured: &Measured, wording: Wording) -> Markup {
    let figure = catalogue::find("projected_touchdown_along_ft")
        .and_then(|info| wording.figure(info, measured));
    html! {
        @if let Some(figure) = figure {
            td class=(if figure.told { "value" } else { "missing" }) { (figure.shown()) }
            td class="left" { (figure.interval()) }
        } @else { (two(measured, 0)) }
    }
}

/// A height and its interval as two cells.
fn height(measured: &Measured, wording: Wording) -> Markup {
    html! {
        @if let Some(figure) = wording.height(measured) {
            td class=(if figure.told { "value" } else { "missing" }) { (figure.shown()) }
            td class="left" { (figure.interval()) }
        } @else { (two(measured, 0)) }
    }
}

fn moments_table(attempt: &Attempt, wording: Wording) -> Markup {
    let moments = moments::lettered(attempt);
    if moments.is_empty() {
        let least = attempt.measures.get("height_in_hand_min_ft");
        let doubtful = least
            .and_then(Measured::interval)
            .is_some_and(|(low, _)| low < 0.0);
        return html! {
            @if doubtful {
                p { "Whether the aim point was within reach all the way is too close to call." }
            } @else {
                p { "Never out of reach, and never too high, for long enough to say so." }
            }
        };
    }
    let head = html! {
        th scope="col" { "" } th scope="col" { "m:ss" } th scope="col" { "between" }
        th scope="col" colspan="2" { "Height, " (wording.ft().unit) } th scope="col" { "" }
    };
    let rows = html! {
        @for m in &moments {
            tr {
                td { b { (m.letter) } }
                td class="value clock" { (clock(m.elapsed_s)) }
                td class="left" { (interval_of(attempt, &m.event.utc).unwrap_or_default()) }
                (height(&m.event.height_ft, wording))
                td class="left said" { (sentence(&wording.sentence(&m.event.words))) }
            }
        }
    };
    table(attempt, "Moments", &head, &rows)
}

fn events(attempt: &Attempt, wording: Wording) -> Markup {
    let events = &attempt.in_hand.at_events;
    if events.is_empty() {
        return html! {};
    }
    let head = html! {
        th scope="col" { "m:ss" } th scope="col" colspan="2" { "Height, " (wording.ft().unit) }
        th scope="col" colspan="2" { "In hand, " (wording.ft().unit) } th scope="col" { "" }
    };
    let rows = html! {
        @for event in events {
            tr {
                td class="clock" { (event.elapsed_s.value().map(clock).unwrap_or_default()) }
                (height(&event.height_ft, wording))
                (height(&event.height_in_hand_ft, wording))
                td class="left said" { (sentence(&wording.sentence(&event.words))) }
            }
        }
    };
    table(attempt, "Height in hand at each event", &head, &rows)
}

fn projections(attempt: &Attempt, wording: Wording) -> Markup {
    let projections = &attempt.in_hand.projections;
    if projections.is_empty() {
        return html! {};
    }
    let head = html! {
        th scope="col" { "Judged" } th scope="col" { "from, " (wording.ft().unit) }
        th scope="col" colspan="2" { "beyond the aim, " (wording.ft().unit) }
        th scope="col" colspan="2" { "moved since, " (wording.ft().unit) }
    };
    let rows = html! {
        @for projection in projections {
            tr {
                th scope="row" { (wording.sentence(judged_at(projection))) }
                td { (wording.height(&projection.height_ft).map(|f| f.value).unwrap_or_default()) }
                (place(&projection.along_ft, wording))
                @if let Some(by) = &projection.moved_ft { (moved(by, wording)) } @else { td {} td {} }
            }
        }
    };
    table(
        attempt,
        "Projected touchdown, and how it moved",
        &head,
        &rows,
    )
}

fn budget(attempt: &Attempt) -> Markup {
    let budget = &attempt.in_hand.time_budget;
    if budget.is_empty() {
        return html! {};
    }
    let head = html! {
        th scope="col" { "From the power reduction to" } th scope="col" colspan="2" { "Time, s" }
    };
    let rows = html! {
        @for time in budget {
            tr {
                th scope="row" {
                    @if time.kind == "key_point" { (words::key_point(&time.what)) }
                    @else { (words::printable(&time.what)) }
                }
                (seconds(&time.elapsed_s))
            }
        }
    };
    table(attempt, "Time budget", &head, &rows)
}

fn plan(attempt: &Attempt, wording: Wording) -> Markup {
    let Some(plan) = &attempt.in_hand.height_plan else {
        return html! {};
    };
    html! {
        (orbit_table(attempt, plan, wording))
        p { (sentence(&planned(attempt, &plan.words, wording))) "." }
    }
}

/// The plan in words, the height abeam as the measures have it.
fn planned(attempt: &Attempt, words: &str, wording: Wording) -> String {
    let figure = catalogue::find(ABEAM)
        .and_then(|info| wording.figure(info, attempt.measures.get(ABEAM)?))
        .filter(|figure| figure.told);
    match (words.split_once("; flown: "), figure) {
        (Some((before, flown)), Some(figure)) if flown.contains(", abeam at ") => {
            let orbits = flown.split(", abeam at ").next().unwrap_or_default();
            let height = format!(
                "{}{}{}",
                figure.value,
                number::UNIT_SPACE,
                wording.ft().unit
            );
            let before = wording.sentence(before);
            format!("{before}; flown: {orbits}, abeam at {height}")
        }
        _ => wording.sentence(words),
    }
}

const ABEAM: &str = "abeam_height_ft";

fn orbit_table(attempt: &Attempt, plan: &HeightPlanned, wording: Wording) -> Markup {
    let head = html! {
        th scope="col" { "Bank" } th scope="col" colspan="2" { "Height of one orbit, " (wording.ft().unit) }
    };
    let rows = html! {
        @for orbit in &plan.orbits {
            tr {
                th scope="row" { (number::number(orbit.bank_deg, 0)) "°" }
                (feet(&orbit.height_ft, wording))
            }
        }
    };
    table(attempt, "Height plan", &head, &rows)
}

fn fields(attempt: &Attempt, wording: Wording) -> Markup {
    let fields = &attempt.in_hand.fields;
    if fields.is_empty() {
        return html! {};
    }
    let head = html! {
        th scope="col" { "Field" } th scope="col" { "Within reach, %" }
        th scope="col" colspan="2" { "Arriving at, " (wording.ft().unit) " above it" }
        th scope="col" colspan="2" { "Within reach for, s" }
    };
    let rows = html! {
        @for field in fields {
            tr {
                th scope="row" { (words::printable(&field.name)) }
                td { (field.probability.map(|p| number::number(100.0 * p, 0)).unwrap_or_default()) }
                (feet(&field.arrival_height_ft, wording))
                (two(&field.within_reach_s, 0))
            }
        }
    };
    table(
        attempt,
        "Other places to land, from the power reduction",
        &head,
        &rows,
    )
}
