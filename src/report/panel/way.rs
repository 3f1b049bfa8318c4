//! The way flown over the ground, unrolled: the axis of the side view.

use super::super::number;
use super::super::svg::{Anchor, Canvas, Ink, Point, Stroke, nice_step, nice_ticks, text_width};
use super::super::wording::Shown;
use super::frame::Frame;
use crate::debrief::document::{Attempt, Series};
use crate::units::{M_PER_FT, M_PER_NM};

/// The least way worth an axis, in its unit.
const LEAST: f64 = 0.05;
/// From one time tick on the flown line to the next, s.
const TICK_S: f64 = 30.0;

/// The way flown at each step of the series.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// In `unit`, 0 at the power reduction and negative before; never shrinks.
    pub flown: Vec<f64>,
    /// NM or km.
    pub unit: Shown,
    elapsed_s: Vec<f64>,
}

impl Way {
    /// The way of an attempt; `None` without positions. A step without a position is where the last one was.
    pub fn of(attempt: &Attempt, unit: Shown) -> Option<Way> {
        Way::of_series(&attempt.series, unit)
    }

    fn of_series(series: &Series, unit: Shown) -> Option<Way> {
        let mut flown = Vec::with_capacity(series.elapsed_s.len());
        let mut last: Option<(f64, f64)> = None;
        let mut sum = 0.0;
        for place in series.east_ft.iter().zip(&series.north_ft) {
            let (east, north) = (*place.0, *place.1);
            if east.is_finite() && north.is_finite() {
                let step_ft = last.map_or(0.0, |(e, n)| (east - e).hypot(north - n));
                sum += unit.of(step_ft * M_PER_FT / M_PER_NM);
                last = Some((east, north));
            }
            flown.push(sum);
        }
        let enough = flown.len() == series.elapsed_s.len() && sum > LEAST;
        let mut way = enough.then(|| Way {
            flown,
            unit,
            elapsed_s: series.elapsed_s.clone(),
        })?;
        let start = way.at(0.0)?;
        for flown in &mut way.flown {
            *flown -= start;
        }
        Some(way)
    }

    /// The way flown at a time in seconds since the power reduction; `None` outside the series.
    pub fn at(&self, elapsed_s: f64) -> Option<f64> {
        between(&self.elapsed_s, &self.flown, elapsed_s)
    }

    /// How many ft one of the unit is.
    pub fn ft(&self) -> f64 {
        M_PER_NM / M_PER_FT / self.unit.of(1.0)
    }

    /// First and last.
    pub fn ends(&self) -> (f64, f64) {
        let of = |end: Option<&f64>| end.copied().unwrap_or(0.0);
        (of(self.flown.first()), of(self.flown.last()))
    }

    /// A grid line at each round distance, named in the first row below the plot.
    pub(super) fn columns(&self, canvas: &mut Canvas, frame: &Frame, left: f64) {
        let small = frame.look.small;
        let (from, to) = self.ends();
        let most = ((frame.plot.w / (small * 3.0)) as usize).max(2);
        let step = nice_step(to - from, most).max(0.1);
        let decimals = usize::from(step < 1.0);
        let ticks: Vec<(f64, String)> = nice_ticks(0.0, to, step)
            .into_iter()
            .map(|tick| (tick, number::number(tick, decimals)))
            .collect();
        frame.columns(canvas, &ticks);
        let head = frame.look.small(Ink::Muted, Anchor::Start);
        canvas.text(Point::new(left, frame.row(0)), self.unit.unit, head);
        canvas.text(Point::new(left, frame.row(1)), "time", head);
    }

