//! Lines as SVG paths, in as few characters as their tenths need.

use std::fmt::Write as _;

use super::Point;

/// The data of a path through `points`: from the first, absolute, each by its distance from the one before. Rounded to
/// tenths, a point that lies on the one before is left out.
pub(super) fn through(points: &[Point]) -> String {
    let mut out = String::with_capacity(points.len() * 8);
    let mut last: Option<(i64, i64)> = None;
    let mut drawn = 0;
    for point in points {
        let at = (in_tenths(point.x), in_tenths(point.y));
        let Some((x, y)) = last else {
            out.push('m');
            append(&mut out, at.0, true);
            append(&mut out, at.1, false);
            last = Some(at);
            continue;
        };
        if at != (x, y) {
            append(&mut out, at.0 - x, false);
            append(&mut out, at.1 - y, false);
            last = Some(at);
            drawn += 1;
        }
    }
    if drawn == 0 {
        // a line of no length still shows its round ends
        out.push_str(" 0 0");
    }
    out
}

/// One straight line of a path, from its beginning, absolute.
pub(super) fn straight(from: Point, to: Point) -> String {
    let mut out = String::from("M");
    let [x, y, to_x, to_y] = [from.x, from.y, to.x, to.y].map(in_tenths);
    append(&mut out, x, true);
    append(&mut out, y, false);
    if y == to_y {
        out.push('H');
        append(&mut out, to_x, true);
    } else if x == to_x {
        out.push('V');
        append(&mut out, to_y, true);
    } else {
        out.push('L');
        append(&mut out, to_x, true);
        append(&mut out, to_y, false);
    }
    out
}

fn in_tenths(value: f64) -> i64 {
    if value.is_finite() {
        (value * 10.0).round() as i64
    } else {
        0
    }
}

/// A number of tenths: `12.3`, `.5`, `-2`. What does not begin with a sign is set apart by a space.
fn append(out: &mut String, tenths: i64, first: bool) {
    let (whole, part) = (tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10);
    if tenths < 0 {
        out.push('-');
    } else if !first {
        out.push(' ');
    }
    // writing to a String cannot fail
    let _ = match (whole, part) {
        (whole, 0) => write!(out, "{whole}"),
        (0, part) => write!(out, ".{part}"),
        (whole, part) => write!(out, "{whole}.{part}"),
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_its_first_point_and_the_ways_between() {
        let points = [
            (225.8, 176.2),
            (228.3, 182.9),
            (228.3, 182.92),
            (227.8, 182.0),
        ];
        let points = points.map(|(x, y)| Point::new(x, y));
        assert_eq!(through(&points), "m225.8 176.2 2.5 6.7-.5-.9");
    }

    #[test]
    fn rounding_does_not_add_up() {
        // a hundred steps of 0.04: 4.0 at the end, whatever each is rounded to
        let points: Vec<Point> = (0..=100)
            .map(|i| Point::new(0.04 * f64::from(i), 0.0))
            .collect();
        let path = through(&points);
        let numbers: Vec<f64> = path[1..]
            .split(' ')
            .map(|text| text.parse().unwrap())
            .collect();
        let x: f64 = numbers.iter().step_by(2).sum();
        assert!((x - 4.0).abs() < 1e-9, "{path}");
    }

    #[test]
    fn what_has_no_length_is_a_dot_and_what_is_no_number_is_nought() {
        assert_eq!(through(&[Point::new(-1.0, 2.0); 3]), "m-1 2 0 0");
        assert_eq!(
            through(&[Point::new(f64::NAN, 0.0), Point::new(-0.04, -0.06)]),
            "m0 0 0-.1"
        );
    }
}
