//! What is flown: place, air, aeroplane and pilot's intentions, drawn for a flight.

use super::aeroplane::Aeroplane;
use super::air::{Column, Wind};
use super::earth::Place;
use super::random::Random;

/// How an attempt comes to the field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Power off above 1,500 ft, to the field, orbits over it, downwind, base, final.
    Overhead,
    /// Power off near the abeam point.
    Abeam,
    /// Power off on a long final.
    StraightIn,
}

/// Bursts of power in the glide, to keep the engine clear.
#[derive(Debug, Clone, Copy)]
pub struct Clearing {
    /// Time from one to the next, s.
    pub every_s: f64,
    /// How long each lasts, s.
    pub for_s: f64,
    /// Throttle, 0..1.
    pub throttle: f64,
}

impl Clearing {
    /// Whether the throttle is open so long after it was closed.
    pub fn is_open(&self, since_closed_s: f64) -> bool {
        since_closed_s > self.every_s && since_closed_s % self.every_s < self.for_s
    }
}

/// How the pilot means to fly one attempt.
#[derive(Debug, Clone, Copy)]
pub struct AttemptPlan {
    /// Shape.
    pub shape: Shape,
    /// Side of the pattern: +1 right of the landing direction, −1 left.
    pub side: f64,
    /// Height above the aim at which the power comes off, m.
    pub height_m: f64,
    /// Where it comes off: distance from the aim (overhead), beyond it (abeam), before it (straight in), m.
    pub reduction_m: f64,
    /// Bearing the approach comes from, relative to the landing direction, degrees.
    pub from_deg: f64,
    /// Time the hand takes to close the throttle, s.
    pub closing_s: f64,
    /// Time the hand takes to open it, s.
    pub opening_s: f64,
    /// Height wanted abeam, m.
    pub abeam_height_m: f64,
    /// Lateral distance of the downwind leg, m.
    pub downwind_m: f64,
    /// Speed held less the handbook's best glide, m/s.
    pub speed_error_mps: f64,
    /// Wander of that speed, m/s and s.
    pub speed_wander: (f64, f64),
    /// Bank of the turns, degrees.
    pub bank_deg: f64,
    /// Error of the pilot's judgement of height, share, and what is kept in hand, m.
    pub judgement: (f64, f64),
    /// Place before the aim the pilot judges by, m.
    pub short_of_aim_m: f64,
    /// How hesitant flap is, m of excess height.
    pub flap_excess_m: f64,
    /// Height above the ground at which the practice is broken off; none to land.
    pub go_around_m: Option<f64>,
    /// Time constant of the round-out, s.
    pub flare_s: f64,
    /// Height of the hold-off, m; none for a landing out of the round-out.
    pub hold_m: Option<f64>,
    /// Touchdown speed wanted over the stall.
    pub touchdown_share: f64,
    /// Sink at the end of the flare, m/s.
    pub touchdown_sink_mps: f64,
    /// Climb of a bounce, m/s.
    pub bounce_mps: Option<f64>,
    /// Delay and strength of the brakes, s and m/s².
    pub brake: (f64, f64),
    /// Power again after the touchdown, s.
    pub touch_and_go_s: Option<f64>,
    /// Bursts of power in the glide; none unless a test asks for them.
    pub clearing: Option<Clearing>,
}

/// Everything fixed before a flight.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The aim.
    pub aim: Place,
    /// Its elevation above mean sea level, m.
    pub elevation_m: f64,
    /// Landing direction, degrees true.
    pub landing_deg: f64,
    /// Slope of the field along it.
    pub slope: f64,
    /// The air.
    pub column: Column,
    /// The wind.
    pub wind: Wind,
    /// The aeroplane.
    pub aeroplane: Aeroplane,
    /// Seconds since 1970 at the start.
    pub start_utc_s: f64,
    /// Whether the recording starts parked on the field.
    pub from_ground: bool,
    /// In order.
    pub attempts: Vec<AttemptPlan>,
}

const FT: f64 = 0.3048;

