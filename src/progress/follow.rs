//! From the attempts of a logbook to the progress documents.

use jiff::Timestamp;

use super::document::{
    LAST, LEAST_COUNTED, MeasureLine, MeasureProgress, MetShare, OVERVIEW_SCHEMA, Overview,
    PilotLine, ProgressPoint, ProgressReport, SCHEMA,
};
use super::flights::by_flight;
use super::scale::Scale;
use super::statistics::{mean, slope};
use super::yardsticks::{Better, Yardstick, yardsticks};
use crate::debrief::assemble::CAUTIONS;
use crate::findings::{LEAST_CONFIDENCE, found_by_p_values};
use crate::logbook::AttemptRow;
use crate::measures::catalogue::CATALOGUE;
use crate::measures::usable;
use crate::quantity::{Measured, counted};

/// Most flights that count as the first and as the last.
const MOST_COMPARED: usize = 5;
/// Fewest flights for means, differences and lines.
const LEAST_FLIGHTS: usize = 4;
/// Below so many flights the document says how little that is.
const FEW_FLIGHTS: usize = 8;
/// Power reductions nearer than this are of one attempt, which two recorders recorded, s.
const SAME_ATTEMPT_S: f64 = 20.0;
/// Another recording less than this after the last attempt is of the same flight or of one just after it, s.
const SAME_FLIGHT_S: f64 = 3600.0;
/// Most measures named as best and as least.
const MOST_NAMED: usize = 3;

