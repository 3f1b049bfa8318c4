//! A possible true path: position, velocity and acceleration in time.

/// Motion at one instant, in the plane of the aim.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Motion {
    /// Seconds on the recording's clock.
    pub t_s: f64,
    /// East of the reference point, m.
    pub east_m: f64,
    /// North of it, m.
    pub north_m: f64,
    /// Height above the aim, m.
    pub height_m: f64,
    /// Ground velocity, east, m/s.
    pub east_mps: f64,
    /// Ground velocity, north, m/s.
    pub north_mps: f64,
    /// Climb, m/s, up positive.
    pub climb_mps: f64,
    /// Acceleration, east, m/s².
    pub east_mps2: f64,
    /// Acceleration, north, m/s².
    pub north_mps2: f64,
    /// Acceleration, up, m/s².
    pub climb_mps2: f64,
}

impl Motion {
    /// Speed over the ground, m/s.
    pub fn ground_speed_mps(&self) -> f64 {
        // speeds are far from the ends of the number range: no need for the careful `hypot`
        (self.east_mps * self.east_mps + self.north_mps * self.north_mps).sqrt()
    }

    /// Distance from the reference point, m.
    pub fn distance_m(&self) -> f64 {
        self.east_m.hypot(self.north_m)
    }
}

/// Motion at ascending instants, with interpolation between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// Ascending in time.
    pub points: Vec<Motion>,
}

/// Quintic Hermite weights at share `u` of a step: of the two positions, velocities (× step) and accelerations (× step²).
fn quintic(u: f64) -> [f64; 6] {
    let u2 = u * u;
    let u3 = u2 * u;
    let u4 = u3 * u;
    let u5 = u4 * u;
    [
        1.0 - 10.0 * u3 + 15.0 * u4 - 6.0 * u5,
        10.0 * u3 - 15.0 * u4 + 6.0 * u5,
        u - 6.0 * u3 + 8.0 * u4 - 3.0 * u5,
        -4.0 * u3 + 7.0 * u4 - 3.0 * u5,
        0.5 * u2 - 1.5 * u3 + 1.5 * u4 - 0.5 * u5,
        0.5 * u3 - u4 + 0.5 * u5,
    ]
}

/// Cubic Hermite weights, likewise for velocity from velocities and accelerations.
fn cubic(u: f64) -> [f64; 4] {
    let u2 = u * u;
    let u3 = u2 * u;
    [
        1.0 - 3.0 * u2 + 2.0 * u3,
        3.0 * u2 - 2.0 * u3,
        u - 2.0 * u2 + u3,
        u3 - u2,
    ]
}

impl Path {
    /// First and last instant, s; NaN for an empty path.
    pub fn span_s(&self) -> (f64, f64) {
        match (self.points.first(), self.points.last()) {
            (Some(a), Some(b)) => (a.t_s, b.t_s),
            _ => (f64::NAN, f64::NAN),
        }
    }

    /// Index of the last point not later than `t_s` (0 before the first).
    pub fn index_before(&self, t_s: f64) -> usize {
        let (from, to) = self.near(t_s);
        let after = self.points[from..to].partition_point(|p| p.t_s <= t_s);
        (from + after).saturating_sub(1)
    }

    /// Where to look for `t_s`: most paths have even steps, so that a few points around the guess will do.
    fn near(&self, t_s: f64) -> (usize, usize) {
        let count = self.points.len();
        let (first_s, last_s) = self.span_s();
        let guess = (t_s - first_s) / (last_s - first_s) * count as f64;
        let from = (guess - GUESSED_WITHIN).max(0.0) as usize;
        let to = (from + 2 * GUESSED_WITHIN as usize).min(count);
        match self.points.get(from..to) {
            Some([a, .., b]) if a.t_s <= t_s && t_s < b.t_s => (from, to),
            _ => (0, count),
        }
    }

    /// Motion at `t_s`; held at the ends outside the span.
    ///
    /// # Panics
    /// On an empty path.
    pub fn at(&self, t_s: f64) -> Motion {
        self.between(self.index_before(t_s), t_s)
    }

