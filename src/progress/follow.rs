//! From the attempts of a logbook to the progress documents.

use jiff::Timestamp;

use super::document::{
    MeasureProgress, MetShare, OVERVIEW_SCHEMA, Overview, PilotLine, ProgressPoint, ProgressReport,
    SCHEMA,
};
use super::statistics::{Estimate, Figure, mean, slope};
use super::yardsticks::{YARDSTICKS, Yardstick};
use crate::debrief::assemble::CAUTIONS;
use crate::findings::found_by_p_values;
use crate::logbook::AttemptRow;
use crate::measures::catalogue::CATALOGUE;
use crate::quantity::{Measured, counted};
use crate::random::normal_below;

/// Most attempts that count as the first, and as the last.
const MOST_COMPARED: usize = 5;
/// From so many flights on the flight is what counts, not the attempt.
const LEAST_FLIGHTS: usize = 4;
/// Power reductions nearer than this are of one attempt, which two recorders recorded, s.
const SAME_ATTEMPT_S: f64 = 20.0;
/// Half-width of a 95 % interval in standard deviations.
const TWO_SIDED: f64 = 1.959_964;
/// Most measures named as best and as least.
const MOST_NAMED: usize = 3;

/// One pilot's progress; none without an attempt. `rows` are in the order of time.
pub fn pilot(code: &str, rows: &[AttemptRow]) -> Option<ProgressReport> {
    let (rows, twice) = once_each(rows);
    let (first, last) = (rows.first()?, rows.last()?);
    let compared = (rows.len() / 2).clamp(1, MOST_COMPARED);
    let mut measures: Vec<MeasureProgress> = YARDSTICKS
        .iter()
        .map(|yardstick| measure(yardstick, &rows))
        .filter(|m| m.attempts > 0)
        .collect();
    let chance: Vec<Option<f64>> = measures
        .iter()
        .map(|m| m.probability_improving.map(|p| 2.0 * p.min(1.0 - p)))
        .collect();
    for (m, is) in measures.iter_mut().zip(found_by_p_values(&chance)) {
        m.course = match m.probability_improving {
            None => "too_few",
            Some(p) if is && p > 0.5 => "better",
            Some(_) if is => "worse",
            Some(_) => "no_change",
        }
        .into();
    }
    let ends = |word: &str| rows.iter().filter(|r| r.ending == word).count() as u32;
    let mut warnings = Vec::new();
    if twice > 0 {
        warnings.push(format!(
            "{twice} attempts were recorded by two recorders or more; each is counted once"
        ));
    }
    if rows.len() < 8 {
        warnings.push(format!(
            "{}: too few to tell learning from luck in most measures",
            counted(rows.len(), "attempt")
        ));
    }
    let (best, least) = ranked(&measures);
    Some(ProgressReport {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        pilot: code.into(),
        attempts: rows.len() as u32,
        first_utc: first.utc.clone(),
        last_utc: last.utc.clone(),
        endings: ["touchdown", "go_around", "end_of_recording"].map(ends),
        compared: compared as u32,
        measures,
        best,
        least,
        warnings,
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    })
}

