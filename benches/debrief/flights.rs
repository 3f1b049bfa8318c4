//! Recordings made for the bench: level cruise, and the circuits of a sample recording as often as asked.

use std::fmt::Write;

use stillprop::reading::{ReadOptions, read};

/// The sample with five circuits, 20 minutes at 1 Hz; of its channels only places and altitudes are used.
const CIRCUITS: &[u8] = include_bytes!("../../sample-tracks/three-attempts-circuits.csv");
/// Its briefing.
pub(crate) const BRIEFING: &str =
    include_str!("../../sample-tracks/three-attempts-circuits.briefing.toml");
/// Between cruise and circuits the recorder is off, s.
const PAUSE_S: f64 = 600.0;

/// Which recording.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asked {
    pub(crate) hours: f64,
    pub(crate) rate_hz: f64,
    /// How often the circuits are flown.
    pub(crate) circuits: usize,
}

#[derive(Debug, Clone, Copy)]
struct Point {
    utc_s: f64,
    latitude_deg: f64,
    longitude_deg: f64,
    altitude_m: f64,
}

/// The recording as GPX: cruise until what is left is just long enough for the circuits, with a pause before each.
pub(crate) fn gpx(asked: Asked) -> String {
    let circuits = circuits();
    let (first, last) = (circuits[0], circuits[circuits.len() - 1]);
    let length_s = last.utc_s - first.utc_s;
    let begin_s = first.utc_s;
    let cruise_s = 3600.0 * asked.hours - asked.circuits as f64 * (length_s + PAUSE_S);
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"bench\"><trk>",
    );
    let step_s = 1.0 / asked.rate_hz;
    let count = (cruise_s * asked.rate_hz).max(0.0) as usize;
    segment(
        &mut text,
        (0..count).map(|i| cruise(first, step_s * i as f64)),
    );
    for k in 0..asked.circuits {
        let from_s = begin_s + cruise_s.max(0.0) + PAUSE_S + k as f64 * (length_s + PAUSE_S);
        let count = (length_s * asked.rate_hz) as usize;
        segment(
            &mut text,
            (0..count).map(|i| {
                let at_s = step_s * i as f64;
                Point {
                    utc_s: from_s + at_s,
                    ..between(&circuits, begin_s + at_s)
                }
            }),
        );
    }
    text + "</trk></gpx>\n"
}

fn segment(text: &mut String, points: impl Iterator<Item = Point>) {
    text.push_str("<trkseg>\n");
    for p in points {
        let (day, second) = (p.utc_s.div_euclid(86_400.0), p.utc_s.rem_euclid(86_400.0));
        // the sample is of one June: a recording of the bench ends in the same month
        let day = day as i64 - 20_605;
        let _ = writeln!(
            text,
            "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"><ele>{:.1}</ele><time>2026-06-{:02}T{:02}:{:02}:{:06.3}Z</time></trkpt>",
            p.latitude_deg,
            p.longitude_deg,
            p.altitude_m,
            day + 1,
            (second / 3600.0) as u32,
            (second / 60.0) as u32 % 60,
            second % 60.0
        );
    }
    text.push_str("</trkseg>");
}

/// Level at 900 m above the field, 50 m/s, ten minutes straight and a minute round, over and over.
fn cruise(field: Point, at_s: f64) -> Point {
    const TURN_S: f64 = 60.0;
    const STRAIGHT_S: f64 = 600.0;
    const SPEED_MPS: f64 = 50.0;
    let leg_s = at_s % (2.0 * (TURN_S + STRAIGHT_S));
    let (half, in_half_s) = (leg_s >= TURN_S + STRAIGHT_S, leg_s % (TURN_S + STRAIGHT_S));
    let radius_m = SPEED_MPS * TURN_S / std::f64::consts::PI;
    let length_m = SPEED_MPS * STRAIGHT_S;
    let (mut east_m, mut north_m) = if in_half_s < STRAIGHT_S {
        (0.0, SPEED_MPS * in_half_s)
    } else {
        let angle_rad = std::f64::consts::PI * (in_half_s - STRAIGHT_S) / TURN_S;
        (
            radius_m * (1.0 - angle_rad.cos()),
            length_m + radius_m * angle_rad.sin(),
        )
    };
    if half {
        (east_m, north_m) = (2.0 * radius_m - east_m, length_m - north_m);
    }
    // as a receiver wanders: two slow waves, a few metres
    let wander_m = |phase: f64| 2.0 * (at_s / 47.0 + phase).sin() + (at_s / 9.1 + phase).sin();
    Point {
        utc_s: field.utc_s + at_s,
        latitude_deg: field.latitude_deg + (north_m + wander_m(0.0)) / 111_195.0,
        longitude_deg: field.longitude_deg + (east_m + wander_m(2.0)) / 84_900.0,
        altitude_m: field.altitude_m + 900.0 + 2.0 * wander_m(4.0),
    }
}

fn circuits() -> Vec<Point> {
    let recording = read(CIRCUITS, "circuits.csv", &ReadOptions::default())
        .expect("the sample recording can be read");
    let mut points: Vec<Point> = recording
        .fixes
        .iter()
        .filter_map(|fix| {
            Some(Point {
                utc_s: fix.utc_s,
                latitude_deg: fix.latitude_deg,
                longitude_deg: fix.longitude_deg,
                altitude_m: f64::from(fix.gnss_altitude_m?),
            })
        })
        .collect();
    points.dedup_by(|b, a| b.utc_s <= a.utc_s);
    points
}

fn between(points: &[Point], utc_s: f64) -> Point {
    let after = points
        .partition_point(|p| p.utc_s <= utc_s)
        .clamp(1, points.len() - 1);
    let (a, b) = (points[after - 1], points[after]);
    let share = (utc_s - a.utc_s) / (b.utc_s - a.utc_s);
    let mix = |x: f64, y: f64| x + share * (y - x);
    Point {
        utc_s,
        latitude_deg: mix(a.latitude_deg, b.latitude_deg),
        longitude_deg: mix(a.longitude_deg, b.longitude_deg),
        altitude_m: mix(a.altitude_m, b.altitude_m),
    }
}
