//! Numbers as people read them: no more digits than the interval supports.
//!
//! The uncertainty of a figure is worth one or two digits (JCGM 100:2008, 7.2.6), so the value and
//! the ends of its interval share one step out of 0.1, 1, 5, 10, 50 …, about two fifths of the half-width.
//! The value is rounded to the nearest step and the ends outwards, so that the printed interval holds at least
//! as much as the computed one. Sheet, page, read-out and terminal all print through here.

use super::wording::Shown;
use crate::measures::catalogue::MeasureInfo;
use crate::measures::usable;
use crate::quantity::Measured;
use crate::units::minutes_and_seconds;

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
    /// Whether the interval is narrow enough for the value to be used.
    pub told: bool,
}

impl Figure {
    /// The interval as `260 to 360`.
    pub fn interval(&self) -> String {
        format!("{} to {}", self.low, self.high)
    }

    /// The value, or that it cannot be told.
    pub fn shown(&self) -> &str {
        if self.told { &self.value } else { CANNOT_TELL }
    }
}

/// What stands in place of a value whose interval is too wide to use.
pub const CANNOT_TELL: &str = "can\u{2019}t tell";

/// The figure of a measure in the unit it is shown in, or `None` where it was not measured or is not a
/// number. Shares become per cent.
pub(super) fn figure_in(info: &MeasureInfo, measured: &Measured, shown: Shown) -> Option<Figure> {
    let (value, low, high) = finite(measured)?;
    let share = is_share(info);
    let scale = if share { 100.0 } else { shown.factor };
    let decimals = if share { 0 } else { shown.decimals };
    let most = if share { 100.0 } else { f64::INFINITY };
    let ends = (low * scale, (high * scale).min(most));
    let step = step(ends, decimals, shown.unit);
    Some(Figure {
        told: usable::can_tell(info.id, value, low, high),
        ..rounded(value * scale, ends, step, has_sign(info))
    })
}

/// The unit printed beside the figure of a measure.
pub fn unit(info: &MeasureInfo) -> &'static str {
    if is_share(info) { "%" } else { info.unit }
}

/// A figure in its own unit, with at most `decimals` decimals.
pub fn plain(measured: &Measured, decimals: u8) -> Option<Figure> {
    let (value, low, high) = finite(measured)?;
    let step = step((low, high), decimals, "");
    Some(rounded(value, (low, high), step, false))
}

/// A figure in whole units or the decimals it is shown with, told when its interval is no wider than
/// `widest` either way, in the unit of the document.
pub(super) fn in_unit(measured: &Measured, shown: Shown, widest: f64) -> Option<Figure> {
    let (value, low, high) = finite(measured)?;
    let ends = (shown.of(low), shown.of(high));
    let step = step(ends, shown.decimals, shown.unit);
    Some(Figure {
        told: (high - low) / 2.0 <= widest,
        ..rounded(shown.of(value), ends, step, false)
    })
}

/// A difference in its own unit, with its sign.
pub(super) fn signed(measured: &Measured, shown: Shown) -> Option<Figure> {
    let (value, low, high) = finite(measured)?;
    let ends = (shown.of(low), shown.of(high));
    let step = step(ends, shown.decimals, shown.unit);
    Some(rounded(shown.of(value), ends, step, true))
}

/// A direction in degrees true; its interval may pass through north.
pub fn bearing(measured: &Measured) -> Option<Figure> {
    let (value, low, high) = finite(measured)?;
    let before = (value - low).rem_euclid(360.0);
    let after = (high - value).rem_euclid(360.0);
    let step = if before + after > 50.0 {
        10.0
    } else if before + after > 12.0 {
        5.0
    } else {
        1.0
    };
    let middle = value.rem_euclid(360.0);
    let text = |x: f64| direction(x * step);
    Some(Figure {
        value: text((middle / step).round()),
        low: text(((middle - before) / step + SLACK).floor()),
        high: text(((middle + after) / step - SLACK).ceil()),
        told: true,
    })
}

