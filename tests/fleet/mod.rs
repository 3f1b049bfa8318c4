//! What is said about a fleet whose truth is known.

mod abeam;
mod calibration;
mod drawn;
mod history;
mod names;
mod one_bad;
mod reference;

use stillprop::logbook::GlideRow;

/// A clean glide of `registration`: terms as in the logbook, ft.
fn glide(number: i64, registration: &str, utc: &str, terms_ft: [f64; 6]) -> GlideRow {
    GlideRow {
        attempt: number,
        recording: number,
        utc: utc.to_owned(),
        registration: registration.to_owned(),
        kind: None,
        pilot: None,
        confidence: 1.0,
        handbook_best_glide_kcas: Some(70.0),
        best_glide_kcas: Some(68.0),
        handbook_glide_ratio: Some(9.0),
        reference_weight_lb: Some(2300.0),
        abeam_target_ft: Some(1000.0),
        abeam_height_ft: None,
        along_ft: None,
        flap: "clean".to_owned(),
        terms_ft,
        seconds: 120.0,
        tas_over_cas: 1.05,
    }
}
