//! What the pages on many attempts have in common: one file, nothing fetched, no script.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::super::words;
use super::STYLE;

/// No script is needed, so none is allowed.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// The page around `body`.
pub(in super::super) fn page(
    title: &str,
    body: &Markup,
    cautions: &[String],
    program: &str,
) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (words::printable(title)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                (body)
                footer {
                    @for caution in cautions { p { (words::printable(caution)) } }
                    p { (words::printable(program)) }
                }
            }
        }
    };
    page.into_string()
}

/// A drawing of ours, escaped by the scene layer.
pub(in super::super) fn drawing(svg: &str) -> Markup {
    html! { div class="panel" { (PreEscaped(svg)) } }
}

/// A list of remarks.
pub(in super::super) fn remarks(all: &[String]) -> Markup {
    html! {
        ul { @for one in all { li { (words::printable(&words::sentence_case(one))) } } }
    }
}
