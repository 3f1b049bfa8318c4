//! Standard atmosphere, the air of the day above a field, calibrated and true airspeed.
//!
//! Heights here are geopotential metres, as in the definition of the standard
//! atmosphere; an altimeter is built to them. They differ from metres measured
//! with a tape by less than 1.5 m below 3000 m ([`geometric_m`]).
//!
//! Dry air throughout: the water in warm moist air is worth up to 1 % of its
//! density, 0.5 % of true airspeed, which is less than a thermometer tells.

use crate::units::{G0_MPS2, KELVIN_AT_ZERO_C};

// ISO 2533:1975 (the same values as ICAO Doc 7488/3 and the U.S. Standard Atmosphere 1976 below 32 km).
/// Temperature at mean sea level, K. Source: ISO 2533:1975, table 1.
pub const STANDARD_TEMPERATURE_K: f64 = 288.15;
/// Pressure at mean sea level, hPa. Source: ISO 2533:1975, table 1.
pub const STANDARD_PRESSURE_HPA: f64 = 1013.25;
/// Density at mean sea level, kg/m³. Source: ISO 2533:1975, table 1.
pub const STANDARD_DENSITY_KGPM3: f64 = 1.225;
/// Speed of sound at mean sea level, m/s. Source: ISO 2533:1975, table 1 (340.294, here in full).
pub const STANDARD_SPEED_OF_SOUND_MPS: f64 = 340.294_098_8;
/// Fall of temperature with height in the troposphere, K/m. Source: ISO 2533:1975, table 4.
pub const LAPSE_RATE_KPM: f64 = 0.0065;
/// Specific gas constant of dry air, J/(kg K). Source: ISO 2533:1975, table 1.
pub const GAS_CONSTANT_JPKGK: f64 = 287.05287;
/// Ratio of the specific heats of air. Source: ISO 2533:1975, table 1.
pub const HEAT_RATIO: f64 = 1.4;
/// Height of the tropopause, m. Source: ISO 2533:1975, table 4.
pub const TROPOPAUSE_M: f64 = 11_000.0;
/// Radius of the earth used for geopotential height, m. Source: ISO 2533:1975, section 2.3.
const GEOPOTENTIAL_RADIUS_M: f64 = 6_356_766.0;

const TROPOPAUSE_TEMPERATURE_K: f64 = STANDARD_TEMPERATURE_K - LAPSE_RATE_KPM * TROPOPAUSE_M;
/// g₀/(R·lapse) = 5.2559: pressure goes with this power of temperature.
const PRESSURE_EXPONENT: f64 = G0_MPS2 / (GAS_CONSTANT_JPKGK * LAPSE_RATE_KPM);
/// Density goes with this power of temperature.
const DENSITY_EXPONENT: f64 = PRESSURE_EXPONENT - 1.0;
const PA_PER_HPA: f64 = 100.0;

/// Geopotential height of a height measured in metres above mean sea level.
pub fn geopotential_m(geometric_m: f64) -> f64 {
    geometric_m * GEOPOTENTIAL_RADIUS_M / (GEOPOTENTIAL_RADIUS_M + geometric_m)
}

/// Height in metres above mean sea level of a geopotential height.
pub fn geometric_m(geopotential_m: f64) -> f64 {
    geopotential_m * GEOPOTENTIAL_RADIUS_M / (GEOPOTENTIAL_RADIUS_M - geopotential_m)
}

/// Temperature of the standard atmosphere at a pressure altitude, K; up to 20 km.
pub fn standard_temperature_k(pressure_altitude_m: f64) -> f64 {
    STANDARD_TEMPERATURE_K - LAPSE_RATE_KPM * pressure_altitude_m.min(TROPOPAUSE_M)
}

/// Pressure at a pressure altitude, hPa; up to 20 km.
pub fn pressure_hpa_at_pressure_altitude_m(pressure_altitude_m: f64) -> f64 {
    let below_tropopause_hpa = STANDARD_PRESSURE_HPA
        * (standard_temperature_k(pressure_altitude_m) / STANDARD_TEMPERATURE_K)
            .powf(PRESSURE_EXPONENT);
    if pressure_altitude_m <= TROPOPAUSE_M {
        below_tropopause_hpa
    } else {
        let scale_height_m = GAS_CONSTANT_JPKGK * TROPOPAUSE_TEMPERATURE_K / G0_MPS2;
        below_tropopause_hpa * (-(pressure_altitude_m - TROPOPAUSE_M) / scale_height_m).exp()
    }
}

