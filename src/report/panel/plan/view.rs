//! What the plan shows, and at which scale.
//!
//! A glide often begins miles from a pattern flown within a few hundred yards. The plan then shows
//! the pattern, and the whole glide in a small inset.

use super::super::super::svg::{Point, Rect};
use super::super::Subject;
use super::super::marks;

/// Where the plan drew: a place `east`, `north` (ft) is at
/// `x = origin.x + east × units_per_ft`, `y = origin.y − north × units_per_ft`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanFrame {
    /// The plot.
    pub plot: Rect,
    /// Where the aim (or the reference point) is.
    pub origin: Point,
    /// Scale.
    pub units_per_ft: f64,
}

impl PlanFrame {
    /// The place of a point.
    pub fn at(&self, east_ft: f64, north_ft: f64) -> Point {
        Point::new(
            self.origin.x + east_ft * self.units_per_ft,
            self.origin.y - north_ft * self.units_per_ft,
        )
    }

    /// The frame that shows all of `bounds` (x east, y north) within `plot`, `margin` kept free.
    pub(in super::super) fn fitting(plot: Rect, bounds: Rect, margin: f64) -> Self {
        let inner = plot.inset(margin, margin, margin, margin);
        let units_per_ft = (inner.w / bounds.w.max(500.0)).min(inner.h / bounds.h.max(500.0));
        let (middle, centre) = (bounds.centre(), inner.centre());
        let origin = Point::new(
            centre.x - middle.x * units_per_ft,
            centre.y + middle.y * units_per_ft,
        );
        PlanFrame {
            plot,
            origin,
            units_per_ft,
        }
    }
}

/// The view chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct View {
    /// The plan proper.
    pub(super) frame: PlanFrame,
    /// Whether the aim is in it.
    pub(super) aim_shown: bool,
    /// Bounds of the whole attempt, ft, when the plan shows only the pattern.
    pub(super) whole: Option<Rect>,
}

/// Room left around the track, for labels.
const MARGIN: f64 = 28.0;
/// An aim farther away than this many times the size of the track is not drawn.
const FARTHEST_AIM: f64 = 8.0;
/// The pattern is shown alone when it is smaller than this share of the whole.
const SMALL_PATTERN: f64 = 0.6;
/// The pattern reaches this many times as far as its farthest key point.
const PATTERN_REACH: f64 = 1.25;

/// Chooses the view; `None` without positions.
pub(super) fn choose(plot: Rect, subject: &Subject<'_>) -> Option<View> {
    let path = attempt_path(subject);
    let track = bounds_of(&path)?;
    let away = path
        .iter()
        .map(|p| p.distance(Point::default()))
        .fold(f64::INFINITY, f64::min);
    let size = track.w.max(track.h).max(1000.0);
    let aim_shown = subject.reference.aim_source != "none" && away < FARTHEST_AIM * size;
    if !aim_shown {
        return Some(View {
            frame: PlanFrame::fitting(plot, track, MARGIN),
            aim_shown,
            whole: None,
        });
    }
    let aim = Point::default();
    let whole = bounds_of(&[corner(track, false), corner(track, true), aim])?;
    let pattern = pattern(&path, subject).and_then(|part| {
        let part = bounds_of(part)?;
        bounds_of(&[corner(part, false), corner(part, true), aim])
    });
    let small = |part: &Rect| part.w.max(part.h) < SMALL_PATTERN * whole.w.max(whole.h);
    Some(match pattern.filter(small) {
        Some(part) => View {
            frame: PlanFrame::fitting(plot, part, MARGIN),
            aim_shown,
            whole: Some(whole),
        },
        None => View {
            frame: PlanFrame::fitting(plot, whole, MARGIN),
            aim_shown,
            whole: None,
        },
    })
}

/// The frame of the inset that shows the whole attempt.
pub(super) fn inset(plot: Rect, whole: Rect) -> PlanFrame {
    PlanFrame::fitting(plot, whole, 9.0)
}

/// The path from the power reduction to the end (x east, y north, ft); all of it when that part
/// is empty.
fn attempt_path(subject: &Subject<'_>) -> Vec<Point> {
    let series = &subject.attempt.series;
    let end = marks::end_s(subject.attempt, subject.marks);
    let places = |from: f64, to: f64| -> Vec<Point> {
        series
            .elapsed_s
            .iter()
            .zip(series.east_ft.iter().zip(&series.north_ft))
            .filter(|(t, _)| **t >= from && **t <= to)
            .map(|(_, (east, north))| Point::new(*east, *north))
            .filter(|p| p.is_finite())
            .collect()
    };
    let path = places(-3.0, end + 3.0);
    if path.len() < 2 {
        places(f64::NEG_INFINITY, f64::INFINITY)
    } else {
        path
    }
}

/// The path from where it first comes as near to the aim as the key points of the pattern.
fn pattern<'a>(path: &'a [Point], subject: &Subject<'_>) -> Option<&'a [Point]> {
    let near = subject
        .marks
        .iter()
        .filter(|m| {
            !matches!(
                m.kind.as_str(),
                "power_reduction" | "best_glide_held" | "engine_clearing"
            )
        })
        .map(|m| m.east_ft.hypot(m.north_ft))
        .filter(|d| d.is_finite())
        .reduce(f64::max)?;
    let reach = PATTERN_REACH * near;
    let first = path
        .iter()
        .position(|p| p.distance(Point::default()) <= reach)?;
    Some(&path[first..])
}

/// One corner of bounds, or the opposite one.
fn corner(bounds: Rect, opposite: bool) -> Point {
    if opposite {
        Point::new(bounds.right(), bounds.bottom())
    } else {
        Point::new(bounds.x, bounds.y)
    }
}

/// The rectangle that holds all points.
pub(in super::super) fn bounds_of(points: &[Point]) -> Option<Rect> {
    let first = points.first()?;
    let (mut low, mut high) = (*first, *first);
    for p in points {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    Some(Rect::new(low.x, low.y, high.x - low.x, high.y - low.y))
}
