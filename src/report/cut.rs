//! The mark where a line goes on beyond its plot, with the value it goes on to.

use super::look::Look;
use super::number;
use super::svg::{Anchor, Canvas, Ink, Point, Rect, text_width};

/// An end that lies beyond the plot.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cut {
    /// Where the line leaves the plot.
    pub(super) x: f64,
    /// Over the top, or under the bottom.
    pub(super) over: bool,
    /// The value at the end.
    pub(super) value: String,
}

/// The end of an interval to two figures: it is an end, and a far one.
pub(super) fn value(end: f64) -> String {
    if end.abs() < 1.0 {
        return number::number(end, 1);
    }
    let step = 10_f64.powf(end.abs().log10().floor() - 1.0);
    number::number((end / step).round() * step, usize::from(step < 1.0))
}

/// Half of the width of an arrow.
const HALF: f64 = 3.0;

/// An arrow at each cut, and the value beside it where it has room before the next one; `cuts` go from left to right.
pub(super) fn draw(canvas: &mut Canvas, plot: Rect, cuts: &[Cut], look: Look) {
    for over in [true, false] {
        let side: Vec<&Cut> = cuts.iter().filter(|cut| cut.over == over).collect();
        let (edge, inwards) = if over {
            (plot.y, 1.0)
        } else {
            (plot.bottom(), -1.0)
        };
        for (i, cut) in side.iter().enumerate() {
            let foot = edge + inwards * 1.8 * HALF;
            let corners = [
                Point::new(cut.x, edge),
                Point::new(cut.x - HALF, foot),
                Point::new(cut.x + HALF, foot),
            ];
            canvas.polygon(&corners, Ink::Track(8), None);
            let next = side.get(i + 1).map_or(plot.right(), |next| next.x - HALF);
            let from = cut.x + HALF + 2.0;
            if from + text_width(&cut.value, look.small, false) > next {
                continue;
            }
            let baseline = if over {
                edge + 0.8 * look.small
            } else {
                edge - 0.1 * look.small
            };
            canvas.text(
                Point::new(from, baseline),
                &cut.value,
                look.small(Ink::Muted, Anchor::Start).halo(),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_figures() {
        let of = [869.0, 1103.0, 64.0, 7.26, -26.2, 0.04].map(value);
        assert_eq!(of, ["870", "1100", "64", "7.3", "\u{2212}26", "0.0"]);
    }

    #[test]
    fn a_value_stands_where_it_has_room_and_the_arrow_always() {
        let cut = |x: f64| Cut {
            x,
            over: true,
            value: "1200".into(),
        };
        let mut canvas = Canvas::new("t-");
        let plot = Rect::new(0.0, 0.0, 200.0, 100.0);
        draw(
            &mut canvas,
            plot,
            &[cut(10.0), cut(20.0), cut(190.0)],
            Look::SHEET,
        );
        let svg = canvas.finish((200.0, 100.0), "t", "t", "t");
        assert_eq!(svg.matches("<text").count(), 1);
        assert_eq!(svg.matches("<path").count(), 3);
    }
}
