//! Rows to a table: bias, errors, coverage, sharpness.

use super::rows::{FIGURES, Row, Score};

/// One line of the table.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    /// Figure.
    pub figure: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Errors.
    pub n: usize,
    /// Truths without a value.
    pub none: usize,
    /// Mean error.
    pub bias: f64,
    /// Median, 95 % point and root mean square of the error.
    pub median: f64,
    /// 95 % point.
    pub p95: f64,
    /// Root mean square.
    pub rms: f64,
    /// Share of the truths inside the interval.
    pub cover: f64,
    /// Mean half-width over 1.96 root mean squares.
    pub sharp: f64,
    /// Share of truths below the interval, and above it.
    pub outside: (f64, f64),
}

/// Every figure of these scores.
pub fn lines<'a>(scores: impl Iterator<Item = &'a Score> + Clone) -> Vec<Line> {
    FIGURES
        .iter()
        .filter_map(|&(figure, unit)| {
            let rows: Vec<&Row> = scores
                .clone()
                .flat_map(|s| &s.rows)
                .filter(|r| r.figure == figure)
                .collect();
            let none = scores
                .clone()
                .flat_map(|s| &s.none)
                .filter(|f| **f == figure)
                .count();
            line(figure, unit, &rows, none)
        })
        .collect()
}

fn line(figure: &'static str, unit: &'static str, rows: &[&Row], none: usize) -> Option<Line> {
    let n = rows.len();
    if n + none == 0 {
        return None;
    }
    let count = n as f64;
    let mut size: Vec<f64> = rows.iter().map(|r| r.error.abs()).collect();
    size.sort_by(f64::total_cmp);
    let rms = (size.iter().map(|e| e * e).sum::<f64>() / count).sqrt();
    let half = rows.iter().map(|r| 0.5 * (r.high - r.low)).sum::<f64>() / count;
    let share = |f: &dyn Fn(&Row) -> bool| rows.iter().filter(|r| f(r)).count() as f64 / count;
    Some(Line {
        figure,
        unit,
        n,
        none,
        bias: rows.iter().map(|r| r.error).sum::<f64>() / count,
        median: quantile(&size, 0.5),
        p95: quantile(&size, 0.95),
        rms,
        cover: share(&|r| r.low <= 0.0 && r.high >= 0.0),
        sharp: half / (1.96 * rms),
        outside: (share(&|r| r.low > 0.0), share(&|r| r.high < 0.0)),
    })
}

/// The `share` quantile of sorted numbers, between neighbours in proportion.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * sorted.len().saturating_sub(1) as f64;
    let below = place.floor() as usize;
    let at = |i: usize| sorted.get(i).copied();
    match (at(below), at(below + 1)) {
        (Some(low), Some(high)) => low + (place - below as f64) * (high - low),
        (Some(low), None) => low,
        _ => f64::NAN,
    }
}
