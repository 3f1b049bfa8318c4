//! The air of a flight: pressure, temperature, wind by height and time, gusts, vertical air.

use super::random::{Random, Wander};

const R_JKGK: f64 = 287.052_87;
const G0: f64 = 9.806_65;

/// Pressure and temperature, hydrostatic from QNH at the aim.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Elevation of the aim, m.
    pub elevation_m: f64,
    /// QNH there, hPa.
    pub qnh_hpa: f64,
    /// Temperature there, K.
    pub temperature_k: f64,
    /// Lapse, K/m.
    pub lapse_kpm: f64,
}

impl Column {
    fn pressure_at_aim_pa(&self) -> f64 {
        // QNH is the field pressure brought to sea level in the standard atmosphere (ICAO Doc 8896)
        let exponent = R_JKGK * 0.0065 / G0;
        let sea_level = (self.qnh_hpa * 100.0).powf(exponent);
        (sea_level - 101_325f64.powf(exponent) * 0.0065 * self.elevation_m / 288.15)
            .powf(1.0 / exponent)
    }

    /// Pressure, Pa, at a height above the aim.
    pub fn pressure_pa(&self, height_m: f64) -> f64 {
        let ratio = 1.0 - self.lapse_kpm * height_m / self.temperature_k;
        self.pressure_at_aim_pa() * ratio.powf(G0 / (R_JKGK * self.lapse_kpm))
    }

    /// Density, kg/m³.
    pub fn density(&self, height_m: f64) -> f64 {
        self.pressure_pa(height_m) / (R_JKGK * (self.temperature_k - self.lapse_kpm * height_m))
    }

    /// Calibrated from true airspeed, m/s: pitot pressure of compressible flow, read in sea level air.
    pub fn calibrated_mps(&self, true_mps: f64, height_m: f64) -> f64 {
        let p = self.pressure_pa(height_m);
        let sound2 = 1.4 * R_JKGK * (self.temperature_k - self.lapse_kpm * height_m);
        let impact = p * ((1.0 + 0.2 * true_mps * true_mps / sound2).powf(3.5) - 1.0);
        340.294
            * (5.0 * ((impact / 101_325.0 + 1.0).powf(2.0 / 7.0) - 1.0))
                .max(0.0)
                .sqrt()
    }

    /// Altitude shown by a pressure sensor set to 1013.25 hPa, m.
    pub fn pressure_altitude_m(pressure_pa: f64) -> f64 {
        288.15 / 0.0065 * (1.0 - (pressure_pa / 101_325.0).powf(R_JKGK * 0.0065 / G0))
    }
}

/// Character of the wind and its liveliness, drawn for a flight.
#[derive(Debug, Clone, Copy)]
pub struct Wind {
    /// Motion of the air at 10 m, east and north, m/s.
    pub surface_mps: [f64; 2],
    /// Exponent of its growth with height.
    pub growth: f64,
    /// Height of no more growth, m.
    pub top_m: f64,
    /// Veer from the surface to well above, degrees, clockwise positive.
    pub veer_deg: f64,
    /// Standard deviation of gusts, m/s, and their correlation time, s.
    pub gust: (f64, f64),
    /// Vertical gusts, m/s.
    pub vertical_mps: f64,
    /// Slow vertical air, m/s and s.
    pub slow_vertical: (f64, f64),
    /// Slow drift of each component, m/s, over ten minutes.
    pub drift_mps: f64,
}

impl Wind {
    /// A wind mostly along the landing direction, as a field is chosen.
    pub fn draw(landing_deg: f64, rng: &mut Random) -> Self {
        let speed = 0.514 * rng.between(0.0, 14.0);
        let from_deg = landing_deg
            + if rng.chance(0.9) {
                rng.about(0.0, 35.0)
            } else {
                rng.between(0.0, 360.0)
            };
        let to_rad = (from_deg + 180.0).to_radians();
        let lively = if rng.chance(0.3) {
            rng.between(0.05, 0.3)
        } else {
            rng.between(0.3, 1.0)
        };
        Wind {
            surface_mps: [speed * to_rad.sin(), speed * to_rad.cos()],
            growth: rng.between(0.08, 0.24),
            top_m: rng.between(250.0, 900.0),
            veer_deg: rng.between(-5.0, 25.0),
            gust: (lively * rng.between(0.8, 1.3), rng.between(3.0, 9.0)),
            vertical_mps: 0.7 * lively,
            slow_vertical: (lively * rng.between(0.1, 0.9), rng.between(12.0, 40.0)),
            drift_mps: rng.between(0.2, 0.9),
        }
    }

    /// Mean motion of the air, east and north, m/s, at a height above the ground.
    pub fn mean_mps(&self, height_m: f64) -> [f64; 2] {
        let z = height_m.clamp(1.0, self.top_m);
        let factor = (z / 10.0).powf(self.growth);
        let turn = (self.veer_deg * (1.0 - (-height_m.max(0.0) / 350.0).exp())).to_radians();
        let [e, n] = self.surface_mps;
        // clockwise seen from above
        [
            factor * (e * turn.cos() + n * turn.sin()),
            factor * (n * turn.cos() - e * turn.sin()),
        ]
    }
}

/// The air as it moves past the aeroplane.
#[derive(Debug, Clone)]
pub struct Moving {
    wind: Wind,
    drift: [Wander; 2],
    gust: [Wander; 2],
    vertical: Wander,
    slow_vertical: Wander,
}

impl Moving {
    /// Still to be stepped.
    pub fn new(wind: Wind, rng: &mut Random) -> Self {
        Moving {
            wind,
            drift: [
                Wander::new(wind.drift_mps, 600.0, rng),
                Wander::new(wind.drift_mps, 600.0, rng),
            ],
            gust: [
                Wander::new(wind.gust.0, wind.gust.1, rng),
                Wander::new(wind.gust.0, wind.gust.1, rng),
            ],
            vertical: Wander::new(wind.vertical_mps, 0.5 * wind.gust.1, rng),
            slow_vertical: Wander::new(wind.slow_vertical.0, wind.slow_vertical.1, rng),
        }
    }

    /// Motion of the air, east, north, up, m/s, `dt_s` later at a height above the ground.
    pub fn step(&mut self, dt_s: f64, height_m: f64, rng: &mut Random) -> [f64; 3] {
        let mean = self.wind.mean_mps(height_m);
        let mut out = [0.0; 3];
        for axis in 0..2 {
            out[axis] =
                mean[axis] + self.drift[axis].step(dt_s, rng) + self.gust[axis].step(dt_s, rng);
        }
        // air cannot move through the ground
        let free = (height_m / 60.0).clamp(0.0, 1.0);
        out[2] = free * (self.vertical.step(dt_s, rng) + self.slow_vertical.step(dt_s, rng));
        out
    }
}
