//! Files as recorders write them.

use std::fmt::Write as _;

use super::flight::Flight;
use super::receiver::{Fix, Format, Receiver};

const KT: f64 = 1852.0 / 3600.0;
const FT: f64 = 0.3048;

/// The bytes of the recording.
pub fn write(receiver: &Receiver, flight: &Flight, fixes: &[Fix]) -> Vec<u8> {
    match receiver.format {
        Format::Gpx => gpx(receiver, fixes),
        Format::Igc => igc(receiver, flight, fixes),
        Format::Phone => phone(receiver, fixes),
        Format::Avionics => avionics(receiver, fixes),
    }
    .into_bytes()
}

/// Year, month, day, hour, minute, second of a time since 1970 (E. G. Richards, Calendars, 2013).
pub fn calendar(utc_s: f64) -> (i64, i64, i64, i64, i64, f64) {
    let days = (utc_s / 86_400.0).floor();
    let of_day = utc_s - 86_400.0 * days;
    let j = days as i64 + 2_440_588;
    let f = j + 1401 + (((4 * j + 274_277) / 146_097) * 3) / 4 - 38;
    let e = 4 * f + 3;
    let g = (e % 1461) / 4;
    let h = 5 * g + 2;
    let day = (h % 153) / 5 + 1;
    let month = (h / 153 + 2) % 12 + 1;
    let year = e / 1461 - 4716 + (14 - month) / 12;
    let (hour, rest) = ((of_day / 3600.0).floor(), of_day.rem_euclid(3600.0));
    let minute = (rest / 60.0).floor();
    (
        year,
        month,
        day,
        hour as i64,
        minute as i64,
        rest - 60.0 * minute,
    )
}

/// RFC 3339 with so many decimals of a second.
pub fn rfc3339(utc_s: f64, decimals: usize) -> String {
    let power = 10f64.powi(decimals as i32);
    let (y, mo, d, h, m, s) = calendar((utc_s * power).round() / power + 1e-7);
    let width = if decimals == 0 { 2 } else { 3 + decimals };
    let s = (s * power).floor() / power;
    format!("{y:04}-{mo:02}-{d:02}T{h:02}:{m:02}:{s:0width$.decimals$}Z")
}

fn gpx(receiver: &Receiver, fixes: &[Fix]) -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"simulated recorder\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:x=\"urn:simulated:extension\">\n<trk><trkseg>\n",
    );
    let decimals = if receiver.height_step_m < 0.5 { 1 } else { 0 };
    for f in fixes {
        let time = rfc3339(f.stamp_utc_s, if receiver.whole_seconds { 0 } else { 3 });
        let _ = write!(
            out,
            "<trkpt lat=\"{:.6}\" lon=\"{:.6}\"><ele>{:.*}</ele><time>{time}</time>",
            f.latitude_deg, f.longitude_deg, decimals, f.altitude_m
        );
        if receiver.has_velocity {
            let _ = write!(
                out,
                "<extensions><x:speed>{:.2}</x:speed><x:course>{:.1}</x:course></extensions>",
                f.speed_mps, f.course_deg
            );
        }
        out.push_str("</trkpt>\n");
    }
    out.push_str("</trkseg></trk>\n</gpx>\n");
    out
}

fn igc_angle(value: f64, width: usize, signs: [char; 2]) -> String {
    let thousandths = (value.abs() * 60_000.0).round() as i64;
    let sign = if value < 0.0 { signs[1] } else { signs[0] };
    format!(
        "{:0width$}{:05}{sign}",
        thousandths / 60_000,
        thousandths % 60_000
    )
}

