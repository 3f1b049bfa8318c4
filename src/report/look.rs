//! The sizes of a drawing: one set for paper, one for screens.

use super::svg::{Anchor, Ink, TextStyle};

/// Text sizes and line widths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Tick labels and notes.
    pub small: f64,
    /// Ordinary text.
    pub body: f64,
    /// Titles of panels.
    pub title: f64,
    /// Radius of the numbered discs.
    pub disc: f64,
    /// Width of the flown line at its beginning; it grows from there.
    pub track: f64,
}

impl Look {
    /// For the printed sheet, whose unit is a quarter of a millimetre: 6.5 pt (2.3 mm) and up.
    pub const SHEET: Look = Look {
        small: 9.2,
        body: 9.6,
        title: 11.0,
        disc: 6.4,
        track: 1.4,
    };
    /// For the page, whose drawings are about as wide as a phone.
    pub const PAGE: Look = Look {
        small: 11.5,
        body: 12.5,
        title: 13.5,
        disc: 8.0,
        track: 1.8,
    };

    /// Small text.
    pub fn small(&self, ink: Ink, anchor: Anchor) -> TextStyle {
        TextStyle::new(self.small, ink).anchor(anchor)
    }

    /// Ordinary text.
    pub fn body(&self, ink: Ink, anchor: Anchor) -> TextStyle {
        TextStyle::new(self.body, ink).anchor(anchor)
    }

    /// A panel's title.
    pub fn title(&self) -> TextStyle {
        TextStyle::new(self.title, Ink::Text).bold()
    }
}
