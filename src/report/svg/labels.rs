//! Where labels go, so that they do not overlap.

use super::{Point, Rect};

/// Places labels one after another in free room of an area.
#[derive(Debug, Clone)]
pub struct Placer {
    area: Rect,
    taken: Vec<Rect>,
    lines: Vec<Point>,
}

/// Where a label came to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// The room of the label.
    pub room: Rect,
    /// Whether it is so far from its point that a leader line helps.
    pub wants_leader: bool,
}

impl Placer {
    /// An empty area.
    pub fn new(area: Rect) -> Self {
        Placer {
            area,
            taken: Vec::new(),
            lines: Vec::new(),
        }
    }

    /// Room that no label may cover.
    pub fn block(&mut self, room: Rect) {
        self.taken.push(room);
    }

    /// Whether a label would cover room that is taken.
    pub fn is_taken(&self, room: Rect) -> bool {
        self.taken.iter().any(|taken| taken.overlaps(&room))
    }

    /// Points of a drawn line that labels should rather not cover.
    pub fn avoid(&mut self, line: &[Point]) {
        self.lines.extend_from_slice(line);
    }

    /// Room of `w` by `h` near `point`, no nearer than `gap` and no farther than `reach`: the
    /// candidate, out of rings of directions, that covers least line and is nearest. `None` when
    /// every candidate is taken.
    pub fn place(
        &mut self,
        point: Point,
        w: f64,
        h: f64,
        gap: f64,
        reach: f64,
    ) -> Option<Placement> {
        self.place_where(point, (w, h), gap, reach, f64::INFINITY)
    }

    /// Room as by [`place`](Self::place), but only where it covers no line; for labels that can be
    /// left out.
    pub fn place_clear(
        &mut self,
        point: Point,
        w: f64,
        h: f64,
        gap: f64,
        reach: f64,
    ) -> Option<Placement> {
        self.place_where(point, (w, h), gap, reach, 0.0)
    }

    /// How many points of avoided lines are within `room`.
    pub fn covered(&self, room: Rect) -> usize {
        self.lines.iter().filter(|p| room.holds(**p)).count()
    }

    fn place_where(
        &mut self,
        point: Point,
        (w, h): (f64, f64),
        gap: f64,
        reach: f64,
        most_covered: f64,
    ) -> Option<Placement> {
        const DIRECTIONS: u32 = 24;
        let mut best: Option<(f64, Placement)> = None;
        let mut ring = gap;
        while ring <= reach {
            if best.as_ref().is_some_and(|(least, _)| *least <= ring) {
                // farther out nothing costs less
                break;
            }
            for direction in 0..DIRECTIONS {
                let angle = f64::from(direction) / f64::from(DIRECTIONS) * std::f64::consts::TAU;
                let (sin, cos) = angle.sin_cos();
                let centre = Point::new(
                    point.x + (ring + w / 2.0) * cos,
                    point.y - (ring + h / 2.0) * sin,
                );
                let room = Rect::around(centre, w, h);
                if !self.area.contains(&room) || self.is_taken(room) {
                    continue;
                }
                let padded = room.inset(-2.0, -2.0, -2.0, -2.0);
                let covered = self.covered(padded) as f64;
                if covered > most_covered {
                    continue;
                }
                let cost = ring + 14.0 * covered.min(8.0);
                if best.as_ref().is_none_or(|(least, _)| cost < *least - 1e-9) {
                    best = Some((
                        cost,
                        Placement {
                            room,
                            wants_leader: ring > gap + 3.0,
                        },
                    ));
                }
            }
            ring += 4.0;
        }
        let (_, placement) = best?;
        self.taken.push(placement.room);
        Some(placement)
    }
}

/// The part of a line inside the plot, with points a few units apart, for keeping labels clear
/// of it.
pub fn dense(track: &[Point], plot: Rect) -> Vec<Point> {
    let mut out = Vec::new();
    for pair in track.windows(2) {
        let parts = (pair[0].distance(pair[1]) / 3.0).clamp(1.0, 200.0) as u32;
        for i in 0..parts {
            let share = f64::from(i) / f64::from(parts);
            out.push(Point::new(
                pair[0].x + share * (pair[1].x - pair[0].x),
                pair[0].y + share * (pair[1].y - pair[0].y),
            ));
        }
    }
    out.retain(|p| plot.holds(*p));
    out
}

/// Ascending positions near `wanted` (ascending), at least `gap` apart and within `from..=to`
/// where there is room for all.
pub fn spread(wanted: &[f64], gap: f64, from: f64, to: f64) -> Vec<f64> {
    let mut places: Vec<f64> = wanted.iter().map(|x| x.clamp(from, to.max(from))).collect();
    let gap = if places.len() > 1 {
        gap.min((to - from) / (places.len() - 1) as f64)
    } else {
        gap
    };
    for _ in 0..60 {
        for i in 1..places.len() {
            let lack = gap - (places[i] - places[i - 1]);
            if lack > 1e-6 {
                places[i - 1] -= lack / 2.0;
                places[i] += lack / 2.0;
            }
        }
        for (i, place) in places.iter_mut().enumerate() {
            *place = place.clamp(from + i as f64 * 1e-6, to);
        }
    }
    // What the rounds above left undone: push right from the start, then left from the end.
    for i in 1..places.len() {
        places[i] = places[i].max(places[i - 1] + gap);
    }
    for i in (0..places.len()).rev() {
        let limit = if i + 1 == places.len() {
            to
        } else {
            places[i + 1] - gap
        };
        places[i] = places[i].min(limit);
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_of_one_point_do_not_overlap() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 200.0, 200.0));
        let rooms: Vec<Rect> = (0..12)
            .filter_map(|_| placer.place(Point::new(100.0, 100.0), 40.0, 12.0, 3.0, 80.0))
            .map(|p| p.room)
            .collect();
        assert_eq!(rooms.len(), 12);
        for (i, a) in rooms.iter().enumerate() {
            assert!(rooms[i + 1..].iter().all(|b| !a.overlaps(b)));
        }
    }

    #[test]
    fn a_full_area_has_no_room() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 20.0, 20.0));
        assert!(
            placer
                .place(Point::new(10.0, 10.0), 30.0, 5.0, 2.0, 40.0)
                .is_none()
        );
    }

    #[test]
    fn spread_positions_keep_their_distance_and_order() {
        let places = spread(&[10.0, 11.0, 12.0, 99.0, 100.0], 10.0, 0.0, 100.0);
        assert!(
            places.windows(2).all(|w| w[1] - w[0] >= 10.0 - 1e-6),
            "{places:?}"
        );
        assert!(places[0] >= 0.0 && places[4] <= 100.0);
        let tight = spread(&[5.0; 6], 10.0, 0.0, 20.0);
        assert!(
            tight.windows(2).all(|w| (w[1] - w[0] - 4.0).abs() < 1e-6),
            "{tight:?}"
        );
    }
}
