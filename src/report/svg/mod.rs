//! A small scene layer that writes SVG directly.
//!
//! Why not a plotting crate: the stock SVG writer of plotters rounds every point to whole pixels,
//! so a track becomes a staircase; it has no groups, titles, descriptions, clip paths or dashes;
//! and it takes the width of a text from its count of bytes, so that every "°" or "−" pushes
//! labels apart. A sheet that is printed and read aloud by a screen reader needs all of them, and
//! the writing itself is a page of code.
//!
//! Coordinates are written in tenths of a unit. Text is measured by [`text_width`], a table of
//! advance widths, so labels are placed by their true size. Nothing is rotated or transformed: a
//! coordinate in the file is where it is on the page.

mod canvas;
mod geometry;
mod ink;
mod labels;
mod metrics;
mod path;
mod scale;
mod simplify;
mod style;
mod widths;
mod xml;

pub use canvas::Canvas;
pub use geometry::{Point, Rect};
pub use ink::Ink;
pub use labels::{Placement, Placer, dense, spread};
pub use metrics::{fit, text_width, wrap};
pub use scale::{Scale, nice_step, nice_ticks, nice_time_step};
pub use simplify::simplify;
pub use style::{Anchor, Stroke, TextStyle};
pub use xml::{escape, is_unprintable};

/// The faces asked for. [`text_width`] is an upper bound for all of those named.
pub const FONT_FAMILY: &str =
    "'Liberation Sans', Arimo, Helvetica, Arial, 'DejaVu Sans', sans-serif";
