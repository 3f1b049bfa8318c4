//! What panels with a line from left to right share: frame, grid, labels, key point lines, bands and lines.

use super::super::grid;
use super::super::look::Look;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, fit, nice_step, spread, text_width,
};
use super::marks::{Shade, draw_disc};

/// Where a panel drew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The plot.
    pub plot: Rect,
    /// To the right: seconds since the power reduction, or the way flown since then in its unit.
    pub across: Scale,
    /// The quantity, upwards.
    pub value: Scale,
    /// Sizes.
    pub look: Look,
    /// Room right of the plot.
    pub right: f64,
}

/// What stands around a plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings<'a> {
    /// The title, with the unit.
    pub title: &'a str,
    /// Whether the numbered discs stand above the plot.
    pub discs: bool,
    /// Rows of labels below it.
    pub rows: u8,
    /// Room for labels right of it.
    pub right: f64,
}

impl Frame {
    /// Draws title, grid and labels of the values `low..=high`; columns are drawn by
    /// [`columns`](Self::columns).
    pub fn draw(
        canvas: &mut Canvas,
        area: Rect,
        look: Look,
        around: Surroundings<'_>,
        (from, to): (f64, f64),
        (low, high): (f64, f64),
    ) -> Frame {
        let discs_room = if around.discs {
            2.0 * look.disc + 9.0
        } else {
            0.0
        };
        let below = if around.rows > 0 {
            f64::from(around.rows) * (look.small + 3.0) + 4.0
        } else {
            4.0
        };
        let body = area.inset(0.0, look.title + 7.0 + discs_room, around.right, below);
        let rows = ((body.h / (look.small * 1.3)) as usize).clamp(2, 8);
        let step = nice_step(high - low, rows);
        let numbers = grid::numbers(Scale::new(low, high, 0.0, 1.0), step);
        let widest = numbers
            .iter()
            .map(|(_, text)| text_width(text, look.small, false));
        let left = widest.fold(text_width("\u{2212}0000", look.small, false), f64::max) + 6.0;
        let plot = body.inset(left, 0.0, 0.0, 0.0);
        let frame = Frame {
            plot,
            across: Scale::new(from, to, plot.x, plot.right()),
            value: Scale::new(low, high, plot.bottom(), plot.y),
            look,
            right: around.right,
        };
        let title = Point::new(area.x, area.y + look.title);
        canvas.text(title, around.title, look.title());
        grid::rows(canvas, plot, frame.value, step, look);
        frame
    }

    /// A grid line at each tick, and its text in the first row below where there is one.
    pub fn columns(&self, canvas: &mut Canvas, ticks: &[(f64, String)]) {
        grid::columns(canvas, self.plot, self.across, ticks, self.look);
    }

    /// The baseline of a row of labels below the plot, counted from 0.
    pub fn row(&self, row: u8) -> f64 {
        let small = self.look.small;
        self.plot.bottom() + small + 3.0 + f64::from(row) * (small + 3.0)
    }

    /// The place of a value.
    pub fn at(&self, across: f64, value: f64) -> Point {
        Point::new(self.across.at(across), self.value.at(value))
    }

    /// The axes, over the grid.
    pub fn axes(&self, canvas: &mut Canvas) {
        let plot = self.plot;
        let corner = Point::new(plot.x, plot.bottom());
        canvas.line(
            Point::new(plot.x, plot.y),
            corner,
            Stroke::new(Ink::Axis, 0.8),
        );
        canvas.line(
            corner,
            Point::new(plot.right(), plot.bottom()),
            Stroke::new(Ink::Axis, 0.8),
        );
    }

    /// The area between two series.
    pub fn band(&self, canvas: &mut Canvas, across: &[f64], low: &[f64], high: &[f64]) {
        let upper = across.iter().zip(high).map(|(x, v)| self.at(*x, *v));
        let lower = across.iter().zip(low).map(|(x, v)| self.at(*x, *v));
        let mut corners: Vec<Point> = upper.collect();
        corners.extend(lower.collect::<Vec<_>>().into_iter().rev());
        corners.retain(|p| p.is_finite());
        canvas.polygon(&corners, Ink::Band, None);
    }

    /// A series as a line in the shades of time.
    pub fn shaded_line(
        &self,
        canvas: &mut Canvas,
        across: &[f64],
        values: &[f64],
        shades: &[Shade],
    ) {
        for shade in shades {
            let line: Vec<Point> = shade
                .steps
                .clone()
                .filter_map(|i| Some(self.at(*across.get(i)?, *values.get(i)?)))
                .collect();
            let wider = 0.06 * f64::from(shade.tone.unwrap_or(0));
            canvas.polyline(&line, shade.stroke(self.look.track + wider));
        }
    }

    /// A horizontal reference line.
    pub fn reference(&self, canvas: &mut Canvas, from: f64, value: f64) {
        if self.value.holds(value) {
            let (start, end) = (self.at(from, value), self.at(self.across.to, value));
            canvas.line(start, end, Stroke::new(Ink::Target, 1.1).dashed("6 2.5"));
        }
    }

    /// Names of lines right of the plot, each near the value at which its line ends.
    pub fn names(&self, canvas: &mut Canvas, mut names: Vec<(f64, String, Ink)>) {
        names.retain(|(value, ..)| self.value.holds(*value));
        names.sort_by(|a, b| b.0.total_cmp(&a.0));
        let wanted: Vec<f64> = names
            .iter()
            .map(|(value, ..)| self.value.at(*value))
            .collect();
        let small = self.look.small;
        let (top, bottom) = (self.plot.y + 0.5 * small, self.plot.bottom() - 0.5 * small);
        let places = spread(&wanted, 1.15 * small, top, bottom);
        for ((_, text, ink), y) in names.iter().zip(places) {
            let at = Point::new(self.plot.right() + 4.0, y + 0.35 * small);
            let text = fit(text, small, false, self.right - 4.0);
            canvas.text(at, &text, self.look.small(*ink, Anchor::Start));
        }
    }

    /// The key points, each with its place across: hair lines, and numbered discs above where wanted.
    pub fn key_points(&self, canvas: &mut Canvas, points: &[(usize, f64)], discs: bool) {
        let shown: Vec<(usize, f64)> = points
            .iter()
            .filter(|(_, place)| self.across.holds(*place))
            .map(|(number, place)| (*number, self.across.at(*place)))
            .collect();
        let wanted: Vec<f64> = shown.iter().map(|(_, x)| *x).collect();
        let gap = 2.0 * self.look.disc + 1.5;
        let places = spread(&wanted, gap, self.plot.x, self.plot.right());
        let hair = Stroke::new(Ink::Axis, 0.6);
        let top = |x: f64| Point::new(x, self.plot.y);
        for (_, x) in &shown {
            let foot = Point::new(*x, self.plot.bottom());
            canvas.line(top(*x), foot, hair.dashed("1 2"));
        }
        if !discs {
            return;
        }
        let centre = |place: f64| Point::new(place, self.plot.y - self.look.disc - 6.0);
        for ((_, x), place) in shown.iter().zip(&places) {
            let foot = Point::new(*place, centre(*place).y + self.look.disc);
            canvas.line(top(*x), foot, hair);
        }
        for ((number, _), place) in shown.iter().zip(&places) {
            draw_disc(canvas, centre(*place), *number, self.look);
        }
    }
}