/// All pilots in short.
pub fn overview(reports: &[ProgressReport]) -> Overview {
    let pilots = reports.iter().map(|report| {
        let named = |course: &str| {
            report
                .measures
                .iter()
                .filter(|m| m.course == course)
                .map(|m| m.measure.clone())
                .collect()
        };
        PilotLine {
            pilot: report.pilot.clone(),
            attempts: report.attempts,
            last_utc: report.last_utc.clone(),
            met_shares: YARDSTICKS
                .iter()
                .map(|yardstick| MetShare {
                    measure: yardstick.measure.into(),
                    share: report
                        .measures
                        .iter()
                        .find(|m| m.measure == yardstick.measure)
                        .and_then(|m| m.met_share),
                })
                .collect(),
            improving: named("better"),
            worsening: named("worse"),
        }
    });
    Overview {
        schema: OVERVIEW_SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        pilots: pilots.collect(),
        warnings: vec![
            "pilots fly different aircraft in different air: the shares help to choose what to practise, not to rank people".into(),
        ],
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

/// Each attempt once: of those that two recorders recorded, the one with more figures.
fn once_each(rows: &[AttemptRow]) -> (Vec<&AttemptRow>, usize) {
    let mut kept: Vec<&AttemptRow> = Vec::new();
    for row in rows {
        match kept.last_mut() {
            Some(last)
                if last.recording_id != row.recording_id
                    && (seconds(&row.utc) - seconds(&last.utc)).abs() < SAME_ATTEMPT_S =>
            {
                if row.figures.len() > last.figures.len() {
                    *last = row;
                }
            }
            _ => kept.push(row),
        }
    }
    let twice = rows.len() - kept.len();
    (kept, twice)
}

fn seconds(utc: &str) -> f64 {
    utc.parse::<Timestamp>()
        .map_or(f64::NAN, |t| t.as_millisecond() as f64 / 1000.0)
}

fn measure(yardstick: &Yardstick, rows: &[&AttemptRow]) -> MeasureProgress {
    let info = CATALOGUE.iter().find(|info| info.id == yardstick.measure);
    let better = yardstick.better;
    let points: Vec<(f64, ProgressPoint)> = rows
        .iter()
        .enumerate()
        .filter_map(|(i, row)| {
            let [value, low, high] = *row.figures.get(yardstick.measure)?;
            let point = ProgressPoint {
                utc: row.utc.clone(),
                value,
                low,
                high,
            };
            Some((i as f64, point))
        })
        .collect();
    let sd = |p: &ProgressPoint| ((p.high - p.low) / (2.0 * TWO_SIDED)).max(1e-6);
    let figures: Vec<Figure> = points
        .iter()
        .map(|(at, p)| Figure {
            at: *at,
            value: better.badness(p.value),
            sd: sd(p),
        })
        .collect();
    let n = (figures.len() / 2).min(MOST_COMPARED);
    let (first, last) = (mean(&figures[..n]), mean(&figures[figures.len() - n..]));
    let difference = first.zip(last).map(|(first, last)| last.less(&first));
    let recordings: Vec<i64> = points
        .iter()
        .map(|(at, _)| rows[*at as usize].recording_id)
        .collect();
    let line = slope(&by_flight(&figures, &recordings));
    // back from badness to the measure's own direction
    let sign = if better.badness(1.0) < 0.0 { -1.0 } else { 1.0 };
    let told = |estimate: Option<Estimate>, times: f64, reason: &str| match estimate {
        Some(e) => Estimate {
            value: sign * times * e.value,
            sd: times * e.sd,
            ..e
        }
        .measured(),
        None => Measured::unknown(reason),
    };
    let recent = &points[points.len().saturating_sub(MOST_COMPARED)..];
    let met: Vec<f64> = recent
        .iter()
        .map(|(_, p)| met(yardstick, p, sd(p)))
        .collect();
    MeasureProgress {
        measure: yardstick.measure.into(),
        label: info.map_or(yardstick.measure, |info| info.label).into(),
        unit: info.map_or("", |info| info.unit).into(),
        better: better.word().into(),
        yardstick: yardstick.limit,
        yardstick_source: yardstick.source.into(),
        attempts: points.len() as u32,
        met_share: (!met.is_empty()).then(|| met.iter().sum::<f64>() / met.len() as f64),
        first: told(first, 1.0, "needs four attempts"),
        last: told(last, 1.0, "needs four attempts"),
        difference: told(difference, 1.0, "needs four attempts"),
        probability_better: difference.map(|d| d.below_zero()),
        trend_per_ten: told(line, 10.0, "needs four attempts"),
        course: "too_few".into(),
        probability_improving: line.map(|line| line.below_zero()),
        points: points.into_iter().map(|(_, p)| p).collect(),
    }
}

/// The mean of each flight: attempts of one day and air are alike, and are no independent witnesses. Where the
/// flights are few, the attempts.
fn by_flight(figures: &[Figure], recordings: &[i64]) -> Vec<Figure> {
    let mut out = Vec::new();
    let mut from = 0;
    while from < figures.len() {
        let n = recordings[from..]
            .iter()
            .take_while(|r| **r == recordings[from])
            .count();
        let of = &figures[from..from + n];
        let mean = |f: &dyn Fn(&Figure) -> f64| of.iter().map(f).sum::<f64>() / n as f64;
        out.push(Figure {
            at: mean(&|f| f.at),
            value: mean(&|f| f.value),
            sd: (mean(&|f| f.sd * f.sd) / n as f64).sqrt(),
        });
        from += n;
    }
    if out.len() < LEAST_FLIGHTS {
        figures.to_vec()
    } else {
        out
    }
}

/// Probability that one attempt is within the yardstick.
fn met(yardstick: &Yardstick, p: &ProgressPoint, sd: f64) -> f64 {
    use super::yardsticks::Better;
    let below = |limit: f64| normal_below((limit - p.value) / sd);
    match yardstick.better {
        Better::Less => below(yardstick.limit),
        Better::More => 1.0 - below(yardstick.limit),
        Better::NearerZero => below(yardstick.limit) - below(-yardstick.limit),
    }
}

/// Ids of the measures met most often, and of those met least often.
fn ranked(measures: &[MeasureProgress]) -> (Vec<String>, Vec<String>) {
    let mut by_share: Vec<(&MeasureProgress, f64)> = measures
        .iter()
        .filter_map(|m| Some((m, m.met_share?)))
        .collect();
    by_share.sort_by(|a, b| b.1.total_cmp(&a.1));
    let name = |m: &(&MeasureProgress, f64)| m.0.measure.clone();
    let best = by_share
        .iter()
        .filter(|m| m.1 >= 0.5)
        .take(MOST_NAMED)
        .map(name)
        .collect();
    let least = by_share
        .iter()
        .rev()
        .filter(|m| m.1 < 0.5)
        .take(MOST_NAMED)
        .map(name)
        .collect();
    (best, least)
}
