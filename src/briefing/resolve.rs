//! The air at the aim point from keys and METAR together, and what the command line overrides.

use super::error::{BriefingError, Complaint, Problem};
use super::limits;
use super::{Aim, Briefing, RunwayAim, metar};

/// Where a figure about the air came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirSource {
    /// A key of the briefing.
    Briefing,
    /// The METAR.
    Metar,
}

/// A figure and where it came from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sourced<T> {
    /// The figure.
    pub value: T,
    /// Where it came from.
    pub source: AirSource,
}

/// Wind at the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceWind {
    /// Direction it blows from, degrees true; `None` when variable, calm or not said.
    pub from_deg_true: Option<f64>,
    /// Mean speed, kt.
    pub speed_kt: f64,
    /// Gusts, kt, where a METAR gives them.
    pub gust_kt: Option<f64>,
}

/// The air at the aim point, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ResolvedAir {
    /// QNH, hPa; from a METAR in whole hPa rounded down.
    pub qnh_hpa: Option<Sourced<f64>>,
    /// Temperature at the aim's elevation, °C; from a METAR that of its station.
    pub temperature_c: Option<Sourced<f64>>,
    /// Wind at the surface.
    pub surface_wind: Option<Sourced<SurfaceWind>>,
    /// When the METAR was issued: day of the month, hour, minute UTC.
    pub metar_issued: Option<(u8, u8, u8)>,
}

/// What the command line says in place of the briefing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Overrides {
    /// `--aim LAT,LON`: latitude and longitude, degrees, WGS 84.
    pub aim_deg: Option<(f64, f64)>,
    /// `--runway AIRFIELD/RUNWAY+FT`: the runway the aim is on.
    pub runway: Option<RunwayAim>,
    /// `--elevation FT`: elevation of the aim point, ft.
    pub elevation_ft: Option<f64>,
    /// `--landing DEG`: direction of landing, degrees true.
    pub landing_true_deg: Option<f64>,
}

impl Briefing {
    /// The air at the aim point: each key of the briefing wins over the METAR.
    ///
    /// # Errors
    /// A METAR that cannot be read, or a wind direction without a speed. Neither
    /// can happen with a briefing that came through [`super::parse()`].
    pub fn air_resolved(&self) -> Result<ResolvedAir, BriefingError> {
        let air = &self.air;
        let metar = match &air.metar {
            None => None,
            Some(text) => Some(
                metar::read(text)
                    .map_err(|error| Problem::named("air.metar", error.into(), None))?,
            ),
        };
        let reported = metar.as_ref();
        let pick = |key: Option<f64>, group: Option<f64>| {
            key.map(|value| Sourced {
                value,
                source: AirSource::Briefing,
            })
            .or_else(|| {
                group.map(|value| Sourced {
                    value,
                    source: AirSource::Metar,
                })
            })
        };
        let metar_wind = reported.and_then(|metar| metar.wind);
        let surface_wind = if air.wind_kt.is_none() && air.wind_from_deg_true.is_none() {
            metar_wind.map(|wind| Sourced {
                value: SurfaceWind {
                    from_deg_true: wind.from_deg_true,
                    speed_kt: wind.speed_kt,
                    gust_kt: wind.gust_kt,
                },
                source: AirSource::Metar,
            })
        } else {
            let Some(speed_kt) = air.wind_kt.or(metar_wind.map(|wind| wind.speed_kt)) else {
                return Err(direction_without_speed("[air]").into());
            };
            let from_deg_true = air
                .wind_from_deg_true
                .or_else(|| metar_wind.and_then(|wind| wind.from_deg_true))
                .filter(|_| speed_kt > 0.0);
            Some(Sourced {
                value: SurfaceWind {
                    from_deg_true,
                    speed_kt,
                    gust_kt: None,
                },
                source: AirSource::Briefing,
            })
        };
        Ok(ResolvedAir {
            qnh_hpa: pick(air.qnh_hpa, reported.and_then(|metar| metar.qnh_hpa)),
            temperature_c: pick(
                air.temperature_c,
                reported.and_then(|metar| metar.temperature_c),
            ),
            surface_wind,
            metar_issued: reported.and_then(|metar| metar.issued),
        })
    }

    /// The briefing with what the command line says put in its place.
    ///
    /// Another aim point takes the name of the old one away, for it would mislead; another runway also its
    /// elevation and direction.
    ///
    /// # Errors
    /// A value out of its range, named by its flag.
    pub fn overridden_by(&self, overrides: &Overrides) -> Result<Briefing, BriefingError> {
        let mut out = self.clone();
        let mut problems = Vec::new();
        if overrides.runway.is_some() && overrides.aim_deg.is_some() {
            let says = "`--runway` and `--aim` both say where the aim is";
            let complaint = Complaint::Contradiction(says.into());
            let help = Some("leave one of them out".into());
            problems.push(Problem::named("--runway", complaint, help));
        }
        let mut check = |flag: &str, key: &str, value: f64| {
            problems.extend(out_of_range(flag, key, value));
        };
        if let Some((latitude_deg, longitude_deg)) = overrides.aim_deg {
            check("--aim", "aim.latitude_deg", latitude_deg);
            check("--aim", "aim.longitude_deg", longitude_deg);
            out.aim.name = None;
            out.aim.runway = None;
            out.aim.latitude_deg = Some(latitude_deg);
            out.aim.longitude_deg = Some(longitude_deg);
        }
        if let Some(runway) = &overrides.runway {
            // elevation and direction come with the runway; the briefing's are of its own aim
            out.aim = Aim {
                runway: Some(runway.clone()),
                ..Aim::default()
            };
        }
        if let Some(elevation_ft) = overrides.elevation_ft {
            check("--elevation", "aim.elevation_ft", elevation_ft);
            out.aim.elevation_ft = Some(elevation_ft);
        }
        if let Some(landing_true_deg) = overrides.landing_true_deg {
            check("--landing", "aim.landing_true_deg", landing_true_deg);
            out.aim.landing_magnetic_deg = None;
            out.aim.landing_true_deg = Some(landing_true_deg);
        }
        if problems.is_empty() {
            Ok(out)
        } else {
            Err(BriefingError { problems })
        }
    }
}

