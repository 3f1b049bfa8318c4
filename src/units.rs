//! The only file with conversion factors, and the wrapping of angles.
//!
//! Inside the library: metres, metres per second, seconds, degrees true. Feet,
//! knots and feet per minute appear at the edges, in names that end so.
//!
//! Source of the factors: the international foot (0.3048 m) and the nautical
//! mile (1852 m) are exact by definition.

/// Metres in one foot, exact.
pub const M_PER_FT: f64 = 0.3048;
/// Metres in one nautical mile, exact.
pub const M_PER_NM: f64 = 1852.0;
/// Metres per second in one knot, exact.
pub const MPS_PER_KT: f64 = M_PER_NM / 3600.0;
/// Metres per second in one foot per minute, exact.
pub const MPS_PER_FPM: f64 = M_PER_FT / 60.0;
/// Feet per minute in one knot, exact.
pub const FPM_PER_KT: f64 = MPS_PER_KT / MPS_PER_FPM;
/// Metres per second in one kilometre per hour, exact.
pub const MPS_PER_KMH: f64 = 1.0 / 3.6;
/// Metres per second in one statute mile per hour, exact.
pub const MPS_PER_MPH: f64 = 0.44704;
/// Hectopascals in one inch of mercury (conventional, 3386.389 Pa).
pub const HPA_PER_INHG: f64 = 33.86389;
/// Kilograms in one pound, exact.
pub const KG_PER_LB: f64 = 0.45359237;
/// Kelvin at zero degrees Celsius, exact.
pub const KELVIN_AT_ZERO_C: f64 = 273.15;
/// Standard acceleration of gravity, m/s², exact.
pub const G0_MPS2: f64 = 9.80665;

/// Metres to feet.
pub fn ft(metres: f64) -> f64 {
    metres / M_PER_FT
}
/// Metres per second to knots.
pub fn kt(mps: f64) -> f64 {
    mps / MPS_PER_KT
}
/// Metres per second to feet per minute.
pub fn fpm(mps: f64) -> f64 {
    mps / MPS_PER_FPM
}

/// An angle in degrees wrapped to 0 ≤ a < 360.
pub fn wrap_360_deg(angle_deg: f64) -> f64 {
    let a = angle_deg.rem_euclid(360.0);
    if a >= 360.0 { 0.0 } else { a }
}

/// An angle in degrees wrapped to −180 ≤ a < 180.
pub fn wrap_180_deg(angle_deg: f64) -> f64 {
    wrap_360_deg(angle_deg + 180.0) - 180.0
}

/// Seconds as `m:ss`, with a true minus.
pub fn minutes_and_seconds(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "–".to_owned();
    }
    let whole = seconds.abs().round();
    let sign = if seconds < 0.0 && whole > 0.0 {
        "\u{2212}"
    } else {
        ""
    };
    format!("{sign}{}:{:02}", (whole / 60.0).floor(), whole % 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_agree_with_published_roundings() {
        // 1 kt = 0.514444 m/s = 101.269 ft/min: any unit table.
        assert!((MPS_PER_KT - 0.514444).abs() < 1e-6);
        assert!((MPS_PER_KT / MPS_PER_FPM - 101.269).abs() < 1e-3);
    }

    #[test]
    fn angles_wrap_at_the_edges() {
        assert_eq!(wrap_360_deg(-1e-20), 0.0);
        assert_eq!(wrap_360_deg(360.0), 0.0);
        assert_eq!(wrap_360_deg(-90.0), 270.0);
        assert_eq!(wrap_180_deg(180.0), -180.0);
        assert_eq!(wrap_180_deg(190.0), -170.0);
    }
}
