//! What the motion is measured against: the plane of the aim, its elevation, the air, the datums.

use super::temperature;
use crate::atmosphere::AirColumn;
use crate::briefing::{Briefing, BriefingError};
use crate::cleaning::CleanTrack;
use crate::geodesy::LocalFrame;
use crate::geoid::geoid_separation_m;
use crate::reading::{AltitudeDatum, Format};
use crate::units::{M_PER_FT, MPS_PER_KT};

/// Where the aim came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AimSource {
    /// The briefing or a flag.
    Briefing,
    /// Found from the touchdown of the recording.
    Touchdown,
    /// Unknown: figures about the aim are not measured.
    None,
}

/// The frame of all estimates of one recording.
#[derive(Debug, Clone)]
pub struct Setting {
    /// Plane of the aim (or of a point of the recording, when there is no aim).
    pub frame: LocalFrame,
    /// Where the aim came from.
    pub aim: AimSource,
    /// Direction of landing, degrees true.
    pub landing_true_deg: Option<f64>,
    /// Instant of the recording's clock zero, seconds since 1970.
    pub utc_start_s: f64,
    /// Elevation of the aim above mean sea level, m.
    pub elevation_m: f64,
    /// Whether the elevation is known (else found from the recording).
    pub elevation_known: bool,
    /// The air above the aim.
    pub air: AirColumn,
    /// Whether QNH is known.
    pub qnh_known: bool,
    /// Standard deviation of the temperature at the aim, °C.
    pub temperature_sd_c: f64,
    /// Surface wind known beforehand: motion of the air east and north, m/s.
    pub surface_wind_mps: Option<[f64; 2]>,
    /// Subtracted from GNSS altitudes to have them above mean sea level, m.
    pub gnss_offset_m: f64,
    /// Standard deviation of the constant doubt of GNSS altitudes, m.
    pub gnss_datum_sd_m: f64,
    /// Standard deviation of the constant doubt of pressure heights, m.
    pub pressure_datum_sd_m: f64,
    /// Whether recorders of this kind of file often write heights above the ellipsoid without saying.
    pub ellipsoid_usual: bool,
    /// What the user should know about the datum of GNSS altitudes, as the briefing has the heights.
    pub datum_warning: Option<String>,
    /// What the user should know about the rest of this.
    pub warnings: Vec<String>,
}

/// Constant doubt of GNSS altitude on a known datum, m.
const KNOWN_DATUM_SD_M: f64 = 2.0;
/// Constant doubt of pressure height with QNH known, m: QNH in whole hPa (2.4 m), static source and
/// instrument within 100 Pa (8 m).
const QNH_SD_M: f64 = 8.4;
/// The same without QNH, m: ±20 hPa.
const NO_QNH_SD_M: f64 = 170.0;

