//! Figures of the briefing that the glides contradict: best glide speed, glide ratio, surface wind.

use super::super::document::Attempt;
use super::hypotheses::{Hypothesis, instead_of_first, log_normal};
use crate::briefing::Briefing;
use crate::quantity::Measured;
use crate::units::{MPS_PER_KT, wrap_180_deg};

/// What is written is doubted below this probability.
const DOUBT: f64 = 0.1;
/// How far from best glide a pilot flies on the whole, kt, one standard deviation (common practice: 2 to 6).
const PILOT_SD_KT: f64 = 4.5;
/// Kilometres per hour in a knot, and statute miles.
const UNITS: [(&str, f64); 2] = [("km/h", MPS_PER_KT * 3.6), ("mph", 1.150_779)];
/// Share of briefings with each slip (common practice: seldom, not never).
const SLIP: f64 = 0.02;
/// A handbook ratio this much off the ratio flown is of another aeroplane or another state of it: windmilling,
/// flap and technique make up to a quarter (common practice).
const RATIO_FACTOR: f64 = 1.35;
/// Weaker winds turn with every gust and are not held against the briefing, kt.
const LEAST_WIND_KT: f64 = 6.0;
/// The lowest wind counts up to this height, ft: above, another wind blows.
const SURFACE_BELOW_FT: f64 = 1600.0;
/// A wind from farther off than this is the other way round, degrees.
const REVERSED_DEG: f64 = 140.0;

/// A warning for each figure that does not fit what was flown.
pub(in super::super) fn suspicions(briefing: &Briefing, attempts: &[Attempt]) -> Vec<String> {
    [
        best_glide(briefing, attempts),
        glide_ratio(briefing, attempts),
        wind(briefing, attempts),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// `(value, low, high)` of a measure over the attempts that have it, taken together: mean value, mean half width.
fn over_all(attempts: &[Attempt], measure: &str) -> Option<(f64, f64)> {
    let known: Vec<(f64, f64)> = attempts
        .iter()
        .filter_map(|a| match a.measures.get(measure)? {
            Measured::Known { value, low, high } => Some((*value, 0.5 * (high - low))),
            Measured::Unknown { .. } => None,
        })
        .collect();
    let mean = |f: fn(&(f64, f64)) -> f64| known.iter().map(f).sum::<f64>() / known.len() as f64;
    (!known.is_empty()).then(|| (mean(|k| k.0), mean(|k| k.1)))
}

fn best_glide(briefing: &Briefing, attempts: &[Attempt]) -> Option<String> {
    // what was meant to be flown: another speed to hold leaves the handbook's undoubted
    let typed_kt = briefing.aircraft.best_glide_kcas?;
    briefing.targets.glide_kcas.is_none().then_some(())?;
    best_glide_unit(typed_kt, over_all(attempts, "glide_cas_mean_kt")?)
}

/// `typed`: the speed to hold, as written, kt; then the mean airspeed of the glides and half its interval, kt.
fn best_glide_unit(typed: f64, (flown_kt, half_width_kt): (f64, f64)) -> Option<String> {
    let sd_kt = PILOT_SD_KT.hypot(half_width_kt / 1.96);
    let meant = |says: Option<(&'static str, f64)>, prior: f64| {
        let best_kt = typed / says.map_or(1.0, |unit| unit.1);
        Hypothesis {
            says,
            prior,
            log_likelihood: log_normal(flown_kt - best_kt, sd_kt),
        }
    };
    let hypotheses = [
        meant(None, 1.0 - 2.0 * SLIP),
        meant(Some(UNITS[0]), SLIP),
        meant(Some(UNITS[1]), SLIP),
    ];
    let (unit, per_knot) = instead_of_first(&hypotheses, DOUBT).into_iter().next()??;
    Some(format!(
        "best_glide_kcas = {typed}, but the glides were flown at {flown_kt:.0} kt: likely {unit}; write best_glide_kcas = {:.0}",
        typed / per_knot
    ))
}

fn glide_ratio(briefing: &Briefing, attempts: &[Attempt]) -> Option<String> {
    let written = briefing.aircraft.glide_ratio?;
    let (flown, half_width) = over_all(attempts, "glide_ratio_air")?;
    let off = written > RATIO_FACTOR * (flown + half_width)
        || written * RATIO_FACTOR < flown - half_width;
    off.then(|| {
        format!(
            "glide_ratio = {written}, but {flown:.1} was flown (give or take {half_width:.1}): of another aeroplane, of another state of flap or propeller, or a slip; height in hand leans on it until the glide shows another"
        )
    })
}

fn wind(briefing: &Briefing, attempts: &[Attempt]) -> Option<String> {
    let said = briefing.air_resolved().ok()?.surface_wind?.value;
    let written_deg = said.from_deg_true?;
    let lowest = attempts
        .iter()
        .flat_map(|a| &a.wind)
        .filter(|w| w.height_ft <= SURFACE_BELOW_FT)
        .min_by(|a, b| a.height_ft.total_cmp(&b.height_ft))?;
    let from_deg = lowest.from_deg_true.value()?;
    let Measured::Known {
        value: speed_kt,
        low: low_kt,
        ..
    } = lowest.speed_kt
    else {
        return None;
    };
    let strong = said.speed_kt >= LEAST_WIND_KT && low_kt >= 0.5 * LEAST_WIND_KT;
    (strong && wrap_180_deg(from_deg - written_deg).abs() > REVERSED_DEG).then(|| {
        format!(
            "the wind of the briefing comes from {written_deg:03.0}°, but the glide shows {speed_kt:.0} kt from {from_deg:03.0}° at {:.0} ft: is it the direction the wind blows to, or of another hour? wind_from_deg_true is where it comes from",
            lowest.height_ft
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_speed_in_kilometres_per_hour_is_told() {
        // 62 kt typed as 115, glides flown at 64 kt
        let told = best_glide_unit(115.0, (64.0, 2.0)).unwrap();
        assert!(
            told.contains("likely km/h; write best_glide_kcas = 62"),
            "{told}"
        );
    }

    #[test]
    fn a_pilot_off_speed_is_no_slip() {
        assert_eq!(best_glide_unit(72.0, (80.0, 2.0)), None);
        assert_eq!(best_glide_unit(72.0, (61.0, 2.0)), None);
        // nor where the airspeed is hardly known
        assert_eq!(best_glide_unit(115.0, (85.0, 30.0)), None);
    }
}
