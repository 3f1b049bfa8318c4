//! What a column can hold.

use super::unit::Unit;

/// What a column can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    Latitude,
    Longitude,
    /// N or S, where latitudes are without a sign.
    LatitudeSide,
    /// E or W.
    LongitudeSide,
    Time,
    Date,
    /// Offset of the local clock from UTC.
    UtcOffset,
    GnssAltitude,
    PressureAltitude,
    GroundSpeed,
    Track,
    VerticalSpeed,
    Tas,
    Ias,
    EngineRpm,
    EngineNoise,
    Flap,
    Oat,
    Bank,
    Accuracy,
}

impl Quantity {
    /// All of them, in the order of their discriminants.
    pub(super) const ALL: [Self; 20] = [
        Self::Latitude,
        Self::Longitude,
        Self::LatitudeSide,
        Self::LongitudeSide,
        Self::Time,
        Self::Date,
        Self::UtcOffset,
        Self::GnssAltitude,
        Self::PressureAltitude,
        Self::GroundSpeed,
        Self::Track,
        Self::VerticalSpeed,
        Self::Tas,
        Self::Ias,
        Self::EngineRpm,
        Self::EngineNoise,
        Self::Flap,
        Self::Oat,
        Self::Bank,
        Self::Accuracy,
    ];

    /// Its key in a column map, and its name in messages.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
            Self::LatitudeSide => "latitude_side",
            Self::LongitudeSide => "longitude_side",
            Self::Time => "time",
            Self::Date => "date",
            Self::UtcOffset => "utc_offset",
            Self::GnssAltitude => "gnss_altitude",
            Self::PressureAltitude => "pressure_altitude",
            Self::GroundSpeed => "ground_speed",
            Self::Track => "track",
            Self::VerticalSpeed => "vertical_speed",
            Self::Tas => "tas",
            Self::Ias => "ias",
            Self::EngineRpm => "engine_rpm",
            Self::EngineNoise => "engine_noise",
            Self::Flap => "flap",
            Self::Oat => "oat",
            Self::Bank => "bank",
            Self::Accuracy => "accuracy",
        }
    }

    /// Can a column of this be in that unit?
    pub(super) fn takes(self, unit: Unit) -> bool {
        use Unit::{
            Celsius, Degree, DegreeE7, Fahrenheit, Foot, FootPerMinute, KilometrePerHour, Knot,
            Metre, MetrePerSecond, MilePerHour, Millisecond, PerMinute, Radian, Second,
        };
        match self {
            Self::Latitude | Self::Longitude => matches!(unit, Degree | Radian | DegreeE7),
            Self::Time => matches!(unit, Second | Millisecond),
            Self::GnssAltitude | Self::PressureAltitude | Self::Accuracy => {
                matches!(unit, Metre | Foot)
            }
            Self::GroundSpeed | Self::Tas | Self::Ias => {
                matches!(unit, MetrePerSecond | Knot | KilometrePerHour | MilePerHour)
            }
            Self::VerticalSpeed => matches!(
                unit,
                MetrePerSecond | FootPerMinute | Knot | KilometrePerHour
            ),
            Self::Track | Self::Bank | Self::Flap => matches!(unit, Degree | Radian),
            Self::EngineRpm => matches!(unit, PerMinute),
            Self::Oat => matches!(unit, Celsius | Fahrenheit | Degree),
            Self::LatitudeSide
            | Self::LongitudeSide
            | Self::Date
            | Self::UtcOffset
            | Self::EngineNoise => false,
        }
    }
}
