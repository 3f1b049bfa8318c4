//! Recorders: what they see of a flight, and how wrongly.

use super::air::Column;
use super::flight::{Flight, STEP_S, Sample};
use super::random::{Random, Wander};

/// Kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// GPX 1.1, position and height, perhaps speed and course in an extension.
    Gpx,
    /// IGC.
    Igc,
    /// Phone: metres, epoch milliseconds, ellipsoid heights.
    Phone,
    /// Avionics: feet, knots, pressure altitude, perhaps airspeed and engine.
    Avionics,
}

impl Format {
    /// Ending of the file name.
    pub fn extension(self) -> &'static str {
        match self {
            Format::Gpx => "gpx",
            Format::Igc => "igc",
            Format::Phone | Format::Avionics => "csv",
        }
    }
}

/// A recorder.
#[derive(Debug, Clone, Copy)]
pub struct Receiver {
    /// Kind of file.
    pub format: Format,
    /// Fixes per second.
    pub rate_hz: f64,
    /// Slow horizontal error: m per axis and s.
    pub slow: (f64, f64),
    /// White horizontal error, m.
    pub white_m: f64,
    /// Vertical errors are so many times the horizontal ones.
    pub vertical_times: f64,
    /// Lag of speed and course, s, and their noise, m/s.
    pub doppler: (f64, f64),
    /// Delay from the fix to its stamp, s.
    pub latency_s: f64,
    /// Fractions of seconds are cut off.
    pub whole_seconds: bool,
    /// Phase of the fixes within a second, s.
    pub phase_s: f64,
    /// Number of dropouts and spikes and doubled fixes.
    pub faults: (u32, u32, u32),
    /// GNSS heights are above the ellipsoid.
    pub ellipsoid: bool,
    /// Whether the file says so.
    pub says_datum: bool,
    /// Step of heights, m.
    pub height_step_m: f64,
    /// Lag, s, offset, Pa, noise, m, step, m, of the pressure altitude.
    pub pressure: Option<(f64, f64, f64, f64)>,
    /// Speed and course.
    pub has_velocity: bool,
    /// Engine speed or noise.
    pub has_engine: bool,
    /// Airspeed: bias m/s.
    pub airspeed: Option<f64>,
    /// True airspeed rather than indicated.
    pub airspeed_is_true: bool,
}

impl Receiver {
    /// One of those in use.
    pub fn draw(rng: &mut Random) -> Self {
        let format = rng.pick(&[
            Format::Gpx,
            Format::Gpx,
            Format::Igc,
            Format::Igc,
            Format::Phone,
            Format::Avionics,
        ]);
        let rate_hz = match format {
            Format::Gpx => rng.pick(&[0.2, 0.5, 1.0, 1.0, 1.0, 5.0]),
            Format::Igc => rng.pick(&[0.25, 0.5, 1.0, 1.0, 1.0, 2.0]),
            Format::Phone => rng.pick(&[0.5, 1.0, 1.0, 5.0, 10.0]),
            Format::Avionics => rng.pick(&[1.0, 1.0, 2.0, 5.0, 10.0]),
        };
        let slow_m = 1.2 * (3.3f64).powf(rng.share());
        let whole_seconds = match format {
            Format::Gpx | Format::Avionics => rate_hz <= 1.0 && rng.chance(0.5),
            Format::Igc => true,
            Format::Phone => false,
        };
        let has_pressure = match format {
            Format::Gpx => false,
            Format::Igc => rng.chance(0.9),
            Format::Phone => rng.chance(0.4),
            Format::Avionics => rng.chance(0.8),
        };
        let airspeed = (format == Format::Avionics && rng.chance(0.6)).then(|| rng.about(0.0, 0.5));
        Receiver {
            format,
            rate_hz,
            slow: (slow_m, rng.between(60.0, 300.0)),
            white_m: rng.between(0.1, 0.5),
            vertical_times: rng.between(1.5, 2.0),
            doppler: (rng.between(0.15, 0.9), rng.between(0.04, 0.12)),
            latency_s: if whole_seconds && format == Format::Igc {
                rng.between(0.0, 0.3)
            } else {
                rng.between(0.0, 0.6)
            },
            whole_seconds,
            // most receivers fix on the whole second
            phase_s: if rng.chance(0.6) { 0.0 } else { rng.share() },
            faults: (
                rng.pick(&[0, 0, 1, 2, 3]),
                rng.pick(&[0, 0, 0, 1, 2]),
                rng.pick(&[0, 0, 2]),
            ),
            ellipsoid: match format {
                Format::Gpx => rng.chance(0.1),
                Format::Igc => rng.chance(0.6),
                Format::Phone => rng.chance(0.5),
                Format::Avionics => false,
            },
            says_datum: match format {
                Format::Gpx => false,
                Format::Igc => rng.chance(0.7),
                Format::Phone => rng.chance(0.6),
                Format::Avionics => true,
            },
            height_step_m: match format {
                Format::Gpx => rng.pick(&[1.0, 0.1, 0.1]),
                Format::Igc => 1.0,
                Format::Phone => 0.01,
                Format::Avionics => 0.3048,
            },
            pressure: has_pressure.then(|| {
                (
                    rng.between(0.0, 1.3),
                    rng.about(0.0, 45.0),
                    rng.between(0.15, 0.6),
                    if format == Format::Igc { 1.0 } else { 0.3048 },
                )
            }),
            has_velocity: match format {
                Format::Gpx | Format::Igc => rng.chance(0.4),
                _ => true,
            },
            has_engine: match format {
                Format::Igc => rng.chance(0.4),
                Format::Avionics => rng.chance(0.6),
                _ => false,
            },
            airspeed,
            airspeed_is_true: rng.chance(0.4),
        }
    }

