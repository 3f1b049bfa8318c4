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
}

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
        }
    }

    /// The drawing on a dark ground, or on a light one.
    #[must_use]
    pub fn dark(mut self, dark: bool) -> Self {
        self.dark = dark;
        self
    }

    fn colour(&self, ink: Ink) -> &'static str {
        if self.dark {
            ink.on_dark()
        } else {
            ink.colour()
        }
    }

    /// The whole as an `svg` element of `size` units. `millimetres` sets its size on paper, else
    /// it fills the width it is given. `name` becomes the class.
    pub fn finish(self, size: (f64, f64), name: &str, title: &str, description: &str) -> String {
        let view = Rect::new(0.0, 0.0, size.0, size.1);
        self.finish_view(view, None, name, (title, description))
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
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\"{size} viewBox=\"{x} {y} {width} {height}\" \
             class=\"{name}\" role=\"group\" aria-labelledby=\"{prefix}title {prefix}desc\" \
             font-family=\"{FONT_FAMILY}\">\n\
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
        let (look, class) = (self.stroke_attributes(stroke), stroke.ink.class());
        self.push(format_args!(
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" class=\"s-{class}\"{look}/>\n",
            tenths(from.x),
            tenths(from.y),
            tenths(to.x),
            tenths(to.y)
        ));
    }

    /// A line through many points, thinned to what can be seen.
    pub fn polyline(&mut self, line: &[Point], stroke: Stroke) {
        let points = simplify(line, 0.08);
        if points.len() < 2 {
            return;
        }
        let (look, class) = (self.stroke_attributes(stroke), stroke.ink.class());
        self.push(format_args!(
            "<path d=\"{}\" fill=\"none\" class=\"s-{class}\"{look}/>\n",
            path::through(&points)
        ));
    }

    /// A filled area, with a rim where `stroke` is given.
    pub fn polygon(&mut self, corners: &[Point], fill: Ink, stroke: Option<Stroke>) {
        let points = simplify(corners, 0.08);
        if points.len() < 3 {
            return;
        }
        let (look, rim) = stroke.map_or_else(Default::default, |stroke| {
            (
                self.stroke_attributes(stroke),
                format!(" s-{}", stroke.ink.class()),
            )
        });
        let (fill, class) = (self.colour(fill), fill.class());
        self.push(format_args!(
            "<path d=\"{}z\" fill=\"{fill}\" class=\"f-{class}{rim}\"{look}/>\n",
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
        let (colour, class) = (self.colour(fill), fill.class());
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{colour}\" class=\"f-{class}\"/>\n",
            tenths(room.x),
            tenths(room.y),
            tenths(room.w),
            tenths(room.h)
        ));
    }

    /// A disc with a rim.
    pub fn disc(&mut self, centre: Point, radius: f64, fill: Ink, rim: Ink) {
        let (colour, class) = (self.colour(fill), fill.class());
        self.push(format_args!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{colour}\" stroke=\"{}\" class=\"f-{class} s-{}\"/>\n",
            tenths(centre.x),
            tenths(centre.y),
            tenths(radius),
            self.colour(rim),
            rim.class()
        ));
    }

    /// A text on the baseline at `at`.
    pub fn text(&mut self, at: Point, text: &str, style: TextStyle) {
        if text.is_empty() {
            return;
        }
        let anchor = match style.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let weight = if style.bold {
            " font-weight=\"700\""
        } else {
            ""
        };
        let (rim, rim_class) = if style.halo {
            (
                format!(
                    " paint-order=\"stroke\" stroke=\"{}\" stroke-width=\"2.5\" stroke-linejoin=\"round\"",
                    self.colour(Ink::Paper)
                ),
                " s-paper",
            )
        } else {
            (String::new(), "")
        };
        let (colour, class) = (self.colour(style.ink), style.ink.class());
        self.push(format_args!(
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{colour}\" class=\"f-{class}{rim_class}\"{anchor}{weight}{rim}>{}</text>\n",
            tenths(at.x),
            tenths(at.y),
            tenths(style.size),
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
                "font-size=\"{}\" font-weight=\"{weight}\" fill=\"{}\" class=\"f-{}\"",
                tenths(style.size),
                self.colour(style.ink),
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

    /// The attributes of a stroke but its class, with a space before each.
    fn stroke_attributes(&self, stroke: Stroke) -> String {
        let mut look = format!(
            " stroke=\"{}\" stroke-width=\"{}\"",
            self.colour(stroke.ink),
            tenths(stroke.width)
        );
        if let Some(dash) = stroke.dash {
            let _ = write!(look, " stroke-dasharray=\"{dash}\"");
        }
        if stroke.round {
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
    fn coordinates_are_in_tenths() {
        assert_eq!(tenths(-0.04), "0");
        assert_eq!(tenths(12.34), "12.3");
        assert_eq!(tenths(12.0), "12");
        assert_eq!(tenths(f64::NAN), "0");
    }
}
