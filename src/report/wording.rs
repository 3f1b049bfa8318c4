//! The units and the time of day a report is written in.
//!
//! The document is always in the units of its keys and in UTC. A report may show feet, knots and feet a minute, or
//! metres, kilometres an hour and metres a second; and the time at the place. Figures are converted before they are
//! rounded; sentences of the document are rewritten, number by number.

use jiff::Timestamp;
use jiff::tz::{Offset, TimeZone};

use super::number::{self, Figure};
use super::rewriting;
use crate::measures::catalogue::MeasureInfo;
use crate::measures::usable;
use crate::quantity::Measured;
use crate::units::{KG_PER_LB, M_PER_FT, M_PER_NM, MPS_PER_FPM};

/// Units of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// ft, kt, ft/min, lb, NM: those of the document.
    #[default]
    Us,
    /// m, km/h, m/s, kg, km.
    Metric,
}

/// What a report is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wording {
    /// Units.
    pub units: Units,
    /// Local time ahead of UTC; none for UTC itself.
    offset: Option<Offset>,
}

/// How a report on many days is written: its units, and the time of a zone at each instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manner {
    units: Units,
    zone: TimeZone,
}

impl Manner {
    /// In these units and the time of `zone`.
    pub fn new(units: Units, zone: TimeZone) -> Self {
        Manner { units, zone }
    }

    /// The wording at an instant, its offset from UTC included.
    pub fn at(&self, utc: &str) -> Wording {
        Wording::new(self.units, &self.zone, utc)
    }

    /// The wording of figures and of sentences without a time.
    pub fn figures(&self) -> Wording {
        Wording {
            units: self.units,
            offset: None,
        }
    }

    /// Day at the place, as `3 May 2026`.
    pub fn day(&self, utc: &str) -> String {
        self.at(utc).day(utc)
    }

    /// Day at the place, as `2026-05-03`, which sorts; the start of the text where it is not a time.
    pub fn iso_day(&self, utc: &str) -> String {
        let plain = || utc.get(..10).unwrap_or_default().to_owned();
        self.at(utc).civil(utc, "%Y-%m-%d").unwrap_or_else(plain)
    }
}

impl Default for Manner {
    fn default() -> Self {
        Manner::new(Units::Us, TimeZone::UTC)
    }
}

/// A unit of the document as it is shown: its name, and how many of it one of the document's is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// As printed beside a figure.
    pub unit: &'static str,
    /// What a figure of the document is multiplied by.
    pub factor: f64,
    /// The most decimals.
    pub decimals: u8,
}

impl Wording {
    /// In these units, and in the time of `zone` at the start of the recording, the same throughout it.
    pub fn new(units: Units, zone: &TimeZone, start_utc: &str) -> Self {
        let start: Option<Timestamp> = start_utc.parse().ok();
        let offset = start
            .map(|start| zone.to_offset(start))
            .filter(|o| o.seconds() != 0);
        Wording { units, offset }
    }

    /// How a unit of the document is shown; one it does not know stays as it is.
    pub fn shown(&self, unit: &'static str, decimals: u8) -> Shown {
        let metric = |unit, factor, decimals| Shown {
            unit,
            factor,
            decimals,
        };
        match (self.units, unit) {
            (Units::Metric, "ft") => metric("m", M_PER_FT, decimals),
            (Units::Metric, "kt") => metric("km/h", M_PER_NM / 1000.0, decimals),
            (Units::Metric, "ft/min") => metric("m/s", MPS_PER_FPM, 1),
            (Units::Metric, "lb") => metric("kg", KG_PER_LB, decimals),
            (Units::Metric, "NM") => metric("km", M_PER_NM / 1000.0, decimals),
            _ => Shown {
                unit,
                factor: 1.0,
                decimals,
            },
        }
    }

    /// The unit of heights and distances.
    pub fn ft(&self) -> Shown {
        self.shown("ft", 0)
    }

