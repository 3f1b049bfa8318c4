//! Classes of recorders: how often they wrote, and what they wrote beside the position.

use serde_json::Value;

/// What a recorder may have written beside position and altitude, with the channels that say so.
const CHANNELS: [(&str, &[&str]); 4] = [
    ("velocity", &["ground_velocity"]),
    ("pressure altitude", &["pressure_altitude"]),
    ("engine channel", &["engine_rpm", "engine_noise"]),
    ("airspeed", &["tas", "ias"]),
];

/// Name of the class that holds every recording.
pub const ALL: &str = "all";

/// Names of the classes by rate, slowest first, from the rates that occur.
pub fn by_rate(rates_hz: impl Iterator<Item = f64>) -> Vec<String> {
    let mut rates: Vec<f64> = rates_hz.collect();
    rates.sort_by(f64::total_cmp);
    rates.dedup();
    rates.into_iter().map(rate).collect()
}

/// Names of the classes by channel, with and without each.
pub fn by_channel() -> Vec<String> {
    CHANNELS
        .iter()
        .flat_map(|(name, _)| [format!("with {name}"), format!("without {name}")])
        .collect()
}

/// The classes of a recording that was debriefed.
pub fn of(rate_hz: f64, document: &Value) -> Vec<String> {
    let there = |names: &[&str]| {
        document["recording"]["channels"]
            .as_array()
            .is_some_and(|channels| {
                channels
                    .iter()
                    .filter_map(Value::as_str)
                    .any(|channel| names.contains(&channel))
            })
    };
    let with = |(name, channels): &(&str, &[&str])| {
        let word = if there(channels) { "with" } else { "without" };
        format!("{word} {name}")
    };
    [ALL.to_owned(), rate(rate_hz)]
        .into_iter()
        .chain(CHANNELS.iter().map(with))
        .collect()
}

fn rate(rate_hz: f64) -> String {
    format!("{rate_hz} Hz")
}