impl Setting {
    /// The setting of `track` under `briefing`; `touchdown` stands in for an aim that is not briefed.
    pub fn new(
        track: &CleanTrack,
        briefing: &Briefing,
        format: Format,
        touchdown: Option<FoundAim>,
    ) -> Result<Self, BriefingError> {
        let resolved = briefing.air_resolved()?;
        let mut warnings = Vec::new();
        let aim = &briefing.aim;
        let ground = SlowGround::find(track);
        let (latitude_deg, longitude_deg, source, landing) =
            match (aim.latitude_deg, aim.longitude_deg, touchdown) {
                (Some(lat), Some(lon), _) => (lat, lon, AimSource::Briefing, aim.landing_true_deg),
                (_, _, Some(found)) => (
                    found.latitude_deg,
                    found.longitude_deg,
                    AimSource::Touchdown,
                    aim.landing_true_deg.or(Some(found.landing_true_deg)),
                ),
                _ => {
                    let (lat, lon) = ground.map_or_else(
                        || lowest_place(track),
                        |g| (g.latitude_deg, g.longitude_deg),
                    );
                    (lat, lon, AimSource::None, aim.landing_true_deg)
                }
            };
        let separation_m = geoid_separation_m(latitude_deg, longitude_deg);
        let qnh_hpa = resolved.qnh_hpa.map_or(1013.25, |q| q.value);
        let qnh_known = resolved.qnh_hpa.is_some();

        // Without a briefed elevation the ground the recording itself rolled on stands in.
        let elevation_known = aim.elevation_ft.is_some();
        let stated_offset_m = match track.gnss_datum {
            AltitudeDatum::Ellipsoid => separation_m,
            _ => 0.0,
        };
        let elevation_m = aim.elevation_ft.map_or_else(
            || found_elevation_m(track, ground, stated_offset_m, qnh_hpa),
            |ft| ft * M_PER_FT,
        );
        let (temperature, contradiction) = temperature::at_aim(
            resolved.temperature_c.map(|c| c.value),
            temperature::recorded_c(track, elevation_m),
            elevation_m,
        );
        warnings.extend(contradiction);
        let air = AirColumn {
            qnh_hpa,
            elevation_m,
            temperature_at_elevation_k: temperature.kelvin,
        };
        let surface_wind_mps = resolved.surface_wind.and_then(|wind| {
            let speed_mps = wind.value.speed_kt * MPS_PER_KT;
            match wind.value.from_deg_true {
                Some(from) => {
                    let to_rad = (from + 180.0).to_radians();
                    Some([speed_mps * to_rad.sin(), speed_mps * to_rad.cos()])
                }
                // calm, or light and variable
                None => (wind.value.speed_kt <= 6.0).then_some([0.0, 0.0]),
            }
        });
        let mut setting = Setting {
            frame: LocalFrame::new(latitude_deg, longitude_deg, elevation_m + separation_m),
            aim: source,
            landing_true_deg: landing,
            utc_start_s: track.fixes.first().map_or(0.0, |f| f.utc_s),
            elevation_m,
            elevation_known,
            air,
            qnh_known,
            temperature_sd_c: temperature.sd_c,
            surface_wind_mps,
            gnss_offset_m: stated_offset_m,
            gnss_datum_sd_m: KNOWN_DATUM_SD_M,
            pressure_datum_sd_m: if qnh_known { QNH_SD_M } else { NO_QNH_SD_M },
            // the specification asks for the ellipsoid, many recorders write mean sea level
            ellipsoid_usual: format == Format::Igc,
            datum_warning: None,
            warnings: Vec::new(),
        };
        setting.weigh_datum(track, separation_m, ground);
        if !elevation_known && track.holds_altitude() {
            warnings.push(format!(
                "no elevation of the aim in the briefing: heights are above {:.0} ft, taken from the recording{}",
                elevation_m / M_PER_FT,
                if ground.is_some() { "'s own ground" } else { "'s lowest point" }
            ));
        }
        setting.warnings = warnings;
        Ok(setting)
    }

    /// Position step of the recorder in the plane of the aim, m.
    pub fn position_quantum_m(&self, track: &CleanTrack) -> f64 {
        let metres_per_degree = 111_200.0;
        let north = track.latitude_quantum_deg.unwrap_or(0.0) * metres_per_degree;
        let east = track.longitude_quantum_deg.unwrap_or(0.0)
            * metres_per_degree
            * self.frame.latitude_deg().to_radians().cos();
        f64::midpoint(north * north, east * east).sqrt()
    }