/// Value, low and high, when all three are numbers.
fn finite(measured: &Measured) -> Option<(f64, f64, f64)> {
    let (value, (low, high)) = (measured.value()?, measured.interval()?);
    (value.is_finite() && low.is_finite() && high.is_finite()).then_some((value, low, high))
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

/// Share of a step by which a number may miss it and still count as on it: rounding in the last bits.
const SLACK: f64 = 1e-6;

/// The three numbers in one step.
fn rounded(value: f64, (low, high): (f64, f64), step: f64, plus: bool) -> Figure {
    let text = |steps: f64| {
        let x = steps * step;
        let text = number(x, decimals_of(step));
        if plus && x > 0.0 && text != "0" {
            format!("+{text}")
        } else {
            text
        }
    };
    Figure {
        value: text((value / step).round()),
        low: text((low / step + SLACK).floor()),
        high: text((high / step - SLACK).ceil()),
        told: true,
    }
}

/// Half-width from which heights and rates are given in fives: nobody flies to three feet.
const FIVES_FROM: f64 = 8.0;

/// The largest of … 0.1, 1, 5, 10, 50 … that is two fifths of the half-width or less, but no less than the
/// last decimal allowed; feet and feet a minute in fives at the least, unless they are known better.
fn step((low, high): (f64, f64), decimals: u8, unit: &str) -> f64 {
    let half_width = (high - low) / 2.0;
    let in_feet = unit.starts_with("ft") && half_width >= FIVES_FROM;
    let least = if in_feet {
        5.0
    } else {
        10_f64.powi(-i32::from(decimals))
    };
    let wanted = half_width / 2.5;
    if !wanted.is_finite() || wanted <= least {
        return least;
    }
    let power = 10_f64.powf(wanted.log10().floor());
    // Halves of a step of tens are how heights are spoken; halves of a knot are not.
    let half = 5.0 * power;
    let step = if wanted >= half && half > 1.0 {
        half
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
    minutes_and_seconds(seconds)
}

/// A time from the power reduction in a sentence: `1:02`, or `0:02 before the power came off`.
pub fn since_power_off(seconds: f64) -> String {
    let text = clock(seconds);
    match text.strip_prefix(MINUS) {
        Some(before) => format!("{before} before the power came off"),
        None => text,
    }
}

/// A direction in whole degrees, three digits, north as 360.
pub fn direction(degrees: f64) -> String {
    if !degrees.is_finite() {
        return "–".to_owned();
    }
    let whole = degrees.round().rem_euclid(360.0);
    format!("{:03}", if whole == 0.0 { 360.0 } else { whole })
}

/// A probability in per cent, never quite 0 or 100.
pub fn chance(probability: f64) -> String {
    match probability {
        p if p < 0.01 => format!("<{UNIT_SPACE}1{UNIT_SPACE}%"),
        p if p > 0.99 => format!(">{UNIT_SPACE}99{UNIT_SPACE}%"),
        p => format!("{}{UNIT_SPACE}%", number(100.0 * p, 0)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::wording::Wording;
    use super::*;
    use crate::measures::catalogue::find;

    fn known(value: f64, low: f64, high: f64) -> Measured {
        Measured::Known { value, low, high }
    }

    fn parts(id: &str, value: f64, low: f64, high: f64) -> (String, String) {
        let figure = Wording::default()
            .figure(find(id).unwrap(), &known(value, low, high))
            .unwrap();
        (figure.value.clone(), figure.interval())
    }

    #[test]
    fn digits_follow_the_interval() {
        let id = "abeam_height_ft";
        assert_eq!(
            parts(id, 1003.4, 991.0, 1016.0),
            ("1005".into(), "990 to 1020".into())
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
            parts("glide_cas_mean_kt", 72.34, 63.3, 81.1),
            ("72".into(), "63 to 82".into())
        );
        assert_eq!(
            parts("descent_rate_fpm", 1008.2, 996.1, 1019.7),
            ("1010".into(), "995 to 1020".into())
        );
    }

    #[test]
    fn a_printed_interval_holds_the_computed_one() {
        for (low, high) in [(-312.4, -298.1), (0.3, 0.7), (941.0, 1387.0), (-7.0, 655.0)] {
            let middle = f64::midpoint(low, high);
            let figure = Wording::default()
                .height(&known(middle, low, high))
                .unwrap();
            let number = |text: &str| text.replace(MINUS, "-").parse::<f64>().unwrap();
            let printed = (number(&figure.low), number(&figure.high));
            assert!(printed.0 <= low && printed.1 >= high, "{figure:?}");
        }
    }

    #[test]
    fn a_figure_too_wide_to_use_is_not_told() {
        let sink = find("touchdown_sink_fpm").unwrap();
        let wide = Wording::default()
            .figure(sink, &known(290.0, 20.0, 900.0))
            .unwrap();
        assert_eq!(
            (wide.shown(), wide.interval().as_str()),
            (CANNOT_TELL, "0 to 900")
        );
        let narrow = Wording::default()
            .figure(sink, &known(290.0, 190.0, 400.0))
            .unwrap();
        assert_eq!(narrow.shown(), "290");
    }

    #[test]
    fn directions_are_no_finer_than_their_interval_and_pass_through_north() {
        let words = |value, low, high| {
            let figure = bearing(&known(value, low, high)).unwrap();
            format!("{} {}", figure.value, figure.interval())
        };
        assert_eq!(words(47.2, 348.0, 132.0), "050 340 to 140");
        assert_eq!(words(258.4, 247.1, 269.0), "260 245 to 270");
        assert_eq!(words(359.8, 358.1, 2.4), "360 358 to 003");
    }

    #[test]
    fn signs_and_shares() {
        assert_eq!(
            parts("touchdown_along_ft", -312.0, -360.0, 8.0),
            ("−300".into(), "−400 to +50".into())
        );
        assert_eq!(
            parts("touchdown_along_ft", 312.0, 290.0, 330.0),
            ("+310".into(), "+290 to +330".into())
        );
        assert_eq!(
            parts("glide_cas_within_share", 0.823, 0.8, 0.84),
            ("82".into(), "80 to 84".into())
        );
        assert_eq!(
            parts("glide_cas_within_share", 0.9, 0.8, 1.0),
            ("90".into(), "80 to 100".into())
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
        assert_eq!(since_power_off(-2.4), "0:02 before the power came off");
        assert_eq!(since_power_off(-0.3), "0:00");
        assert_eq!(direction(359.7), "360");
        assert_eq!(direction(-90.0), "270");
    }
}
