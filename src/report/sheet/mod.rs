//! The printable page of one attempt.
//!
//! Landscape, 279 mm by 210 mm: the smaller of A4 and US Letter in each direction, so that it
//! prints whole on both. One unit is a quarter of a millimetre.

mod frame;
mod key_points;
mod measures;
mod no_attempt;
mod notes;
pub(super) mod overview;

pub use no_attempt::no_attempt_svg;

use super::headline;
use super::look::Look;
use super::panel::{Subject, aim, descent, last_mile, marks, plan, side, speed, wind_arrows};
use super::svg::{Canvas, Rect};
use super::wording::Wording;
use crate::debrief::document::Debrief;

/// Width and height of the page, in units.
pub(super) const PAGE: (f64, f64) = (1116.0, 840.0);
/// Width and height of the page, mm.
const PAGE_MM: (f64, f64) = (279.0, 210.0);
/// Units of the drawing in a millimetre.
const UNITS_PER_MM: f64 = 4.0;
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
    /// The paper it is printed on.
    pub paper: Paper,
    /// On a dark ground, for screens.
    pub dark: bool,
    /// Units and time of day.
    pub wording: Wording,
}

/// The paper of a sheet, landscape. The drawing is the same on all of them, in the middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// The smaller of A4 and US Letter in each direction.
    #[default]
    Both,
    /// 297 mm by 210 mm.
    A4,
    /// 11 in by 8½ in.
    Letter,
}

impl Paper {
    /// Width and height, mm, and what a printer calls it.
    fn size_mm(self) -> (f64, f64, &'static str) {
        match self {
            Paper::Both => (PAGE_MM.0, PAGE_MM.1, "landscape"),
            Paper::A4 => (297.0, 210.0, "A4 landscape"),
            Paper::Letter => (279.4, 215.9, "letter landscape"),
        }
    }

    /// The paper in units of the drawing, which lies in its middle.
    fn view(self) -> Rect {
        let (width, height, _) = self.size_mm();
        let (w, h) = (UNITS_PER_MM * width, UNITS_PER_MM * height);
        Rect::new((PAGE.0 - w) / 2.0, (PAGE.1 - h) / 2.0, w, h)
    }

    /// The finished sheet.
    pub(super) fn finish(self, canvas: Canvas, title: &str, description: &str) -> String {
        let (width, height, name) = self.size_mm();
        let paper = Some((width, height, name));
        canvas.finish_view(self.view(), paper, "stillprop sheet", (title, description))
    }
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
        wording: options.wording,
    };
    let mut canvas = Canvas::new("sheet-").dark(options.dark);
    canvas.rect(options.paper.view(), super::svg::Ink::Paper);

    frame::attempt_title(&mut canvas, debrief, attempt, options.wording);
    frame::headline(
        &mut canvas,
        &headline::headline(debrief, attempt, options.wording),
    );

    let top = 134.0;
    plan::draw(
        &mut canvas,
        Rect::new(32.0, top, 344.0, 384.0),
        &subject,
        options.kilometres,
    );
    wind_arrows::draw(&mut canvas, Rect::new(384.0, top, 60.0, 340.0), &subject);
    let points = Rect::new(32.0, 526.0, 412.0, 160.0);
    let points_end = key_points::draw(&mut canvas, points, &subject);

    let middle = |y: f64, h: f64| Rect::new(460.0, y, 336.0, h);
    // room for the longest name of a line
    let right = 73.0;
    side::draw(&mut canvas, middle(top, 224.0), &subject, right);
    speed::draw(&mut canvas, middle(362.0, 120.0), &subject, 0, right);
    descent::draw(&mut canvas, middle(482.0, 106.0), &subject, false, right);
    aim::draw(&mut canvas, middle(592.0, 64.0), &subject);
    last_mile::draw(&mut canvas, middle(660.0, 122.0), &subject);
    measures::draw(&mut canvas, Rect::new(814.0, top, 270.0, 646.0), &subject);
    notes::draw(
        &mut canvas,
        Rect::new(32.0, points_end + 10.0, 412.0, 770.0 - points_end),
        debrief,
        Some(attempt),
        options.wording,
    );
    frame::cautions(&mut canvas, &debrief.cautions, &debrief.program);

    let title = format!(
        "Practice forced landing, attempt {} of {}",
        attempt.number,
        debrief.attempts.len()
    );
    let description = headline::in_words(debrief, attempt, options.wording);
    options.paper.finish(canvas, &title, &description)
}