/// Pressure altitude of a pressure, m: what an altimeter set to 1013.25 hPa shows; up to 20 km.
pub fn pressure_altitude_m(pressure_hpa: f64) -> f64 {
    let temperature_ratio = (pressure_hpa / STANDARD_PRESSURE_HPA).powf(PRESSURE_EXPONENT.recip());
    let temperature_k = STANDARD_TEMPERATURE_K * temperature_ratio;
    if temperature_k >= TROPOPAUSE_TEMPERATURE_K {
        (STANDARD_TEMPERATURE_K - temperature_k) / LAPSE_RATE_KPM
    } else {
        let scale_height_m = GAS_CONSTANT_JPKGK * TROPOPAUSE_TEMPERATURE_K / G0_MPS2;
        let tropopause_hpa = pressure_hpa_at_pressure_altitude_m(TROPOPAUSE_M);
        TROPOPAUSE_M - scale_height_m * (pressure_hpa / tropopause_hpa).ln()
    }
}

/// Density of dry air, kg/m³.
pub fn density_kgpm3(pressure_hpa: f64, temperature_k: f64) -> f64 {
    pressure_hpa * PA_PER_HPA / (GAS_CONSTANT_JPKGK * temperature_k)
}

/// Density altitude, m: the height in the standard troposphere at which air is this dense.
pub fn density_altitude_m(pressure_hpa: f64, temperature_k: f64) -> f64 {
    let ratio = density_kgpm3(pressure_hpa, temperature_k) / STANDARD_DENSITY_KGPM3;
    STANDARD_TEMPERATURE_K / LAPSE_RATE_KPM * (1.0 - ratio.powf(DENSITY_EXPONENT.recip()))
}

/// Speed of sound in dry air, m/s.
pub fn speed_of_sound_mps(temperature_k: f64) -> f64 {
    (HEAT_RATIO * GAS_CONSTANT_JPKGK * temperature_k).sqrt()
}

/// Calibrated airspeed from an impact pressure (pitot less static), m/s.
///
/// # Definition
/// The speed that would give this impact pressure at standard sea level; below the speed of sound.
///
/// # Source
/// Saint-Venant's equation for γ = 1.4, any text on flight testing.
pub fn cas_from_impact_pressure_mps(impact_pressure_hpa: f64) -> f64 {
    STANDARD_SPEED_OF_SOUND_MPS * mach(impact_pressure_hpa / STANDARD_PRESSURE_HPA)
}

/// Calibrated airspeed from true airspeed, with compressibility, m/s.
///
/// # Example
/// ```
/// use stillprop::atmosphere::{cas_mps, pressure_hpa_at_pressure_altitude_m};
/// use stillprop::units::{M_PER_FT, MPS_PER_KT, kt};
/// let pressure_hpa = pressure_hpa_at_pressure_altitude_m(3000.0 * M_PER_FT);
/// let cas = cas_mps(71.073 * MPS_PER_KT, pressure_hpa, 282.206);
/// assert!((kt(cas) - 68.0).abs() < 0.005);
/// ```
pub fn cas_mps(tas_mps: f64, pressure_hpa: f64, temperature_k: f64) -> f64 {
    let impact_hpa = pressure_hpa * impact_ratio(tas_mps / speed_of_sound_mps(temperature_k));
    cas_from_impact_pressure_mps(impact_hpa)
}

/// True airspeed from calibrated airspeed, with compressibility, m/s.
pub fn tas_mps(cas_mps: f64, pressure_hpa: f64, temperature_k: f64) -> f64 {
    let impact_hpa = STANDARD_PRESSURE_HPA * impact_ratio(cas_mps / STANDARD_SPEED_OF_SOUND_MPS);
    speed_of_sound_mps(temperature_k) * mach(impact_hpa / pressure_hpa)
}

