//! The attempts for a globe: KML 2.2 (OGC 07-147r2) with time, `gx:Track`.

use std::fmt::Write as _;

use super::super::svg::escape;
use super::super::words;
use super::{aim, altitude_m, name, said, steps};
use crate::debrief::document::{Attempt, Debrief};

/// The path as a dark line, the ground within glide as a pale field; colours are `aabbggrr`.
const STYLES: &str = "<Style id=\"path\"><LineStyle><color>ff802010</color><width>4</width></LineStyle></Style>\n\
                      <Style id=\"within\"><LineStyle><color>ff003ca6</color><width>2</width></LineStyle>\
                      <PolyStyle><color>40cfe7f6</color></PolyStyle></Style>\n";

/// A folder for each attempt: its track with time, its key points and the ground within glide; and the aim.
pub fn kml(debrief: &Debrief) -> String {
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\">\n\
         <Document><name>{}</name><description>{}</description>\n{STYLES}",
        escape(&debrief.recording.file),
        escape(&debrief.cautions.join(" "))
    );
    if let Some((name, latitude, longitude)) = aim(debrief) {
        let _ = writeln!(
            out,
            "<Placemark><name>{}</name><Point><coordinates>{longitude:.7},{latitude:.7},{:.1}</coordinates></Point></Placemark>",
            escape(&name),
            altitude_m(debrief, 0.0)
        );
    }
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
        "<Folder><name>{title}</name>\n<Placemark><name>{title}</name><styleUrl>#path</styleUrl><gx:Track>\
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
            "<Placemark><name>{}</name><description>{}</description><TimeStamp><when>{}</when></TimeStamp><Point>\
             <altitudeMode>absolute</altitudeMode><coordinates>{:.7},{:.7},{:.1}</coordinates></Point></Placemark>",
            escape(&words::key_point_name(point)),
            escape(&said(point)),
            escape(&utc),
            point.longitude_deg,
            point.latitude_deg,
            altitude_m(debrief, height)
        );
    }
    within_glide(out, attempt);
    out.push_str("</Folder>\n");
}

/// The ground within glide at the power reduction, flat on the ground, counter-clockwise as in a map.
fn within_glide(out: &mut String, attempt: &Attempt) {
    let ring = crate::report::geojson::ring(&attempt.in_hand.within_glide_deg);
    if ring.len() < 4 {
        return;
    }
    let corners: Vec<String> = ring
        .iter()
        .map(|corner| format!("{:.7},{:.7}", corner[0], corner[1]))
        .collect();
    let _ = writeln!(
        out,
        "<Placemark><name>Within glide at the power reduction, attempt {}</name><styleUrl>#within</styleUrl>\
         <Polygon><outerBoundaryIs><LinearRing><coordinates>{}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>",
        attempt.number,
        corners.join(" ")
    );
}
