//! How lines and texts look.

use super::{Ink, Point, Rect, text_width};

/// A line's look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    pub(super) ink: Ink,
    pub(super) width: f64,
    pub(super) dash: Option<&'static str>,
    pub(super) round: bool,
}

impl Stroke {
    /// A plain line.
    pub fn new(ink: Ink, width: f64) -> Self {
        Stroke {
            ink,
            width,
            dash: None,
            round: false,
        }
    }

    /// The line with dashes, as SVG writes them: `"4 2"`.
    #[must_use]
    pub fn dashed(mut self, dash: &'static str) -> Self {
        self.dash = Some(dash);
        self
    }

    /// The line with round ends.
    #[must_use]
    pub fn round(mut self) -> Self {
        self.round = true;
        self
    }
}

/// Which part of a text stands at its coordinate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A text's look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TextStyle {
    /// Font size.
    pub size: f64,
    /// Bold face.
    pub bold: bool,
    /// Ink.
    pub ink: Ink,
    /// Anchor.
    pub anchor: Anchor,
    /// A rim of paper around the letters, for text over lines.
    pub halo: bool,
}

impl TextStyle {
    /// Regular text from its start.
    pub fn new(size: f64, ink: Ink) -> Self {
        TextStyle {
            size,
            bold: false,
            ink,
            anchor: Anchor::Start,
            halo: false,
        }
    }

    /// The bold face.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// Another anchor.
    #[must_use]
    pub fn anchor(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// With a rim of paper.
    #[must_use]
    pub fn halo(mut self) -> Self {
        self.halo = true;
        self
    }

    /// The room a text in this look takes when written at `at` (its baseline).
    pub fn room(&self, text: &str, at: Point) -> Rect {
        let width = text_width(text, self.size, self.bold);
        let x = match self.anchor {
            Anchor::Start => at.x,
            Anchor::Middle => at.x - width / 2.0,
            Anchor::End => at.x - width,
        };
        Rect::new(x, at.y - 0.78 * self.size, width, self.size)
    }
}
