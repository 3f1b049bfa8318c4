//! Every range of the briefing in one table, with what a value outside it likely means.
//!
//! The ranges are what light aeroplanes, their airfields and the weather they
//! fly in can have, with room to spare: they catch wrong units and slipped
//! digits, not unusual flying.

use crate::units::{
    HPA_PER_INHG, KELVIN_AT_ZERO_C, KG_PER_LB, M_PER_FT, MPS_PER_KMH, MPS_PER_KT, wrap_360_deg,
};

/// The range of one number.
#[derive(Debug, Clone, Copy)]
pub struct Limit {
    /// Table and key, as `air.qnh_hpa`.
    pub key: &'static str,
    /// Least value taken.
    pub low: f64,
    /// Greatest value taken.
    pub high: f64,
    /// Unit, in words.
    pub unit: &'static str,
    /// What a value outside the range likely is.
    likely: fn(f64) -> Option<String>,
}

impl Limit {
    /// Whether a value is in the range; not-a-number is not.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// What a value outside the range likely means, in words.
    pub fn likely_meaning(&self, value: f64) -> Option<String> {
        if value.is_finite() && !self.holds(value) {
            (self.likely)(value)
        } else {
            None
        }
    }
}

/// The limit of a key, as `air.qnh_hpa`; nothing for keys that are no numbers.
pub fn limit(key: &str) -> Option<&'static Limit> {
    LIMITS.iter().find(|limit| limit.key == key)
}

/// Least weight over reference weight, and its inverse the greatest: beyond, one is likely in kilograms.
///
/// No light aeroplane flies at half the weight its handbook speaks of; a kilogram is 2.2 pounds.
pub const LEAST_WEIGHT_RATIO: f64 = 0.55;

/// Most characters taken for one text.
pub const LONGEST_TEXT: usize = 200;
/// Most characters taken for a METAR.
pub const LONGEST_METAR: usize = 1000;

/// The table.
pub const LIMITS: &[Limit] = &[
    Limit {
        key: "aim.latitude_deg",
        low: -90.0,
        high: 90.0,
        unit: "degrees",
        likely: latitude,
    },
    Limit {
        key: "aim.longitude_deg",
        low: -180.0,
        high: 180.0,
        unit: "degrees",
        likely: longitude,
    },
    // From the shore of the Dead Sea to the highest airfields.
    Limit {
        key: "aim.elevation_ft",
        low: -1500.0,
        high: 16_000.0,
        unit: "ft",
        likely: nothing,
    },
    Limit {
        key: "aim.landing_true_deg",
        low: 0.0,
        high: 360.0,
        unit: "degrees true",
        likely: direction,
    },
    Limit {
        key: "aim.landing_magnetic_deg",
        low: 0.0,
        high: 360.0,
        unit: "degrees magnetic",
        likely: direction,
    },
    // The longest runways are 18,000 ft; nobody aims at their second half.
    Limit {
        key: "aim.past_threshold_ft",
        low: -2000.0,
        high: 12_000.0,
        unit: "ft",
        likely: nothing,
    },
    // Sea level records: 870 hPa in a typhoon, 1084 hPa in a Siberian winter.
    Limit {
        key: "air.qnh_hpa",
        low: 870.0,
        high: 1085.0,
        unit: "hPa",
        likely: pressure,
    },
    Limit {
        key: "air.temperature_c",
        low: -60.0,
        high: 52.0,
        unit: "°C",
        likely: temperature,
    },
    Limit {
        key: "air.wind_from_deg_true",
        low: 0.0,
        high: 360.0,
        unit: "degrees true",
        likely: direction,
    },
    Limit {
        key: "air.wind_kt",
        low: 0.0,
        high: 70.0,
        unit: "kt",
        likely: wind,
    },
    Limit {
        key: "aircraft.best_glide_kcas",
        low: 25.0,
        high: 120.0,
        unit: "kt",
        likely: speed,
    },
    Limit {
        key: "aircraft.reference_weight_lb",
        low: 300.0,
        high: 12_500.0,
        unit: "lb",
        likely: weight,
    },
    Limit {
        key: "aircraft.weight_lb",
        low: 300.0,
        high: 12_500.0,
        unit: "lb",
        likely: weight,
    },
    Limit {
        key: "aircraft.glide_ratio",
        low: 3.0,
        high: 60.0,
        unit: "to 1",
        likely: glide_ratio,
    },
    Limit {
        key: "aircraft.full_flap_glide_ratio",
        low: 2.0,
        high: 20.0,
        unit: "to 1",
        likely: glide_ratio,
    },
    Limit {
        key: "aircraft.approach_kcas",
        low: 25.0,
        high: 160.0,
        unit: "kt",
        likely: speed,
    },
    Limit {
        key: "aircraft.stall_clean_kcas",
        low: 15.0,
        high: 120.0,
        unit: "kt",
        likely: speed,
    },
    Limit {
        key: "aircraft.stall_landing_kcas",
        low: 15.0,
        high: 120.0,
        unit: "kt",
        likely: speed,
    },
    Limit {
        key: "targets.abeam_height_ft",
        low: 200.0,
        high: 5000.0,
        unit: "ft",
        likely: height,
    },
    Limit {
        key: "targets.glide_kcas",
        low: 25.0,
        high: 120.0,
        unit: "kt",
        likely: speed,
    },
    Limit {
        key: "targets.bank_limit_deg",
        low: 10.0,
        high: 60.0,
        unit: "degrees",
        likely: nothing,
    },
    Limit {
        key: "field.latitude_deg",
        low: -90.0,
        high: 90.0,
        unit: "degrees",
        likely: degrees_and_minutes,
    },
    Limit {
        key: "field.longitude_deg",
        low: -180.0,
        high: 180.0,
        unit: "degrees",
        likely: longitude,
    },
    Limit {
        key: "field.elevation_ft",
        low: -1500.0,
        high: 16_000.0,
        unit: "ft",
        likely: nothing,
    },
    Limit {
        key: "field.landing_true_deg",
        low: 0.0,
        high: 360.0,
        unit: "degrees true",
        likely: direction,
    },
];

