//! A comparison as JSON, CSV and text.

use std::fmt::Write as _;

use super::super::number::chance;
use super::super::wording::Manner;
use super::{FOUND, headline, label, name, told_difference};
use crate::compare::Comparison;
use crate::measures::catalogue::find as info;
use crate::quantity::Measured;

/// The document, pretty-printed, figures rounded to what they are worth.
pub fn json(comparison: &Comparison) -> String {
    let mut comparison = comparison.clone();
    for m in &mut comparison.measures {
        let decimals = info(&m.measure).map_or(2, |info| i32::from(info.decimals) + 2);
        let all = m
            .values
            .iter_mut()
            .chain(m.differences.iter_mut().map(|d| &mut d.difference));
        for measured in all {
            if let Measured::Known { value, low, high } = measured {
                for v in [value, low, high] {
                    let scale = 10_f64.powi(decimals);
                    *v = (*v * scale).round() / scale;
                }
            }
        }
        for d in &mut m.differences {
            d.probability_real = d.probability_real.map(|p| (p * 1e4).round() / 1e4);
        }
    }
    // text keys and numbers only: it always serialises
    serde_json::to_string_pretty(&comparison).unwrap_or_default() + "\n"
}

/// A row for each measure and attempt.
pub fn csv(comparison: &Comparison) -> String {
    let mut out = String::from(
        "measure,attempt,value,low,high,difference,difference_low,difference_high,probability_real,found\n",
    );
    for m in &comparison.measures {
        let decimals = info(&m.measure).map_or(2, |info| usize::from(info.decimals) + 2);
        let three = |measured: &Measured| match (measured.value(), measured.interval()) {
            (Some(value), Some((low, high))) => {
                format!("{value:.decimals$},{low:.decimals$},{high:.decimals$}")
            }
            _ => ",,".into(),
        };
        for (i, (value, d)) in m.values.iter().zip(&m.differences).enumerate() {
            let _ = writeln!(
                out,
                "{},{},{},{},{},{}",
                m.measure,
                i + 1,
                three(value),
                three(&d.difference),
                d.probability_real
                    .map_or_else(String::new, |p| format!("{p:.4}")),
                d.found
            );
        }
    }
    out
}

/// The table for the terminal.
pub fn table(comparison: &Comparison, manner: &Manner) -> String {
    let wording = manner.figures();
    let mut out = format!("{}\n", headline(comparison));
    for (i, attempt) in comparison.attempts.iter().enumerate() {
        let _ = writeln!(out, "  {}  {}", i + 1, name(attempt, manner));
    }
    let _ = write!(out, "\n{:<36}", "measure");
    for i in 1..=comparison.attempts.len() {
        let _ = write!(out, " {i:>16}");
    }
    out.push('\n');
    for m in &comparison.measures {
        let Some(info) = info(&m.measure) else {
            continue;
        };
        let _ = write!(out, "{:<36}", label(info, wording));
        for (value, d) in m.values.iter().zip(&m.differences) {
            let figure = wording
                .figure(info, value)
                .map_or_else(|| "\u{2013}".to_owned(), |f| f.shown().to_owned());
            let real = told_difference((&m.values[0], value), d, info, wording);
            let real = real.map_or_else(String::new, |(_, p)| format!(" {}", chance(p)));
            let mark = if d.found { "*" } else { " " };
            let _ = write!(out, " {:>16}", format!("{figure}{real}{mark}"));
        }
        out.push('\n');
    }
    let _ = writeln!(
        out,
        "\nper cent: probability that the difference from 1 is real; *: {FOUND}"
    );
    out
}
