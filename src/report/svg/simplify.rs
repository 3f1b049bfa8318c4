//! A line with fewer points that looks the same.

use super::Point;

/// The points of `line` needed to stay within `tolerance` of it (Douglas and Peucker 1973).
/// Points that are not numbers are left out.
pub fn simplify(line: &[Point], tolerance: f64) -> Vec<Point> {
    let line: Vec<Point> = line.iter().copied().filter(|p| p.is_finite()).collect();
    if line.len() < 3 {
        return line;
    }
    let mut keep = vec![false; line.len()];
    keep[0] = true;
    keep[line.len() - 1] = true;
    let mut open = vec![(0, line.len() - 1)];
    while let Some((from, to)) = open.pop() {
        let farthest = (from + 1..to)
            .map(|i| (i, distance_to_segment(line[i], line[from], line[to])))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((index, distance)) = farthest
            && distance > tolerance
        {
            keep[index] = true;
            open.push((from, index));
            open.push((index, to));
        }
    }
    line.iter()
        .zip(keep)
        .filter(|(_, kept)| *kept)
        .map(|(p, _)| *p)
        .collect()
}

/// Distance from `p` to the stretch from `a` to `b`.
fn distance_to_segment(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length_squared = dx * dx + dy * dy;
    let share = if length_squared > 0.0 {
        (((p.x - a.x) * dx + (p.y - a.y) * dy) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance(Point::new(a.x + share * dx, a.y + share * dy))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_points_go_and_corners_stay() {
        let line: Vec<Point> = (0..=10)
            .map(|i| Point::new(f64::from(i), f64::from(i32::abs(i - 5))))
            .collect();
        let short = simplify(&line, 0.05);
        assert_eq!(
            short,
            vec![
                Point::new(0.0, 5.0),
                Point::new(5.0, 0.0),
                Point::new(10.0, 5.0)
            ]
        );
    }

    #[test]
    fn a_closed_orbit_keeps_its_far_side() {
        let line = [
            Point::new(0.0, 0.0),
            Point::new(5.0, 5.0),
            Point::new(0.0, 0.0),
        ];
        assert_eq!(simplify(&line, 0.1).len(), 3);
    }
}
