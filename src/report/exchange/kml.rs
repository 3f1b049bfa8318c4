//! The attempts for a globe: KML 2.2 (OGC 07-147r2) with time, `gx:Track`.

use std::fmt::Write as _;

use super::super::svg::escape;
use super::super::words;
use super::{altitude_m, name, steps};
use crate::debrief::document::{Attempt, Debrief};

/// A folder for each attempt: its track with time, and its key points.
pub fn kml(debrief: &Debrief) -> String {
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\">\n\
         <Document><name>{}</name><description>{}</description>\n",
        escape(&debrief.recording.file),
        escape(&debrief.cautions.join(" "))
    );
    for attempt in &debrief.attempts {
        folder(&mut out, debrief, attempt);
    }
    out.push_str("</Document></kml>\n");
    out
}

fn folder(out: &mut String, debrief: &Debrief, attempt: &Attempt) {
    let title = escape(&name(attempt));
    let _ = write!(
        out,
        "<Folder><name>{title}</name>\n<Placemark><name>{title}</name><gx:Track>\
         <altitudeMode>absolute</altitudeMode>\n"
    );
    for (.., utc) in steps(attempt) {
        let _ = writeln!(out, "<when>{}</when>", escape(utc));
    }
    for (latitude, longitude, height, _) in steps(attempt) {
        let altitude = altitude_m(debrief, height);
        let _ = writeln!(
            out,
            "<gx:coord>{longitude:.7} {latitude:.7} {altitude:.1}</gx:coord>"
        );
    }
    out.push_str("</gx:Track></Placemark>\n");
    for point in &attempt.key_points {
        let (Some(utc), Some(height)) = (point.utc.value(), point.height_ft.value()) else {
            continue;
        };
        let _ = writeln!(
            out,
            "<Placemark><name>{}</name><TimeStamp><when>{}</when></TimeStamp><Point>\
             <altitudeMode>absolute</altitudeMode><coordinates>{:.7},{:.7},{:.1}</coordinates></Point></Placemark>",
            escape(&words::key_point_name(point)),
            escape(&utc),
            point.longitude_deg,
            point.latitude_deg,
            altitude_m(debrief, height)
        );
    }
    out.push_str("</Folder>\n");
}
