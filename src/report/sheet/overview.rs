//! What the sheets on many attempts have in common beyond [`frame`](super::frame).

use super::super::svg::{Canvas, Ink, Point, TextStyle, fit, text_width};
use super::{INK, Paper};

pub(in super::super) use super::frame::{cautions, title};

/// The ground.
pub(in super::super) fn paper(canvas: &mut Canvas) {
    canvas.rect(Paper::Both.view(), Ink::Paper);
}

/// The finding, large, and a line below it.
pub(in super::super) fn headline(canvas: &mut Canvas, outcome: &str, detail: &str) {
    canvas.open("headline", "group", "In short", "The finding.");
    let size = [27.0, 22.0, 17.0]
        .into_iter()
        .find(|size| text_width(outcome, *size, true) <= INK.w)
        .unwrap_or(14.0);
    canvas.text(
        Point::new(INK.x, INK.y + 46.0),
        &fit(outcome, size, true, INK.w),
        TextStyle::new(size, Ink::Text).bold(),
    );
    canvas.text(
        Point::new(INK.x, INK.y + 64.0),
        &fit(detail, 12.5, false, INK.w),
        TextStyle::new(12.5, Ink::Text),
    );
    canvas.close();
}
