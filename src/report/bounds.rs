//! Bounds in words, as published: the one place where a tolerance is written.

use super::number::{MINUS, number, unit};
use crate::measures::catalogue;
use crate::units::{M_PER_FT, MPS_PER_KT, MPS_PER_MPH};

/// Bounds on a measure with their unit; first in the unit they are published in, where that is another:
/// `±60 m (±197 ft)`, `at least 500 ft`. `signed` is for bounds that count from something, which tell
/// above from below: `−5 to +10 kt`. Empty where there are none.
pub fn published(measure: &str, (low, high): (Option<f64>, Option<f64>), signed: bool) -> String {
    let info = catalogue::find(measure);
    let own = info.map_or("", unit);
    let scale = if own == "%" { 100.0 } else { 1.0 };
    let known = || [low, high].into_iter().flatten();
    let whole = |x: f64| (x - x.round()).abs() < 1e-6;
    let other = [
        ("ft", "m", M_PER_FT),
        ("kt", "mph", MPS_PER_KT / MPS_PER_MPH),
    ];
    let other = other.into_iter().find(|(name, _, factor)| {
        own == *name && known().any(|v| !whole(v)) && known().all(|v| whole(v * factor))
    });
    let scaled = |factor: f64| (low.map(|v| v * factor), high.map(|v| v * factor));
    let words = range(scaled(scale), own, signed);
    match other {
        Some((_, name, factor)) => format!("{} ({words})", range(scaled(factor), name, signed)),
        None => words,
    }
}

/// Bounds in words with their unit; speeds, heights and distances in whole units, anything else in tenths.
pub fn range((low, high): (Option<f64>, Option<f64>), unit: &str, signed: bool) -> String {
    let text = |value: f64| {
        let whole = matches!(unit, "kt" | "ft" | "ft/min" | "m" | "mph" | "km/h" | "%");
        let step = if whole { 1.0 } else { 10.0 };
        let rounded = (value * step).round() / step;
        let text = number(rounded, usize::from(rounded.fract() != 0.0));
        if signed && rounded > 0.0 {
            format!("+{text}")
        } else {
            text
        }
    };
    let words = match (low, high) {
        (Some(low), Some(high)) if low == -high && high > 0.0 => {
            format!("±{}", text(high).trim_start_matches(['+', MINUS]))
        }
        (Some(low), Some(high)) => format!("{} to {}", text(low), text(high)),
        (Some(low), None) => format!("at least {}", text(low)),
        (None, Some(high)) => format!("at most {}", text(high)),
        (None, None) => return String::new(),
    };
    if unit.is_empty() {
        words
    } else {
        format!("{words} {unit}")
    }
}
