//! Writing the elements. Numbers are rounded here and in [`path`], and nowhere else.

use std::fmt::Write;

use super::{Anchor, FONT_FAMILY, Ink, Point, Rect, Stroke, TextStyle, escape, path, simplify};

/// A drawing in the making.
#[derive(Debug, Clone)]
pub struct Canvas {
    out: String,
    prefix: String,
    clips: u32,
    dark: bool,
    in_page: bool,
    /// The line drawn last, where more of it would be written, and how long the drawing was after it.
    last_line: Option<(Stroke, usize, usize)>,
}

/// The font size of a drawing in a page where a text says no other.
const USUAL_SIZE: &str = "11.5";

/// A coordinate in tenths, without a useless zero.
pub(super) fn tenths(value: f64) -> String {
    let rounded = if value.is_finite() {
        (value * 10.0).round() / 10.0
    } else {
        0.0
    };
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    format!("{rounded}")
}

impl Canvas {
    /// An empty drawing; `prefix` starts every id in it, so that several can share a page.
    pub fn new(prefix: &str) -> Self {
        Canvas {
            out: String::new(),
            prefix: prefix.to_owned(),
            clips: 0,
            dark: false,
            in_page: false,
            last_line: None,
        }
    }

    /// The drawing on a dark ground, or on a light one.
    #[must_use]
    pub fn dark(mut self, dark: bool) -> Self {
        self.dark = dark;
        self
    }

    /// The drawing within a page whose style sheet has [`Ink::style_sheet`]: its elements carry no colours of their
    /// own, lines of one look are one element, and what is less than a quarter of a unit off a line is left out.
    #[must_use]
    pub fn in_page(mut self) -> Self {
        self.in_page = true;
        self
    }

    /// A colour as an attribute, with a space before it; none where the style sheet has it.
    fn paint(&self, attribute: &str, ink: Ink) -> String {
        if self.in_page {
            return String::new();
        }
        let colour = if self.dark {
            ink.on_dark()
        } else {
            ink.colour()
        };
        format!(" {attribute}=\"{colour}\"")
    }

    /// A font size as an attribute, with a space before it; none where it is that of the whole drawing.
    fn size(&self, size: f64) -> String {
        let size = tenths(size);
        if self.in_page && size == USUAL_SIZE {
            return String::new();
        }
        format!(" font-size=\"{size}\"")
    }

    /// How far a line may be from the one asked for.
    fn tolerance(&self) -> f64 {
        if self.in_page { 0.25 } else { 0.08 }
    }

    /// The whole as an `svg` element of `size` units. `millimetres` sets its size on paper, else
    /// it fills the width it is given. `name` becomes the class.
    pub fn finish(self, size: (f64, f64), name: &str, title: &str, description: &str) -> String {
        let view = Rect::new(0.0, 0.0, size.0, size.1);
        self.finish_view(view, None, name, (title, description))
    }

