//! Elevation, QNH and the datum of satellite altitudes, held against the ground the aeroplane stood on.

use super::clues::Altitudes;
use super::hypotheses::{Hypothesis, log_normal};
use crate::units::{M_PER_FT, ft};

/// What the briefing and the recording say about heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Written {
    /// Elevation of the aim in the briefing, m.
    pub(super) elevation_m: Option<f64>,
    /// QNH in the briefing, hPa.
    pub(super) qnh_hpa: Option<f64>,
    /// QNH of the METAR, hPa, where a key stands in its place.
    pub(super) metar_qnh_hpa: Option<f64>,
    /// Mean sea level above the ellipsoid, m.
    pub(super) separation_m: f64,
    /// Whether the recording says what its GNSS altitudes are measured from, and if so, whether from the ellipsoid.
    pub(super) says_ellipsoid: Option<bool>,
}

/// Heights by each source as if everything written were right, less what they should be, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Residuals {
    /// On the ground near the aim: altitude by each source less the elevation.
    Stood(Altitudes),
    /// No ground near the aim: the lowest altitudes there less the elevation, and GNSS less pressure altitude.
    Flew {
        /// Lowest above the elevation as written.
        lowest: Altitudes,
        /// GNSS less pressure altitude.
        difference_m: Option<f64>,
    },
}

/// A cause, and how it shifts the altitudes by satellite and by pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cause {
    /// Nothing wrong.
    AsWritten,
    /// The elevation was typed in metres.
    ElevationInMetres,
    /// The elevation is wrong otherwise.
    Elevation,
    /// QNH is the pressure at the field.
    Qfe,
    /// The recorder has pressure altitude corrected to QNH already.
    AlreadyCorrected,
    /// QNH is wrong otherwise.
    Qnh,
    /// The recording says the wrong datum.
    Datum,
    /// GNSS altitudes are off otherwise.
    Gnss,
}

/// How sure satellite and pressure altitude over ground are, m. Satellite: 13 m for 95 %, vertical,
/// the global average of the GPS SPS Performance Standard (2020), and the slope of the field. Pressure:
/// QNH in whole hPa of some minutes ago, instrument and static source (common practice).
const SD_M: (f64, f64) = (7.5, 14.0);
/// How wrong an elevation, a QNH and a receiver may be for no known cause, m.
const WRONG_SD_M: (f64, f64, f64) = (200.0, 170.0, 60.0);

/// Share and mean of the lowest height of a recording near its aim: go-arounds at 500 ft and below are
/// usual, some are higher, a few recordings hold no practice at all (common practice), m.
const LOWEST: [(f64, f64); 3] = [(0.9, 100.0), (0.08, 300.0), (0.02, 1000.0)];

struct Shift {
    cause: Cause,
    prior: f64,
    /// Mean shift by satellite and by pressure, m.
    mean_m: [f64; 2],
    /// Direction of the unknown part, and its standard deviation, m.
    unknown: ([f64; 2], f64),
}

impl Written {
    /// Shift of pressure heights if QNH were this, m.
    fn qnh_shift_m(&self, qnh_hpa: f64) -> f64 {
        let pressure_altitude_m = crate::atmosphere::pressure_altitude_m;
        self.qnh_hpa.map_or(0.0, |written| {
            pressure_altitude_m(qnh_hpa) - pressure_altitude_m(written)
        })
    }

    /// QNH that takes away this shift, hPa.
    pub(super) fn qnh_for_shift_hpa(&self, shift_m: f64) -> f64 {
        let written = self.qnh_hpa.unwrap_or(1013.25);
        crate::atmosphere::pressure_hpa_at_pressure_altitude_m(
            crate::atmosphere::pressure_altitude_m(written) + shift_m,
        )
    }

    fn shifts(&self, has_pressure: bool) -> Vec<Shift> {
        let fixed = |cause, prior, mean_m| Shift {
            cause,
            prior,
            mean_m,
            unknown: ([0.0; 2], 0.0),
        };
        let other = |cause, prior, by, sd_m| Shift {
            cause,
            prior,
            mean_m: [0.0; 2],
            unknown: (by, sd_m),
        };
        let n = self.separation_m;
        let mut out = match self.says_ellipsoid {
            // either is as good, and the setting weighs them
            None => vec![
                fixed(Cause::AsWritten, 0.45, [0.0; 2]),
                fixed(Cause::AsWritten, 0.45, [n, 0.0]),
            ],
            Some(ellipsoid) => vec![
                fixed(Cause::AsWritten, 0.9, [0.0; 2]),
                fixed(Cause::Datum, 0.03, [if ellipsoid { -n } else { n }, 0.0]),
            ],
        };
        let datums: Vec<f64> = out
            .iter()
            .filter(|s| s.cause == Cause::AsWritten)
            .map(|s| s.mean_m[0])
            .collect();
        let share = 1.0 / datums.len() as f64;
        for gnss_m in datums {
            if let Some(elevation_m) = self.elevation_m {
                let metres = elevation_m / M_PER_FT - elevation_m;
                out.push(fixed(
                    Cause::ElevationInMetres,
                    0.02 * share,
                    [gnss_m + metres, metres],
                ));
                out.push(Shift {
                    mean_m: [gnss_m, 0.0],
                    ..other(Cause::Elevation, 0.01 * share, [1.0, 1.0], WRONG_SD_M.0)
                });
                if has_pressure {
                    out.push(fixed(Cause::Qfe, 0.01 * share, [gnss_m, -elevation_m]));
                }
            }
            if has_pressure {
                out.push(fixed(
                    Cause::AlreadyCorrected,
                    0.01 * share,
                    [gnss_m, self.qnh_shift_m(1013.25)],
                ));
                out.push(Shift {
                    mean_m: [gnss_m, 0.0],
                    ..other(Cause::Qnh, 0.01 * share, [0.0, 1.0], WRONG_SD_M.1)
                });
            }
        }
        if has_pressure {
            out.push(other(Cause::Gnss, 0.01, [1.0, 0.0], WRONG_SD_M.2));
        }
        out
    }

