//! What the user of the recording knows: less than everything, and rounded.

use std::fmt::Write as _;

use super::flight::Flight;
use super::random::Random;
use super::writing::rfc3339;

const KT: f64 = 1852.0 / 3600.0;

/// The briefing as TOML, and the glide speed to hold that it gives, kt.
pub fn write(flight: &Flight, rng: &mut Random) -> (String, Option<f64>) {
    let plan = &flight.plan;
    let a = &plan.aeroplane;
    let mut out = format!(
        "[aim]\nname = \"Simulated field\"\nlatitude_deg = {:.6}\nlongitude_deg = {:.6}\nelevation_ft = {:.0}.0\nlanding_true_deg = {:.0}.0\n",
        plan.aim.latitude_deg,
        plan.aim.longitude_deg,
        plan.elevation_m / 0.3048,
        plan.landing_deg.round() % 360.0
    );
    out.push_str("[air]\n");
    if rng.chance(0.85) {
        let _ = writeln!(out, "qnh_hpa = {:.0}.0", plan.column.qnh_hpa.floor());
    }
    if rng.chance(0.8) {
        let _ = writeln!(
            out,
            "temperature_c = {:.0}.0",
            plan.column.temperature_k - 273.15
        );
    }
    if rng.chance(0.75) {
        let [e, n] = plan.wind.surface_mps;
        let (e, n) = (e / KT + rng.about(0.0, 1.0), n / KT + rng.about(0.0, 1.0));
        let speed = e.hypot(n).round();
        let from = ((-e).atan2(-n).to_degrees().rem_euclid(360.0) / 10.0).round() * 10.0 % 360.0;
        let _ = writeln!(
            out,
            "wind_from_deg_true = {from:.0}.0\nwind_kt = {speed:.0}.0"
        );
    }
    out.push_str("[aircraft]\nregistration = \"Trainer 1\"\n");
    let best = a.handbook_best_mps / KT;
    let mut to_hold = None;
    let reference_lb = (a.weight_n * a.reference_share / 4.448_222).round();
    if rng.chance(0.9) {
        let best = best.round();
        let _ = writeln!(
            out,
            "best_glide_kcas = {best:.0}.0\nreference_weight_lb = {reference_lb:.0}.0"
        );
        to_hold = Some(best);
        if rng.chance(0.7) {
            let weight_lb = (a.weight_n / 4.448_222 * rng.about(1.0, 0.015))
                .round()
                .min(reference_lb);
            let _ = writeln!(out, "weight_lb = {weight_lb:.0}.0");
        }
    }
    if rng.chance(0.8) {
        let _ = writeln!(out, "glide_ratio = {:.1}", a.handbook_ratio);
    }
    if rng.chance(0.8) {
        let stall = a.stall_mps * a.reference_share.sqrt() / KT;
        let _ = writeln!(out, "stall_clean_kcas = {stall:.0}.0");
    }
    let aircraft_end = out.len();
    let _ = writeln!(out, "[targets]\nabeam_height_ft = 1000.0");
    if rng.chance(0.3) {
        for flap_s in flight.attempts.iter().filter_map(|e| e.flap_s) {
            let _ = writeln!(
                out,
                "[[event]]\nutc = \"{}\"\nwhat = \"flap 10\"",
                rfc3339(plan.start_utc_s + flap_s, 0)
            );
        }
    }
    // with half of the flap, at the weight of the handbook; flown is what the flap out asks for, or best glide
    if rng.chance(0.5) {
        let approach = 1.3 * a.stall_at_mps(0.5) * a.reference_share.sqrt() / KT;
        let line = format!("approach_kcas = {approach:.0}.0\n");
        out.insert_str(aircraft_end, &line);
    }
    (out, to_hold)
}