/// Impact pressure over static pressure at a Mach number, without loss of digits at low speed.
fn impact_ratio(mach: f64) -> f64 {
    (3.5 * (0.2 * mach * mach).ln_1p()).exp_m1()
}

/// Mach number at an impact pressure over static pressure.
fn mach(impact_ratio: f64) -> f64 {
    (5.0 * (impact_ratio.ln_1p() / 3.5).exp_m1()).sqrt()
}

/// The air of the day above a field: QNH and temperature, with the standard lapse above.
///
/// # Definition
/// The pressure at the field is the one at which an altimeter set to QNH shows
/// the elevation. From there up the air is hydrostatic, with the field's actual
/// temperature falling by 6.5 K a kilometre.
///
/// # Uncertainty
/// Gravity is taken at its standard value: it differs by up to 0.27 % between
/// equator and pole, and heights from pressure with it (3 ft in 1000). A real
/// lapse of 9 K/km instead of 6.5 shifts a height of 1000 m by 4 m.
///
/// # Example
/// ```
/// use stillprop::atmosphere::AirColumn;
/// // A cold day: an altimeter 305 m above the field shows more than is there.
/// let air = AirColumn { qnh_hpa: 1013.25, elevation_m: 0.0, temperature_at_elevation_k: 263.15 };
/// assert!((air.height_above_elevation_m(305.0) - 278.5).abs() < 0.1);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirColumn {
    /// QNH, hPa.
    pub qnh_hpa: f64,
    /// Elevation of the field above mean sea level, m.
    pub elevation_m: f64,
    /// Temperature at the field, K.
    pub temperature_at_elevation_k: f64,
}

impl AirColumn {
    /// The standard atmosphere above a field of this elevation.
    pub fn standard(elevation_m: f64) -> Self {
        AirColumn {
            qnh_hpa: STANDARD_PRESSURE_HPA,
            elevation_m,
            temperature_at_elevation_k: standard_temperature_k(elevation_m),
        }
    }

    /// The air above a field at a temperature in °C.
    pub fn new(qnh_hpa: f64, elevation_m: f64, temperature_at_elevation_c: f64) -> Self {
        AirColumn {
            qnh_hpa,
            elevation_m,
            temperature_at_elevation_k: temperature_at_elevation_c + KELVIN_AT_ZERO_C,
        }
    }

    /// Pressure altitude of the field, m.
    pub fn pressure_altitude_at_elevation_m(&self) -> f64 {
        self.elevation_m + pressure_altitude_m(self.qnh_hpa)
    }

    /// Metres of true height for one metre of pressure altitude: 0.9 on a very cold day.
    ///
    /// With the standard lapse on both sides the relation is exactly linear,
    /// because temperature and height are, and pressure goes with the same
    /// power of temperature in both.
    pub fn height_per_pressure_altitude(&self) -> f64 {
        self.temperature_at_elevation_k
            / (STANDARD_TEMPERATURE_K - LAPSE_RATE_KPM * self.pressure_altitude_at_elevation_m())
    }

    /// True height above the field, m, at a pressure altitude.
    ///
    /// # Valid for
    /// Pressure altitudes in the troposphere.
    pub fn height_above_elevation_m(&self, pressure_altitude_m: f64) -> f64 {
        (pressure_altitude_m - self.pressure_altitude_at_elevation_m())
            * self.height_per_pressure_altitude()
    }

    /// Pressure altitude, m, at a true height above the field.
    pub fn pressure_altitude_m_at(&self, height_above_elevation_m: f64) -> f64 {
        self.pressure_altitude_at_elevation_m()
            + height_above_elevation_m / self.height_per_pressure_altitude()
    }

    /// Temperature at a height above the field, K.
    pub fn temperature_k(&self, height_above_elevation_m: f64) -> f64 {
        self.temperature_at_elevation_k - LAPSE_RATE_KPM * height_above_elevation_m
    }

    /// Pressure at a height above the field, hPa.
    pub fn pressure_hpa(&self, height_above_elevation_m: f64) -> f64 {
        pressure_hpa_at_pressure_altitude_m(self.pressure_altitude_m_at(height_above_elevation_m))
    }

