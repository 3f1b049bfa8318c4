//! Numbers as people read them: no more digits than the interval supports.
//!
//! The uncertainty of a figure is worth one or two digits (JCGM 100:2008, 7.2.6), so the value and
//! the ends of its interval share one step out of 1, 5, 10, 50 …, about two fifths of the half-width.

use crate::measures::catalogue::MeasureInfo;
use crate::quantity::Measured;

/// A true minus sign.
pub const MINUS: char = '\u{2212}';
/// The space between a number and its unit, which no line breaks at.
pub const UNIT_SPACE: char = '\u{a0}';

/// A figure ready to be printed; the unit is printed once, beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// The median.
    pub value: String,
    /// Low end of the 95 % interval.
    pub low: String,
    /// High end of the 95 % interval.
    pub high: String,
}

impl Figure {
    /// The interval as `260 to 360`.
    pub fn interval(&self) -> String {
        format!("{} to {}", self.low, self.high)
    }
}

/// The figure of a measure, or `None` where it was not measured. Shares become per cent.
pub fn figure(info: &MeasureInfo, measured: &Measured) -> Option<Figure> {
    let (value, (low, high)) = (measured.value()?, measured.interval()?);
    let share = is_share(info);
    let scale = if share { 100.0 } else { 1.0 };
    let decimals = if share { 0 } else { info.decimals };
    Some(rounded(
        value * scale,
        low * scale,
        high * scale,
        decimals,
        has_sign(info),
    ))
}

/// The unit printed beside the figure of a measure.
pub fn unit(info: &MeasureInfo) -> &'static str {
    if is_share(info) { "%" } else { info.unit }
}

/// A figure in its own unit, with at most `decimals` decimals.
pub fn plain(measured: &Measured, decimals: u8) -> Option<Figure> {
    let (value, (low, high)) = (measured.value()?, measured.interval()?);
    Some(rounded(value, low, high, decimals, false))
}

/// Whether the measure is a share of one.
fn is_share(info: &MeasureInfo) -> bool {
    info.id.ends_with("_share")
}

/// Whether a plus sign says something: the measure is a distance from a point.
fn has_sign(info: &MeasureInfo) -> bool {
    ["_along_ft", "_across_ft", "_error_ft"]
        .iter()
        .any(|end| info.id.ends_with(end))
}

/// The three numbers in one step.
fn rounded(value: f64, low: f64, high: f64, decimals: u8, plus: bool) -> Figure {
    let step = rounding_step((high - low) / 2.0, decimals);
    let text = |x: f64| {
        let text = number((x / step).round() * step, decimals_of(step));
        if plus && x > 0.0 && text != "0" {
            format!("+{text}")
        } else {
            text
        }
    };
    Figure {
        value: text(value),
        low: text(low),
        high: text(high),
    }
}

/// The largest of 1, 5, 10, 50 … (and the like below one) that is two fifths of the half-width or
/// less, but no less than the last decimal allowed.
fn rounding_step(half_width: f64, decimals: u8) -> f64 {
    let least = 10_f64.powi(-i32::from(decimals));
    let wanted = half_width / 2.5;
    if !wanted.is_finite() || wanted <= least {
        return least;
    }
    let power = 10_f64.powf(wanted.log10().floor());
    let step = if wanted >= 5.0 * power {
        5.0 * power
    } else {
        power
    };
    step.clamp(least, 1000.0)
}

/// How many decimals a step needs.
fn decimals_of(step: f64) -> usize {
    if step >= 1.0 {
        0
    } else {
        (-step.log10().floor()).clamp(0.0, 6.0) as usize
    }
}

/// A number with a true minus and, from 10 000 on, narrow spaces between thousands. From a million
/// on, which nothing about a glide should reach, by powers of ten.
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    if value.abs() >= 1e6 {
        return format!("{value:.1e}").replace('-', &MINUS.to_string());
    }
    let text = format!("{:.*}", decimals, value.abs());
    let negative = value < 0.0 && text.chars().any(|c| c.is_ascii_digit() && c != '0');
    let (whole, fraction) = text
        .split_once('.')
        .map_or((text.as_str(), None), |(w, f)| (w, Some(f)));
    let mut out = String::new();
    if negative {
        out.push(MINUS);
    }
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && whole.len() > 4 && (whole.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    if let Some(fraction) = fraction {
        out.push('.');
        out.push_str(fraction);
    }
    out
}

/// A number of seconds as `m:ss`.
pub fn clock(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "–".to_owned();
    }
    let whole = seconds.abs().round();
    let sign = if seconds < 0.0 && whole > 0.0 {
        MINUS.to_string()
    } else {
        String::new()
    };
    format!("{sign}{}:{:02}", (whole / 60.0).floor(), whole % 60.0)
}

/// A direction in whole degrees, three digits, north as 360.
pub fn direction(degrees: f64) -> String {
    if !degrees.is_finite() {
        return "–".to_owned();
    }
    let whole = degrees.round().rem_euclid(360.0);
    format!("{:03}", if whole == 0.0 { 360.0 } else { whole })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::catalogue::find;

    fn known(value: f64, low: f64, high: f64) -> Measured {
        Measured::Known { value, low, high }
    }

    fn parts(id: &str, value: f64, low: f64, high: f64) -> (String, String) {
        let figure = figure(find(id).unwrap(), &known(value, low, high)).unwrap();
        (figure.value.clone(), figure.interval())
    }

    #[test]
    fn digits_follow_the_interval() {
        let id = "abeam_height_ft";
        assert_eq!(
            parts(id, 1003.4, 991.0, 1016.0),
            ("1005".into(), "990 to 1015".into())
        );
        assert_eq!(
            parts(id, 1003.4, 960.0, 1046.0),
            ("1000".into(), "960 to 1050".into())
        );
        assert_eq!(
            parts("glide_cas_mean_kt", 72.34, 71.1, 73.6),
            ("72.3".into(), "71.1 to 73.6".into())
        );
        assert_eq!(
            parts("glide_cas_mean_kt", 72.34, 60.0, 84.0),
            ("72".into(), "60 to 84".into())
        );
    }

    #[test]
    fn signs_and_shares() {
        assert_eq!(
            parts("touchdown_along_ft", -312.0, -360.0, 8.0),
            ("−300".into(), "−350 to 0".into())
        );
        assert_eq!(
            parts("touchdown_along_ft", 312.0, 290.0, 330.0),
            ("+310".into(), "+290 to +330".into())
        );
        assert_eq!(
            parts("glide_cas_within_share", 0.823, 0.8, 0.84),
            ("82".into(), "80 to 84".into())
        );
    }

    #[test]
    fn edges() {
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(number(-12345.6, 0), "−12\u{202f}346");
        assert_eq!(number(-2.5e7, 0), "−2.5e7");
        assert_eq!(number(f64::NAN, 0), "–");
        assert_eq!(clock(-5.0), "−0:05");
        assert_eq!(clock(3599.6), "60:00");
        assert_eq!(direction(359.7), "360");
        assert_eq!(direction(-90.0), "270");
    }
}