/// One pilot's progress; none without an attempt that is sure enough to be one. `rows` are in the order of time.
pub fn pilot(code: &str, rows: &[AttemptRow]) -> Option<ProgressReport> {
    let sure: Vec<&AttemptRow> = rows
        .iter()
        .filter(|row| row.confidence >= LEAST_CONFIDENCE)
        .collect();
    let unsure = rows.len() - sure.len();
    let (rows, twice) = once_each(&sure);
    let (first, last) = (rows.first()?, rows.last()?);
    let flights = flights_of(&rows);
    let flown = flights.last().map_or(0, |last| last + 1);
    let compared = if flown < LEAST_FLIGHTS {
        0
    } else {
        (flown / 2).min(MOST_COMPARED)
    };
    let mut measures: Vec<MeasureProgress> = yardsticks()
        .iter()
        .map(|yardstick| measure(yardstick, &rows, &flights))
        .filter(|m| m.attempts + m.not_achieved > 0)
        .collect();
    let chance: Vec<Option<f64>> = measures
        .iter()
        .map(|m| m.probability_improving.map(two_sided))
        .collect();
    for (m, is) in measures.iter_mut().zip(found_by_p_values(&chance)) {
        m.course = match m.probability_improving {
            None if m.better == Better::AtLeast.word() => "no_direction",
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
    if unsure > 0 {
        warnings.push(left_out(unsure));
    }
    if flown < FEW_FLIGHTS {
        warnings.push(format!(
            "{}: too few to tell learning from luck in most measures",
            counted(flown, "flight")
        ));
    }
    for m in measures.iter().filter(|m| m.not_achieved > 0) {
        warnings.push(format!(
            "{}: not achieved in {} of {} attempts; they count as not met, and are in no mean and no line",
            m.label,
            m.not_achieved,
            rows.len()
        ));
    }
    for m in measures.iter().filter(|m| m.too_wide > 0) {
        warnings.push(format!(
            "{}: {} of {} figures too uncertain to tell; they count for little",
            m.label, m.too_wide, m.attempts
        ));
    }
    let (best, least) = ranked(&measures);
    Some(ProgressReport {
        schema: SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        pilot: code.into(),
        attempts: rows.len() as u32,
        unsure: unsure as u32,
        flights: flown as u32,
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

/// All pilots in short. Who looks at all of them finds more by chance than who looks at one: here the allowance is for
/// every measure of every pilot.
pub fn overview(reports: &[ProgressReport]) -> Overview {
    let all = || reports.iter().flat_map(|report| &report.measures);
    let chance: Vec<Option<f64>> = all()
        .map(|m| m.probability_improving.map(two_sided))
        .collect();
    let mut found = found_by_p_values(&chance).into_iter();
    let pilots = reports.iter().map(|report| {
        let (mut improving, mut worsening) = (Vec::new(), Vec::new());
        for (m, is) in report.measures.iter().zip(found.by_ref()) {
            match m.probability_improving {
                Some(p) if is && p > 0.5 => improving.push(m.measure.clone()),
                Some(_) if is => worsening.push(m.measure.clone()),
                _ => {}
            }
        }
        PilotLine {
            pilot: report.pilot.clone(),
            attempts: report.attempts,
            last_utc: report.last_utc.clone(),
            met_shares: met_shares(report),
            improving,
            worsening,
        }
    });
    let pilots: Vec<PilotLine> = pilots.collect();
    let mut warnings = vec![
        "pilots fly different aircraft in different air: the shares help to choose what to practise, not to rank people".to_owned(),
    ];
    let unsure: u32 = reports.iter().map(|report| report.unsure).sum();
    if unsure > 0 {
        warnings.push(left_out(unsure as usize));
    }
    Overview {
        schema: OVERVIEW_SCHEMA.into(),
        program: format!("stillprop {}", env!("CARGO_PKG_VERSION")),
        measures: over_all(&pilots),
        pilots,
        warnings,
        cautions: CAUTIONS.iter().map(|c| (*c).into()).collect(),
    }
}

fn left_out(unsure: usize) -> String {
    format!(
        "{} less than {:.0} % sure to be one: left out",
        counted(unsure, "attempt"),
        100.0 * LEAST_CONFIDENCE
    )
}

/// Probability of a line at least as steep, were there none, from the probability of its direction.
fn two_sided(probability: f64) -> f64 {
    2.0 * probability.min(1.0 - probability)
}

fn met_shares(report: &ProgressReport) -> Vec<MetShare> {
    let of = |id: &str| report.measures.iter().find(|m| m.measure == id);
    yardsticks()
        .iter()
        .map(|yardstick| MetShare {
            measure: yardstick.measure.into(),
            share: of(yardstick.measure).and_then(|m| m.met_share),
            attempts: of(yardstick.measure).map_or(0, |m| m.attempts + m.not_achieved),
        })
        .collect()
}

/// Each measure over all pilots that have a share of it, every pilot alike.
fn over_all(pilots: &[PilotLine]) -> Vec<MeasureLine> {
    let mean = |shares: &[f64]| shares.iter().sum::<f64>() / shares.len() as f64;
    yardsticks()
        .iter()
        .map(|yardstick| {
            let shares: Vec<f64> = pilots
                .iter()
                .flat_map(|pilot| &pilot.met_shares)
                .filter(|met| met.measure == yardstick.measure)
                .filter_map(|met| met.share)
                .collect();
            MeasureLine {
                measure: yardstick.measure.into(),
                better: yardstick.better.word().into(),
                yardstick: yardstick.limit,
                pilots: shares.len() as u32,
                share: (!shares.is_empty()).then(|| mean(&shares)),
            }
        })
        .collect()
}

/// Each attempt once: of those that two recorders recorded, the one with more figures.
fn once_each<'a>(rows: &[&'a AttemptRow]) -> (Vec<&'a AttemptRow>, usize) {
    let mut kept: Vec<&AttemptRow> = Vec::new();
    for &row in rows {
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

/// The flight of each attempt, counted from 0. Two recorders of one flight are one flight.
fn flights_of(rows: &[&AttemptRow]) -> Vec<usize> {
    let mut flight = 0;
    let mut out = Vec::with_capacity(rows.len());
    for (k, row) in rows.iter().enumerate() {
        if k > 0 {
            let last = rows[k - 1];
            let same = seconds(&row.utc) - seconds(&last.utc) < SAME_FLIGHT_S;
            flight += usize::from(row.recording_id != last.recording_id && !same);
        }
        out.push(flight);
    }
    out
}

fn seconds(utc: &str) -> f64 {
    utc.parse::<Timestamp>()
        .map_or(f64::NAN, |t| t.as_millisecond() as f64 / 1000.0)
}

fn measure(yardstick: &Yardstick, rows: &[&AttemptRow], of_flight: &[usize]) -> MeasureProgress {
    let info = CATALOGUE.iter().find(|info| info.id == yardstick.measure);
    let step = info.map_or(0.01, |info| 0.1_f64.powi(i32::from(info.decimals)));
    let scale = Scale::of(yardstick);
    let directed = yardstick.better != Better::AtLeast;
    let points: Vec<(usize, ProgressPoint)> = rows
        .iter()
        .enumerate()
        .filter_map(|(i, row)| {
            let [value, low, high] = *row.figures.get(yardstick.measure)?;
            let utc = row.utc.clone();
            let point = ProgressPoint {
                utc,
                value,
                low,
                high,
            };
            Some((i, point))
        })
        .collect();
    let taken: Vec<(f64, &ProgressPoint)> = points.iter().map(|(i, p)| (*i as f64, p)).collect();
    let of: Vec<usize> = points.iter().map(|(i, _)| of_flight[*i]).collect();
    let mut flights = by_flight(&scale.figures(&taken, step), &of);
    if flights.len() < LEAST_FLIGHTS {
        flights.clear();
    }
    let n = (flights.len() / 2).min(MOST_COMPARED);
    let ends = mean(&flights[..n]).zip(mean(&flights[flights.len() - n..]));
    let line = slope(&flights);
    let centre = flights.iter().map(|f| f.value).sum::<f64>() / flights.len().max(1) as f64;
    let unknown = || Measured::unknown(format!("needs {LEAST_FLIGHTS} flights"));
    let not_achieved: Vec<usize> = (0..rows.len())
        .filter(|i| {
            rows[*i]
                .not_achieved
                .iter()
                .any(|id| id == yardstick.measure)
        })
        .collect();
    let counted = |(i, p): &(usize, ProgressPoint)| Met {
        attempt: *i,
        probability: scale.met(yardstick, p, step),
        weight: usable::weight(yardstick.measure, p.value, p.low, p.high),
    };
    let not_met = |i: &usize| Met {
        attempt: *i,
        probability: 0.0,
        weight: 1.0,
    };
    let met = met_share(
        points
            .iter()
            .map(counted)
            .chain(not_achieved.iter().map(not_met)),
    );
    let too_wide = points
        .iter()
        .filter(|(_, p)| !usable::can_tell(yardstick.measure, p.value, p.low, p.high))
        .count();
    MeasureProgress {
        measure: yardstick.measure.into(),
        label: info.map_or(yardstick.measure, |info| info.label).into(),
        unit: info.map_or("", |info| info.unit).into(),
        better: yardstick.better.word().into(),
        yardstick: yardstick.limit,
        yardstick_source: yardstick.source.clone(),
        attempts: points.len() as u32,
        not_achieved: not_achieved.len() as u32,
        not_measured: (rows.len() - points.len() - not_achieved.len()) as u32,
        too_wide: too_wide as u32,
        met_share_missing: met.as_ref().err().cloned(),
        met_share: met.ok(),
        first: ends.map_or_else(unknown, |(first, _)| scale.mean(&first)),
        last: ends.map_or_else(unknown, |(_, last)| scale.mean(&last)),
        difference: ends.map_or_else(unknown, |(first, last)| scale.difference(&first, &last)),
        probability_better: ends
            .filter(|_| directed)
            .map(|(first, last)| last.less(&first).below_zero()),
        trend_per_ten: line.map_or_else(unknown, |line| scale.change(&line, centre, 10.0)),
        course: "too_few".into(),
        probability_improving: line.filter(|_| directed).map(|line| line.below_zero()),
        points: points.into_iter().map(|(_, p)| p).collect(),
    }
}

/// One attempt against the yardstick.
#[derive(Debug, Clone, Copy)]
struct Met {
    /// Its number.
    attempt: usize,
    /// Probability that it is within.
    probability: f64,
    /// How much it counts.
    weight: f64,
}

/// Share of the last of `met`, or why there is none.
fn met_share(met: impl Iterator<Item = Met>) -> Result<f64, String> {
    let mut met: Vec<Met> = met.collect();
    if met.len() < LAST {
        return Err(format!("needs {LAST} attempts; there are {}", met.len()));
    }
    met.sort_by_key(|met| met.attempt);
    let last = &met[met.len() - LAST..];
    let weights: f64 = last.iter().map(|met| met.weight).sum();
    if weights < LEAST_COUNTED {
        return Err(format!(
            "the last {LAST} are known too vaguely: they count as {weights:.1}, and {LEAST_COUNTED:.1} are needed"
        ));
    }
    let within = last.iter().map(|met| met.weight * met.probability);
    Ok(within.sum::<f64>() / weights)
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
        // above a floor is not yet well: much height in hand is an overshoot
        .filter(|m| m.1 >= 0.5 && m.0.better != Better::AtLeast.word())
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
