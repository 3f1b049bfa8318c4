//! The aim of a briefing made a place: runways looked up, magnetic directions made true.

use crate::airfields::{Airfields, Landing, NotFound, listed};
use crate::briefing::{Briefing, BriefingError, Complaint, Problem, RunwayAim, Written};
use crate::cleaning::CleanTrack;
use crate::geodesy::great_circle_m;
use crate::geomagnetism::{self, variation_deg};
use crate::units::{M_PER_NM, wrap_180_deg, wrap_360_deg};

/// Runways this near to the track are named where the one asked for is not found, NM.
const NEAR_TRACK_NM: f64 = 5.0;
/// Most airfields named.
const MOST_NAMED: usize = 6;
/// Most codes alike named.
const MOST_ALIKE: usize = 3;
/// A direction of landing given beside a runway is of another one if it differs by more, degrees.
const SAME_RUNWAY_DEG: f64 = 20.0;

/// A briefing whose aim is a place, and what has to be said of how it became one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Resolved {
    pub(super) briefing: Briefing,
    pub(super) warnings: Vec<String>,
}

/// Looks up the runway and turns the direction of landing, where the briefing has them so; `airfields` in
/// place of the program's table.
///
/// # Errors
/// An airfield or runway that is not in the table, with those alike and those near the track; a point beyond
/// the runway; a direction that is another runway's.
pub(super) fn resolved(
    briefing: &Briefing,
    track: &CleanTrack,
    airfields: Option<&Airfields>,
) -> Result<Resolved, BriefingError> {
    let mut out = Resolved {
        briefing: briefing.clone(),
        warnings: Vec::new(),
    };
    let landing = match &briefing.aim.runway {
        None => None,
        Some(asked) => {
            let table = airfields.unwrap_or_else(|| Airfields::embedded());
            let landing = looked_up(asked, track, table)?;
            out.take(asked, &landing, track, table)?;
            Some((asked, landing))
        }
    };
    out.turn_magnetic(track);
    if let Some((asked, landing)) = landing {
        out.take_direction(asked, &landing, airfields)?;
    }
    Ok(out)
}

impl Resolved {
    /// Place, elevation and name from the runway; the briefing's own elevation and name win.
    fn take(
        &mut self,
        asked: &RunwayAim,
        landing: &Landing,
        track: &CleanTrack,
        table: &Airfields,
    ) -> Result<(), BriefingError> {
        let past_ft = asked.past_threshold_ft.as_ref().map_or(0.0, |p| p.value);
        let room_ft = landing.after_threshold_ft();
        if let Some(past) = asked.past_threshold_ft.as_ref()
            && past.value > room_ft
        {
            return Err(refused(
                past,
                Complaint::Contradiction(format!(
                    "{} ft past the threshold is beyond the end: runway {} of {} has {room_ft:.0} ft after it",
                    past.value, landing.runway, landing.airfield
                )),
                None,
            ));
        }
        let spot = landing.spot(past_ft);
        let aim = &mut self.briefing.aim;
        aim.latitude_deg = Some(spot.latitude_deg);
        aim.longitude_deg = Some(spot.longitude_deg);
        let own_elevation = aim.elevation_ft.is_some();
        aim.elevation_ft = aim.elevation_ft.or(spot.elevation_ft);
        let name = format!("{} {}", landing.airfield, landing.runway);
        aim.name = aim.name.take().or_else(|| {
            Some(match past_ft {
                0.0 => name.clone(),
                ft if ft < 0.0 => format!("{name}, {:.0} ft before the threshold", -ft),
                ft => format!("{name}, {ft:.0} ft past the threshold"),
            })
        });
        let elevation = match spot.elevation_ft {
            Some(ft) if !own_elevation => format!(", elevation {ft:.0} ft"),
            _ => String::new(),
        };
        self.warnings.push(format!(
            "aim from the table of runways: {name}, landing {:03.0}° true{elevation} ({})",
            landing.landing_true_deg.round() % 360.0,
            table.caution()
        ));
        let places = places(track);
        let far_m = places
            .iter()
            .map(|place| great_circle_m(*place, (spot.latitude_deg, spot.longitude_deg)))
            .fold(f64::INFINITY, f64::min);
        if far_m.is_finite() && far_m > NEAR_TRACK_NM * M_PER_NM {
            self.warnings.push(format!(
                "{name} is {:.0} NM from the nearest fix of the recording: the briefing is of another airfield{}",
                far_m / M_PER_NM,
                near_track(table, track).map_or_else(String::new, |near| format!("; {near}"))
            ));
        }
        Ok(())
    }

    /// `landing_magnetic_deg` to degrees true, at the aim or else in the middle of the track.
    fn turn_magnetic(&mut self, track: &CleanTrack) {
        let aim = &mut self.briefing.aim;
        let Some(magnetic_deg) = aim.landing_magnetic_deg.take() else {
            return;
        };
        let middle = track.fixes.get(track.fixes.len() / 2);
        let place = aim
            .latitude_deg
            .zip(aim.longitude_deg)
            .or_else(|| middle.map(|f| (f.latitude_deg, f.longitude_deg)));
        let (Some(place), Some(fix)) = (place, middle) else {
            return;
        };
        let year = geomagnetism::decimal_year(fix.utc_s);
        let variation_deg = variation_deg(place.0, place.1, year);
        let true_deg = (wrap_360_deg(magnetic_deg + variation_deg) * 10.0).round() / 10.0;
        aim.landing_true_deg = Some(true_deg % 360.0);
        let (from, to) = geomagnetism::VALID_YEARS;
        let outside = if (from..=to).contains(&year) {
            ""
        } else {
            "; the date is outside the years the model is made for, so it may be off by a degree or more"
        };
        self.warnings.push(format!(
            "landing_magnetic_deg = {magnetic_deg} is {true_deg:.1}° true here (variation {:.1}° {}, world magnetic model 2025{outside})",
            variation_deg.abs(),
            if variation_deg < 0.0 { "west" } else { "east" },
        ));
    }

