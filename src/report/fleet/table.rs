//! The fleet as JSON, CSV and text.

use std::fmt::Write as _;

use super::super::number;
use super::super::wording::Manner;
use super::{ends, finding, in_unit, percent, with_interval};
use crate::fleet::document::{Airframe, FleetReport};
use crate::quantity::{Measured, counted};

/// The document, pretty-printed, figures rounded to what they are worth.
pub fn json(report: &FleetReport) -> String {
    let mut report = report.clone();
    for airframe in &mut report.airframes {
        round(airframe);
    }
    for kind in &mut report.types {
        for measured in [
            &mut kind.best_ratio_kcas,
            &mut kind.turning_share,
            &mut kind.between_airframes_percent,
            &mut kind.between_glides_percent,
        ] {
            rounded(measured, 2);
        }
        kind.flown_kcas = kind.flown_kcas.map(|ends| ends.map(|kt| to(kt, 1)));
        for point in &mut kind.polar {
            point.cas_kt = to(point.cas_kt, 1);
            rounded(&mut point.glide_ratio, 3);
            rounded(&mut point.sink_fpm, 1);
        }
    }
    // no map with other than text keys and no value that is not a number: it always serialises
    serde_json::to_string_pretty(&report).unwrap_or_default() + "\n"
}

fn round(a: &mut Airframe) {
    rounded(&mut a.glide_ratio, 3);
    rounded(&mut a.glide_ratio_alone, 3);
    rounded(&mut a.air_sink_rate_fpm, 1);
    rounded(&mut a.against_handbook_percent, 2);
    rounded(&mut a.against_others_percent, 2);
    rounded(&mut a.abeam_height_needed_ft, 0);
    rounded(&mut a.trend_percent_per_year, 2);
    for p in [
        &mut a.probability_5_percent_below_handbook,
        &mut a.probability_differs,
        &mut a.probability_getting_worse,
    ] {
        *p = p.map(|p| to(p, 4));
    }
    for month in &mut a.history {
        rounded(&mut month.glide_ratio, 3);
    }
    if let Some(change) = &mut a.change {
        change.probability = to(change.probability, 4);
        rounded(&mut change.percent, 2);
    }
}

fn to(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale
}

fn rounded(measured: &mut Measured, decimals: i32) {
    if let Measured::Known { value, low, high } = measured {
        for v in [value, low, high] {
            *v = to(*v, decimals);
        }
    }
}

/// Columns of the table for spreadsheets.
const COLUMNS: &str = "registration,type,attempts,recordings,first_utc,last_utc,glide_ratio,glide_ratio_low,glide_ratio_high,air_sink_rate_fpm,air_sink_rate_fpm_low,air_sink_rate_fpm_high,handbook_glide_ratio,probability_5_percent_below_handbook,against_others_percent,against_others_percent_low,against_others_percent_high,differs,abeam_height_needed_ft,abeam_height_needed_ft_low,abeam_height_needed_ft_high,glide_ratio_alone,glide_ratio_alone_low,glide_ratio_alone_high\n";

/// A row for each airframe.
pub fn csv(report: &FleetReport) -> String {
    let mut out = String::from(COLUMNS);
    for a in &report.airframes {
        let three = |measured: &Measured, decimals: usize| match ends(measured) {
            Some((value, low, high)) => {
                format!("{value:.decimals$},{low:.decimals$},{high:.decimals$}")
            }
            None => ",,".into(),
        };
        let one = |value: Option<f64>, decimals: usize| {
            value.map_or_else(String::new, |v| format!("{v:.decimals$}"))
        };
        let _ = writeln!(
            out,
            "{},{},{},{},{},{},{},{},{},{},{},{},{},{}",
            quoted(&a.registration),
            quoted(&a.aircraft_type),
            a.attempts,
            a.recordings,
            a.first_utc,
            a.last_utc,
            three(&a.glide_ratio, 3),
            three(&a.air_sink_rate_fpm, 1),
            one(a.handbook_glide_ratio, 2),
            one(a.probability_5_percent_below_handbook, 4),
            three(&a.against_others_percent, 2),
            a.differs,
            three(&a.abeam_height_needed_ft, 0),
            three(&a.glide_ratio_alone, 3),
        );
    }
    out
}

/// A field of a comma-separated table.
pub(in super::super) fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// The table for the terminal.
pub fn table(report: &FleetReport, manner: &Manner) -> String {
    let (feet, rate) = (manner.figures().ft(), manner.figures().fpm());
    let mut out = format!(
        "{} in {}; glide at idle, clean, wings level, best glide speed, reference weight\n\n",
        counted(report.attempts as usize, "attempt"),
        counted(report.recordings as usize, "recording")
    );
    let width = report
        .airframes
        .iter()
        .map(|a| a.registration.chars().count())
        .max()
        .unwrap_or(0)
        .max(10);
    let several = report.types.len() > 1;
    let kind = |a: &Airframe| {
        if several {
            format!("; {}", manner.figures().sentence(&a.aircraft_type))
        } else {
            String::new()
        }
    };
    let _ = writeln!(
        out,
        "{:<width$} {:>4}  {:<22} {:>6} {:>8} {:>9}  {:<22} {:<22} finding",
        report.by,
        "n",
        "glide ratio",
        "alone",
        "handbook",
        "P(5% wor.)",
        format!("sink, {}", rate.unit),
        format!("abeam needed, {}", feet.unit)
    );
    for a in &report.airframes {
        let _ = writeln!(
            out,
            "{:<width$} {:>4}  {:<22} {:>6} {:>8} {:>9}  {:<22} {:<22} {}{}",
            a.registration,
            a.attempts,
            with_interval(number::plain(&a.glide_ratio, 1)),
            number::plain(&a.glide_ratio_alone, 1).map_or_else(|| "\u{2013}".into(), |f| f.value),
            a.handbook_glide_ratio
                .map_or_else(|| "\u{2013}".into(), |v| number::number(v, 1)),
            percent(a.probability_5_percent_below_handbook),
            in_unit(&a.air_sink_rate_fpm, rate),
            in_unit(&a.abeam_height_needed_ft, feet),
            finding(a),
            kind(a)
        );
        if let Some(change) = &a.change {
            let _ = writeln!(
                out,
                "{:width$}       a step of {} % from {} on ({} likely)",
                "",
                with_interval(number::plain(&change.percent, 1)),
                manner.iso_day(&change.utc),
                percent(Some(change.probability))
            );
        }
    }
    out
}
