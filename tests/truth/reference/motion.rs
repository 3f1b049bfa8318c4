//! How the aeroplane of a reference flight moved, and averages of that.

use super::super::{FT, G0_MPS2, KT};

/// One instant.
#[derive(Debug, Clone, Copy)]
pub struct Sample {
    /// Second of the flight.
    pub time_s: f64,
    /// Above the aim.
    pub height_m: f64,
    /// Over the ground, north and east.
    pub velocity_mps: [f64; 2],
    /// Of the air, north and east.
    pub wind_mps: [f64; 2],
    /// Through the air, down.
    pub sink_mps: f64,
    /// Calibrated airspeed.
    pub cas_mps: f64,
}

impl Sample {
    fn through_air_mps(&self) -> [f64; 2] {
        [0, 1].map(|axis| self.velocity_mps[axis] - self.wind_mps[axis])
    }

    fn tas_mps(&self) -> f64 {
        let [north, east] = self.through_air_mps();
        north.hypot(east).hypot(self.sink_mps)
    }
}

/// Five instants a second about every attempt, in order; nothing between attempts far apart.
#[derive(Debug)]
pub struct Motion(Vec<Sample>);

/// Time between samples.
const STEP_S: f64 = 0.2;

/// True averages over a stretch of glide.
#[derive(Debug, Clone, Copy)]
pub struct Window {
    /// Mean calibrated airspeed.
    pub cas_mean_kt: f64,
    /// Its standard deviation.
    pub cas_sd_kt: f64,
    /// From height to height.
    pub descent_fpm: f64,
    /// Through the air, corrected for the change of speed.
    pub air_sink_fpm: f64,
    /// Distance through the air over the corrected sink.
    pub ratio_air: f64,
    /// Distance over ground over descent.
    pub ratio_ground: f64,
}

impl Motion {
    /// Reads the table: whole numbers, each line but the first as differences from the one before.
    pub fn read(table: &str) -> Result<Motion, String> {
        let mut now = [0i64; 8];
        let mut samples = Vec::new();
        for (number, line) in table.lines().enumerate().skip(1) {
            let wrong = || format!("motion, line {}: {line}", number + 1);
            let mut cells = line.split(',');
            for value in &mut now {
                let change: i64 = cells
                    .next()
                    .and_then(|c| c.parse().ok())
                    .ok_or_else(wrong)?;
                *value += change;
            }
            if cells.next().is_some() {
                return Err(wrong());
            }
            let [
                time_s,
                height_m,
                north,
                east,
                wind_north,
                wind_east,
                sink_mps,
                cas_mps,
            ] = now.map(|thousandths| thousandths as f64 / 1000.0);
            samples.push(Sample {
                time_s,
                height_m,
                velocity_mps: [north, east],
                wind_mps: [wind_north, wind_east],
                sink_mps,
                cas_mps,
            });
        }
        Ok(Motion(samples))
    }

    /// Samples from one second to another, both included.
    pub fn between(&self, from_s: f64, to_s: f64) -> &[Sample] {
        let from = self.0.partition_point(|s| s.time_s < from_s);
        let to = self.0.partition_point(|s| s.time_s <= to_s);
        &self.0[from..to.max(from)]
    }

    /// A value between the samples around that second.
    fn at(&self, time_s: f64, value: impl Fn(&Sample) -> f64) -> f64 {
        let after = self.0.partition_point(|s| s.time_s < time_s);
        match (after.checked_sub(1).map(|i| &self.0[i]), self.0.get(after)) {
            (Some(a), Some(b)) => {
                let share = (time_s - a.time_s) / (b.time_s - a.time_s);
                value(a) + share * (value(b) - value(a))
            }
            (Some(end), None) | (None, Some(end)) => value(end),
            (None, None) => f64::NAN,
        }
    }

    /// True averages; none over less than ten seconds.
    ///
    /// # Errors
    ///
    /// When the stretch goes beyond what was kept of the flight.
    pub fn window(&self, from_s: f64, to_s: f64) -> Result<Option<Window>, String> {
        let time_s = to_s - from_s;
        if time_s < 10.0 {
            return Ok(None);
        }
        let within = self.between(from_s, to_s);
        let count = within.len() as f64;
        if (count - time_s / STEP_S).abs() > 2.0 {
            return Err(format!("no motion kept from {from_s:.1} s to {to_s:.1} s"));
        }
        let mean = |value: &dyn Fn(&Sample) -> f64| within.iter().map(value).sum::<f64>() / count;
        let cas_mean_kt = mean(&|s| s.cas_mps / KT);
        let cas_sd_kt = mean(&|s| (s.cas_mps / KT - cas_mean_kt).powi(2)).sqrt();
        let [start, end] = [from_s, to_s].map(|t| self.at(t, Sample::tas_mps));
        let descent_mps =
            (self.at(from_s, |s| s.height_m) - self.at(to_s, |s| s.height_m)) / time_s;
        let air_sink_mps =
            mean(&|s| s.sink_mps) - (end * end - start * start) / (2.0 * G0_MPS2 * time_s);
        let through_air_mps = mean(&|s| length(s.through_air_mps()));
        let over_ground_mps = mean(&|s| length(s.velocity_mps));
        Ok(Some(Window {
            cas_mean_kt,
            cas_sd_kt,
            descent_fpm: descent_mps / FT * 60.0,
            air_sink_fpm: air_sink_mps / FT * 60.0,
            ratio_air: through_air_mps / air_sink_mps.max(1e-6),
            ratio_ground: over_ground_mps / descent_mps.max(1e-6),
        }))
    }

    /// How far the aeroplane turned through the air between two seconds while its height was in
    /// `from_ft..to_ft`, from its leftmost to its rightmost course.
    pub fn turned_deg(&self, (from_s, to_s): (f64, f64), (from_ft, to_ft): (f64, f64)) -> f64 {
        let (mut before, mut course) = (None::<f64>, 0.0);
        let (mut least, mut greatest, mut count) = (f64::MAX, f64::MIN, 0);
        for sample in self.between(from_s, to_s) {
            let [north, east] = sample.through_air_mps();
            let bearing = east.atan2(north).to_degrees();
            course += before.map_or(0.0, |b| (bearing - b + 180.0).rem_euclid(360.0) - 180.0);
            before = Some(bearing);
            let height_ft = sample.height_m / FT;
            if height_ft >= from_ft && height_ft < to_ft {
                least = course.min(least);
                greatest = course.max(greatest);
                count += 1;
            }
        }
        if count < 10 { 0.0 } else { greatest - least }
    }

    /// Mean velocity of the air within 150 ft of a height, north and east.
    pub fn wind_kt(&self, from_s: f64, to_s: f64, height_ft: f64) -> Option<[f64; 2]> {
        let near: Vec<&Sample> = self
            .between(from_s, to_s)
            .iter()
            .filter(|s| (s.height_m / FT - height_ft).abs() <= 150.0)
            .collect();
        (near.len() >= 10).then(|| {
            [0, 1].map(|axis| {
                near.iter().map(|s| s.wind_mps[axis] / KT).sum::<f64>() / near.len() as f64
            })
        })
    }
}

fn length([north, east]: [f64; 2]) -> f64 {
    north.hypot(east)
}
