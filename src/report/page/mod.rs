//! The page: one self-contained file with the drawings of the sheet, one cursor through all of
//! them, and tables that copy cleanly.
//!
//! Nothing is fetched: style, script and data are in the file, and its content policy forbids
//! everything else. Without scripts the page is complete but for the cursor.
//!
//! The script (`script/`, one idea a file) is 29 kB of plain JavaScript and the style 14 kB; no library is in them.

mod data;
mod grade;
mod in_hand;
pub(super) mod shell;
mod stops;
mod stretches;
mod tables;

use maud::{Markup, PreEscaped, html};

use super::glossary::WORDS;
use super::headline::headline;
use super::look::Look;
use super::panel::over::{Against, Laid};
use super::panel::{
    Subject, aim, descent, last_mile, marks, over, plan, side, speed, within_glide,
};
use super::spoken::spoken;
use super::svg::{Canvas, Rect};
use super::wording::Wording;
use super::words;
use crate::debrief::document::{Attempt, Debrief};
use data::Frames;
use shell::WIDTH;

/// The whole page.
pub fn page_html(debrief: &Debrief) -> String {
    page_html_in(debrief, Wording::default())
}

/// The same in the units and the time of `wording`.
pub fn page_html_in(debrief: &Debrief, wording: Wording) -> String {
    let title = format!("Practice forced landings in {}", debrief.recording.file);
    let drawn: Vec<Drawn> = (0..debrief.attempts.len())
        .map(|index| draw_attempt(debrief, index, wording))
        .collect();
    let frames: Vec<&Frames> = drawn.iter().map(|d| &d.frames).collect();
    let body = html! {
        (header(debrief, wording))
        main {
            @if debrief.attempts.is_empty() { (no_attempt(debrief)) }
            @for (attempt, drawn) in debrief.attempts.iter().zip(&drawn) {
                (section(debrief, attempt, drawn, wording))
            }
            @if debrief.attempts.len() > 1 {
                (over_one_another(debrief, wording))
                (tables::side_by_side(debrief, wording))
            }
            (notes(debrief, wording))
            @if !debrief.attempts.is_empty() {
                (glossary(wording))
                (tables::explanations(debrief, wording))
            }
        }
    };
    let data = data::json(&debrief.attempts, &frames, wording);
    let foot = (&debrief.cautions[..], debrief.program.as_str());
    shell::page(&title, &body, foot, Some(&data))
}

/// The drawings of one attempt and where they drew. The markup is our own, escaped by the scene
/// layer.
struct Drawn {
    svgs: Vec<(&'static str, String)>,
    frames: Frames,
}

impl Drawn {
    /// The drawing of that name.
    fn panel(&self, name: &str) -> Markup {
        let found = self.svgs.iter().find(|(drawn, _)| *drawn == name);
        html! { @if let Some((_, svg)) = found { (PreEscaped(svg)) } }
    }
}

fn draw_attempt(debrief: &Debrief, index: usize, wording: Wording) -> Drawn {
    let attempt = &debrief.attempts[index];
    let marks = marks::marks(attempt);
    let look = Look::PAGE;
    let subject = Subject {
        attempt,
        reference: &debrief.reference,
        marks: &marks,
        look,
        wording,
    };
    let mut svgs = Vec::new();
    let mut frames = Frames::default();
    let right = 94.0;
    let mut add = |name: &'static str, height: f64, draw: &mut dyn FnMut(&mut Canvas, Rect)| {
        let prefix = format!("a{}-{name}", index + 1);
        let title = format!("Attempt {}", attempt.number);
        let plain = name.replace('-', " ");
        svgs.push((
            name,
            shell::drawn(&prefix, (WIDTH, height), (&title, &plain), draw),
        ));
    };
    add("plan", 440.0, &mut |canvas, area| {
        frames.plan = plan::draw(canvas, area, &subject, false);
    });
    add("side", 330.0, &mut |canvas, area| {
        frames.side = side::draw(canvas, area, &subject, right);
    });
    add("speed", 230.0, &mut |canvas, area| {
        frames.speed = speed::draw(canvas, area, &subject, 1, right);
    });
    add("descent", 240.0, &mut |canvas, area| {
        frames.descent = descent::draw(canvas, area, &subject, true, right);
    });
    add("aim", 130.0, &mut |canvas, area| {
        aim::draw(canvas, area, &subject);
    });
    add("last-mile", 200.0, &mut |canvas, area| {
        frames.last_mile = last_mile::draw(canvas, area, &subject);
    });
    add("within-glide", 330.0, &mut |canvas, area| {
        within_glide::draw(canvas, area, &subject);
    });
    Drawn { svgs, frames }
}

