//! What the user knows and the recorder does not.
//!
//! The briefing file, `flight.briefing.toml` beside `flight.igc`, becomes a
//! [`Briefing`]; its METAR and its keys together become the air at the aim
//! point ([`resolve::ResolvedAir`]). Nothing here reads a file: text goes in,
//! values or a list of problems come out.
//!
//! Suspicious values are refused, not repaired: a wrong aim point or a QNH in
//! the wrong unit would show as a plausible, wrong result.

pub mod aim;
mod consistency;
mod coordinate;
pub mod draft;
pub mod error;
pub mod events_csv;
mod fields;
mod flap_words;
pub mod limits;
pub mod metar;
pub mod parse;
pub mod resolve;
mod runway_number;
pub mod spelling;
mod unknown;
mod values;

pub use aim::{RunwayAim, Written, parse_aim, parse_runway};
pub use error::{BriefingError, Complaint, Place, Problem};
pub use events_csv::{EventAfterReduction, EventsFile, parse_events};
pub use flap_words::{flap_setting_deg, says_flap_extension};
pub use parse::parse;
pub use resolve::{AirSource, Overrides, ResolvedAir, Sourced, SurfaceWind};

/// The briefing file (`flight.briefing.toml`). Every key is optional.
#[derive(Debug, Clone, PartialEq, Default)]
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
    /// What happened when (`[[event]]`), in file order.
    pub events: Vec<Event>,
    /// What happened when, counted from the power reduction of the first attempt (`flight.events.csv`).
    pub events_after_reduction: Vec<EventAfterReduction>,
    /// Other places to land (`[[field]]`), in file order.
    pub fields: Vec<Field>,
}

/// The aim point.
#[derive(Debug, Clone, PartialEq, Default)]
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
    /// Direction of landing, degrees magnetic, in place of the true one.
    pub landing_magnetic_deg: Option<f64>,
    /// A runway to be looked up, in place of latitude and longitude.
    pub runway: Option<RunwayAim>,
}

/// The air of the flight.
#[derive(Debug, Clone, PartialEq, Default)]
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
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Aircraft {
    /// Registration or school code.
    pub registration: Option<String>,
    /// Type, as the school calls it: aircraft of one type are compared with each other.
    pub kind: Option<String>,
    /// Best glide speed at the reference weight, kt calibrated.
    pub best_glide_kcas: Option<f64>,
    /// Weight the best glide speed is given for, lb.
    pub reference_weight_lb: Option<f64>,
    /// Weight as flown, lb.
    pub weight_lb: Option<f64>,
    /// Handbook glide ratio, clean.
    pub glide_ratio: Option<f64>,
    /// Glide ratio with full flap at approach speed.
    pub full_flap_glide_ratio: Option<f64>,
    /// Approach speed, kt calibrated.
    pub approach_kcas: Option<f64>,
    /// Stall speed clean, kt calibrated.
    pub stall_clean_kcas: Option<f64>,
    /// Stall speed in landing configuration, kt calibrated.
    pub stall_landing_kcas: Option<f64>,
}

/// What was aimed for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Targets {
    /// Height above the aim at the abeam point, ft.
    pub abeam_height_ft: Option<f64>,
    /// Most bank meant to be used in a gliding turn, degrees.
    pub bank_limit_deg: Option<f64>,
    /// Glide speed meant to be held, kt calibrated, where it is not the handbook's best glide speed as printed.
    pub glide_kcas: Option<f64>,
}

/// Who flew, as codes, not names.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct People {
    /// Pilot.
    pub pilot: Option<String>,
    /// Instructor.
    pub instructor: Option<String>,
}

/// Something that happened, in the user's words.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// When, RFC 3339.
    pub utc: String,
    /// What.
    pub what: String,
}

impl Briefing {
    /// Adds the events of a file beside the recording to those of the briefing.
    pub fn add_events(&mut self, file: EventsFile) {
        self.events.extend(file.at_utc);
        self.events_after_reduction.extend(file.after_reduction);
    }
}

/// A place where the aeroplane could have been put down instead.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// What people call it.
    pub name: String,
    /// Latitude, degrees, WGS 84.
    pub latitude_deg: f64,
    /// Longitude, degrees, WGS 84.
    pub longitude_deg: f64,
    /// Elevation above mean sea level, ft; without it no height there can be said.
    pub elevation_ft: Option<f64>,
    /// Direction of landing, degrees true; any where it is not said.
    pub landing_true_deg: Option<f64>,
}