/// What is wrong with the value of a flag, if it is out of the range of its key.
pub(super) fn out_of_range(flag: &str, key: &str, value: f64) -> Option<Problem> {
    let limit = limits::limit(key).filter(|limit| !limit.holds(value))?;
    let complaint = Complaint::OutOfRange {
        key: key.rsplit('.').next().unwrap_or(key).to_owned(),
        low: limit.low,
        high: limit.high,
        unit: limit.unit,
        found: value.to_string(),
    };
    Some(Problem::named(flag, complaint, limit.likely_meaning(value)))
}

fn direction_without_speed(place: &str) -> Problem {
    let complaint = Complaint::Incomplete {
        found: "wind_from_deg_true".into(),
        missing: "wind_kt".into(),
    };
    Problem::named(place, complaint, None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::briefing::Air;

    const METAR: &str = "ZZZZ 241020Z 27012G22KT 9999 09/02 Q1003";

    fn resolved(air: Air) -> ResolvedAir {
        Briefing {
            air,
            ..Briefing::default()
        }
        .air_resolved()
        .unwrap()
    }

    #[test]
    fn each_key_wins_over_the_metar_by_itself() {
        let air = resolved(Air {
            metar: Some(METAR.into()),
            qnh_hpa: Some(1004.0),
            ..Air::default()
        });
        assert_eq!(
            air.qnh_hpa,
            Some(Sourced {
                value: 1004.0,
                source: AirSource::Briefing
            })
        );
        assert_eq!(
            air.temperature_c,
            Some(Sourced {
                value: 9.0,
                source: AirSource::Metar
            })
        );
        assert_eq!(air.surface_wind.unwrap().value.gust_kt, Some(22.0));
        assert_eq!(air.metar_issued, Some((24, 10, 20)));
    }

    #[test]
    fn half_a_wind_is_completed_by_the_metar() {
        let air = resolved(Air {
            metar: Some(METAR.into()),
            wind_kt: Some(5.0),
            ..Air::default()
        });
        let wind = air.surface_wind.unwrap();
        assert_eq!(
            (wind.value.from_deg_true, wind.value.speed_kt),
            (Some(270.0), 5.0)
        );
        assert_eq!(wind.source, AirSource::Briefing);
    }

    #[test]
    fn nothing_said_is_nothing_known() {
        assert_eq!(resolved(Air::default()), ResolvedAir::default());
        let speed_only = resolved(Air {
            wind_kt: Some(7.0),
            ..Air::default()
        });
        assert_eq!(speed_only.surface_wind.unwrap().value.from_deg_true, None);
    }

    #[test]
    fn a_direction_alone_is_an_error() {
        let air = Air {
            wind_from_deg_true: Some(90.0),
            ..Air::default()
        };
        let error = Briefing {
            air,
            ..Briefing::default()
        }
        .air_resolved()
        .unwrap_err();
        assert_eq!(
            error.to_string(),
            "[air]: `wind_from_deg_true` without `wind_kt`"
        );
    }

    #[test]
    fn flags_take_the_place_of_keys() {
        let mut briefing = Briefing::default();
        briefing.aim.name = Some("Larkfield strip, 09".into());
        briefing.aim.elevation_ft = Some(310.0);
        let overrides = Overrides {
            aim_deg: Some((51.0, -2.0)),
            landing_true_deg: Some(92.0),
            ..Overrides::default()
        };
        let aim = briefing.overridden_by(&overrides).unwrap().aim;
        assert_eq!(
            (aim.latitude_deg, aim.longitude_deg, aim.landing_true_deg),
            (Some(51.0), Some(-2.0), Some(92.0))
        );
        assert_eq!((aim.name, aim.elevation_ft), (None, Some(310.0)));
    }

    #[test]
    fn flags_out_of_range_are_named() {
        let overrides = Overrides {
            landing_true_deg: Some(400.0),
            ..Overrides::default()
        };
        let error = Briefing::default().overridden_by(&overrides).unwrap_err();
        assert_eq!(
            error.to_string(),
            "--landing: expected `landing_true_deg` from 0 to 360 degrees true, found `400`"
        );
    }

    #[test]
    fn another_runway_brings_its_own_elevation_and_direction() {
        let mut briefing = Briefing::default();
        briefing.aim.latitude_deg = Some(51.0);
        briefing.aim.longitude_deg = Some(-2.0);
        briefing.aim.elevation_ft = Some(310.0);
        briefing.aim.landing_magnetic_deg = Some(90.0);
        let runway = crate::briefing::aim::parse_runway("ZZLA/27").unwrap();
        let mut overrides = Overrides {
            runway: Some(runway.clone()),
            elevation_ft: Some(320.0),
            ..Overrides::default()
        };
        let aim = briefing.overridden_by(&overrides).unwrap().aim;
        let expected = Aim {
            runway: Some(runway),
            elevation_ft: Some(320.0),
            ..Aim::default()
        };
        assert_eq!(aim, expected);
        overrides.aim_deg = Some((51.0, -2.0));
        let error = briefing.overridden_by(&overrides).unwrap_err().to_string();
        assert!(error.starts_with("--runway: `--runway` and `--aim` both"));
    }
}