    /// A tick across the flown line every half minute, longer at whole minutes, which are named in the second row
    /// below the plot where there is room.
    pub(super) fn time_ticks(
        &self,
        canvas: &mut Canvas,
        frame: &Frame,
        height: &[f64],
        end_s: f64,
    ) {
        let small = frame.look.small;
        let mut free = f64::NEG_INFINITY;
        for tick in nice_ticks(0.0, end_s, TICK_S) {
            let place = self.at(tick);
            let (Some(place), Some(height)) = (place, between(&self.elapsed_s, height, tick))
            else {
                continue;
            };
            let whole = (tick / 60.0).fract() == 0.0;
            let half = if whole { 4.4 } else { 2.6 };
            let at = frame.at(place, height);
            if at.is_finite() && tick > 0.0 {
                let (top, bottom) = (Point::new(at.x, at.y - half), Point::new(at.x, at.y + half));
                canvas.line(top, bottom, Stroke::new(Ink::Text, 0.9));
            }
            let text = number::clock(tick);
            let room = 0.5 * text_width(&text, small, false);
            if whole && at.x.is_finite() && at.x - room > free {
                let style = frame.look.small(Ink::Muted, Anchor::Middle);
                canvas.text(Point::new(at.x, frame.row(1)), &text, style);
                free = at.x + room + 4.0;
            }
        }
    }
}

/// What a series is at a time, between its steps; `None` outside it or where it is not known.
pub(super) fn between(elapsed_s: &[f64], values: &[f64], at_s: f64) -> Option<f64> {
    let next = elapsed_s.iter().position(|t| *t >= at_s)?;
    let Some(before) = next.checked_sub(1) else {
        return values.first().copied().filter(|v| v.is_finite());
    };
    let (t0, t1) = (elapsed_s[before], elapsed_s[next]);
    let (a, b) = (*values.get(before)?, *values.get(next)?);
    let value = a + (at_s - t0) / (t1 - t0).max(1e-9) * (b - a);
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 10 s a step from 10 s before the power reduction, along the sides of a square of 6076.115 ft (1 NM).
    fn square() -> (Vec<f64>, Vec<f64>, Vec<f64>) {
        let mile = M_PER_NM / M_PER_FT;
        let east = vec![0.0, mile, mile, f64::NAN, 0.0];
        let north = vec![0.0, 0.0, mile, f64::NAN, mile];
        (vec![-10.0, 0.0, 10.0, 20.0, 30.0], east, north)
    }

    fn way(factor: f64) -> Way {
        let (elapsed_s, east_ft, north_ft) = square();
        let unit = Shown {
            unit: "NM",
            factor,
            decimals: 0,
        };
        let series = Series {
            elapsed_s,
            north_ft,
            east_ft,
            ..Series::default()
        };
        Way::of_series(&series, unit).unwrap()
    }

    #[test]
    fn the_way_is_that_along_the_path_from_the_power_reduction_on() {
        let way = way(1.0);
        for (flown, wanted) in way.flown.iter().zip([-1.0, 0.0, 1.0, 1.0, 2.0]) {
            assert!((flown - wanted).abs() < 1e-9, "{:?}", way.flown);
        }
        assert!((way.at(5.0).unwrap() - 0.5).abs() < 1e-9);
        assert_eq!(way.at(31.0), None);
        assert!(
            (way.ft() - 6076.115).abs() < 0.001,
            "1 NM is 1852 m, 6076.115 ft"
        );
    }

    #[test]
    fn kilometres_are_longer_numbers_of_the_same_way() {
        let way = way(1.852);
        assert!((way.ends().1 - 3.704).abs() < 1e-9, "{:?}", way.ends());
        // 1 km is 3280.840 ft
        assert!((way.ft() - 3280.840).abs() < 0.001, "{}", way.ft());
    }

    #[test]
    fn nobody_who_stands_still_has_a_way() {
        let series = Series {
            elapsed_s: vec![0.0, 1.0],
            east_ft: vec![5.0, 5.0],
            north_ft: vec![1.0, 1.0],
            ..Series::default()
        };
        let unit = Shown {
            unit: "NM",
            factor: 1.0,
            decimals: 0,
        };
        assert_eq!(Way::of_series(&series, unit), None);
    }
}
