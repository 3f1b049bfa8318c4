//! What the user knows and the recorder does not.

use serde::Deserialize;

/// The briefing file (`flight.briefing.toml`). Every key is optional.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Briefing {
    /// Where the landing was meant to be.
    pub aim: Aim,
    /// The air.
    pub air: Air,
    /// The aeroplane.
    pub aircraft: Aircraft,
    /// What was aimed for.
    pub targets: Targets,
    /// Who flew, as codes.
    pub people: People,
    /// What happened when.
    #[serde(rename = "event")]
    pub events: Vec<Event>,
}

/// The aim point.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Aim {
    /// What people call it.
    pub name: Option<String>,
    /// Latitude, degrees, WGS 84.
    pub latitude_deg: Option<f64>,
    /// Longitude, degrees, WGS 84.
    pub longitude_deg: Option<f64>,
    /// Elevation above mean sea level, ft.
    pub elevation_ft: Option<f64>,
    /// Direction of landing, degrees true.
    pub landing_true_deg: Option<f64>,
}

/// The air of the flight.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Air {
    /// A METAR; keys beside it win over it.
    pub metar: Option<String>,
    /// QNH, hPa.
    pub qnh_hpa: Option<f64>,
    /// Temperature at the aim's elevation, °C.
    pub temperature_c: Option<f64>,
    /// Surface wind, direction it blows from, degrees true.
    pub wind_from_deg_true: Option<f64>,
    /// Surface wind, kt.
    pub wind_kt: Option<f64>,
}

/// The aeroplane.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Aircraft {
    /// Registration or school code.
    pub registration: Option<String>,
    /// Best glide speed at the reference weight, kt calibrated.
    pub best_glide_kcas: Option<f64>,
    /// Weight the best glide speed is given for, lb.
    pub reference_weight_lb: Option<f64>,
    /// Weight as flown, lb.
    pub weight_lb: Option<f64>,
    /// Handbook glide ratio, clean.
    pub glide_ratio: Option<f64>,
    /// Approach speed, kt calibrated.
    pub approach_kcas: Option<f64>,
    /// Stall speed clean, kt calibrated.
    pub stall_clean_kcas: Option<f64>,
    /// Stall speed in landing configuration, kt calibrated.
    pub stall_landing_kcas: Option<f64>,
}

/// What was aimed for.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Targets {
    /// Height above the aim at the abeam point, ft.
    pub abeam_height_ft: Option<f64>,
}

/// Who flew, as codes, not names.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct People {
    /// Pilot.
    pub pilot: Option<String>,
    /// Instructor.
    pub instructor: Option<String>,
}

/// Something that happened, in the user's words.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// When, RFC 3339.
    pub utc: String,
    /// What.
    pub what: String,
}