    /// The unit of speeds.
    pub fn kt(&self) -> Shown {
        self.shown("kt", 0)
    }

    /// The unit of descent rates.
    pub fn fpm(&self) -> Shown {
        self.shown("ft/min", 0)
    }

    /// The figure of a measure; none where it was not measured. Shares are in per cent.
    pub fn figure(&self, info: &MeasureInfo, measured: &Measured) -> Option<Figure> {
        number::figure_in(info, measured, self.shown(info.unit, info.decimals))
    }

    /// The unit printed beside the figure of a measure.
    pub fn unit(&self, info: &MeasureInfo) -> &'static str {
        match number::unit(info) {
            "%" => "%",
            _ => self.shown(info.unit, info.decimals).unit,
        }
    }

    /// A height.
    pub fn height(&self, measured: &Measured) -> Option<Figure> {
        number::in_unit(measured, self.ft(), usable::HEIGHT_FT)
    }

    /// A speed.
    pub fn speed(&self, measured: &Measured) -> Option<Figure> {
        number::in_unit(measured, self.kt(), usable::SPEED_KT)
    }

    /// A rate of descent.
    pub fn rate(&self, measured: &Measured) -> Option<Figure> {
        number::in_unit(measured, self.fpm(), f64::INFINITY)
    }

    /// A height that the trade names in feet, with its unit: `1000 ft`, or `305 m (1000 ft)`.
    pub fn mark(&self, feet: f64) -> String {
        let shown = self.ft();
        let text = format!("{}{}{}", shown.whole(feet), number::UNIT_SPACE, shown.unit);
        match self.units {
            Units::Us => text,
            Units::Metric => {
                let own = number::number(feet, 0);
                format!("{text} ({own}{}ft)", number::UNIT_SPACE)
            }
        }
    }

    /// The height of a slice of air, no finer than the slice: to the nearest ten metres.
    pub fn level(&self, feet: f64) -> String {
        match self.units {
            Units::Us => self.ft().whole(feet),
            Units::Metric => self.ft().tens(feet),
        }
    }

    /// A sentence of the document, its quantities and times of day converted.
    pub fn sentence(&self, text: &str) -> String {
        if *self == Wording::default() {
            return text.to_owned();
        }
        rewriting::rewritten(text, self)
    }

    /// Day, as `3 May 2026`; empty when the text is not a time.
    pub fn day(&self, utc: &str) -> String {
        self.civil(utc, "%-d %B %Y").unwrap_or_default()
    }

    /// Time of day, as `10:21:40`; the text itself when it is not a time.
    pub fn time_of_day(&self, utc: &str) -> String {
        self.civil(utc, "%H:%M:%S")
            .unwrap_or_else(|| utc.to_owned())
    }

    /// What the times of day are: `UTC`, or `UTC+02:00`.
    pub fn zone(&self) -> String {
        let Some(seconds) = self.offset.map(Offset::seconds) else {
            return "UTC".to_owned();
        };
        let (sign, minutes) = (
            if seconds < 0 { number::MINUS } else { '+' },
            seconds.abs() / 60,
        );
        format!("UTC{sign}{:02}:{:02}", minutes / 60, minutes % 60)
    }

    /// Seconds of local time ahead of UTC.
    pub(super) fn ahead_s(&self) -> i32 {
        self.offset.map_or(0, Offset::seconds)
    }

    fn civil(&self, utc: &str, format: &str) -> Option<String> {
        let instant: Timestamp = utc.parse().ok()?;
        let zone = TimeZone::fixed(self.offset.unwrap_or(Offset::UTC));
        Some(zone.to_datetime(instant).strftime(format).to_string())
    }
}

impl Shown {
    /// A figure of the document in this unit.
    pub fn of(&self, value: f64) -> f64 {
        value * self.factor
    }

    /// A figure of the document in whole units, without the unit.
    pub fn whole(&self, value: f64) -> String {
        number::number(self.of(value), 0)
    }

