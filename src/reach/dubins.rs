//! Shortest paths of bounded curvature between two directed points.
//!
//! L. E. Dubins, "On curves of minimal length with a constraint on average curvature" (1957): the
//! shortest is a turn, a straight and a turn, or three turns. The formulas of the six words are
//! those common since Shkel and Lumelsky (2001), from memory, and checked by joining the pieces.

use std::f64::consts::{PI, TAU};

/// The six words, by the direction of each turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// Left, straight, left.
    Lsl,
    /// Right, straight, right.
    Rsr,
    /// Left, straight, right.
    Lsr,
    /// Right, straight, left.
    Rsl,
    /// Right, left, right.
    Rlr,
    /// Left, right, left.
    Lrl,
}

/// A path in units of the turn radius: angles in radians, lengths in radii.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DubinsPath {
    /// Which word.
    pub word: Word,
    /// Angle of the first turn, rad.
    pub first_rad: f64,
    /// The middle: length of the straight, or angle of the middle turn, radii or rad.
    pub middle: f64,
    /// Angle of the last turn, rad.
    pub last_rad: f64,
}

impl DubinsPath {
    /// Sum of the turns, rad.
    pub fn turned_rad(&self) -> f64 {
        match self.word {
            Word::Rlr | Word::Lrl => self.first_rad + self.middle + self.last_rad,
            _ => self.first_rad + self.last_rad,
        }
    }

    /// Length of the straight, radii.
    pub fn straight(&self) -> f64 {
        match self.word {
            Word::Rlr | Word::Lrl => 0.0,
            _ => self.middle,
        }
    }

    /// Whole length, radii.
    pub fn length(&self) -> f64 {
        self.first_rad + self.middle + self.last_rad
    }
}

/// Where to go, seen from the start, in turn radii; angles counter-clockwise, radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Journey {
    /// Displacement, radii.
    pub by: [f64; 2],
    /// Direction at the start, rad.
    pub from_rad: f64,
    /// Direction at the end, rad.
    pub to_rad: f64,
}

fn positive(angle_rad: f64) -> f64 {
    let a = angle_rad - TAU * (angle_rad / TAU).floor();
    // a turn of a whole circle less a rounding error is no turn
    if a >= TAU - 1e-9 { 0.0 } else { a }
}

/// The path that costs least where a radian of turn costs `turn_cost` times a radius of straight;
/// `turn_cost` 1 gives the shortest. `None` for numbers that are not finite.
pub fn cheapest(journey: &Journey, turn_cost: f64) -> Option<DubinsPath> {
    let ends = (journey.from_rad.sin_cos(), journey.to_rad.sin_cos());
    cheapest_between(journey, ends, turn_cost)
}

/// [`cheapest`], with sine and cosine of the directions at start and end: many journeys have them in common.
pub fn cheapest_between(
    journey: &Journey,
    ends: ((f64, f64), (f64, f64)),
    turn_cost: f64,
) -> Option<DubinsPath> {
    let [x, y] = journey.by;
    let d = (x * x + y * y).sqrt();
    let bearing = y.atan2(x);
    let (a, b) = (journey.from_rad - bearing, journey.to_rad - bearing);
    if !(d + a + b + turn_cost).is_finite() {
        return None;
    }
    // of the angles from the bearing, without asking for their sines anew
    let (bearing_sin, bearing_cos) = if d > 0.0 { (y / d, x / d) } else { (0.0, 1.0) };
    let turned = |(sin, cos): (f64, f64)| {
        (
            sin * bearing_cos - cos * bearing_sin,
            cos * bearing_cos + sin * bearing_sin,
        )
    };
    let ((sa, ca), (sb, cb)) = (turned(ends.0), turned(ends.1));
    let cab = ca * cb + sa * sb;
    let mut best: Option<(f64, DubinsPath)> = None;
    let mut offer = |word, first_rad: f64, middle: f64, last_rad: f64| {
        let path = DubinsPath {
            word,
            first_rad: positive(first_rad),
            middle,
            last_rad: positive(last_rad),
        };
        let cost = turn_cost * path.turned_rad() + path.straight();
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, path));
        }
        best.map_or(f64::INFINITY, |(least, _)| least)
    };
    let mut least = f64::INFINITY;

    let square = 2.0 + d * d - 2.0 * cab + 2.0 * d * (sa - sb);
    if square >= 0.0 {
        let turn = (cb - ca).atan2(d + sa - sb);
        least = offer(Word::Lsl, turn - a, square.sqrt(), b - turn);
    }
    let square = 2.0 + d * d - 2.0 * cab + 2.0 * d * (sb - sa);
    if square >= 0.0 && square.sqrt() < least {
        let turn = (ca - cb).atan2(d - sa + sb);
        least = offer(Word::Rsr, a - turn, square.sqrt(), turn - b);
    }
    let square = d * d - 2.0 + 2.0 * cab + 2.0 * d * (sa + sb);
    if square >= 0.0 && square.sqrt() < least {
        let p = square.sqrt();
        let turn = (-ca - cb).atan2(d + sa + sb) - (-2.0_f64).atan2(p);
        least = offer(Word::Lsr, turn - a, p, turn - b);
    }
    let square = d * d - 2.0 + 2.0 * cab - 2.0 * d * (sa + sb);
    if square >= 0.0 && square.sqrt() < least {
        let p = square.sqrt();
        let turn = (ca + cb).atan2(d - sa - sb) - 2.0_f64.atan2(p);
        least = offer(Word::Rsl, a - turn, p, b - turn);
    }
    // three turns: the middle one is more than half a circle
    if least > turn_cost * PI {
        let cos = (6.0 - d * d + 2.0 * cab + 2.0 * d * (sa - sb)) / 8.0;
        if cos.abs() <= 1.0 {
            let middle = TAU - cos.acos();
            let first = positive(a - (ca - cb).atan2(d - sa + sb) + middle / 2.0);
            least = offer(Word::Rlr, first, middle, a - b - first + middle);
        }
        let cos = (6.0 - d * d + 2.0 * cab + 2.0 * d * (sb - sa)) / 8.0;
        if cos.abs() <= 1.0 && least > turn_cost * PI {
            let middle = TAU - cos.acos();
            let first = positive(-a - (ca - cb).atan2(d + sa - sb) + middle / 2.0);
            offer(Word::Lrl, first, middle, b - a - first + middle);
        }
    }
    best.map(|(_, path)| path)
}

