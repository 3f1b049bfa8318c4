//! The attempts for maps: RFC 7946, coordinates longitude, latitude, altitude (m).

use serde_json::{Value, json};

use super::super::words;
use super::{altitude_m, name, steps};
use crate::debrief::document::{Attempt, Debrief};
use crate::geodesy::LocalFrame;
use crate::units::M_PER_FT;

/// A collection of the aim, each attempt's path and key points, and the ground within glide.
pub fn geojson(debrief: &Debrief) -> String {
    let reference = &debrief.reference;
    let mut features = Vec::new();
    if let (Some(latitude), Some(longitude)) =
        (reference.aim_latitude_deg, reference.aim_longitude_deg)
    {
        features.push(feature(
            &json!({"type": "Point", "coordinates": place(debrief, latitude, longitude, 0.0)}),
            &json!({
                "kind": "aim",
                "name": reference.aim_name.as_deref().map(words::printable),
                "landing_true_deg": reference.landing_true_deg,
            }),
        ));
    }
    for attempt in &debrief.attempts {
        features.extend(of_attempt(debrief, attempt));
    }
    let collection = json!({"type": "FeatureCollection", "features": features});
    format!("{collection}\n")
}

fn of_attempt(debrief: &Debrief, attempt: &Attempt) -> Vec<Value> {
    let (mut line, mut times) = (Vec::new(), Vec::new());
    for (latitude, longitude, height, utc) in steps(attempt) {
        line.push(place(debrief, latitude, longitude, height));
        times.push(utc);
    }
    let mut out = Vec::new();
    if line.len() > 1 {
        out.push(feature(
            &json!({"type": "LineString", "coordinates": line}),
            &json!({"kind": "path", "attempt": attempt.number, "name": name(attempt), "times": times}),
        ));
    }
    for point in &attempt.key_points {
        let (Some(utc), Some(height)) = (point.utc.value(), point.height_ft.value()) else {
            continue;
        };
        let at = place(debrief, point.latitude_deg, point.longitude_deg, height);
        out.push(feature(
            &json!({"type": "Point", "coordinates": at}),
            &json!({
                "kind": point.kind,
                "attempt": attempt.number,
                "name": words::key_point_name(point),
                "utc": utc,
                "height_ft": point.height_ft,
                "cas_kt": point.cas_kt,
            }),
        ));
    }
    out.extend(ring(debrief, attempt));
    out
}

/// The ground within glide at the power reduction, as a closed polygon.
fn ring(debrief: &Debrief, attempt: &Attempt) -> Option<Value> {
    let reference = &debrief.reference;
    let frame = LocalFrame::new(
        reference.aim_latitude_deg?,
        reference.aim_longitude_deg?,
        reference.aim_elevation_ft.unwrap_or(0.0) * M_PER_FT,
    );
    let mut corners: Vec<[f64; 2]> = attempt
        .glide_ring_ft
        .iter()
        .filter(|c| c.iter().all(|x| x.is_finite()))
        .map(|[east, north]| {
            let (latitude, longitude) =
                frame.to_latitude_longitude(east * M_PER_FT, north * M_PER_FT);
            [degrees(longitude), degrees(latitude)]
        })
        .collect();
    // RFC 7946: the outer ring runs counterclockwise and ends where it began
    let twice_area: f64 = (0..corners.len())
        .map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
            a[0] * b[1] - b[0] * a[1]
        })
        .sum();
    if twice_area < 0.0 {
        corners.reverse();
    }
    corners.push(*corners.first()?);
    (corners.len() > 3).then(|| {
        feature(
            &json!({"type": "Polygon", "coordinates": [corners]}),
            &json!({
                "kind": "within_glide_at_power_reduction",
                "attempt": attempt.number,
                "name": "Ground within glide at the power reduction",
            }),
        )
    })
}

fn feature(geometry: &Value, properties: &Value) -> Value {
    json!({"type": "Feature", "geometry": geometry, "properties": properties})
}

fn place(debrief: &Debrief, latitude: f64, longitude: f64, height_ft: f64) -> [f64; 3] {
    let altitude = altitude_m(debrief, height_ft);
    [
        degrees(longitude),
        degrees(latitude),
        (altitude * 10.0).round() / 10.0,
    ]
}

/// Seven decimals of a degree: a centimetre.
fn degrees(value: f64) -> f64 {
    (value * 1e7).round() / 1e7
}