impl Event {
    /// When, seconds since 1970-01-01T00:00:00Z; always there for an event that came through [`parse()`].
    pub fn utc_s(&self) -> Option<f64> {
        let instant: jiff::Timestamp = self.utc.parse().ok()?;
        Some(instant.as_second() as f64 + f64::from(instant.subsec_nanosecond()) * 1e-9)
    }
}

impl Briefing {
    /// Glide speed to hold, kt calibrated.
    ///
    /// # Definition
    /// `targets.glide_kcas`; the handbook's best glide speed as printed where that is not said. It is not brought
    /// to the weight flown: pilots fly the printed figure (common practice), and standards count their tolerances
    /// from the recommended speed. What the aeroplane glides best at is [`Aircraft::best_glide_as_flown_kcas`].
    pub fn glide_to_hold_kcas(&self) -> Option<f64> {
        self.targets.glide_kcas.or(self.aircraft.best_glide_kcas)
    }
}

impl Aircraft {
    /// Best glide speed at the weight flown, kt calibrated.
    ///
    /// # Definition
    /// [`best_glide_at_weight_kcas`] where both weights are known; the handbook
    /// speed as it stands where one is not.
    pub fn best_glide_as_flown_kcas(&self) -> Option<f64> {
        self.best_glide_kcas.map(|kcas| self.at_weight_flown(kcas))
    }

    /// Stall speed clean at the weight flown, kt calibrated: a wing stalls at one lift coefficient, so
    /// this goes with the square root of the weight as best glide does.
    pub fn stall_clean_as_flown_kcas(&self) -> Option<f64> {
        self.stall_clean_kcas.map(|kcas| self.at_weight_flown(kcas))
    }

    /// A speed of one lift coefficient, given for the reference weight, at the weight flown.
    fn at_weight_flown(&self, kcas: f64) -> f64 {
        match (self.reference_weight_lb, self.weight_lb) {
            (Some(reference_lb), Some(weight_lb)) => {
                best_glide_at_weight_kcas(kcas, reference_lb, weight_lb)
            }
            _ => kcas,
        }
    }
}

/// Best glide speed at another weight, in the unit of the speed given.
///
/// # Definition
/// Best glide is flown at one lift coefficient, so the speed goes with the
/// square root of the weight; the glide ratio stays as it is.
///
/// # Source
/// Any performance text, for instance Anderson, Introduction to Flight,
/// chapter 6 (glide).
///
/// # Example
/// ```
/// use stillprop::briefing::best_glide_at_weight_kcas;
/// // 68 kt at full weight is 64.5 kt at nine tenths of it.
/// assert!((best_glide_at_weight_kcas(68.0, 2400.0, 2160.0) - 64.5).abs() < 0.05);
/// ```
pub fn best_glide_at_weight_kcas(
    best_glide_kcas: f64,
    reference_weight_lb: f64,
    weight_lb: f64,
) -> f64 {
    best_glide_kcas * (weight_lb / reference_weight_lb).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_weight_leaves_the_handbook_speed() {
        let mut aircraft = Aircraft {
            best_glide_kcas: Some(71.0),
            ..Aircraft::default()
        };
        aircraft.weight_lb = Some(2000.0);
        assert_eq!(aircraft.best_glide_as_flown_kcas(), Some(71.0));
        aircraft.reference_weight_lb = Some(2000.0);
        assert_eq!(aircraft.best_glide_as_flown_kcas(), Some(71.0));
        assert_eq!(Aircraft::default().best_glide_as_flown_kcas(), None);
    }

    #[test]
    fn the_stall_goes_with_the_square_root_of_the_weight() {
        let aircraft = Aircraft {
            stall_clean_kcas: Some(50.0),
            reference_weight_lb: Some(2400.0),
            weight_lb: Some(1944.0),
            ..Aircraft::default()
        };
        // √(1944/2400) = 0.9
        assert!((aircraft.stall_clean_as_flown_kcas().unwrap() - 45.0).abs() < 1e-9);
        assert_eq!(Aircraft::default().stall_clean_as_flown_kcas(), None);
    }

    #[test]
    fn an_event_knows_its_second() {
        let event = Event {
            utc: "1970-01-02T01:00:00.5+01:00".into(),
            what: String::new(),
        };
        assert_eq!(event.utc_s(), Some(86_400.5));
    }
}