fn header(debrief: &Debrief, wording: Wording) -> Markup {
    let reference = &debrief.reference;
    let recording = &debrief.recording;
    let fields = [
        ("Pilot", reference.pilot.clone()),
        ("Instructor", reference.instructor.clone()),
        ("Aircraft", reference.registration.clone()),
        ("Aim", reference.aim_name.clone()),
        (
            "Date",
            Some(wording.day(&recording.start_utc)).filter(|day| !day.is_empty()),
        ),
        (
            "Recording",
            Some(format!("{}: {}", recording.file, words::recorder(debrief))),
        ),
    ];
    html! {
        header {
            h1 { "Practice forced landings" }
            dl class="facts" {
                @for (name, value) in fields {
                    @if let Some(value) = value {
                        div { dt { (name) } dd { (words::printable(&value)) } }
                    }
                }
            }
            @if debrief.attempts.len() > 1 {
                nav aria-label="Attempts" {
                    @for attempt in &debrief.attempts {
                        a href={ "#attempt-" (attempt.number) } {
                            (attempt.number) ": " (words::ending(attempt.ending))
                        }
                    }
                    a href="#over-one-another" { "Over one another" }
                    a href="#side-by-side" { "Side by side" }
                }
            }
        }
    }
}

fn section(debrief: &Debrief, attempt: &Attempt, drawn: &Drawn, wording: Wording) -> Markup {
    let headline = headline(debrief, attempt, wording);
    let steps = attempt.series.elapsed_s.len();
    let id = format!("attempt-{}", attempt.number);
    html! {
        section class="attempt" id=(id) aria-labelledby={ (id) "-title" } {
            p class="count" {
                "Attempt " (attempt.number) " of " (debrief.attempts.len()) ", "
                (words::ending(attempt.ending))
                @if let Some(utc) = words::power_off(attempt) {
                    ", power reduction at " (words::printable(&wording.time_of_day(&utc))) " " (wording.zone())
                }
            }
            h2 id={ (id) "-title" } { (words::printable(&headline.outcome)) }
            @if !headline.detail.is_empty() {
                p class="detail" { (words::printable(&words::sentence_case(&headline.detail))) }
            }
            ul class="headline" {
                @for fact in &headline.facts { li { (words::printable(fact)) } }
            }
            @let said = spoken(debrief, attempt, wording);
            @let all = said.in_order();
            @if !all.is_empty() {
                ul class="remarks" aria-label="Remarks" {
                    @for (i, one) in all.iter().enumerate() {
                        li class=[(i < said.dangers.len()).then_some("grave")] { (words::printable(one)) }
                    }
                }
            }
            @if steps > 1 {
                div class="cursor" hidden {
                    label {
                        span { "Time" }
                        input type="range" min="0" max=(steps - 1) value="0" step="1";
                    }
                    button type="button" class="play" { "Play" }
                    label class="pace" {
                        span { "at" }
                        select aria-label="Pace of playing" {
                            @for pace in [1, 5, 15, 60] {
                                option value=(pace) selected[pace == 15] { (pace) " ×" }
                            }
                        }
                    }
                    output {}
                }
            }
            div class="panels" {
                @for column in [["plan", "aim", "last-mile"], ["side", "speed", "descent"]] {
                    div class="column" {
                        @for name in column {
                            div class="panel" data-panel=(name) {
                                @if name == "plan" { (zoom(attempt)) }
                                (drawn.panel(name))
                            }
                            @if name == "plan" { (key(attempt)) }
                        }
                    }
                }
            }
            div class="figures" {
                (in_hand::section(attempt, wording, &drawn.panel("within-glide")))
                div class="tables" {
                    div {
                        (tables::key_points(attempt, wording))
                        (grade::table(attempt, wording))
                        (tables::wind(attempt, wording))
                        @if steps > 1 {
                            div class="glance" aria-hidden="true" hidden {
                                p { "From where a measure was taken, while its row is pointed at or has the focus." }
                            }
                        }
                    }
                    (tables::measures(attempt, &debrief.reference, wording))
                }
            }
            (grade::form(debrief, attempt, wording))
        }
    }
}

