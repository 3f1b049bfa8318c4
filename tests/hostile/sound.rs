//! What every debrief holds, whatever was recorded: each figure is a number, each interval is in order
//! and holds its value, probabilities are probabilities, and the reports can be made of it.

use jiff::Timestamp;
use serde_json::Value;
use stillprop::debrief::document::Debrief;
use stillprop::report::{self, SheetOptions, exchange};

/// All that is wrong with `debrief`, one line each, with the path of the value.
pub fn faults(debrief: &Debrief) -> Vec<String> {
    let mut faults = Vec::new();
    match serde_json::to_value(debrief) {
        Ok(value) => {
            walk(&value, "", &mut faults);
            // A number that is none is written as null: it does not come back as it was.
            match serde_json::from_value::<Debrief>(value) {
                Ok(again) if again == *debrief => {}
                Ok(_) => faults.push("the document does not come back from JSON as it was".into()),
                Err(error) => faults.push(format!("the document cannot be read back: {error}")),
            }
        }
        Err(error) => faults.push(format!("the document cannot be written: {error}")),
    }
    for (number, attempt) in debrief.attempts.iter().enumerate() {
        let series = &attempt.series;
        let steps = series.utc.len();
        for (name, length) in [
            ("height_ft", series.height_ft.len()),
            ("cas_kt", series.cas_kt.len()),
            ("descent_rate_fpm", series.descent_rate_fpm.len()),
            ("height_in_hand_ft", series.height_in_hand_ft.len()),
        ] {
            if length != steps {
                faults.push(format!("attempt {number}: {name} has {length} of {steps}"));
            }
        }
    }
    faults
}

/// Makes every report of `debrief`; what is wrong with them.
pub fn report_faults(debrief: &Debrief) -> Vec<String> {
    let mut texts = vec![
        ("document", report::document_json(debrief)),
        ("page", report::page_html(debrief)),
        ("table", report::summary_table(debrief)),
        ("geojson", report::geojson(debrief)),
        ("kml", exchange::kml(debrief)),
        ("gpx", exchange::path_gpx(debrief)),
        ("csv", exchange::path_csv(debrief)),
    ];
    let sheet = SheetOptions::default();
    for index in 0..debrief.attempts.len().max(1) {
        texts.push(("sheet", report::sheet_svg(debrief, index, &sheet)));
        texts.extend(report::stage_check_svg(debrief, index).map(|form| ("form", form)));
    }
    let mut faults = Vec::new();
    for (name, text) in &texts {
        // As the formatter writes a number that is none, where a number stands.
        for nonsense in ["NaN", "\"inf", ">inf", " inf ", "-inf"] {
            if let Some(at) = text.find(nonsense) {
                let around = text.get(at.saturating_sub(40)..(at + 20).min(text.len()));
                faults.push(format!("{name}: `{nonsense}` in {around:?}"));
            }
        }
    }
    match serde_json::from_str::<Debrief>(&texts[0].1) {
        Ok(rounded) => faults.extend(
            faults_of_intervals(&rounded)
                .into_iter()
                .map(|fault| format!("document, rounded: {fault}")),
        ),
        Err(error) => faults.push(format!("document: {error}")),
    }
    faults
}

fn faults_of_intervals(debrief: &Debrief) -> Vec<String> {
    let mut faults = Vec::new();
    if let Ok(value) = serde_json::to_value(debrief) {
        walk(&value, "", &mut faults);
    }
    faults
}

fn walk(value: &Value, path: &str, faults: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            if let (Some(value), Some(low), Some(high)) = (
                members.get("value"),
                members.get("low"),
                members.get("high"),
            ) && !in_order(path, value, low, high)
            {
                faults.push(format!("{path}: {value} is not in {low}..{high}"));
            }
            for (name, member) in members {
                let is_share = ["probability", "confidence", "share_inside"]
                    .contains(&name.as_str())
                    || name.ends_with("_probability");
                if is_share && member.as_f64().is_some_and(|p| !(0.0..=1.0).contains(&p)) {
                    faults.push(format!("{path}.{name}: {member} is no probability"));
                }
                walk(member, &format!("{path}.{name}"), faults);
            }
            stretch(members, path, faults);
        }
        Value::Array(members) => {
            for (index, member) in members.iter().enumerate() {
                walk(member, &format!("{path}[{index}]"), faults);
            }
        }
        _ => {}
    }
}

/// A stretch of time does not end before it starts.
fn stretch(members: &serde_json::Map<String, Value>, path: &str, faults: &mut Vec<String>) {
    if let (Some(Value::String(from)), Some(Value::String(to))) =
        (members.get("from_utc"), members.get("to_utc"))
        && instant(from)
            .zip(instant(to))
            .is_none_or(|(from, to)| from > to)
    {
        faults.push(format!("{path}: from {from} to {to}"));
    }
}

fn instant(text: &str) -> Option<Timestamp> {
    text.parse().ok()
}

fn in_order(path: &str, value: &Value, low: &Value, high: &Value) -> bool {
    match (value, low, high) {
        // The interval of a direction may pass through north.
        (Value::Number(_), Value::Number(_), Value::Number(_))
            if path.ends_with("from_deg_true") =>
        {
            true
        }
        (Value::Number(value), Value::Number(low), Value::Number(high)) => {
            match (value.as_f64(), low.as_f64(), high.as_f64()) {
                (Some(value), Some(low), Some(high)) => low <= value && value <= high,
                _ => false,
            }
        }
        (Value::String(value), Value::String(low), Value::String(high)) => {
            match (instant(value), instant(low), instant(high)) {
                (Some(value), Some(low), Some(high)) => low <= value && value <= high,
                _ => false,
            }
        }
        // A standard's bounds beside a value that is told as words have no order.
        _ => value.is_null(),
    }
}