    /// Every cause, weighed; the first is "as written".
    pub(super) fn weighed(&self, residuals: &Residuals) -> Vec<Hypothesis<Cause>> {
        let mut out: Vec<Hypothesis<Cause>> = Vec::new();
        let has_pressure = self.qnh_hpa.is_some()
            && match residuals {
                Residuals::Stood(found) => found.pressure_m.is_some(),
                Residuals::Flew {
                    lowest,
                    difference_m,
                } => lowest.pressure_m.is_some() || difference_m.is_some(),
            };
        for shift in self.shifts(has_pressure) {
            let term = shift.prior * log_likelihood(residuals, &shift).exp();
            match out.iter_mut().find(|h| h.says == shift.cause) {
                Some(h) => {
                    let sum = h.prior * h.log_likelihood.exp() + term;
                    h.prior += shift.prior;
                    h.log_likelihood = (sum / h.prior).ln();
                }
                None => out.push(Hypothesis {
                    says: shift.cause,
                    prior: shift.prior,
                    log_likelihood: (term / shift.prior).ln(),
                }),
            }
        }
        out
    }
}

fn log_likelihood(residuals: &Residuals, shift: &Shift) -> f64 {
    let ([a, b], spread_m) = shift.unknown;
    let [mean_gnss_m, mean_pressure_m] = shift.mean_m;
    // Without a number below a great error both densities underflow alike; the floor keeps them apart.
    let floor = |l: f64| l.max(-300.0);
    match residuals {
        Residuals::Stood(found) => {
            let (va, vb) = (SD_M.0.powi(2), SD_M.1.powi(2));
            match (found.gnss_m, found.pressure_m) {
                (Some(g), Some(p)) => {
                    // two normal numbers with a common unknown: 2×2 covariance
                    let s2 = spread_m * spread_m;
                    let (c11, c22, c12) = (va + s2 * a * a, vb + s2 * b * b, s2 * a * b);
                    let determinant = c11 * c22 - c12 * c12;
                    let (x, y) = (g - mean_gnss_m, p - mean_pressure_m);
                    let square = (c22 * x * x - 2.0 * c12 * x * y + c11 * y * y) / determinant;
                    floor(-0.5 * (square + determinant.ln()) - std::f64::consts::TAU.ln())
                }
                (Some(g), None) => floor(log_normal(g - mean_gnss_m, (a * spread_m).hypot(SD_M.0))),
                (None, Some(p)) => floor(log_normal(
                    p - mean_pressure_m,
                    (b * spread_m).hypot(SD_M.1),
                )),
                (None, None) => 0.0,
            }
        }
        Residuals::Flew {
            lowest,
            difference_m,
        } => {
            let difference = difference_m.map_or(0.0, |d| {
                log_normal(
                    d - mean_gnss_m + mean_pressure_m,
                    ((a - b) * spread_m).hypot(SD_M.0.hypot(SD_M.1)),
                )
            });
            let low = match (lowest.gnss_m, lowest.pressure_m) {
                (Some(g), _) => density_of_lowest(g - mean_gnss_m, (a * spread_m).hypot(SD_M.0)),
                (None, Some(p)) => {
                    density_of_lowest(p - mean_pressure_m, (b * spread_m).hypot(SD_M.1))
                }
                (None, None) => 1.0,
            };
            floor(difference + low.max(1e-100).ln())
        }
    }
}

/// Density of the lowest height near the aim, known to `sd_m`: a practice comes down to the ground or
/// to a go-around, and nobody flies below the ground.
fn density_of_lowest(height_m: f64, sd_m: f64) -> f64 {
    const STEPS: u32 = 200;
    let step_m = 1500.0 / f64::from(STEPS);
    (0..STEPS)
        .map(|k| {
            let true_m = (f64::from(k) + 0.5) * step_m;
            let usual: f64 = LOWEST
                .iter()
                .map(|(share, mean_m)| share / mean_m * (-true_m / mean_m).exp())
                .sum();
            step_m * usual * log_normal(height_m - true_m, sd_m).exp()
        })
        .sum()
}