/// The tools of a drawing that can be made larger; the script shows them.
fn zoom(attempt: &Attempt) -> Markup {
    html! {
        div class="zoom" role="group" aria-label={ "Size of the plan of attempt " (attempt.number) } hidden {
            output aria-live="polite" {}
            @for (action, sign, name) in [("out", "\u{2212}", "smaller"), ("in", "+", "larger"), ("whole", "whole", "whole plan")] {
                button type="button" data-zoom=(action) aria-label=(name) { (sign) }
            }
        }
    }
}

/// What the numbered discs are.
fn key(attempt: &Attempt) -> Markup {
    html! {
        ol class="key" {
            @for mark in marks::marks(attempt) {
                li value=(mark.number) { (words::printable(&words::key_point(&mark.kind))) }
            }
        }
    }
}

/// All attempts in one plan and one side view.
fn over_one_another(debrief: &Debrief, wording: Wording) -> Markup {
    let laid: Vec<Laid<'_>> = debrief.attempts.iter().map(Laid::north_up).collect();
    let look = Look::PAGE;
    let name = ("All attempts", "Plan");
    let plan = shell::drawn("over-plan", (WIDTH, 400.0), name, |canvas, area| {
        let aim = over::Aim::of(&debrief.reference);
        over::plan(canvas, area, &laid, aim, look, wording);
    });
    let name = ("All attempts", "Heights");
    let side = shell::drawn("over-side", (WIDTH, 290.0), name, |canvas, area| {
        over::by_time(canvas, area, &laid, Against::Height, look, wording);
    });
    html! {
        section id="over-one-another" aria-labelledby="over-title" {
            h2 id="over-title" { "Over one another" }
            div class="lays" {
                @for attempt in &debrief.attempts {
                    label class="lay" hidden {
                        input type="checkbox" checked data-lay=(attempt.number);
                        " " (attempt.number) ": " (words::ending(attempt.ending))
                    }
                }
            }
            div class="panels" {
                (shell::panel(&plan))
                (shell::panel(&side))
            }
        }
    }
}

/// The words that are not every pilot's.
fn glossary(wording: Wording) -> Markup {
    html! {
        section class="words" aria-labelledby="words" {
            h2 id="words" { "Words" }
            dl {
                @for (word, meaning) in WORDS { div { dt { (wording.sentence(word)) } dd { (wording.sentence(meaning)) } } }
            }
        }
    }
}

fn no_attempt(debrief: &Debrief) -> Markup {
    html! {
        section class="attempt" {
            h2 { "No practice forced landing found" }
            @if debrief.not_attempts.is_empty() {
                p { "The power never came off long enough, high enough." }
            }
        }
    }
}

fn notes(debrief: &Debrief, wording: Wording) -> Markup {
    html! {
        section aria-labelledby="notes" {
            h2 id="notes" { "What this rests on" }
            ul {
                li { (words::heights_rest_on(debrief)) }
                @if let Some(best) = words::best_glide(&debrief.reference, wording) { li { (best) } }
                @for warning in &debrief.warnings {
                    li { (words::printable(&words::sentence_case(&wording.sentence(warning)))) }
                }
            }
            (tables::not_attempts(debrief, wording))
        }
    }
}