    /// Density at a height above the field, kg/m³.
    pub fn density_kgpm3(&self, height_above_elevation_m: f64) -> f64 {
        density_kgpm3(
            self.pressure_hpa(height_above_elevation_m),
            self.temperature_k(height_above_elevation_m),
        )
    }

    /// Calibrated from true airspeed at a height above the field, m/s.
    pub fn cas_mps(&self, tas: f64, height_above_elevation_m: f64) -> f64 {
        cas_mps(
            tas,
            self.pressure_hpa(height_above_elevation_m),
            self.temperature_k(height_above_elevation_m),
        )
    }

    /// True from calibrated airspeed at a height above the field, m/s.
    pub fn tas_mps(&self, cas: f64, height_above_elevation_m: f64) -> f64 {
        tas_mps(
            cas,
            self.pressure_hpa(height_above_elevation_m),
            self.temperature_k(height_above_elevation_m),
        )
    }

    /// The same conversions prepared for many calls.
    pub fn speed_scale(&self) -> SpeedScale {
        SpeedScale::of(self)
    }
}

/// True and calibrated airspeed in one column of air, without powers or logarithms.
///
/// # Definition
/// √(density/standard) and pressure as third-order series in height, and the
/// first term of the compressibility correction.
///
/// # Valid for
/// From 500 m below the field to 3000 m above it, fields below 2500 m, below 150 kt: within
/// 0.01 % of [`cas_mps`] and [`tas_mps`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedScale {
    sqrt_density_ratio_at_field: f64,
    inverse_pressure_ratio_at_field: f64,
    /// Share of the field's temperature lost per metre.
    lapse_share_per_m: f64,
}

impl SpeedScale {
    /// The scale of a column of air.
    pub fn of(air: &AirColumn) -> Self {
        let pressure_hpa = air.pressure_hpa(0.0);
        let density = density_kgpm3(pressure_hpa, air.temperature_at_elevation_k);
        SpeedScale {
            sqrt_density_ratio_at_field: (density / STANDARD_DENSITY_KGPM3).sqrt(),
            inverse_pressure_ratio_at_field: STANDARD_PRESSURE_HPA / pressure_hpa,
            lapse_share_per_m: LAPSE_RATE_KPM / air.temperature_at_elevation_k,
        }
    }

    /// √(density / standard sea level density) at a height above the field: equivalent over true airspeed.
    pub fn sqrt_density_ratio(&self, height_above_elevation_m: f64) -> f64 {
        let x = self.lapse_share_per_m * height_above_elevation_m;
        self.sqrt_density_ratio_at_field * power_of_one_less(x, DENSITY_EXPONENT / 2.0)
    }

    /// Calibrated from true airspeed at a height above the field, m/s.
    pub fn cas_mps(&self, tas_mps: f64, height_above_elevation_m: f64) -> f64 {
        let eas_mps = tas_mps * self.sqrt_density_ratio(height_above_elevation_m);
        eas_mps * (1.0 + self.compressibility(eas_mps, height_above_elevation_m))
    }

    /// True from calibrated airspeed at a height above the field, m/s.
    pub fn tas_mps(&self, cas_mps: f64, height_above_elevation_m: f64) -> f64 {
        let near_mps = cas_mps / (1.0 + self.compressibility(cas_mps, height_above_elevation_m));
        let eas_mps = cas_mps / (1.0 + self.compressibility(near_mps, height_above_elevation_m));
        eas_mps / self.sqrt_density_ratio(height_above_elevation_m)
    }

    /// Calibrated over equivalent airspeed, less one: V²/(8a₀²) · (p₀/p − 1).
    fn compressibility(&self, eas_mps: f64, height_above_elevation_m: f64) -> f64 {
        let x = self.lapse_share_per_m * height_above_elevation_m;
        let inverse_pressure_ratio =
            self.inverse_pressure_ratio_at_field * power_of_one_less(x, -PRESSURE_EXPONENT);
        let speed_ratio = eas_mps / STANDARD_SPEED_OF_SOUND_MPS;
        0.125 * speed_ratio * speed_ratio * (inverse_pressure_ratio - 1.0)
    }
}

