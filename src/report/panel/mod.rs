//! The drawings of one attempt, each into a rectangle it is given.
//!
//! The same panels make the printed sheet and the page; only the rectangle and the
//! [`Look`] differ. Each says where it drew, so that a page can put a cursor on
//! it.

pub mod aim;
pub mod descent;
pub mod frame;
mod glide_lines;
pub mod last_mile;
pub mod marks;
pub mod moments;
mod noted;
pub mod over;
pub mod plan;
pub mod side;
pub mod speed;
pub mod time_axis;
mod told;
pub mod way;
pub mod wind_arrows;
pub mod within_glide;

use super::look::Look;
use super::svg::{self, Canvas, Rect};
use super::wording::Wording;
use crate::debrief::document::{Attempt, Reference};
use marks::Mark;

/// What a panel draws from.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The attempt.
    pub attempt: &'a Attempt,
    /// What it is measured against.
    pub reference: &'a Reference,
    /// Its key points, numbered.
    pub marks: &'a [Mark],
    /// Sizes.
    pub look: Look,
    /// Units and time of day.
    pub wording: Wording,
}

/// A panel over time that has no data keeps its title and says so.
fn nothing_over_time(canvas: &mut Canvas, area: Rect, look: Look, title: &str, text: &str) {
    let at = svg::Point::new(area.x, area.y + look.title);
    canvas.text(at, title, look.title());
    nothing_to_draw(
        canvas,
        area.inset(0.0, look.title + 6.0, 0.0, 4.0),
        look,
        text,
    );
}

/// A panel that has no data says so in its place.
fn nothing_to_draw(canvas: &mut Canvas, room: Rect, look: Look, text: &str) {
    use super::svg::{Anchor, Ink, fit};
    canvas.rect(room, Ink::Shade);
    let text = fit(text, look.body, false, room.w - 8.0);
    canvas.text(room.centre(), &text, look.body(Ink::Muted, Anchor::Middle));
}
