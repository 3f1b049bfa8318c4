//! What every page is: one file, nothing fetched, the cautions at its foot.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::super::svg::{Canvas, Ink, Rect};
use super::super::wording::Wording;
use super::super::words;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = concat!(
    "(() => {\n  'use strict';\n",
    include_str!("script/shared.js"),
    include_str!("script/zoom.js"),
    include_str!("script/stretches.js"),
    include_str!("script/cursor.js"),
    include_str!("script/page.js"),
    "})();\n"
);

/// Width of a drawing, in its own units.
pub(in super::super) const WIDTH: f64 = 384.0;

/// The page around `body`; with `data` for the script it has the cursor, without it no script is allowed.
pub(in super::super) fn page(
    title: &str,
    body: &Markup,
    (cautions, program): (&[String], &str),
    data: Option<&str>,
) -> String {
    let script = data.map_or("", |_| "script-src 'unsafe-inline'; ");
    let policy = format!(
        "default-src 'none'; style-src 'unsafe-inline'; {script}img-src data:; base-uri 'none'; form-action 'none'"
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (words::printable(title)) }
                style { (PreEscaped(Ink::style_sheet())) (PreEscaped(STYLE)) }
            }
            body {
                (body)
                footer {
                    @for caution in cautions { p { (words::printable(caution)) } }
                    p { (words::printable(program)) }
                }
                @if let Some(data) = data {
                    script type="application/json" id="data" { (PreEscaped(data)) }
                    script { (PreEscaped(lean(SCRIPT))) }
                }
            }
        }
    };
    page.into_string()
}

/// The script without its indents and lines of comment; no text of it runs over a line.
fn lean(script: &str) -> String {
    let lines = script.lines().map(str::trim_start);
    lines
        .filter(|line| !line.is_empty() && !line.starts_with("//"))
        .flat_map(|line| [line, "\n"])
        .collect()
}

/// A drawing of a page: `draw` gets the room within its margins. Its ids start with `prefix`; the markup is our own,
/// escaped by the scene layer.
pub(in super::super) fn drawn(
    prefix: &str,
    (width, height): (f64, f64),
    (title, description): (&str, &str),
    draw: impl FnOnce(&mut Canvas, Rect),
) -> String {
    let mut canvas = Canvas::new(&format!("{prefix}-")).in_page();
    let room = Rect::new(6.0, 6.0, width - 12.0, height - 12.0);
    draw(&mut canvas, room);
    canvas.finish((width, height), "drawing", title, description)
}

/// A drawing in its place.
pub(in super::super) fn panel(svg: &str) -> Markup {
    html! { div class="panel" { (PreEscaped(svg)) } }
}

/// A table that may be wider than the screen: it scrolls on its own, its first column stays.
pub(in super::super) fn wide_table(name: &str, head: &Markup, rows: &Markup) -> Markup {
    html! {
        div class="scroll wide" tabindex="0" role="region" aria-label=(name) {
            table { caption { (name) } thead { tr { (head) } } tbody { (rows) } }
        }
    }
}

/// A list of remarks of the document.
pub(in super::super) fn remarks(all: &[String], wording: Wording) -> Markup {
    html! {
        ul { @for one in all { li { (words::printable(&words::sentence_case(&wording.sentence(one)))) } } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_of_the_script_runs_over_a_line() {
        for line in SCRIPT.lines() {
            assert_eq!(line.matches('`').count() % 2, 0, "{line}");
        }
        assert_eq!(lean("  a();\n\n  // b\n    c();\n"), "a();\nc();\n");
    }
}