    /// The same to the nearest ten.
    pub fn tens(&self, value: f64) -> String {
        number::number((self.of(value) / 10.0).round() * 10.0, 0)
    }

    /// A series of the document in this unit.
    pub fn all(&self, values: &[f64]) -> Vec<f64> {
        values.iter().map(|v| self.of(*v)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::catalogue::find;

    fn metric() -> Wording {
        let zone = TimeZone::fixed(Offset::from_seconds(7200).unwrap());
        Wording::new(Units::Metric, &zone, "2026-05-03T10:21:40Z")
    }

    #[test]
    fn figures_are_converted_before_they_are_rounded() {
        // 1000 ft are 304.8 m, 72 kt 133.3 km/h and 900 ft/min 4.57 m/s
        let known = |value, low, high| Measured::Known { value, low, high };
        let height = find("abeam_height_ft").unwrap();
        let figure = metric()
            .figure(height, &known(1000.0, 990.0, 1010.0))
            .unwrap();
        assert_eq!((figure.value.as_str(), metric().unit(height)), ("305", "m"));
        assert_eq!(figure.interval(), "301 to 308");
        let speed = metric().speed(&known(72.0, 71.0, 73.0)).unwrap();
        assert_eq!((speed.value.as_str(), metric().kt().unit), ("133", "km/h"));
        let rate = metric().rate(&known(900.0, 880.0, 920.0)).unwrap();
        assert_eq!((rate.value.as_str(), metric().fpm().unit), ("4.6", "m/s"));
    }

    #[test]
    fn heights_that_the_trade_names_in_feet_are_said_in_both() {
        let plain = |text: String| text.replace(number::UNIT_SPACE, " ");
        assert_eq!(plain(metric().mark(1000.0)), "305 m (1000 ft)");
        assert_eq!(plain(Wording::default().mark(1000.0)), "1000 ft");
        assert_eq!(
            (metric().level(500.0), metric().level(200.0)),
            ("150".into(), "60".into())
        );
        let label = metric().sentence("Projected, judged at 500 ft");
        assert_eq!(plain(label), "Projected, judged at 152 m (500 ft)");
        assert_eq!(plain(metric().sentence("at 490 ft")), "at 149 m");
    }

    #[test]
    fn a_report_on_many_days_has_the_offset_of_each() {
        // 23:30 UTC is the next day two hours east in summer, and one hour east in winter
        let manner = Manner::new(Units::Metric, TimeZone::get("Europe/Vienna").unwrap());
        assert_eq!(manner.iso_day("2026-05-03T22:30:00Z"), "2026-05-04");
        assert_eq!(manner.iso_day("2026-01-03T22:30:00Z"), "2026-01-03");
        assert_eq!(manner.at("2026-05-03T22:30:00Z").zone(), "UTC+02:00");
        assert_eq!(manner.at("2026-01-03T22:30:00Z").zone(), "UTC+01:00");
        assert_eq!(manner.day("2026-05-03T22:30:00Z"), "4 May 2026");
        assert_eq!(
            Manner::default().iso_day("2026-05-03T22:30:00Z"),
            "2026-05-03"
        );
        assert_eq!(manner.iso_day("yesterday, or so"), "yesterday,");
    }

    #[test]
    fn times_are_those_of_the_place() {
        let wording = metric();
        assert_eq!(wording.time_of_day("2026-05-03T22:21:40.25Z"), "00:21:40");
        assert_eq!(wording.day("2026-05-03T22:21:40Z"), "4 May 2026");
        assert_eq!(wording.zone(), "UTC+02:00");
        assert_eq!(Wording::default().zone(), "UTC");
        assert_eq!(
            Wording::default().time_of_day("2026-05-03T10:21:40Z"),
            "10:21:40"
        );
        assert_eq!(wording.day("yesterday"), "");
    }
}
