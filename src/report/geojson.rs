//! The document as GeoJSON (RFC 7946): path, key points, ground within glide, fields and aim.

use serde_json::{Value, json};

use super::exchange::name;
use super::words;
use crate::debrief::document::{Attempt, Debrief};
use crate::quantity::Measured;

/// One feature collection for the whole recording; longitude first, right-handed rings.
pub fn geojson(debrief: &Debrief) -> String {
    let mut features: Vec<Value> = Vec::new();
    let reference = &debrief.reference;
    if let (Some(latitude), Some(longitude)) =
        (reference.aim_latitude_deg, reference.aim_longitude_deg)
    {
        let properties = json!({
            "what": "aim",
            "name": reference.aim_name.as_deref().unwrap_or("aim"),
            "landing_true_deg": reference.landing_true_deg,
        });
        features.push(feature(&point(latitude, longitude), &properties));
    }
    for attempt in &debrief.attempts {
        features.extend(of_attempt(attempt));
    }
    let mut text = json!({ "type": "FeatureCollection", "features": features }).to_string();
    text.push('\n');
    text
}

fn of_attempt(attempt: &Attempt) -> Vec<Value> {
    let number = attempt.number;
    let series = &attempt.series;
    let path: Vec<Value> = series
        .longitude_deg
        .iter()
        .zip(&series.latitude_deg)
        .filter(|(longitude, latitude)| longitude.is_finite() && latitude.is_finite())
        .map(|(longitude, latitude)| position(*latitude, *longitude))
        .collect();
    let mut features = Vec::new();
    if path.len() > 1 {
        features.push(feature(
            &json!({ "type": "LineString", "coordinates": path }),
            &json!({ "what": "path", "name": name(attempt), "attempt": number, "ending": words::ending(attempt.ending) }),
        ));
    }
    let ring = ring(&attempt.in_hand.within_glide_deg);
    if ring.len() > 3 {
        features.push(feature(
            &json!({ "type": "Polygon", "coordinates": [ring] }),
            &json!({
                "what": "within_glide_at_power_reduction",
                "name": format!("within glide at the power reduction, attempt {number}"),
                "attempt": number,
            }),
        ));
    }
    for key_point in &attempt.key_points {
        features.push(feature(
            &point(key_point.latitude_deg, key_point.longitude_deg),
            &json!({
                "what": "key_point",
                "attempt": number,
                "name": format!("{}, attempt {number}", words::key_point_name(key_point)),
                "kind": key_point.kind,
                "utc": key_point.utc,
                "height_ft": in_tenths(&key_point.height_ft),
            }),
        ));
    }
    for field in &attempt.in_hand.fields {
        features.push(feature(
            &point(field.latitude_deg, field.longitude_deg),
            &json!({
                "what": "field",
                "attempt": number,
                "name": field.name,
                "probability": field.probability,
                "arrival_height_ft": in_tenths(&field.arrival_height_ft),
                "within_reach_s": in_tenths(&field.within_reach_s),
            }),
        ));
    }
    features
}

fn feature(geometry: &Value, properties: &Value) -> Value {
    json!({ "type": "Feature", "geometry": geometry, "properties": properties })
}

fn point(latitude_deg: f64, longitude_deg: f64) -> Value {
    json!({ "type": "Point", "coordinates": position(latitude_deg, longitude_deg) })
}

/// Longitude, latitude, to a centimetre.
fn position(latitude_deg: f64, longitude_deg: f64) -> Value {
    json!([centimetres(longitude_deg), centimetres(latitude_deg)])
}

/// Degrees to a centimetre.
fn centimetres(degrees: f64) -> f64 {
    (degrees * 1e7).round() / 1e7
}

/// Value and interval in tenths, as the document has them.
fn in_tenths(measured: &Measured) -> Value {
    let tenths = |v: f64| (v * 10.0).round() / 10.0;
    match measured {
        Measured::Known { value, low, high } => {
            json!({ "value": tenths(*value), "low": tenths(*low), "high": tenths(*high) })
        }
        unknown @ Measured::Unknown { .. } => json!(unknown),
    }
}

/// A closed ring, counter-clockwise: the corners of the document run clockwise. Longitude, latitude, degrees.
pub(super) fn ring(corners_deg: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let first = corners_deg.first();
    first
        .into_iter()
        .chain(corners_deg.iter().rev())
        .filter(|c| c[0].is_finite() && c[1].is_finite())
        .map(|c| [centimetres(c[1]), centimetres(c[0])])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_is_closed_and_counter_clockwise() {
        // north, east, south: clockwise
        let ring = ring(&[[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0]]);
        let places: Vec<(f64, f64)> = ring.iter().map(|p| (p[0], p[1])).collect();
        assert_eq!(places.first(), places.last());
        let area: f64 = places
            .windows(2)
            .map(|w| w[0].0 * w[1].1 - w[1].0 * w[0].1)
            .sum();
        assert!(area > 0.0, "{places:?}");
        assert!(super::ring(&[]).is_empty());
    }
}