    /// Stamp less the instant the aeroplane was there, s.
    pub fn stamp_shift_s(&self) -> f64 {
        if self.whole_seconds {
            // several fixes to the second are taken as evenly spread over it: only what is less than a step is lost
            let step_s = (1.0 / self.rate_hz).min(1.0);
            self.latency_s - (self.phase_s + self.latency_s).rem_euclid(step_s)
        } else {
            self.latency_s
        }
    }
}

/// A fix as written; NaN where a channel is missing.
#[derive(Debug, Clone, Copy)]
pub struct Fix {
    /// When the aeroplane was there, s since the start.
    pub t_s: f64,
    /// Stamp, s since the start of the flight's clock.
    pub stamp_utc_s: f64,
    /// Latitude, degrees.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// GNSS altitude on the receiver's datum, m.
    pub altitude_m: f64,
    /// Pressure altitude, m.
    pub pressure_m: f64,
    /// Ground speed, m/s.
    pub speed_mps: f64,
    /// Course, degrees true.
    pub course_deg: f64,
    /// Climb, m/s.
    pub climb_mps: f64,
    /// Airspeed, m/s, as its column says.
    pub airspeed_mps: f64,
    /// Engine speed, 1/min.
    pub rpm: f64,
    /// Engine noise, 0..999.
    pub noise: f64,
}

/// What `receiver` makes of `flight`.
pub fn fixes(receiver: &Receiver, flight: &Flight, rng: &mut Random) -> Vec<Fix> {
    let plan = &flight.plan;
    let last_s = flight.samples.last().map_or(0.0, |s| s.t_s);
    let mut gaps: Vec<(f64, f64)> = Vec::new();
    for _ in 0..receiver.faults.0 {
        let from = rng.between(0.0, last_s);
        gaps.push((from, from + rng.between(3.0, 15.0)));
    }
    let spikes: Vec<f64> = (0..receiver.faults.1)
        .map(|_| rng.between(0.0, last_s))
        .collect();
    let doubles: Vec<f64> = (0..receiver.faults.2)
        .map(|_| rng.between(0.0, last_s))
        .collect();
    let (slow_m, slow_s) = receiver.slow;
    let mut error = [
        Wander::new(slow_m, slow_s, rng),
        Wander::new(slow_m, slow_s, rng),
        Wander::new(slow_m * receiver.vertical_times, slow_s, rng),
    ];
    let mut speed_error = [
        Wander::new(receiver.doppler.1, 0.4, rng),
        Wander::new(receiver.doppler.1, 0.4, rng),
    ];
    let mut channels = Channels::new(receiver, &flight.samples[0], plan.column, plan.elevation_m);
    let step_s = 1.0 / receiver.rate_hz;
    // on the grid of the receiver's own clock: whole steps of UTC plus its phase
    let first_utc = (plan.start_utc_s / step_s).ceil() * step_s + receiver.phase_s;
    let mut next_utc = first_utc;
    let mut out: Vec<Fix> = Vec::new();
    for s in &flight.samples {
        channels.step(s);
        let utc = plan.start_utc_s + s.t_s;
        if utc < next_utc {
            continue;
        }
        // between two samples: straight on
        let back_s = utc - next_utc;
        let this_utc = next_utc;
        next_utc += step_s;
        for e in &mut error {
            e.step(step_s, rng);
        }
        for e in &mut speed_error {
            e.step(step_s, rng);
        }
        let t_s = s.t_s - back_s;
        if gaps.iter().any(|g| t_s > g.0 && t_s < g.1) {
            continue;
        }
        let mut fix = channels.fix(s, back_s, receiver, &speed_error, rng);
        fix.t_s = t_s;
        let stamp = this_utc + receiver.latency_s;
        fix.stamp_utc_s = if receiver.whole_seconds {
            (stamp + 1e-6).floor()
        } else {
            stamp
        };
        let mut east = s.east_m - s.velocity_mps[0] * back_s
            + error[0].value
            + receiver.white_m * rng.normal();
        let mut north = s.north_m - s.velocity_mps[1] * back_s
            + error[1].value
            + receiver.white_m * rng.normal();
        if spikes.iter().any(|x| (x - t_s).abs() < 0.5 * step_s) {
            east += rng.pick(&[-1.0, 1.0]) * rng.between(60.0, 400.0);
            north += rng.pick(&[-1.0, 1.0]) * rng.between(60.0, 400.0);
        }
        (fix.latitude_deg, fix.longitude_deg) = plan.aim.at(east, north);
        let height = s.height_m - s.velocity_mps[2] * back_s
            + error[2].value
            + receiver.vertical_times * receiver.white_m * rng.normal();
        let datum = if receiver.ellipsoid {
            plan.aim.ellipsoid_m
        } else {
            plan.elevation_m
        };
        fix.altitude_m = rounded(height + datum, receiver.height_step_m);
        out.push(fix);
        if doubles.iter().any(|x| (x - t_s).abs() < 0.5 * step_s) {
            out.push(fix);
        }
    }
    out
}