/// (1 − x)ᵉ by the first terms of its series.
fn power_of_one_less(x: f64, exponent: f64) -> f64 {
    let first = -exponent;
    let second = first * (1.0 - exponent) / 2.0;
    let third = second * (2.0 - exponent) / 3.0;
    1.0 + x * (first + x * (second + x * third))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{MPS_PER_KT, kt};
    use proptest::prelude::*;

    #[test]
    fn qnh_is_what_makes_an_altimeter_show_the_elevation() {
        let air = AirColumn::new(1003.0, 120.0, 25.0);
        assert!(
            air.height_above_elevation_m(120.0 + pressure_altitude_m(1003.0))
                .abs()
                < 1e-9
        );
    }

    #[test]
    fn the_standard_day_is_the_standard_atmosphere() {
        let air = AirColumn::standard(500.0);
        assert!((air.height_above_elevation_m(1500.0) - 1000.0).abs() < 1e-9);
        assert!(
            (air.pressure_hpa(1000.0) - pressure_hpa_at_pressure_altitude_m(1500.0)).abs() < 1e-9
        );
    }

    #[test]
    fn pressure_falls_with_the_weight_of_the_air() {
        // dp/dh = -rho g, by a central difference, on a hot day above a high field.
        let air = AirColumn::new(1022.0, 1800.0, 33.0);
        for height_m in [0.0, 500.0, 2000.0] {
            let slope = (air.pressure_hpa(height_m + 1.0) - air.pressure_hpa(height_m - 1.0)) / 2.0;
            let weight = air.density_kgpm3(height_m) * G0_MPS2 / PA_PER_HPA;
            assert!((slope + weight).abs() < 1e-6 * weight, "{slope} {weight}");
        }
    }

    #[test]
    fn series_stay_close_to_the_powers() {
        for air in [
            AirColumn::new(1013.25, 0.0, 15.0),
            AirColumn::new(980.0, 2500.0, 30.0),
            AirColumn::new(1045.0, 100.0, -35.0),
        ] {
            let scale = air.speed_scale();
            for height_m in [-500.0, 0.0, 300.0, 1500.0, 3000.0] {
                for knots in [30.0, 70.0, 120.0, 150.0] {
                    let speed = knots * MPS_PER_KT;
                    let exact_cas = air.cas_mps(speed, height_m);
                    let exact_tas = air.tas_mps(speed, height_m);
                    assert!((scale.cas_mps(speed, height_m) / exact_cas - 1.0).abs() < 1e-4);
                    assert!((scale.tas_mps(speed, height_m) / exact_tas - 1.0).abs() < 1e-4);
                }
            }
        }
    }

    #[test]
    fn no_speed_is_no_speed() {
        assert_eq!(cas_mps(0.0, 900.0, 280.0), 0.0);
        assert_eq!(tas_mps(0.0, 900.0, 280.0), 0.0);
        assert!(kt(cas_mps(1e-6, 900.0, 280.0)) > 0.0);
    }

    proptest! {
        #[test]
        fn speeds_there_and_back(
            knots in 0.1..300.0_f64, pressure in 400.0..1050.0_f64, temperature in 220.0..320.0_f64,
        ) {
            let tas = knots * MPS_PER_KT;
            let back = tas_mps(cas_mps(tas, pressure, temperature), pressure, temperature);
            prop_assert!((back - tas).abs() < 1e-9);
        }

        #[test]
        fn pressure_there_and_back(altitude_m in -1000.0..18_000.0_f64) {
            let back = pressure_altitude_m(pressure_hpa_at_pressure_altitude_m(altitude_m));
            prop_assert!((back - altitude_m).abs() < 1e-6);
        }

        #[test]
        fn column_there_and_back(
            qnh in 940.0..1055.0_f64, elevation in -300.0..3000.0_f64,
            temperature_c in -45.0..45.0_f64, height in -500.0..4000.0_f64,
        ) {
            let air = AirColumn::new(qnh, elevation, temperature_c);
            let back = air.height_above_elevation_m(air.pressure_altitude_m_at(height));
            prop_assert!((back - height).abs() < 1e-6);
        }

        #[test]
        fn geopotential_there_and_back(height in -500.0..15_000.0_f64) {
            prop_assert!((geometric_m(geopotential_m(height)) - height).abs() < 1e-6);
        }
    }
}
