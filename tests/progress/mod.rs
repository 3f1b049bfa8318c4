//! What is said about pilots whose flying is known.

mod chance;
mod few;

use std::collections::BTreeMap;

use stillprop::logbook::AttemptRow;
use stillprop::progress::{MeasureProgress, pilot};

/// Attempt `k` of flight `flight`, with one figure or none: value, low, high.
fn attempt(flight: i64, k: i64, measure: &'static str, figure: Option<[f64; 3]>) -> AttemptRow {
    let start = jiff::Timestamp::from_second(1_767_607_200).unwrap();
    let s = flight * 7 * 86_400 + k * 600;
    AttemptRow {
        id: 100 * flight + k,
        recording_id: flight,
        recording: format!("flight-{flight}.igc"),
        number: k as u32 + 1,
        utc: (start + jiff::SignedDuration::from_secs(s)).to_string(),
        registration: None,
        pilot: Some("P-07".into()),
        aim: None,
        ending: "touchdown".into(),
        confidence: 1.0,
        abeam_target_ft: None,
        figures: figure
            .map(|f| (measure, f))
            .into_iter()
            .collect::<BTreeMap<_, _>>(),
        not_achieved: Vec::new(),
    }
}

/// A value with its standard deviation as a figure.
fn figure(value: f64, sd: f64) -> [f64; 3] {
    [value, value - 1.959_964 * sd, value + 1.959_964 * sd]
}

/// What is said of the one measure that these attempts have.
fn followed(rows: &[AttemptRow]) -> MeasureProgress {
    let mut report = pilot("P-07", rows).unwrap();
    assert_eq!(report.measures.len(), 1);
    report.measures.remove(0)
}
