//! A comparison as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number;
use super::super::page::overview;
use super::super::svg::{Canvas, Point, Rect};
use super::super::wording::Wording;
use super::super::words;
use super::drawing::{self, Against};
use super::{chance, headline, info, name};
use crate::compare::{Comparison, Side};

/// Width of the drawings, in their own units.
const WIDTH: f64 = 384.0;

/// The whole page.
pub fn page_html(comparison: &Comparison, sides: &[Side<'_>]) -> String {
    let look = Look::PAGE;
    let draw = |prefix: &str, height: f64, with: &dyn Fn(&mut Canvas, Rect)| {
        let mut canvas = Canvas::new(&format!("{prefix}-"));
        with(
            &mut canvas,
            Rect::new(6.0, 6.0, WIDTH - 12.0, height - 12.0),
        );
        overview::drawing(&canvas.finish((WIDTH, height), "drawing", prefix, prefix))
    };
    let body = html! {
        header { h1 { "Side by side" } }
        main {
            section {
                h2 { (headline(comparison)) }
                ol { @for (i, attempt) in comparison.attempts.iter().enumerate() {
                    li { (line(i)) " " (words::printable(&name(attempt))) }
                } }
                (overview::remarks(&comparison.warnings))
                div class="panels" {
                    div class="column" {
                        (draw("plan", 420.0, &|c, r| drawing::plan(c, r, sides, comparison.same_aim, look)))
                    }
                    div class="column" {
                        (draw("height", 240.0, &|c, r| drawing::by_time(c, r, sides, Against::Height, look)))
                        (draw("speed", 220.0, &|c, r| drawing::by_time(c, r, sides, Against::Speed, look)))
                    }
                }
                (table(comparison))
                p { "Each value with its 95 % interval. Below it the difference from attempt 1, and the probability that it is real: that it does not only come from the doubt of the two figures." }
            }
        }
    };
    overview::page(
        "Side by side",
        &body,
        &comparison.cautions,
        &comparison.program,
    )
}

/// The line of an attempt as it is drawn.
fn line(index: usize) -> Markup {
    let mut canvas = Canvas::new(&format!("key{index}-"));
    canvas.line(
        Point::new(0.0, 5.0),
        Point::new(40.0, 5.0),
        drawing::stroke(index),
    );
    let svg = canvas.finish((40.0, 10.0), "line", "Line", "Line of this attempt");
    html! { span style="display:inline-block;width:2.6em;vertical-align:middle" { (maud::PreEscaped(svg)) } }
}

fn table(comparison: &Comparison) -> Markup {
    html! {
        div class="scroll" tabindex="0" { table {
            thead { tr {
                th { "Measure" }
                @for i in 1..=comparison.attempts.len() { th { (i) } }
            } }
            tbody { @for m in &comparison.measures { @if let Some(info) = info(&m.measure) { tr {
                th scope="row" { (info.label) @if !number::unit(info).is_empty() { ", " (number::unit(info)) } }
                @for (value, d) in m.values.iter().zip(&m.differences) { td {
                    @match Wording::default().figure(info, value) {
                        Some(figure) => { span class="value" { (figure.shown()) } " (" (figure.interval()) ")" }
                        None => { "–" }
                    }
                    @if let (Some(figure), Some(p)) = (Wording::default().figure(info, &d.difference), d.probability_real) {
                        br; (figure.value) ", real: " (chance(p))
                    }
                } }
            } } } }
        } }
    }
}