    /// Weighs whether GNSS altitudes are above mean sea level or above the ellipsoid, by the ground
    /// and by pressure with QNH.
    fn weigh_datum(&mut self, track: &CleanTrack, separation_m: f64, ground: Option<SlowGround>) {
        if !track.fixes.iter().any(|f| f.gnss_altitude_m.is_some()) || separation_m.abs() < 3.0 {
            return;
        }
        // evidence: GNSS altitude less what it should be above mean sea level, and its doubt
        let mut evidence: Vec<(f64, f64)> = Vec::new();
        if let Some(gnss_m) = ground.and_then(|g| g.gnss_altitude_m)
            && self.elevation_known
            && ground.is_some_and(|g| self.near_aim(g.latitude_deg, g.longitude_deg))
        {
            evidence.push((
                gnss_m - self.elevation_m - super::vertical::PARKED_HEIGHT_M,
                6.0,
            ));
        }
        if self.qnh_known {
            let mut differences: Vec<f64> = track
                .fixes
                .iter()
                .step_by((track.fixes.len() / 500).max(1))
                .filter_map(|f| {
                    let gnss = f64::from(f.gnss_altitude_m?);
                    let pressure = f64::from(f.pressure_altitude_m?);
                    Some(gnss - self.elevation_m - self.air.height_above_elevation_m(pressure))
                })
                .collect();
            if !differences.is_empty() {
                differences.sort_by(f64::total_cmp);
                evidence.push((differences[differences.len() / 2], 12.0));
            }
        }
        let cost = |offset: f64| -> f64 {
            // a fat-tailed cost: one wild piece of evidence must not decide alone
            evidence
                .iter()
                .map(|(d, sd)| (1.0 + ((d - offset) / sd).powi(2) / 3.0).ln() * 2.0)
                .sum()
        };
        let log_odds_ellipsoid = cost(0.0) - cost(separation_m);
        match track.gnss_datum {
            AltitudeDatum::Unstated => {
                let prior: f64 = if self.ellipsoid_usual { 0.0 } else { -1.0 };
                let share = 1.0 / (1.0 + (-(log_odds_ellipsoid + prior)).exp());
                self.gnss_offset_m = if share > 0.5 { separation_m } else { 0.0 };
                let doubt = share * (1.0 - share) * separation_m * separation_m;
                self.gnss_datum_sd_m = (KNOWN_DATUM_SD_M.powi(2) + doubt).sqrt();
                if share > 0.9 {
                    self.datum_warning = Some(format!(
                        "the recording does not say what its GNSS altitudes are measured from; ground and pressure fit the WGS 84 ellipsoid, which is {:.0} ft {} mean sea level here: taken so",
                        separation_m.abs() / M_PER_FT,
                        if separation_m > 0.0 { "above" } else { "below" }
                    ));
                } else if share > 0.1 {
                    self.datum_warning = Some(format!(
                        "GNSS altitudes may be {:.0} ft off: the recording does not say whether they are above mean sea level or the WGS 84 ellipsoid; {}",
                        separation_m.abs() / M_PER_FT,
                        self.what_would_tell(track)
                    ));
                }
            }
            stated => {
                let against = if stated == AltitudeDatum::Ellipsoid {
                    -log_odds_ellipsoid
                } else {
                    log_odds_ellipsoid
                };
                if against > 5.0 {
                    self.datum_warning = Some(format!(
                        "the recording says its GNSS altitudes are above {}, but ground and pressure fit {} better, by {:.0} ft: check the recorder's setting; the recorder's word is kept",
                        if stated == AltitudeDatum::Ellipsoid {
                            "the ellipsoid"
                        } else {
                            "mean sea level"
                        },
                        if stated == AltitudeDatum::Ellipsoid {
                            "mean sea level"
                        } else {
                            "the ellipsoid"
                        },
                        separation_m.abs() / M_PER_FT
                    ));
                    self.gnss_datum_sd_m = separation_m.abs();
                }
            }
        }
    }

    /// What the user can give that would tell the datum, of what is not there yet.
    fn what_would_tell(&self, track: &CleanTrack) -> &'static str {
        let has_pressure = track.fixes.iter().any(|f| f.pressure_altitude_m.is_some());
        if has_pressure && !self.qnh_known {
            "give QNH"
        } else if !self.elevation_known {
            "give the elevation of the aim, and record on the ground there"
        } else {
            "record on the ground beside the aim too, before or after the flight"
        }
    }

    fn near_aim(&self, latitude_deg: f64, longitude_deg: f64) -> bool {
        let (e, n) = self.frame.to_east_north_m(latitude_deg, longitude_deg);
        e.hypot(n) < 2500.0
    }
}