/// What does not fit, and what to do about it.
pub(super) fn words(
    cause: Cause,
    written: &Written,
    residuals: &Residuals,
) -> Option<(String, String)> {
    let stood = matches!(residuals, Residuals::Stood(_));
    let (gnss_m, pressure_m) = match residuals {
        Residuals::Stood(found) => (found.gnss_m, found.pressure_m),
        Residuals::Flew {
            lowest,
            difference_m,
        } => (
            lowest.gnss_m.or(lowest.pressure_m),
            difference_m.map(|d| -d),
        ),
    };
    // pressure first where nobody knows what satellite altitudes are measured from
    let ground_m = match written.says_ellipsoid {
        None if stood => pressure_m.or(gnss_m),
        _ => gnss_m.or(pressure_m.filter(|_| stood)),
    };
    let elevation_ft = written.elevation_m.map(ft);
    let ground = || -> Option<String> {
        let what = if stood {
            "the ground the aeroplane stood on"
        } else {
            "its lowest point near the aim"
        };
        Some(format!(
            "elevation_ft = {:.0} puts {what} {}",
            elevation_ft?,
            apart(ground_m?, "the field")
        ))
    };
    let pressure = || -> Option<String> {
        let what = if stood {
            "the field they were recorded on"
        } else {
            "satellite heights"
        };
        Some(format!(
            "qnh_hpa = {} puts pressure heights {}",
            written.qnh_hpa?,
            apart(pressure_m?, what)
        ))
    };
    Some(match cause {
        Cause::AsWritten => return None,
        Cause::ElevationInMetres => {
            let metres = elevation_ft?;
            let meant_ft = ft(metres);
            let advice = format!(
                "{metres:.0} m is {meant_ft:.0} ft, which fits; write elevation_ft = {meant_ft:.0} (if {metres:.0} ft is right, the recording's altitudes are feet, read as metres)"
            );
            (ground()?, advice)
        }
        Cause::Elevation => {
            let fits_ft = elevation_ft? + ft(ground_m?);
            let from_ellipsoid_ft = fits_ft - ft(written.separation_m);
            let advice = match (stood, written.says_ellipsoid, pressure_m) {
                (true, None, None) => format!(
                    "check the elevation; elevation_ft = {fits_ft:.0} would fit, or {from_ellipsoid_ft:.0} if the recorder measures from the ellipsoid"
                ),
                (true, ..) => format!("check the elevation; elevation_ft = {fits_ft:.0} would fit"),
                (false, ..) if ground_m? < 0.0 => {
                    format!("check the elevation; it can be at most about {fits_ft:.0} ft")
                }
                (false, ..) => "check the elevation, or leave it out".into(),
            };
            (ground()?, advice)
        }
        Cause::Qfe => {
            let qnh_hpa = written.qnh_for_shift_hpa(-written.elevation_m?);
            let advice = format!(
                "as the pressure at the field (QFE) it fits; write qnh_hpa = {qnh_hpa:.0}"
            );
            (pressure()?, advice)
        }
        Cause::AlreadyCorrected => (
            pressure()?,
            "the recorder's pressure altitude seems corrected to QNH already; write qnh_hpa = 1013.25 for this recording".into(),
        ),
        Cause::Qnh => {
            let qnh_hpa = written.qnh_for_shift_hpa(pressure_m?);
            let advice = match written.metar_qnh_hpa {
                Some(metar) if (metar - qnh_hpa).abs() < 3.0 => {
                    format!("the METAR's {metar:.0} hPa fits; write qnh_hpa = {metar:.0}")
                }
                _ => format!("check it; qnh_hpa = {qnh_hpa:.0} would fit"),
            };
            (pressure()?, advice)
        }
        Cause::Datum => {
            let ellipsoid = written.says_ellipsoid?;
            let name = |e: bool| if e { "the ellipsoid" } else { "mean sea level" };
            let found = format!(
                "the recording says its GNSS altitudes are above {}, but they fit {} better, by {:.0} m",
                name(ellipsoid),
                name(!ellipsoid),
                written.separation_m.abs()
            );
            (found, "check the recorder's setting; the recorder's word is kept".into())
        }
        Cause::Gnss => {
            let found = if stood {
                format!(
                    "GNSS altitudes put the ground the aeroplane stood on {}, and pressure altitude does not",
                    apart(gnss_m?, "the field")
                )
            } else {
                format!(
                    "GNSS altitudes put the path {}",
                    apart(-pressure_m?, "pressure heights")
                )
            };
            (found, "check the recorder".into())
        }
    })
}

fn apart(off_m: f64, what: &str) -> String {
    format!(
        "{:.0} ft {} {what}",
        ft(off_m.abs()),
        if off_m < 0.0 { "below" } else { "above" }
    )
}
