//! Holds what the user wrote, and what the recorder says about itself, against the track.
//!
//! Each question has a few hypotheses: that all is right, and the slips that people make. What the
//! track shows decides between them by likelihood; a slip is told with the fix, never applied. Where
//! the doubt of the track covers the difference, nothing is said.

mod clues;
mod dates;
mod direction;
pub(super) mod flown;
mod heights;
mod hypotheses;
mod place;

use self::clues::Altitudes;
use self::heights::{Residuals, Written};
use super::analyse::{Analysis, Told};
use crate::briefing::{AirSource, Briefing, metar};
use crate::flight_path::setting::AimSource;
use crate::flight_path::vertical::PARKED_HEIGHT_M;
use crate::geoid::geoid_separation_m;
use crate::geomagnetism::{decimal_year, variation_deg};
use crate::reading::AltitudeDatum;

/// Ground within this of the aim is on the same field, m.
const FIELD_RADIUS_M: f64 = 2500.0;
/// Heights as written are doubted below this probability: where the aeroplane stood on the field, and
/// where the track only flew over it.
const HEIGHT_DOUBT: (f64, f64) = (0.05, 0.1);

/// What the detective found, in words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Suspicions {
    /// A warning each.
    pub warnings: Vec<String>,
    /// Whether heights are among them: what was inferred from them on the way is then in doubt too.
    pub heights: bool,
}

/// Everything that does not fit.
pub fn suspicions(analysis: &Analysis, attempts: &[Told]) -> Suspicions {
    let briefing = &analysis.briefing;
    let mut out = Suspicions::default();
    let setting = &analysis.setting;
    let place = (setting.aim == AimSource::Briefing)
        .then(|| (setting.frame.latitude_deg(), setting.frame.longitude_deg()))
        .and_then(|aim| place::suspicion(&analysis.track, aim));
    let place_fits = place.is_none();
    // of a runway of another airfield it was said where it was looked up
    out.warnings
        .extend(place.filter(|_| briefing.aim.runway.is_none()));
    if place_fits {
        let heights = of_heights(analysis, briefing);
        out.heights = heights.is_some();
        out.warnings.extend(heights);
        out.warnings.extend(of_direction(analysis, briefing));
    }
    let start_s = setting.utc_start_s;
    let (from_s, to_s) = analysis.path.mean.span_s();
    let covered = dates::Covered {
        recording_s: (start_s + from_s, start_s + to_s),
        attempts_s: attempts
            .iter()
            .map(|a| (start_s + a.candidate.start_s, start_s + a.candidate.end_s))
            .collect(),
    };
    out.warnings
        .extend(dates::of_events(&briefing.events, &covered));
    let issued = briefing.air_resolved().ok().and_then(|a| a.metar_issued);
    out.warnings
        .extend(issued.and_then(|i| dates::of_metar(i, covered.recording_s)));
    out
}

fn of_direction(analysis: &Analysis, briefing: &Briefing) -> Option<String> {
    let written_deg = briefing.aim.landing_true_deg?;
    let setting = &analysis.setting;
    let approaches = clues::approaches(&analysis.path.mean, FIELD_RADIUS_M);
    let variation_deg = variation_deg(
        setting.frame.latitude_deg(),
        setting.frame.longitude_deg(),
        decimal_year(setting.utc_start_s),
    );
    direction::suspicion(&approaches, written_deg, variation_deg)
}

fn of_heights(analysis: &Analysis, briefing: &Briefing) -> Option<String> {
    let (setting, track) = (&analysis.setting, &analysis.track);
    let place = (setting.frame.latitude_deg(), setting.frame.longitude_deg());
    let resolved = briefing.air_resolved().unwrap_or_default();
    let separation_m = geoid_separation_m(place.0, place.1);
    let metar_qnh_hpa = (resolved.qnh_hpa.map(|q| q.source) == Some(AirSource::Briefing))
        .then(|| metar::read(briefing.air.metar.as_ref()?).ok()?.qnh_hpa)
        .flatten();
    let written = Written {
        elevation_m: setting.elevation_known.then_some(setting.elevation_m),
        qnh_hpa: resolved.qnh_hpa.map(|q| q.value),
        metar_qnh_hpa,
        separation_m,
        says_ellipsoid: match track.gnss_datum {
            AltitudeDatum::Unstated => None,
            stated => Some(stated == AltitudeDatum::Ellipsoid),
        },
    };
    let offset_m = if written.says_ellipsoid == Some(true) {
        separation_m
    } else {
        0.0
    };
    // altitudes as recorded to heights above the elevation, as if all that is written were right
    let heights = |found: Altitudes| Altitudes {
        gnss_m: found.gnss_m.map(|g| g - offset_m - setting.elevation_m),
        pressure_m: found
            .pressure_m
            .filter(|_| setting.qnh_known)
            .map(|p| setting.air.height_above_elevation_m(p)),
    };
    let stood = written
        .elevation_m
        .and_then(|_| clues::stood_near(track, place, FIELD_RADIUS_M));
    let residuals = if let Some(stood) = stood {
        let above = heights(stood);
        let less = |h: Option<f64>| h.map(|h| h - PARKED_HEIGHT_M);
        Residuals::Stood(Altitudes {
            gnss_m: less(above.gnss_m),
            pressure_m: less(above.pressure_m),
        })
    } else {
        let lowest = heights(clues::lowest_near(track, place, FIELD_RADIUS_M));
        Residuals::Flew {
            lowest: if written.elevation_m.is_some() {
                lowest
            } else {
                Altitudes {
                    gnss_m: None,
                    pressure_m: None,
                }
            },
            difference_m: lowest.gnss_m.zip(lowest.pressure_m).map(|(g, p)| g - p),
        }
    };
    let doubt = match residuals {
        Residuals::Stood(_) => HEIGHT_DOUBT.0,
        Residuals::Flew { .. } => HEIGHT_DOUBT.1,
    };
    let told: Vec<(String, String)> =
        hypotheses::instead_of_first(&written.weighed(&residuals), doubt)
            .into_iter()
            .filter_map(|cause| heights::words(cause, &written, &residuals))
            .collect();
    let (found, advice) = told.first()?;
    Some(match told.get(1) {
        Some((same, other)) if same == found => format!("{found}: {advice}; or {other}"),
        Some((second, other)) => format!("{found}: {advice}; or {second}: {other}"),
        None => format!("{found}: {advice}"),
    })
}