    /// Motion at `t_s`, at or after point `i` and before the next.
    fn between(&self, i: usize, t_s: f64) -> Motion {
        let a = self.points[i];
        let Some(b) = self.points.get(i + 1) else {
            return Motion { t_s, ..a };
        };
        if t_s <= a.t_s {
            return Motion { t_s, ..a };
        }
        let dt = b.t_s - a.t_s;
        let u = (t_s - a.t_s) / dt;
        let w = quintic(u);
        let c = cubic(u);
        let position = |pa: f64, pb: f64, va: f64, vb: f64, aa: f64, ab: f64| {
            w[0] * pa + w[1] * pb + dt * (w[2] * va + w[3] * vb) + dt * dt * (w[4] * aa + w[5] * ab)
        };
        let velocity = |va: f64, vb: f64, aa: f64, ab: f64| {
            c[0] * va + c[1] * vb + dt * (c[2] * aa + c[3] * ab)
        };
        let mix = |x: f64, y: f64| x + u * (y - x);
        Motion {
            t_s,
            east_m: position(
                a.east_m,
                b.east_m,
                a.east_mps,
                b.east_mps,
                a.east_mps2,
                b.east_mps2,
            ),
            north_m: position(
                a.north_m,
                b.north_m,
                a.north_mps,
                b.north_mps,
                a.north_mps2,
                b.north_mps2,
            ),
            height_m: position(
                a.height_m,
                b.height_m,
                a.climb_mps,
                b.climb_mps,
                a.climb_mps2,
                b.climb_mps2,
            ),
            east_mps: velocity(a.east_mps, b.east_mps, a.east_mps2, b.east_mps2),
            north_mps: velocity(a.north_mps, b.north_mps, a.north_mps2, b.north_mps2),
            climb_mps: velocity(a.climb_mps, b.climb_mps, a.climb_mps2, b.climb_mps2),
            east_mps2: mix(a.east_mps2, b.east_mps2),
            north_mps2: mix(a.north_mps2, b.north_mps2),
            climb_mps2: mix(a.climb_mps2, b.climb_mps2),
        }
    }

    /// Motion every `step_s` from `from_s` to `to_s`.
    ///
    /// # Panics
    /// On an empty path.
    pub fn resampled(&self, from_s: f64, to_s: f64, step_s: f64) -> Vec<Motion> {
        self.samples(from_s, to_s, step_s).collect()
    }

    /// [`Path::resampled`], one after the other.
    pub fn samples(&self, from_s: f64, to_s: f64, step_s: f64) -> impl Iterator<Item = Motion> {
        let count = ((to_s - from_s) / step_s).floor().max(0.0) as usize;
        let mut before = self.index_before(from_s);
        (0..=count).map(move |i| {
            let t_s = from_s + step_s * i as f64;
            while self.points.get(before + 1).is_some_and(|p| p.t_s <= t_s) {
                before += 1;
            }
            self.between(before, t_s)
        })
    }
}

/// How many points an instant may lie from where even steps would have it.
const GUESSED_WITHIN: f64 = 4.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn interpolates_constant_acceleration_exactly() {
        let at = |t: f64| Motion {
            t_s: t,
            east_m: 3.0 + 20.0 * t + 0.5 * t * t,
            east_mps: 20.0 + t,
            east_mps2: 1.0,
            ..Motion::default()
        };
        let path = Path {
            points: vec![at(0.0), at(2.0)],
        };
        let m = path.at(0.7);
        assert!((m.east_m - at(0.7).east_m).abs() < 1e-12);
        assert!((m.east_mps - 20.7).abs() < 1e-12);
        assert_eq!(path.at(-1.0).east_m, 3.0);
        assert_eq!(path.at(9.0).east_m, at(2.0).east_m);
    }

    #[test]
    fn finds_the_step_an_instant_is_in_on_even_and_uneven_paths() {
        let even: Vec<f64> = (0..50).map(f64::from).collect();
        let uneven: Vec<f64> = (0..50).map(|i| 0.02 * f64::from(i * i)).collect();
        let broken: Vec<f64> = (0..50)
            .map(|i| f64::from(i) + if i > 20 { 600.0 } else { 0.0 })
            .collect();
        for t_s in [even, uneven, broken] {
            let points = t_s
                .iter()
                .map(|t| Motion {
                    t_s: *t,
                    ..Motion::default()
                })
                .collect();
            let path = Path { points };
            for i in -5..3000 {
                let t = 0.25 * f64::from(i);
                let counted = t_s.iter().filter(|x| **x <= t).count();
                assert_eq!(path.index_before(t), counted.saturating_sub(1), "{t}");
            }
            let all = path.resampled(0.3, 40.0, 0.7);
            assert!(all.iter().all(|m| path.at(m.t_s) == *m));
        }
    }
}
