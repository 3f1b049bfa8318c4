//! The wind along the way: an arrow where the path came down through each height of the wind table.

use super::super::super::svg::{Anchor, Canvas, Ink, Placer, Point, text_width};
use super::super::Subject;
use super::super::wind_arrows::arrow;
use super::PlanFrame;

/// Half the length of an arrow.
const HALF: f64 = 6.0;

/// The most arrows: more hide the way.
const MOST: usize = 5;

/// Arrows with their heights, where they hide nothing.
pub(super) fn along(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let small = subject.look.small;
    let every = subject.attempt.wind.len().div_ceil(MOST).max(1);
    for wind in subject.attempt.wind.iter().step_by(every) {
        let from = wind.from_deg_true.value().filter(|from| from.is_finite());
        let place = passed(subject, wind.height_ft).map(|(e, n)| frame.at(e, n));
        let (Some(from), Some(place)) = (from, place.filter(|p| frame.plot.holds(*p))) else {
            continue;
        };
        let text = subject.wording.level(wind.height_ft);
        let width = 2.0 * HALF + 3.0 + text_width(&text, small, false);
        if let Some(label) = placer.place_clear(place, width, 2.0 * HALF + 2.0, 5.0, 26.0) {
            let middle = label.room.centre().y;
            let centre = Point::new(label.room.x + HALF, middle);
            arrow(canvas, centre, from, HALF);
            let at = Point::new(label.room.x + 2.0 * HALF + 3.0, middle + 0.35 * small);
            canvas.text(
                at,
                &text,
                subject.look.small(Ink::Wind, Anchor::Start).halo(),
            );
        }
    }
}

/// Where the path first came down to a height after the power reduction, east and north of the aim, ft.
fn passed(subject: &Subject<'_>, height_ft: f64) -> Option<(f64, f64)> {
    let series = &subject.attempt.series;
    let start = series.elapsed_s.iter().position(|t| *t >= 0.0)?;
    let heights = series.height_ft.get(start..)?;
    let above = heights.iter().position(|h| *h > height_ft)?;
    let below = heights[above..].iter().position(|h| *h <= height_ft)?;
    let i = start + above + below;
    Some((*series.east_ft.get(i)?, *series.north_ft.get(i)?))
}
