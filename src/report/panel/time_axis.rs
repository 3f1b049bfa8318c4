//! What the panels over time share: frame, grid, time labels, key point lines, bands and lines.

use super::super::look::Look;
use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Point, Rect, Scale, Stroke, fit, nice_step, nice_ticks, nice_time_step,
    spread, text_width,
};
use super::Subject;
use super::marks::{self, Shade, draw_disc};

/// Where a panel over time drew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeFrame {
    /// The plot.
    pub plot: Rect,
    /// Seconds since the power reduction, to the right.
    pub time: Scale,
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
    /// Whether times stand below it.
    pub times: bool,
    /// Room for labels right of it.
    pub right: f64,
}

/// The range that holds all finite values and a little more.
pub fn range<'a>(values: impl Iterator<Item = &'a f64>) -> Option<(f64, f64)> {
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(*v), h.max(*v))
        });
    (low <= high).then_some((low, high))
}

/// The range of a series before the attempt ended: what follows must not squeeze it.
pub fn range_in_attempt(subject: &Subject<'_>, values: &[f64]) -> Option<(f64, f64)> {
    let end = marks::end_s(subject.attempt, subject.marks);
    let elapsed = &subject.attempt.series.elapsed_s;
    range(
        elapsed
            .iter()
            .zip(values)
            .filter(|(t, _)| **t <= end)
            .map(|(_, v)| v),
    )
}

/// Draws frame, grid and labels for values `low..=high` and returns where.
pub fn frame(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    around: Surroundings<'_>,
    (low, high): (f64, f64),
) -> TimeFrame {
    let look = subject.look;
    let discs_room = if around.discs {
        2.0 * look.disc + 9.0
    } else {
        0.0
    };
    let below = if around.times { look.small + 7.0 } else { 4.0 };
    let body = area.inset(0.0, look.title + 7.0 + discs_room, around.right, below);
    let rows = ((body.h / (look.small * 1.3)) as usize).clamp(2, 8);
    let step = nice_step(high - low, rows);
    let ticks: Vec<(f64, String)> = nice_ticks(low, high, step)
        .into_iter()
        .map(|tick| (tick, number::number(tick, usize::from(step < 1.0))))
        .collect();
    let widest = ticks
        .iter()
        .map(|(_, text)| text_width(text, look.small, false));
    let left = widest.fold(text_width("\u{2212}0000", look.small, false), f64::max) + 6.0;
    let plot = body.inset(left, 0.0, 0.0, 0.0);
    let elapsed = &subject.attempt.series.elapsed_s;
    let (from, to) = range(elapsed.iter()).unwrap_or((0.0, 60.0));
    let time = Scale::new(from, to, plot.x, plot.right());
    let value = Scale::new(low, high, plot.bottom(), plot.y);

    canvas.text(
        Point::new(area.x, area.y + look.title),
        around.title,
        look.title(),
    );
    for (tick, text) in &ticks {
        let y = value.at(*tick);
        canvas.line(
            Point::new(plot.x, y),
            Point::new(plot.right(), y),
            Stroke::new(Ink::Grid, 0.6),
        );
        let at = Point::new(plot.x - 4.0, y + look.small * 0.35);
        canvas.text(at, text, look.small(Ink::Muted, Anchor::End));
    }
    let columns = ((plot.w / (look.small * 3.3)) as usize).max(2);
    let step = nice_time_step(time.to - time.from, columns);
    for tick in nice_ticks(time.from, time.to, step) {
        let x = time.at(tick);
        let (top, bottom) = (Point::new(x, plot.y), Point::new(x, plot.bottom()));
        canvas.line(top, bottom, Stroke::new(Ink::Grid, 0.6));
        if around.times {
            let at = Point::new(x, plot.bottom() + look.small + 3.0);
            canvas.text(
                at,
                &number::clock(tick),
                look.small(Ink::Muted, Anchor::Middle),
            );
        }
    }
    TimeFrame {
        plot,
        time,
        value,
        look,
        right: around.right,
    }
}

impl TimeFrame {
    /// The place of a value at a time.
    pub fn at(&self, elapsed_s: f64, value: f64) -> Point {
        Point::new(self.time.at(elapsed_s), self.value.at(value))
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
    pub fn band(&self, canvas: &mut Canvas, elapsed: &[f64], low: &[f64], high: &[f64]) {
        let upper = elapsed.iter().zip(high).map(|(t, v)| self.at(*t, *v));
        let lower = elapsed.iter().zip(low).map(|(t, v)| self.at(*t, *v));
        let mut corners: Vec<Point> = upper.collect();
        corners.extend(lower.collect::<Vec<_>>().into_iter().rev());
        corners.retain(|p| p.is_finite());
        canvas.polygon(&corners, Ink::Band, None);
    }

    /// A series as a line in the shades of time.
    pub fn shaded_line(
        &self,
        canvas: &mut Canvas,
        elapsed: &[f64],
        values: &[f64],
        shades: &[Shade],
    ) {
        for shade in shades {
            let line: Vec<Point> = shade
                .steps
                .clone()
                .filter_map(|i| Some(self.at(*elapsed.get(i)?, *values.get(i)?)))
                .collect();
            let stroke = match shade.tone {
                Some(tone) => {
                    Stroke::new(Ink::Track(tone), self.look.track + 0.06 * f64::from(tone)).round()
                }
                None => Stroke::new(Ink::Axis, 0.8).dashed("2 1.6"),
            };
            canvas.polyline(&line, stroke);
        }
    }

    /// A horizontal reference line.
    pub fn reference(&self, canvas: &mut Canvas, from_s: f64, value: f64) {
        if self.value.holds(value) {
            let (start, end) = (self.at(from_s, value), self.at(self.time.to, value));
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

    /// The key points: hair lines, and numbered discs above where wanted.
    pub fn key_points(&self, canvas: &mut Canvas, marks: &[marks::Mark], discs: bool) {
        let shown: Vec<&marks::Mark> = marks
            .iter()
            .filter(|m| self.time.holds(m.elapsed_s))
            .collect();
        let wanted: Vec<f64> = shown.iter().map(|m| self.time.at(m.elapsed_s)).collect();
        let gap = 2.0 * self.look.disc + 1.5;
        let places = spread(&wanted, gap, self.plot.x, self.plot.right());
        for ((mark, x), place) in shown.iter().zip(&wanted).zip(&places) {
            let hair = Stroke::new(Ink::Axis, 0.6).dashed("1 2");
            let top = Point::new(*x, self.plot.y);
            canvas.line(top, Point::new(*x, self.plot.bottom()), hair);
            if discs {
                let centre = Point::new(*place, self.plot.y - self.look.disc - 6.0);
                let foot = Point::new(*place, centre.y + self.look.disc);
                canvas.line(top, foot, Stroke::new(Ink::Axis, 0.6));
                draw_disc(canvas, centre, mark.number, self.look);
            }
        }
    }
}