/// An aim found from the recording.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundAim {
    /// Latitude, degrees.
    pub latitude_deg: f64,
    /// Longitude, degrees.
    pub longitude_deg: f64,
    /// Direction of landing, degrees true.
    pub landing_true_deg: f64,
}

/// The stretch of the recording that is plainly on the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
struct SlowGround {
    latitude_deg: f64,
    longitude_deg: f64,
    gnss_altitude_m: Option<f64>,
    pressure_altitude_m: Option<f64>,
}

impl SlowGround {
    /// Median place of the slow fixes of the longest slow end of the recording (start or end of file first).
    fn find(track: &CleanTrack) -> Option<SlowGround> {
        let fixes = &track.fixes;
        let mut slow: Vec<usize> = Vec::new();
        let mut i = 0;
        while i + 1 < fixes.len() {
            // over at least 3 s, so that noise and steps do not look like motion
            let mut j = i + 1;
            while j + 1 < fixes.len() && fixes[j].utc_s - fixes[i].utc_s < 3.0 {
                j += 1;
            }
            let dt = fixes[j].utc_s - fixes[i].utc_s;
            let dn = (fixes[j].latitude_deg - fixes[i].latitude_deg) * 111_200.0;
            let de = crate::units::wrap_180_deg(fixes[j].longitude_deg - fixes[i].longitude_deg)
                * 111_200.0
                * fixes[i].latitude_deg.to_radians().cos();
            if dt < 30.0 && dn.hypot(de) / dt < 9.0 {
                slow.push(i);
            }
            i = j;
        }
        if slow.len() < 3 {
            return None;
        }
        let middle = slow[slow.len() / 2];
        let median = |f: &dyn Fn(usize) -> Option<f32>| {
            let mut values: Vec<f64> = slow.iter().filter_map(|&i| f(i).map(f64::from)).collect();
            values.sort_by(f64::total_cmp);
            values.get(values.len() / 2).copied()
        };
        Some(SlowGround {
            latitude_deg: fixes[middle].latitude_deg,
            longitude_deg: fixes[middle].longitude_deg,
            gnss_altitude_m: median(&|i| fixes[i].gnss_altitude_m),
            pressure_altitude_m: median(&|i| fixes[i].pressure_altitude_m),
        })
    }
}

fn lowest_place(track: &CleanTrack) -> (f64, f64) {
    track
        .fixes
        .iter()
        .filter_map(|f| {
            f.gnss_altitude_m
                .or(f.pressure_altitude_m)
                .map(|a| (a, f.latitude_deg, f.longitude_deg))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .or_else(|| {
            track
                .fixes
                .last()
                .map(|f| (0.0, f.latitude_deg, f.longitude_deg))
        })
        .map_or((0.0, 0.0), |x| (x.1, x.2))
}

fn found_elevation_m(
    track: &CleanTrack,
    ground: Option<SlowGround>,
    gnss_offset_m: f64,
    qnh_hpa: f64,
) -> f64 {
    let from_pressure = |pa: f64| pa - crate::atmosphere::pressure_altitude_m(qnh_hpa);
    if let Some(g) = ground {
        if let Some(gnss) = g.gnss_altitude_m {
            return gnss - gnss_offset_m - super::vertical::PARKED_HEIGHT_M;
        }
        if let Some(pressure) = g.pressure_altitude_m {
            return from_pressure(pressure) - super::vertical::PARKED_HEIGHT_M;
        }
    }
    let mut heights: Vec<f64> = track
        .fixes
        .iter()
        .filter_map(|f| {
            f.gnss_altitude_m
                .map(|a| f64::from(a) - gnss_offset_m)
                .or_else(|| f.pressure_altitude_m.map(|p| from_pressure(f64::from(p))))
        })
        .collect();
    heights.sort_by(f64::total_cmp);
    // not the very lowest: one bad fix must not set the datum
    heights.get(heights.len() / 200).copied().unwrap_or(0.0)
}