/// A guess, where it falls into the range of the key it is for.
fn if_in_range(key: &str, guess: f64, words: impl FnOnce(f64) -> String) -> Option<String> {
    limit(key)
        .filter(|limit| limit.holds(guess))
        .map(|_| words(guess))
}

fn nothing(_: f64) -> Option<String> {
    None
}

fn degrees_and_minutes(value: f64) -> Option<String> {
    let degrees = (value.abs() / 100.0).trunc();
    let minutes = value.abs() - degrees * 100.0;
    let decimal = (degrees + minutes / 60.0).copysign(value);
    (minutes < 60.0 && degrees <= 180.0)
        .then(|| format!("if it is degrees and minutes, write decimal degrees: {decimal:.6}"))
}

fn latitude(value: f64) -> Option<String> {
    let words = "likely a longitude: latitude and longitude are exchanged";
    if_in_range("aim.longitude_deg", value, |_| words.into()).or_else(|| degrees_and_minutes(value))
}

fn longitude(value: f64) -> Option<String> {
    if value > 180.0 && value <= 360.0 {
        Some(format!("west is negative: likely {}", tidy(value - 360.0)))
    } else {
        degrees_and_minutes(value)
    }
}

fn direction(value: f64) -> Option<String> {
    (-360.0..0.0).contains(&value).then(|| {
        format!(
            "directions run from 0 to 360: likely {}",
            tidy(wrap_360_deg(value))
        )
    })
}

fn pressure(value: f64) -> Option<String> {
    const KEY: &str = "air.qnh_hpa";
    const HPA_PER_MMHG: f64 = HPA_PER_INHG / 25.4;
    if_in_range(KEY, value * HPA_PER_INHG, |hpa| {
        format!("likely inches of mercury: {hpa:.1} hPa")
    })
    .or_else(|| {
        if_in_range(KEY, value * 10.0, |hpa| {
            format!(
                "likely {} hPa: kilopascals, or the point slipped",
                tidy(hpa)
            )
        })
    })
    .or_else(|| {
        if_in_range(KEY, value / 10.0, |hpa| {
            format!("likely {} hPa: the point slipped", tidy(hpa))
        })
    })
    .or_else(|| {
        if_in_range(KEY, value / 100.0, |hpa| {
            format!("likely pascals: {} hPa", tidy(hpa))
        })
    })
    .or_else(|| {
        if_in_range(KEY, value / 100.0 * HPA_PER_INHG, |hpa| {
            format!("likely inches of mercury without the point: {hpa:.1} hPa")
        })
    })
    .or_else(|| {
        if_in_range(KEY, value * HPA_PER_MMHG, |hpa| {
            format!("likely millimetres of mercury: {hpa:.1} hPa")
        })
    })
}

fn temperature(value: f64) -> Option<String> {
    const KEY: &str = "air.temperature_c";
    if value < 200.0 {
        if_in_range(KEY, (value - 32.0) / 1.8, |c| {
            format!("likely degrees Fahrenheit: {c:.1} °C")
        })
    } else {
        if_in_range(KEY, value - KELVIN_AT_ZERO_C, |c| {
            format!("likely kelvin: {c:.1} °C")
        })
    }
}

fn wind(value: f64) -> Option<String> {
    if_in_range("air.wind_kt", value * MPS_PER_KMH / MPS_PER_KT, |kt| {
        format!("if it is km/h, that is {kt:.0} kt; or direction and speed are exchanged")
    })
}

fn speed(value: f64) -> Option<String> {
    if_in_range(
        "aircraft.best_glide_kcas",
        value * MPS_PER_KMH / MPS_PER_KT,
        |kt| format!("likely km/h: {kt:.0} kt"),
    )
}

fn weight(value: f64) -> Option<String> {
    if_in_range("aircraft.weight_lb", value / KG_PER_LB, |lb| {
        format!("if it is kilograms, that is {lb:.0} lb")
    })
}

fn glide_ratio(value: f64) -> Option<String> {
    if value <= 0.0 {
        return None;
    }
    if_in_range("aircraft.glide_ratio", value.recip(), |ratio| {
        format!("likely height over distance: distance over height is {ratio:.1}")
    })
}

fn height(value: f64) -> Option<String> {
    if_in_range("targets.abeam_height_ft", value / M_PER_FT, |ft| {
        format!("if it is metres, that is {ft:.0} ft")
    })
}

/// A number with no more digits than a person would write.
pub(super) fn tidy(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
#[path = "limits_tests.rs"]
mod tests;
