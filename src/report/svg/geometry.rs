//! Points and rectangles; y grows downwards.

/// A place on the page.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Rightwards.
    pub x: f64,
    /// Downwards.
    pub y: f64,
}

impl Point {
    /// The point at `x`, `y`.
    pub fn new(x: f64, y: f64) -> Self {
        Point { x, y }
    }

    /// The distance to `other`.
    pub fn distance(self, other: Point) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// Whether both coordinates are numbers.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// The rectangle with its top left corner at `x`, `y`.
    pub fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Rect { x, y, w, h }
    }

    /// The rectangle of this size around `centre`.
    pub fn around(centre: Point, w: f64, h: f64) -> Self {
        Rect::new(centre.x - w / 2.0, centre.y - h / 2.0, w, h)
    }

    /// Right edge.
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    /// Bottom edge.
    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// The corners, from the top left around.
    pub fn corners(&self) -> [Point; 4] {
        [
            Point::new(self.x, self.y),
            Point::new(self.right(), self.y),
            Point::new(self.right(), self.bottom()),
            Point::new(self.x, self.bottom()),
        ]
    }

    /// The point of the rectangle that is nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let x = p.x.max(self.x).min(self.right());
        Point::new(x, p.y.max(self.y).min(self.bottom()))
    }

    /// The middle.
    pub fn centre(&self) -> Point {
        Point::new(self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    /// The rectangle made smaller by these amounts on each side.
    #[must_use]
    pub fn inset(&self, left: f64, top: f64, right: f64, bottom: f64) -> Rect {
        Rect::new(
            self.x + left,
            self.y + top,
            (self.w - left - right).max(1.0),
            (self.h - top - bottom).max(1.0),
        )
    }

    /// Whether the point is inside or on the edge.
    pub fn holds(&self, p: Point) -> bool {
        p.x >= self.x && p.x <= self.right() && p.y >= self.y && p.y <= self.bottom()
    }

    /// Whether the other rectangle is wholly inside.
    pub fn contains(&self, other: &Rect) -> bool {
        self.holds(Point::new(other.x, other.y))
            && self.holds(Point::new(other.right(), other.bottom()))
    }

    /// Whether the two share more than an edge.
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn touching_is_not_overlapping() {
        let a = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(!a.overlaps(&Rect::new(10.0, 0.0, 5.0, 5.0)));
        assert!(a.overlaps(&Rect::new(9.9, 9.9, 5.0, 5.0)));
        assert!(a.contains(&Rect::around(Point::new(5.0, 5.0), 10.0, 10.0)));
    }
}
