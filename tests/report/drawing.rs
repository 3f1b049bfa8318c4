//! What holds for every drawing, measured by the reports' own table of widths.

use roxmltree::{Document, Node};
use stillprop::report::svg::{Point, Rect, text_width};

/// A text of a drawing and the room it takes.
#[derive(Debug)]
pub(super) struct Text {
    pub(super) words: String,
    pub(super) room: Rect,
}

fn number(node: &Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name)
        .and_then(|text| text.parse().ok())
        .unwrap_or_else(|| {
            panic!("<{}> without a number {name}", node.tag_name().name());
        })
}

/// The font size, which a drawing may have once for all its texts.
fn size(node: &Node<'_, '_>) -> f64 {
    let own = node.ancestors().find(|n| n.has_attribute("font-size"));
    number(&own.unwrap_or(*node), "font-size")
}

/// All texts of a drawing.
pub(super) fn texts(svg: &Document<'_>) -> Vec<Text> {
    svg.descendants()
        .filter(|n| n.has_tag_name("text"))
        .map(|n| text(&n))
        .collect()
}

fn text(node: &Node<'_, '_>) -> Text {
    let (x, y, size) = (number(node, "x"), number(node, "y"), size(node));
    // in a page the style sheet has what is an attribute in a sheet
    let is = |class: &str| {
        let classes = node.attribute("class").unwrap_or_default();
        classes.split(' ').any(|c| c == class)
    };
    let bold = node.attribute("font-weight") == Some("700") || is("bold");
    let own = node.text().unwrap_or_default();
    let mut words = own.to_owned();
    let mut width = text_width(own, size, bold);
    for rest in node.children().filter(|n| n.has_tag_name("tspan")) {
        let text = rest.text().unwrap_or_default();
        words.push_str(text);
        width += number(&rest, "dx") + text_width(text, number(&rest, "font-size"), false);
    }
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        _ if is("mid") => x - width / 2.0,
        _ if is("end") => x - width,
        _ => x,
    };
    // Capitals and figures reach 0.73 of the size above the baseline, descenders 0.21 below.
    Text {
        words,
        room: Rect::new(left, y - 0.73 * size, width, 0.94 * size),
    }
}

/// What is wrong with a drawing: unnamed panels, texts that overlap or leave the page. Fails when it
/// is not well formed.
pub(crate) fn problems(name: &str, source: &str) -> Vec<String> {
    let mut problems = Vec::new();
    let svg = Document::parse(source).unwrap_or_else(|e| panic!("{name}: {e}"));
    let root = svg.root_element();
    let view: Vec<f64> = root
        .attribute("viewBox")
        .expect("a view box")
        .split(' ')
        .map(|n| n.parse().expect("numbers in the view box"))
        .collect();
    let page = Rect::new(view[0] - 0.1, view[1] - 0.1, view[2] + 0.2, view[3] + 0.2);
    for group in svg.descendants().filter(|n| n.attribute("role").is_some()) {
        if let Some(label) = group.attribute("aria-label") {
            let parts = label.split_once(": ");
            let whole = parts.is_some_and(|(a, b)| !a.is_empty() && !b.is_empty());
            assert!(whole, "{name}: label {label:?}");
            continue;
        }
        for part in ["title", "desc"] {
            let found = group.children().find(|n| n.has_tag_name(part));
            let words = found.and_then(|n| n.text()).unwrap_or_default();
            assert!(!words.is_empty(), "{name}: a group without {part}");
        }
        for id in group
            .attribute("aria-labelledby")
            .expect("a label")
            .split(' ')
        {
            let named = svg
                .descendants()
                .filter(|n| n.attribute("id") == Some(id))
                .count();
            assert_eq!(named, 1, "{name}: id {id}");
        }
    }
    assert!(
        !source.contains("NaN") && !source.contains("inf,"),
        "{name}: not a number"
    );
    let texts = texts(&svg);
    for (i, a) in texts.iter().enumerate() {
        if !page.contains(&a.room) {
            problems.push(format!("{name}: outside the page: {a:?}"));
        }
        for b in &texts[i + 1..] {
            if a.room.overlaps(&b.room.inset(0.3, 0.3, 0.3, 0.3)) {
                problems.push(format!("{name}: {a:?} overlaps {b:?}"));
            }
        }
    }
    for shape in svg
        .descendants()
        .filter(|n| n.has_tag_name("circle") && !is_clipped(n))
    {
        let centre = Point::new(number(&shape, "cx"), number(&shape, "cy"));
        if !page.holds(centre) {
            problems.push(format!("{name}: a disc outside the page"));
        }
    }
    problems
}

fn is_clipped(node: &Node<'_, '_>) -> bool {
    node.ancestors().any(|n| n.attribute("clip-path").is_some())
}