    /// The whole as an ornament: what it shows is said in words beside it, and a screen reader passes over it.
    pub fn finish_ornament(self, size: (f64, f64), name: &str) -> String {
        let [width, height] = [size.0, size.1].map(tenths);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" class=\"{name}\" aria-hidden=\"true\">{}</svg>",
            self.out.trim_end()
        )
    }

    /// The same for any part of the plane, and for paper: width and height in mm, and its name in CSS.
    pub fn finish_view(
        self,
        view: Rect,
        paper: Option<(f64, f64, &str)>,
        name: &str,
        (title, description): (&str, &str),
    ) -> String {
        let [x, y, width, height] = [view.x, view.y, view.w, view.h].map(tenths);
        let (size, style) = paper.map_or_else(Default::default, |(w, h, name)| {
            let (w, h) = (tenths(w), tenths(h));
            (
                format!(" width=\"{w}mm\" height=\"{h}mm\""),
                format!("<style>@page {{ size: {name}; margin: 0 }}</style>\n"),
            )
        });
        let prefix = &self.prefix;
        if self.in_page {
            // what is to be seen in it is told by the group within
            return format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\"{size} viewBox=\"{x} {y} {width} {height}\" \
                 class=\"{name}\" role=\"group\" aria-label=\"{}: {}\" font-size=\"{USUAL_SIZE}\">\n{style}{}</svg>\n",
                escape(title),
                escape(description),
                self.out
            );
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\"{size} viewBox=\"{x} {y} {width} {height}\" \
             class=\"{name}\" role=\"group\" aria-labelledby=\"{prefix}title {prefix}desc\" font-family=\"{FONT_FAMILY}\">\n\
             <title id=\"{prefix}title\">{}</title>\n<desc id=\"{prefix}desc\">{}</desc>\n{style}{}</svg>\n",
            escape(title),
            escape(description),
            self.out
        )
    }

    /// Opens a group that is one thing to a screen reader: `role` is `img` for a drawing, `group`
    /// for text and tables.
    pub fn open(&mut self, name: &str, role: &str, title: &str, description: &str) {
        let id = format!("{}{name}", self.prefix);
        self.push(format_args!(
            "<g class=\"{name}\" role=\"{role}\" aria-labelledby=\"{id}-title {id}-desc\">\n\
             <title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n",
            escape(title),
            escape(description)
        ));
    }

    /// Opens a group that is a part of a drawing, by the class it is found by.
    pub fn open_part(&mut self, name: &str) {
        self.push(format_args!("<g class=\"{name}\">\n"));
    }

    /// Opens a group that shows only what is inside `room`.
    pub fn open_clipped(&mut self, room: Rect) {
        self.clips += 1;
        let id = format!("{}clip{}", self.prefix, self.clips);
        self.push(format_args!(
            "<clipPath id=\"{id}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n\
             <g clip-path=\"url(#{id})\">\n",
            tenths(room.x),
            tenths(room.y),
            tenths(room.w),
            tenths(room.h)
        ));
    }

    /// Closes the group opened last.
    pub fn close(&mut self) {
        self.out.push_str("</g>\n");
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        if self.in_page {
            return self.line_in_page(from, to, stroke);
        }
        let (look, class) = (self.stroke_attributes(stroke), stroke.ink.class());
        self.push(format_args!(
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" class=\"s-{class}\"{look}/>\n",
            tenths(from.x),
            tenths(from.y),
            tenths(to.x),
            tenths(to.y)
        ));
    }

    /// A straight line as a part of a path, together with the ones before it in the same look.
    fn line_in_page(&mut self, from: Point, to: Point, stroke: Stroke) {
        let part = path::straight(from, to);
        let known = self
            .last_line
            .filter(|(look, _, end)| *look == stroke && *end == self.out.len());
        let at = if let Some((_, at, _)) = known {
            self.out.insert_str(at, &part);
            at + part.len()
        } else {
            self.out.push_str("<path d=\"");
            self.out.push_str(&part);
            let at = self.out.len();
            let (look, class) = (self.stroke_attributes(stroke), self.stroke_class(stroke));
            self.push(format_args!("\" class=\"{class}\"{look}/>\n"));
            at
        };
        self.last_line = Some((stroke, at, self.out.len()));
    }

    /// A line through many points, thinned to what can be seen.
    pub fn polyline(&mut self, line: &[Point], stroke: Stroke) {
        let points = simplify(line, self.tolerance());
        if points.len() < 2 {
            return;
        }
        let (look, class) = (self.stroke_attributes(stroke), self.stroke_class(stroke));
        self.push(format_args!(
            "<path d=\"{}\"{} class=\"{class}\"{look}/>\n",
            path::through(&points),
            if self.in_page { "" } else { " fill=\"none\"" }
        ));
    }

    /// A filled area, with a rim where `stroke` is given.
    pub fn polygon(&mut self, corners: &[Point], fill: Ink, stroke: Option<Stroke>) {
        // a band's edge, not a line that is read
        let points = simplify(corners, 1.5 * self.tolerance());
        if points.len() < 3 {
            return;
        }
        let (look, rim) = stroke.map_or_else(Default::default, |stroke| {
            (
                self.stroke_attributes(stroke),
                format!(" {}", self.stroke_class(stroke)),
            )
        });
        let (fill, class) = (self.paint("fill", fill), fill.class());
        self.push(format_args!(
            "<path d=\"{}z\"{fill} class=\"f-{class}{rim}\"{look}/>\n",
            path::through(&points)
        ));
    }

    /// The edge of a rectangle.
    pub fn outline(&mut self, room: Rect, stroke: Stroke) {
        let [first, rest @ ..] = room.corners();
        let [second, third, fourth] = rest;
        self.polyline(&[first, second, third, fourth, first], stroke);
    }

    /// A filled rectangle.
    pub fn rect(&mut self, room: Rect, fill: Ink) {
        let (fill, class) = (self.paint("fill", fill), fill.class());
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{fill} class=\"f-{class}\"/>\n",
            tenths(room.x),
            tenths(room.y),
            tenths(room.w),
            tenths(room.h)
        ));
    }

    /// A disc with a rim.
    pub fn disc(&mut self, centre: Point, radius: f64, fill: Ink, rim: Ink) {
        let (fill, class) = (self.paint("fill", fill), fill.class());
        self.push(format_args!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{fill}{} class=\"f-{class} s-{}\"/>\n",
            tenths(centre.x),
            tenths(centre.y),
            tenths(radius),
            self.paint("stroke", rim),
            rim.class()
        ));
    }

    /// A text on the baseline at `at`.
    pub fn text(&mut self, at: Point, text: &str, style: TextStyle) {
        if text.is_empty() {
            return;
        }
        let (anchor, anchor_class) = match (style.anchor, self.in_page) {
            (Anchor::Start, _) => ("", ""),
            (Anchor::Middle, true) => ("", " mid"),
            (Anchor::Middle, false) => (" text-anchor=\"middle\"", ""),
            (Anchor::End, true) => ("", " end"),
            (Anchor::End, false) => (" text-anchor=\"end\"", ""),
        };
        let (weight, weight_class) = match (style.bold, self.in_page) {
            (true, true) => ("", " bold"),
            (true, false) => (" font-weight=\"700\"", ""),
            (false, _) => ("", ""),
        };
        let (rim, rim_class) = match (style.halo, self.in_page) {
            (true, true) => (String::new(), " halo"),
            (true, false) => (
                format!(
                    " paint-order=\"stroke\"{} stroke-width=\"2.5\" stroke-linejoin=\"round\"",
                    self.paint("stroke", Ink::Paper)
                ),
                " s-paper",
            ),
            (false, _) => (String::new(), ""),
        };
        let (fill, class) = (self.paint("fill", style.ink), style.ink.class());
        self.push(format_args!(
            "<text x=\"{}\" y=\"{}\"{}{fill} class=\"f-{class}{rim_class}{anchor_class}{weight_class}\"{anchor}{weight}{rim}>{}</text>\n",
            tenths(at.x),
            tenths(at.y),
            self.size(style.size),
            escape(text)
        ));
    }

    /// A text on the baseline at `at`, and after it another in its own look, in one line.
    pub fn text_then(
        &mut self,
        at: Point,
        (text, style): (&str, TextStyle),
        (rest, rest_style): (&str, TextStyle),
    ) {
        let face = |style: TextStyle| {
            let weight = if style.bold { 700 } else { 400 };
            format!(
                "font-size=\"{}\" font-weight=\"{weight}\"{} class=\"f-{}\"",
                tenths(style.size),
                self.paint("fill", style.ink),
                style.ink.class()
            )
        };
        self.push(format_args!(
            "<text x=\"{}\" y=\"{}\" {}>{}<tspan dx=\"{}\" {}>{}</tspan></text>\n",
            tenths(at.x),
            tenths(at.y),
            face(style),
            escape(text),
            tenths(0.35 * style.size),
            face(rest_style),
            escape(rest)
        ));
    }

    /// The classes of a stroke.
    fn stroke_class(&self, stroke: Stroke) -> String {
        let round = if stroke.round && self.in_page {
            " round"
        } else {
            ""
        };
        format!("s-{}{round}", stroke.ink.class())
    }

    /// The attributes of a stroke but its class, with a space before each.
    fn stroke_attributes(&self, stroke: Stroke) -> String {
        let mut look = self.paint("stroke", stroke.ink);
        let width = tenths(stroke.width);
        if width != "1" || !self.in_page {
            let _ = write!(look, " stroke-width=\"{width}\"");
        }
        if let Some(dash) = stroke.dash {
            let _ = write!(look, " stroke-dasharray=\"{dash}\"");
        }
        if stroke.round && !self.in_page {
            look.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
        }
        look
    }

    fn push(&mut self, arguments: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.out.write_fmt(arguments);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_a_page_lines_of_one_look_are_one_element_without_colours() {
        let mut canvas = Canvas::new("t-").in_page();
        let grid = Stroke::new(Ink::Grid, 0.6);
        let line = |canvas: &mut Canvas, y: f64, stroke: Stroke| {
            canvas.line(Point::new(1.0, y), Point::new(9.5, y), stroke);
        };
        line(&mut canvas, 2.0, grid);
        line(&mut canvas, 4.0, grid);
        line(&mut canvas, 6.0, Stroke::new(Ink::Axis, 0.6));
        canvas.text(Point::new(1.0, 2.0), "a", TextStyle::new(11.5, Ink::Muted));
        line(&mut canvas, 8.0, grid);
        let svg = canvas.finish((10.0, 10.0), "drawing", "t", "d");
        assert!(
            svg.contains(r#"<path d="M1 2H9.5M1 4H9.5" class="s-grid" stroke-width="0.6"/>"#),
            "{svg}"
        );
        assert_eq!(svg.matches("<path").count(), 3);
        assert!(
            svg.contains(r#"<text x="1" y="2" class="f-muted">a</text>"#),
            "{svg}"
        );
        assert!(!svg.contains('#'), "{svg}");
    }

    #[test]
    fn coordinates_are_in_tenths() {
        assert_eq!(tenths(-0.04), "0");
        assert_eq!(tenths(12.34), "12.3");
        assert_eq!(tenths(12.0), "12");
        assert_eq!(tenths(f64::NAN), "0");
    }
}
