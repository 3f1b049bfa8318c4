//! The attempts for other programs: a table of the path, and files for globes and tracks. (Maps: [`geojson`](super::geojson()).)
//!
//! All of them hold the path as estimated, from the document; none holds more than it.

mod csv;
mod gpx;
mod kml;

pub use csv::path_csv;
pub use gpx::path_gpx;
pub use kml::kml;

use super::number::Figure;
use super::wording::Wording;
use super::words;
use crate::debrief::document::{Attempt, Debrief, KeyPoint};
use crate::units::M_PER_FT;

/// Altitude above mean sea level of a height above the aim, m.
pub(super) fn altitude_m(debrief: &Debrief, height_ft: f64) -> f64 {
    let aim_ft = debrief.reference.aim_elevation_ft.unwrap_or(0.0);
    (aim_ft + height_ft) * M_PER_FT
}

/// `Attempt 2: go-around`.
pub(super) fn name(attempt: &Attempt) -> String {
    format!(
        "Attempt {}: {}",
        attempt.number,
        words::ending(attempt.ending)
    )
}

/// `950 ft above the aim (925 to 980), CAS 84 kt (81 to 86)`: what a key point shows when it is asked for.
fn said(point: &KeyPoint) -> String {
    let wording = Wording::default();
    // of what cannot be told there is its interval alone
    let part = |figure: Option<Figure>, before: &str, after: &str| {
        let figure = figure?;
        let interval = figure.interval();
        Some(if figure.told {
            format!("{before}{}{after} ({interval})", figure.value)
        } else {
            format!("{before}{interval}{after}")
        })
    };
    let parts = [
        part(wording.height(&point.height_ft), "", " ft above the aim"),
        part(wording.speed(&point.cas_kt), "CAS ", " kt"),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The aim point's name and place, degrees.
fn aim(debrief: &Debrief) -> Option<(String, f64, f64)> {
    let reference = &debrief.reference;
    let name = match &reference.aim_name {
        _ if reference.aim_source == "touchdown" => "Touchdown, taken as the aim".to_owned(),
        Some(name) => format!("Aim: {name}"),
        None => "Aim".to_owned(),
    };
    Some((
        name,
        reference.aim_latitude_deg?,
        reference.aim_longitude_deg?,
    ))
}

/// Number, latitude, longitude (degrees), height (ft) and time of each step whose place and height are known.
fn steps(attempt: &Attempt) -> impl Iterator<Item = (f64, f64, f64, &str)> {
    let series = &attempt.series;
    let places = series.latitude_deg.iter().zip(&series.longitude_deg);
    places
        .zip(series.height_ft.iter().zip(&series.utc))
        .map(|((latitude, longitude), (height, utc))| {
            (*latitude, *longitude, *height, utc.as_str())
        })
        .filter(|(latitude, longitude, height, _)| {
            latitude.is_finite() && longitude.is_finite() && height.is_finite()
        })
}