    /// The direction of the runway; one given beside it wins, if it is of this runway.
    fn take_direction(
        &mut self,
        asked: &RunwayAim,
        landing: &Landing,
        airfields: Option<&Airfields>,
    ) -> Result<(), BriefingError> {
        let aim = &mut self.briefing.aim;
        let Some(own_deg) = aim.landing_true_deg else {
            let tenths_deg = (landing.landing_true_deg * 10.0).round() / 10.0;
            aim.landing_true_deg = Some(tenths_deg % 360.0);
            return Ok(());
        };
        let off_deg = |deg: f64| wrap_180_deg(own_deg - deg).abs();
        if off_deg(landing.landing_true_deg) <= SAME_RUNWAY_DEG {
            return Ok(());
        }
        let table = airfields.unwrap_or_else(|| Airfields::embedded());
        let there = table.of_airfield(&landing.airfield).unwrap_or_default();
        let meant = there
            .iter()
            .flat_map(|runway| runway.landings())
            .min_by(|a, b| off_deg(a.landing_true_deg).total_cmp(&off_deg(b.landing_true_deg)))
            .filter(|other| off_deg(other.landing_true_deg) <= SAME_RUNWAY_DEG);
        let help = match meant {
            Some(other) => format!(
                "leave the direction out, or name the runway it is of: runway = \"{}\"",
                other.runway
            ),
            None => "leave the direction out: it comes with the runway".to_owned(),
        };
        let complaint = Complaint::Contradiction(format!(
            "a landing direction of {own_deg}° true is not that of runway {} of {}, {:.0}° true",
            landing.runway, landing.airfield, landing.landing_true_deg
        ));
        let at = asked.runway.as_ref().unwrap_or(&asked.airfield);
        Err(refused(at, complaint, Some(help)))
    }
}

fn looked_up(
    asked: &RunwayAim,
    track: &CleanTrack,
    table: &Airfields,
) -> Result<Landing, BriefingError> {
    let airfield = &asked.airfield;
    let unknown = |written: &Written<String>, what, place: String, help: Vec<Option<String>>| {
        let complaint = Complaint::Unknown {
            what,
            key: written.value.clone(),
            place,
        };
        let help: Vec<String> = help.into_iter().flatten().collect();
        refused(
            written,
            complaint,
            (!help.is_empty()).then(|| help.join("; ")),
        )
    };
    let names = |there: &[String]| there.join(", ");
    let found = match &asked.runway {
        Some(runway) => table.landing(&airfield.value, &runway.value),
        None => match table.of_airfield(&airfield.value) {
            Err(error) => Err(error),
            Ok(there) => {
                let landings = there.iter().flat_map(|runway| runway.landings());
                let there: Vec<String> = landings.map(|l| l.runway).collect();
                let complaint = Complaint::Incomplete {
                    found: "airfield".into(),
                    missing: "runway".into(),
                };
                let help = format!("{} has {}", airfield.value, names(&there));
                return Err(refused(airfield, complaint, Some(help)));
            }
        },
    };
    let near = || near_track(table, track);
    let elsewhere = || "or give `latitude_deg` and `longitude_deg`".to_owned();
    found.map_err(|error| match (error, &asked.runway) {
        (NotFound::Runway(there), Some(runway)) => unknown(
            runway,
            "runway",
            format!("of {}", airfield.value),
            vec![
                Some(format!("{} has {}", airfield.value, names(&there))),
                near(),
            ],
        ),
        (NotFound::Several(idents), _) => unknown(
            airfield,
            "airfield",
            "by that code alone".into(),
            vec![Some(format!("it is a code of {}", names(&idents)))],
        ),
        _ => {
            let alike = table.alike(&airfield.value, &places(track), MOST_ALIKE);
            let meant = (!alike.is_empty()).then(|| format!("alike are {}", names(&alike)));
            unknown(
                airfield,
                "airfield",
                "in the table of runways".into(),
                vec![meant, near(), Some(elsewhere())],
            )
        }
    })
}

fn refused<T>(at: &Written<T>, complaint: Complaint, help: Option<String>) -> BriefingError {
    Problem {
        place: at.place.clone(),
        complaint,
        help,
    }
    .into()
}

fn near_track(table: &Airfields, track: &CleanTrack) -> Option<String> {
    let near = listed(&table.along(&places(track), NEAR_TRACK_NM), MOST_NAMED)?;
    Some(format!("within {NEAR_TRACK_NM:.0} NM of the track: {near}"))
}

fn places(track: &CleanTrack) -> Vec<(f64, f64)> {
    let fixes = track.fixes.iter();
    fixes.map(|f| (f.latitude_deg, f.longitude_deg)).collect()
}