impl AttemptPlan {
    fn draw(last: bool, rng: &mut Random) -> Self {
        let shape = rng.pick(&[
            Shape::Overhead,
            Shape::Overhead,
            Shape::Overhead,
            Shape::Abeam,
            Shape::StraightIn,
        ]);
        let height_m = FT
            * match shape {
                Shape::Overhead => rng.between(1600.0, 4200.0),
                Shape::Abeam => rng.between(850.0, 1250.0),
                Shape::StraightIn => rng.between(900.0, 2000.0),
            };
        let sloppy = rng.between(0.3, 1.0);
        let lands = if last {
            rng.chance(0.75)
        } else {
            rng.chance(0.15)
        };
        AttemptPlan {
            shape,
            side: rng.pick(&[-1.0, 1.0]),
            height_m,
            reduction_m: match shape {
                Shape::Overhead => rng.between(100.0, 2200.0),
                Shape::Abeam => rng.between(-150.0, 250.0),
                Shape::StraightIn => height_m * rng.between(6.0, 8.0),
            },
            from_deg: rng.between(-180.0, 180.0),
            closing_s: rng.between(0.8, 4.0),
            opening_s: rng.between(0.8, 3.0),
            abeam_height_m: FT * rng.pick(&[800.0, 1000.0, 1000.0, 1200.0]) * rng.about(1.0, 0.1),
            downwind_m: rng.between(550.0, 1000.0),
            speed_error_mps: if rng.chance(0.15) {
                rng.about(0.0, 3.5)
            } else {
                rng.about(0.3, 1.3)
            },
            speed_wander: (sloppy * rng.between(0.5, 2.2), rng.between(12.0, 45.0)),
            bank_deg: rng.between(20.0, 38.0),
            judgement: (rng.about(0.0, 0.07), rng.between(15.0, 70.0)),
            short_of_aim_m: rng.between(90.0, 260.0),
            flap_excess_m: rng.between(0.0, 30.0),
            go_around_m: (!lands).then(|| {
                FT * if rng.chance(0.1) {
                    rng.between(12.0, 40.0)
                } else {
                    rng.between(60.0, 500.0)
                }
            }),
            flare_s: rng.between(1.2, 2.6),
            hold_m: rng.chance(0.65).then(|| rng.between(0.2, 1.0)),
            touchdown_share: rng.between(1.05, 1.3),
            touchdown_sink_mps: if rng.chance(0.2) {
                rng.between(1.0, 2.0)
            } else {
                rng.between(0.25, 1.0)
            },
            bounce_mps: rng.chance(0.15).then(|| rng.between(0.4, 1.3)),
            brake: if rng.chance(0.6) {
                (rng.between(0.3, 6.0), rng.between(0.6, 3.0))
            } else {
                (1e9, 0.0)
            },
            touch_and_go_s: (!last || rng.chance(0.15)).then(|| rng.between(3.0, 8.0)),
            clearing: None,
        }
    }
}

/// Fields far from each other: latitude, longitude, elevation in m.
const FIELDS: [(f64, f64, f64); 8] = [
    (51.2, -1.7, 95.0),
    (47.4, 8.3, 420.0),
    (-34.1, 150.8, 60.0),
    (39.9, -105.1, 1620.0),
    (0.1, 36.9, 1795.0),
    (62.3, 25.7, 110.0),
    (-17.6, 178.9, 15.0),
    (35.2, 137.1, 40.0),
];

impl Plan {
    /// A flight.
    pub fn draw(rng: &mut Random) -> Self {
        let (latitude, longitude, elevation_m) = rng.pick(&FIELDS);
        let latitude_deg = latitude + rng.between(-0.4, 0.4);
        let longitude_deg = longitude + rng.between(-0.4, 0.4);
        // the real geoid is within half a metre or so of the model
        let geoid_m =
            egm96::egm96_compute_altitude_offset(latitude_deg, longitude_deg) + rng.about(0.0, 0.4);
        let landing_deg = rng.between(0.0, 360.0).floor();
        let standard_k = 288.15 - 0.0065 * elevation_m;
        let count = rng.pick(&[1, 2, 2, 3]);
        Plan {
            aim: Place {
                latitude_deg,
                longitude_deg,
                ellipsoid_m: elevation_m + geoid_m,
            },
            elevation_m,
            landing_deg,
            slope: rng.about(0.0, 0.003),
            column: Column {
                elevation_m,
                qnh_hpa: rng.about(1015.0, 9.0),
                temperature_k: standard_k + rng.about(2.0, 8.0).clamp(-20.0, 20.0),
                lapse_kpm: rng.between(0.0050, 0.0085),
            },
            wind: Wind::draw(landing_deg, rng),
            aeroplane: Aeroplane::draw(rng),
            start_utc_s: 1_767_225_600.0
                + 86_400.0 * rng.between(0.0, 300.0).floor()
                + rng.between(28_000.0, 60_000.0),
            from_ground: rng.chance(0.55),
            attempts: (0..count)
                .map(|i| AttemptPlan::draw(i + 1 == count, rng))
                .collect(),
        }
    }
}
