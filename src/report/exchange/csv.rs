//! The path of every attempt as a table, a row a second.

use std::fmt::Write as _;

use super::super::rounding::rounded;
use crate::debrief::document::Debrief;

/// Comma-separated, one header line, empty where a figure is not known.
pub fn path_csv(debrief: &Debrief) -> String {
    let debrief = rounded(debrief);
    let mut out = String::from(
        "attempt,utc,elapsed_s,latitude_deg,longitude_deg,north_ft,east_ft,height_ft,height_low_ft,height_high_ft,\
         cas_kt,cas_low_kt,cas_high_kt,descent_rate_fpm,descent_rate_low_fpm,descent_rate_high_fpm,ground_speed_kt,\
         bank_deg,height_in_hand_ft\n",
    );
    for attempt in &debrief.attempts {
        let s = &attempt.series;
        for (i, utc) in s.utc.iter().enumerate() {
            let _ = write!(out, "{},{}", attempt.number, plain(utc));
            for list in [
                &s.elapsed_s,
                &s.latitude_deg,
                &s.longitude_deg,
                &s.north_ft,
                &s.east_ft,
                &s.height_ft,
                &s.height_low_ft,
                &s.height_high_ft,
                &s.cas_kt,
                &s.cas_low_kt,
                &s.cas_high_kt,
                &s.descent_rate_fpm,
                &s.descent_rate_low_fpm,
                &s.descent_rate_high_fpm,
                &s.ground_speed_kt,
                &s.bank_deg,
            ] {
                cell(&mut out, list.get(i).copied());
            }
            cell(&mut out, s.height_in_hand_ft.get(i).copied().flatten());
            out.push('\n');
        }
    }
    out
}

fn cell(out: &mut String, value: Option<f64>) {
    out.push(',');
    if let Some(value) = value.filter(|v| v.is_finite()) {
        let _ = write!(out, "{value}");
    }
}

/// A time without what would need quotes.
fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_ascii_graphic() && !matches!(c, ',' | '"'))
        .collect()
}
