//! The printable page of one attempt.
//!
//! Landscape, 279 mm by 210 mm: the smaller of A4 and US Letter in each direction, so that it
//! prints whole on both. One unit is a quarter of a millimetre.

mod frame;
mod key_points;
mod measures;
mod no_attempt;
mod notes;

pub use no_attempt::no_attempt_svg;

use super::headline;
use super::look::Look;
use super::panel::{Subject, aim, descent, marks, plan, side, speed, wind_arrows, wind_table};
use super::svg::{Canvas, Rect};
use crate::debrief::document::Debrief;

/// Width and height of the page, in units.
pub(super) const PAGE: (f64, f64) = (1116.0, 840.0);
/// Width and height of the page, mm.
pub(super) const PAGE_MM: (f64, f64) = (279.0, 210.0);
/// What no ink leaves: 8 mm from each edge.
pub(super) const INK: Rect = Rect {
    x: 32.0,
    y: 32.0,
    w: 1052.0,
    h: 776.0,
};

/// Choices about a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SheetOptions {
    /// The second bar of the scale in kilometres instead of nautical miles.
    pub kilometres: bool,
}

/// The sheet of the attempt at `attempt_index`; without such an attempt, [`no_attempt_svg`].
pub fn sheet_svg(debrief: &Debrief, attempt_index: usize, options: &SheetOptions) -> String {
    let Some(attempt) = debrief.attempts.get(attempt_index) else {
        return no_attempt_svg(debrief, options);
    };
    let look = Look::SHEET;
    let marks = marks::marks(attempt);
    let subject = Subject {
        attempt,
        reference: &debrief.reference,
        marks: &marks,
        look,
    };
    let mut canvas = Canvas::new("sheet-");
    canvas.rect(Rect::new(0.0, 0.0, PAGE.0, PAGE.1), super::svg::Ink::Paper);

    frame::attempt_title(&mut canvas, debrief, attempt);
    frame::headline(&mut canvas, &headline::headline(debrief, attempt));

    let top = 134.0;
    plan::draw(
        &mut canvas,
        Rect::new(32.0, top, 344.0, 402.0),
        &subject,
        options.kilometres,
    );
    wind_arrows::draw(&mut canvas, Rect::new(384.0, top, 60.0, 373.0), &subject);
    key_points::draw(&mut canvas, Rect::new(32.0, 546.0, 412.0, 152.0), &subject);

    let middle = |y: f64, h: f64| Rect::new(460.0, y, 336.0, h);
    let right = 64.0;
    side::draw(&mut canvas, middle(top, 196.0), &subject, right);
    speed::draw(&mut canvas, middle(336.0, 116.0), &subject, false, right);
    descent::draw(&mut canvas, middle(456.0, 104.0), &subject, false, right);
    aim::draw(
        &mut canvas,
        middle(570.0, 128.0).inset(0.0, 0.0, 0.0, 40.0),
        &subject,
    );
    wind_table::draw(&mut canvas, Rect::new(460.0, 666.0, 336.0, 118.0), &subject);
    measures::draw(&mut canvas, Rect::new(814.0, top, 270.0, 650.0), &subject);
    // the notes begin where the key points end
    let notes_top = (576.0 + 14.6 * attempt.key_points.len() as f64).min(706.0);
    notes::draw(
        &mut canvas,
        Rect::new(32.0, notes_top, 412.0, 784.0 - notes_top),
        debrief,
        Some(attempt),
    );
    frame::cautions(&mut canvas, debrief);

    let title = format!(
        "Practice forced landing, attempt {} of {}",
        attempt.number,
        debrief.attempts.len()
    );
    let description = headline::in_words(debrief, attempt);
    canvas.finish(PAGE, Some(PAGE_MM), "stillprop sheet", &title, &description)
}