fn igc(receiver: &Receiver, flight: &Flight, fixes: &[Fix]) -> String {
    let (y, mo, d, ..) = calendar(flight.plan.start_utc_s);
    let mut out = format!(
        "AXXXSIM\nHFDTEDATE:{d:02}{mo:02}{:02},01\nHFDTMGPSDATUM:WGS84\n",
        y % 100
    );
    if receiver.says_datum {
        let _ = writeln!(
            out,
            "HFALGALTGPS:{}",
            if receiver.ellipsoid { "ELL" } else { "GEO" }
        );
    }
    let mut at = 36;
    let mut codes: Vec<(&str, usize)> = vec![("FXA", 3)];
    if receiver.has_engine {
        codes.push(("ENL", 3));
    }
    if receiver.has_velocity {
        codes.extend([("GSP", 3), ("TRT", 3)]);
    }
    let _ = write!(out, "I{:02}", codes.len());
    for (code, len) in &codes {
        let _ = write!(out, "{at:02}{:02}{code}", at + len - 1);
        at += len;
    }
    out.push('\n');
    for f in fixes {
        let (.., h, m, s) = calendar(f.stamp_utc_s + 1e-6);
        let pressure = if f.pressure_m.is_finite() {
            f.pressure_m
        } else {
            0.0
        };
        let altitude = |v: f64| {
            if v < 0.0 {
                format!("-{:04.0}", -v)
            } else {
                format!("{v:05.0}")
            }
        };
        let _ = write!(
            out,
            "B{h:02}{m:02}{:02}{}{}A{}{}{:03}",
            s as i64,
            igc_angle(f.latitude_deg, 2, ['N', 'S']),
            igc_angle(f.longitude_deg, 3, ['E', 'W']),
            altitude(pressure.round()),
            altitude(f.altitude_m.round()),
            4
        );
        if receiver.has_engine {
            let _ = write!(out, "{:03.0}", f.noise);
        }
        if receiver.has_velocity {
            let _ = write!(
                out,
                "{:03.0}{:03.0}",
                (f.speed_mps * 3.6).min(999.0),
                f.course_deg.round() % 360.0
            );
        }
        out.push('\n');
    }
    out
}

fn phone(receiver: &Receiver, fixes: &[Fix]) -> String {
    let datum = match (receiver.says_datum, receiver.ellipsoid) {
        (true, true) => "Altitude ellipsoid (m)",
        (true, false) => "Altitude MSL (m)",
        _ => "Altitude (m)",
    };
    let mut out = format!("Timestamp (ms),Latitude (deg),Longitude (deg),{datum}");
    if receiver.pressure.is_some() {
        out.push_str(",Pressure altitude (ft)");
    }
    out.push_str(",Speed (m/s),Course (deg),Vertical speed (m/s)\n");
    for f in fixes {
        let _ = write!(
            out,
            "{:.0},{:.7},{:.7},{:.2}",
            f.stamp_utc_s * 1000.0,
            f.latitude_deg,
            f.longitude_deg,
            f.altitude_m
        );
        if receiver.pressure.is_some() {
            let _ = write!(out, ",{:.0}", f.pressure_m / FT);
        }
        let _ = writeln!(
            out,
            ",{:.2},{:.1},{:.2}",
            f.speed_mps, f.course_deg, f.climb_mps
        );
    }
    out
}

fn avionics(receiver: &Receiver, fixes: &[Fix]) -> String {
    let mut out = String::from("utc,lat_deg,lon_deg,alt_msl_ft,gs_kt,trk_true_deg,vs_fpm");
    if receiver.pressure.is_some() {
        out.push_str(",alt_press_ft");
    }
    if receiver.airspeed.is_some() {
        out.push_str(if receiver.airspeed_is_true {
            ",tas_kt"
        } else {
            ",ias_kt"
        });
    }
    if receiver.has_engine {
        out.push_str(",rpm");
    }
    out.push('\n');
    for f in fixes {
        let time = rfc3339(f.stamp_utc_s, if receiver.whole_seconds { 0 } else { 3 });
        let _ = write!(
            out,
            "{time},{:.6},{:.6},{:.0},{:.1},{:.1},{:.0}",
            f.latitude_deg,
            f.longitude_deg,
            f.altitude_m / FT,
            f.speed_mps / KT,
            f.course_deg,
            f.climb_mps / FT * 60.0
        );
        if receiver.pressure.is_some() {
            let _ = write!(out, ",{:.0}", f.pressure_m / FT);
        }
        if receiver.airspeed.is_some() {
            let _ = write!(out, ",{:.1}", f.airspeed_mps / KT);
        }
        if receiver.has_engine {
            let _ = write!(out, ",{:.0}", f.rpm);
        }
        out.push('\n');
    }
    out
}
