//! The attempts' path as GPX 1.1.

use std::fmt::Write as _;

use super::super::svg::escape;
use super::super::words;
use super::{aim, altitude_m, name, said, steps};
use crate::debrief::document::Debrief;

/// A track for each attempt, and its key points as waypoints; altitudes are above mean sea level.
pub fn path_gpx(debrief: &Debrief) -> String {
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <gpx version=\"1.1\" creator=\"{}\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
        escape(&debrief.program)
    );
    if let Some((name, latitude, longitude)) = aim(debrief) {
        let _ = writeln!(
            out,
            "<wpt lat=\"{latitude:.7}\" lon=\"{longitude:.7}\"><ele>{:.1}</ele><name>{}</name></wpt>",
            altitude_m(debrief, 0.0),
            escape(&name)
        );
    }
    for attempt in &debrief.attempts {
        for point in &attempt.key_points {
            let (Some(utc), Some(height)) = (point.utc.value(), point.height_ft.value()) else {
                continue;
            };
            let _ = writeln!(
                out,
                "<wpt lat=\"{:.7}\" lon=\"{:.7}\"><ele>{:.1}</ele><time>{}</time><name>{}</name><desc>{}</desc></wpt>",
                point.latitude_deg,
                point.longitude_deg,
                altitude_m(debrief, height),
                escape(&utc),
                escape(&format!(
                    "{}, attempt {}",
                    words::key_point_name(point),
                    attempt.number
                )),
                escape(&said(point))
            );
        }
    }
    for attempt in &debrief.attempts {
        let _ = writeln!(out, "<trk><name>{}</name><trkseg>", escape(&name(attempt)));
        for (latitude, longitude, height, utc) in steps(attempt) {
            let _ = writeln!(
                out,
                "<trkpt lat=\"{latitude:.7}\" lon=\"{longitude:.7}\"><ele>{:.1}</ele><time>{}</time></trkpt>",
                altitude_m(debrief, height),
                escape(utc)
            );
        }
        out.push_str("</trkseg></trk>\n");
    }
    out.push_str("</gpx>\n");
    out
}