/// Where `path` leads from the origin, in direction `from_rad`: east, north, direction.
pub fn end_of(path: &DubinsPath, from_rad: f64) -> ([f64; 2], f64) {
    let (mut x, mut y, mut direction) = (0.0, 0.0, from_rad);
    let turns: [f64; 3] = match path.word {
        Word::Lsl => [1.0, 0.0, 1.0],
        Word::Rsr => [-1.0, 0.0, -1.0],
        Word::Lsr => [1.0, 0.0, -1.0],
        Word::Rsl => [-1.0, 0.0, 1.0],
        Word::Rlr => [-1.0, 1.0, -1.0],
        Word::Lrl => [1.0, -1.0, 1.0],
    };
    for (turn, size) in turns
        .into_iter()
        .zip([path.first_rad, path.middle, path.last_rad])
    {
        if turn == 0.0 {
            x += size * direction.cos();
            y += size * direction.sin();
        } else {
            let to = direction + turn * size;
            x += turn * (to.sin() - direction.sin());
            y -= turn * (to.cos() - direction.cos());
            direction = to;
        }
    }
    ([x, y], direction)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn length(x: f64, y: f64, to_rad: f64) -> f64 {
        cheapest(
            &Journey {
                by: [x, y],
                from_rad: 0.0,
                to_rad,
            },
            1.0,
        )
        .map_or(f64::NAN, |p| p.length())
    }

    #[test]
    fn lengths_worked_by_hand() {
        // radius 1, from the origin facing east
        assert!((length(10.0, 0.0, 0.0) - 10.0).abs() < 1e-9);
        assert!((length(0.0, 2.0, PI) - PI).abs() < 1e-9);
        assert!((length(0.0, 0.0, PI) - 7.0 * PI / 3.0).abs() < 1e-9);
        assert!((length(4.0, 4.0, PI / 2.0) - 5.813437).abs() < 1e-6);
        // radius 216.1 m: onto the opposite heading 926 m and 500 m aside
        for (aside_m, expected_m) in [(926.0, 1172.698), (500.0, 746.698)] {
            let found = 216.1 * length(0.0, aside_m / 216.1, PI);
            assert!((found - expected_m).abs() < 0.01, "{found}");
        }
    }

    proptest! {
        #[test]
        fn every_path_arrives(x in -9.0..9.0, y in -9.0..9.0, from in -4.0..4.0, to in -4.0..4.0, cost in 1.0..2.0) {
            let path = cheapest(&Journey { by: [x, y], from_rad: from, to_rad: to }, cost).expect("a path");
            let ([ex, ey], direction) = end_of(&path, from);
            prop_assert!((ex - x).hypot(ey - y) < 1e-6);
            prop_assert!(((direction - to) / TAU - ((direction - to) / TAU).round()).abs() < 1e-7);
        }

        #[test]
        fn never_shorter_than_the_crow(x in -9.0..9.0, y in -9.0..9.0, from in -4.0..4.0, to in -4.0..4.0) {
            let path = cheapest(&Journey { by: [x, y], from_rad: from, to_rad: to }, 1.0).expect("a path");
            prop_assert!(path.length() >= x.hypot(y) - 1e-9);
        }

        #[test]
        fn mirror_and_reverse_have_one_length(x in -9.0..9.0, y in -9.0..9.0, from in -4.0..4.0, to in -4.0..4.0) {
            let one = |j: Journey| cheapest(&j, 1.0).expect("a path").length();
            let there = one(Journey { by: [x, y], from_rad: from, to_rad: to });
            let mirrored = one(Journey { by: [x, -y], from_rad: -from, to_rad: -to });
            let back = one(Journey { by: [-x, -y], from_rad: to + PI, to_rad: from + PI });
            prop_assert!((there - mirrored).abs() < 1e-6 && (there - back).abs() < 1e-6);
        }
    }
}
