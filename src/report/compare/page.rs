//! A comparison as a page.

use maud::{Markup, html};

use super::super::look::Look;
use super::super::number::chance;
use super::super::page::shell::{self, WIDTH};
use super::super::panel::over::{self, Against};
use super::super::svg::{Canvas, Point};
use super::super::wording::Manner;
use super::super::words;
use super::{FOUND, headline, label, laid, name, told_difference};
use crate::compare::{Comparison, Side};
use crate::measures::catalogue::find as info;

/// The whole page.
pub fn page_html(comparison: &Comparison, sides: &[Side<'_>], manner: &Manner) -> String {
    let (look, wording) = (Look::PAGE, manner.figures());
    let (laid, aim) = laid(sides, comparison.same_aim);
    let by_time = |(prefix, name): (&str, &str), height: f64, what: Against| {
        let name = (name, "of all attempts, against the time");
        shell::panel(&shell::drawn(
            prefix,
            (WIDTH, height),
            name,
            |canvas, area| {
                over::by_time(canvas, area, &laid, what, look, wording);
            },
        ))
    };
    let plan = shell::drawn(
        "plan",
        (WIDTH, 420.0),
        ("Plan", "of all attempts"),
        |canvas, area| {
            over::plan(canvas, area, &laid, aim, look, wording);
        },
    );
    let body = html! {
        header { h1 { "Side by side" } }
        main {
            section {
                h2 { (headline(comparison)) }
                ol { @for (i, attempt) in comparison.attempts.iter().enumerate() {
                    li { (line(i)) " " (words::printable(&name(attempt, manner))) }
                } }
                (shell::remarks(&comparison.warnings, wording))
                div class="panels" {
                    div class="column" { (shell::panel(&plan)) }
                    div class="column" {
                        (by_time(("height", "Heights"), 240.0, Against::Height))
                        (by_time(("speed", "Speeds"), 220.0, Against::Speed))
                    }
                }
                (table(comparison, manner))
                p { "Each value with its 95 % interval. Below it the difference from attempt 1, and in brackets the probability that its sign is real: that it does not only come from the doubt of the two figures. “Differs”: " (FOUND) " (height from target and height abeam, load factor and bank, glide ratio and sink through the air). – is not measured, or known too vaguely to compare. The drawings run from the power reduction, 0:00." }
            }
        }
    };
    let foot = (&comparison.cautions[..], comparison.program.as_str());
    shell::page("Side by side", &body, foot, None)
}

/// The line of an attempt as it is drawn.
fn line(index: usize) -> Markup {
    let mut canvas = Canvas::new(&format!("key{index}-"));
    canvas.line(
        Point::new(0.0, 5.0),
        Point::new(40.0, 5.0),
        over::stroke(index, Look::PAGE),
    );
    let svg = canvas.finish((40.0, 10.0), "line", "Line", "Line of this attempt");
    html! { span style="display:inline-block;width:2.6em;vertical-align:middle" { (maud::PreEscaped(svg)) } }
}

fn table(comparison: &Comparison, manner: &Manner) -> Markup {
    let wording = manner.figures();
    let head = html! {
        th scope="col" { "Measure" }
        @for i in 1..=comparison.attempts.len() { th scope="col" { (i) } }
    };
    let rows = html! {
        @for m in &comparison.measures { @if let Some(info) = info(&m.measure) { tr {
            th scope="row" { (label(info, wording)) }
            @for (value, d) in m.values.iter().zip(&m.differences) { td {
                @match wording.figure(info, value) {
                    Some(figure) => { b { (figure.shown()) } " " span { "(" (figure.interval()) ")" } }
                    None => { "–" }
                }
                @if let Some((by, p)) = told_difference((&m.values[0], value), d, info, wording) {
                    br; @if d.found { b { (by) ", differs" } " " span { "(" (chance(p)) ")" } } @else { span { (by) } " " span { "(" (chance(p)) ")" } }
                }
            } }
        } } }
    };
    shell::wide_table("All measures, with 95 % intervals", &head, &rows)
}
