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

/// How sure satellite and pressure altitude over ground are: receiver and slope of the field; QNH in
/// whole hPa of some minutes ago, instrument and static source, m.
const SD_M: (f64, f64) = (10.0, 14.0);
/// How wrong an elevation, a QNH and a receiver may be for no known cause, m.
const WRONG_SD_M: (f64, f64, f64) = (200.0, 170.0, 60.0);

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

    fn shifts(&self) -> Vec<Shift> {
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
                if self.qnh_hpa.is_some() {
                    out.push(fixed(Cause::Qfe, 0.01 * share, [gnss_m, -elevation_m]));
                }
            }
            if self.qnh_hpa.is_some() {
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
        out.push(other(Cause::Gnss, 0.01, [1.0, 0.0], WRONG_SD_M.2));
        out
    }

    /// Every cause, weighed; the first is "as written".
    pub(super) fn weighed(&self, residuals: &Residuals) -> Vec<Hypothesis<Cause>> {
        let mut out: Vec<Hypothesis<Cause>> = Vec::new();
        for shift in self.shifts() {
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
            // nobody flies below the ground
            let above_ground = match (lowest.gnss_m, lowest.pressure_m) {
                (Some(g), _) => share_above(g - mean_gnss_m, (a * spread_m).hypot(SD_M.0)),
                (None, Some(p)) => share_above(p - mean_pressure_m, (b * spread_m).hypot(SD_M.1)),
                (None, None) => 1.0,
            };
            floor(difference + above_ground.max(1e-100).ln())
        }
    }
}

/// Probability that a height known to `sd_m` is above ground (logistic curve, within 0.01 of the normal one).
fn share_above(height_m: f64, sd_m: f64) -> f64 {
    1.0 / (1.0 + (-1.702 * height_m / sd_m).exp())
}

/// The words for a cause.
pub(super) fn words(cause: Cause, written: &Written, residuals: &Residuals) -> Option<String> {
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
    let stood = matches!(residuals, Residuals::Stood(_));
    let elevation_ft = written.elevation_m.map(ft);
    let ground = || -> Option<String> {
        let (elevation_ft, off_m) = (elevation_ft?, gnss_m.or(pressure_m)?);
        let what = if stood {
            "the ground the aeroplane stood on"
        } else {
            "its lowest point near the aim"
        };
        Some(format!(
            "elevation_ft = {elevation_ft:.0} puts {what} {}",
            apart(off_m, "the field")
        ))
    };
    let pressure = || -> Option<String> {
        let off_m = pressure_m?;
        Some(format!(
            "qnh_hpa = {} puts pressure heights {}",
            written.qnh_hpa?,
            apart(
                off_m,
                if stood {
                    "the field they were recorded on"
                } else {
                    "satellite heights"
                }
            )
        ))
    };
    match cause {
        Cause::AsWritten => None,
        Cause::ElevationInMetres => {
            let metres = elevation_ft?;
            let meant_ft = ft(metres);
            Some(format!(
                "{}: {metres:.0} m is {meant_ft:.0} ft, which fits; write elevation_ft = {meant_ft:.0}",
                ground()?
            ))
        }
        Cause::Elevation => {
            let fits_ft = elevation_ft? + ft(gnss_m.or(pressure_m)?);
            Some(if stood {
                format!(
                    "{}: check the elevation; elevation_ft = {fits_ft:.0} would fit",
                    ground()?
                )
            } else {
                format!(
                    "{}: check the elevation; it can be at most about {fits_ft:.0} ft",
                    ground()?
                )
            })
        }
        Cause::Qfe => {
            let qnh_hpa = written.qnh_for_shift_hpa(-written.elevation_m?);
            Some(format!(
                "{}: as the pressure at the field (QFE) it fits; write qnh_hpa = {qnh_hpa:.0}",
                pressure()?
            ))
        }
        Cause::AlreadyCorrected => Some(format!(
            "{}: the recorder's pressure altitude seems corrected to QNH already; write qnh_hpa = 1013.25 for this recording",
            pressure()?
        )),
        Cause::Qnh => {
            let qnh_hpa = written.qnh_for_shift_hpa(pressure_m?);
            Some(match written.metar_qnh_hpa {
                Some(metar) if (metar - qnh_hpa).abs() < 3.0 => format!(
                    "{}: the METAR's {metar:.0} hPa fits; write qnh_hpa = {metar:.0}",
                    pressure()?
                ),
                _ => format!(
                    "{}: check it; qnh_hpa = {qnh_hpa:.0} would fit",
                    pressure()?
                ),
            })
        }
        Cause::Datum => {
            let ellipsoid = written.says_ellipsoid?;
            let name = |e: bool| if e { "the ellipsoid" } else { "mean sea level" };
            Some(format!(
                "the recording says its GNSS altitudes are above {}, but they fit {} better, by {:.0} m: check the recorder's setting; the recorder's word is kept",
                name(ellipsoid),
                name(!ellipsoid),
                written.separation_m.abs()
            ))
        }
        Cause::Gnss => Some(format!(
            "GNSS altitudes put {} {}, and pressure altitude does not: check the recorder",
            if stood {
                "the ground the aeroplane stood on"
            } else {
                "the path"
            },
            apart(
                if stood { gnss_m? } else { -pressure_m? },
                if stood {
                    "the field"
                } else {
                    "pressure heights"
                }
            )
        )),
    }
}

fn apart(off_m: f64, what: &str) -> String {
    format!(
        "{:.0} ft {} {what}",
        ft(off_m.abs()),
        if off_m < 0.0 { "below" } else { "above" }
    )
}