/// To the nearest step.
pub fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

struct Channels {
    velocity: [f64; 3],
    pressure_m: f64,
    lag_s: f64,
    pressure: Option<(f64, f64, f64, f64)>,
    column: Column,
    airspeed: f64,
    noise: f64,
}

impl Channels {
    fn new(receiver: &Receiver, first: &Sample, column: Column, _elevation_m: f64) -> Self {
        Channels {
            velocity: first.velocity_mps,
            pressure_m: f64::NAN,
            lag_s: receiver.doppler.0,
            pressure: receiver.pressure,
            column,
            airspeed: first.cas_mps,
            noise: 300.0,
        }
    }

    fn step(&mut self, s: &Sample) {
        for axis in 0..3 {
            self.velocity[axis] +=
                (s.velocity_mps[axis] - self.velocity[axis]) * STEP_S / self.lag_s.max(STEP_S);
        }
        if let Some((lag, offset, ..)) = self.pressure {
            let shown = Column::pressure_altitude_m(self.column.pressure_pa(s.height_m) + offset);
            if self.pressure_m.is_finite() {
                self.pressure_m += (shown - self.pressure_m) * STEP_S / lag.max(STEP_S);
            } else {
                self.pressure_m = shown;
            }
        }
        self.airspeed += (s.cas_mps - self.airspeed) * STEP_S / 0.4;
        let loud = 120.0 + 780.0 * ((s.rpm - 700.0) / 1750.0).clamp(0.0, 1.0);
        self.noise += (loud - self.noise) * STEP_S / 0.5;
    }

    fn fix(
        &self,
        s: &Sample,
        back_s: f64,
        receiver: &Receiver,
        speed_error: &[Wander; 2],
        rng: &mut Random,
    ) -> Fix {
        let east = self.velocity[0] + speed_error[0].value;
        let north = self.velocity[1] + speed_error[1].value;
        let (mut speed_mps, mut course_deg, mut climb_mps) = (f64::NAN, f64::NAN, f64::NAN);
        if receiver.has_velocity {
            speed_mps = east.hypot(north);
            course_deg = east.atan2(north).to_degrees().rem_euclid(360.0);
            climb_mps = self.velocity[2] + 0.1 * rng.normal();
        }
        let pressure_m = receiver.pressure.map_or(f64::NAN, |(_, _, noise, step)| {
            rounded(
                self.pressure_m - back_s * self.velocity[2] + noise * rng.normal(),
                step,
            )
        });
        let airspeed_mps = receiver.airspeed.map_or(f64::NAN, |bias| {
            let ratio = if receiver.airspeed_is_true {
                s.tas_mps / s.cas_mps.max(1.0)
            } else {
                1.0
            };
            (self.airspeed * ratio + bias + 0.2 * rng.normal()).max(0.0)
        });
        Fix {
            t_s: 0.0,
            stamp_utc_s: 0.0,
            latitude_deg: 0.0,
            longitude_deg: 0.0,
            altitude_m: 0.0,
            pressure_m,
            speed_mps,
            course_deg,
            climb_mps,
            airspeed_mps,
            rpm: if receiver.has_engine {
                (s.rpm + 8.0 * rng.normal()).max(0.0)
            } else {
                f64::NAN
            },
            noise: if receiver.has_engine {
                (self.noise + 25.0 * rng.normal()).clamp(0.0, 999.0)
            } else {
                f64::NAN
            },
        }
    }
}
