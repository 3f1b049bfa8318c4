//! Progress as JSON, CSV and text.

use std::fmt::Write as _;

use super::super::fleet::quoted;
use super::super::wording::Manner;
use super::{
    advice, figure, headline, in_sentence, info, label, of_how_many, overview_advice,
    overview_headline, share, verdict, with_unit,
};
use crate::progress::document::{LAST, Overview, ProgressReport};
use crate::quantity::Measured;

/// The document, pretty-printed, figures rounded to what they are worth.
pub fn json(report: &ProgressReport) -> String {
    let mut report = report.clone();
    for m in &mut report.measures {
        let decimals = info(&m.measure).map_or(2, |info| i32::from(info.decimals) + 2);
        for measured in [
            &mut m.first,
            &mut m.last,
            &mut m.difference,
            &mut m.trend_per_ten,
        ] {
            if let Measured::Known { value, low, high } = measured {
                for v in [value, low, high] {
                    *v = to(*v, decimals);
                }
            }
        }
        for p in [
            &mut m.probability_better,
            &mut m.probability_improving,
            &mut m.met_share,
        ] {
            *p = p.map(|p| to(p, 4));
        }
        for point in &mut m.points {
            for v in [&mut point.value, &mut point.low, &mut point.high] {
                *v = to(*v, decimals);
            }
        }
    }
    // text keys and numbers only: it always serialises
    serde_json::to_string_pretty(&report).unwrap_or_default() + "\n"
}

/// The document of all pilots.
pub fn overview_json(report: &Overview) -> String {
    let mut report = report.clone();
    for m in &mut report.measures {
        m.share = m.share.map(|share| to(share, 4));
    }
    for met in report.pilots.iter_mut().flat_map(|p| &mut p.met_shares) {
        met.share = met.share.map(|share| to(share, 4));
    }
    serde_json::to_string_pretty(&report).unwrap_or_default() + "\n"
}

fn to(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale
}

/// A row for each value of each measure.
pub fn csv(report: &ProgressReport) -> String {
    let mut out = String::from("pilot,measure,power_reduction_utc,value,low,high\n");
    for m in &report.measures {
        let decimals = info(&m.measure).map_or(2, |info| usize::from(info.decimals) + 2);
        for p in &m.points {
            let _ = writeln!(
                out,
                "{},{},{},{:.decimals$},{:.decimals$},{:.decimals$}",
                quoted(&report.pilot),
                m.measure,
                p.utc,
                p.value,
                p.low,
                p.high
            );
        }
    }
    out
}

/// A row for each pilot and measure.
pub fn overview_csv(report: &Overview) -> String {
    let mut out = String::from("pilot,attempts,last_utc,measure,met_share,course\n");
    for pilot in &report.pilots {
        for met in &pilot.met_shares {
            let course = if pilot.improving.contains(&met.measure) {
                "better"
            } else if pilot.worsening.contains(&met.measure) {
                "worse"
            } else {
                ""
            };
            let _ = writeln!(
                out,
                "{},{},{},{},{},{course}",
                quoted(&pilot.pilot),
                pilot.attempts,
                pilot.last_utc,
                met.measure,
                met.share.map_or_else(String::new, |s| format!("{s:.4}"))
            );
        }
    }
    out
}

/// The table for the terminal.
pub fn table(report: &ProgressReport, manner: &Manner) -> String {
    let wording = manner.figures();
    let mut out = format!("Pilot {}\n{}\n", report.pilot, headline(report));
    let advice = advice(report, wording);
    if !advice.is_empty() {
        let _ = writeln!(out, "{advice}");
    }
    let wide = report
        .measures
        .iter()
        .map(|m| with_unit(m, wording).chars().count())
        .fold(34, usize::max);
    let _ = writeln!(
        out,
        "\n{:<wide$} {:>8}  {:<22} {:<22} {:>6}  course",
        "measure", "n", "first", "last", "met"
    );
    for m in &report.measures {
        let _ = writeln!(
            out,
            "{:<wide$} {:>8}  {:<22} {:<22} {:>6}  {}",
            with_unit(m, wording),
            of_how_many(m),
            figure(m, &m.first, wording),
            figure(m, &m.last, wording),
            share(m.met_share),
            verdict(m)
        );
    }
    let _ = writeln!(
        out,
        "met: share of the last {LAST} attempts within the yardstick; \u{2013} where they are fewer or known too vaguely"
    );
    out
}

/// The table of all pilots.
pub fn overview_table(report: &Overview, manner: &Manner) -> String {
    let mut out = format!("{}\n", overview_headline(report));
    let advice = overview_advice(report, manner.figures());
    if !advice.is_empty() {
        let _ = writeln!(out, "{advice}");
    }
    let _ = writeln!(
        out,
        "\n{:<10} {:>8}  {:<10}  course",
        "pilot", "attempts", "last"
    );
    for pilot in &report.pilots {
        let list = |ids: &[String], how: &str| {
            let names: Vec<String> = ids
                .iter()
                .map(|id| in_sentence(&manner.figures().sentence(label(id))))
                .collect();
            if names.is_empty() {
                String::new()
            } else {
                format!("{how}: {}. ", names.join(", "))
            }
        };
        let _ = writeln!(
            out,
            "{:<10} {:>8}  {:<10}  {}{}",
            pilot.pilot,
            pilot.attempts,
            manner.iso_day(&pilot.last_utc),
            list(&pilot.improving, "better"),
            list(&pilot.worsening, "worse")
        );
    }
    out.push_str("of those named better or worse, one in twenty is expected to be chance\n");
    out
}
