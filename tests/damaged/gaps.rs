//! Gaps: a key point in one is not measured, nor what rests on it; the rest of the attempt is.

use stillprop::debrief::document::Attempt;

use super::{debriefed, key_point, recording, utc_s};

/// The attempt of a sample without the fixes within `half_s` of its key point of this kind, and the warnings.
fn with_gap_at(file: &str, kind: &str, half_s: f64) -> (Attempt, Vec<String>) {
    let mut damaged = recording(file);
    let good = debriefed(&damaged, file);
    let at_s = utc_s(key_point(&good.attempts[0], kind));
    damaged.fixes.retain(|f| (f.utc_s - at_s).abs() > half_s);
    let mut debrief = debriefed(&damaged, file);
    (debrief.attempts.swap_remove(0), debrief.warnings)
}

#[track_caller]
fn not_measured(attempt: &Attempt, id: &str) {
    let measured = &attempt.measures[id];
    assert!(measured.value().is_none(), "{id}: {measured:?}");
    let reason = measured.reason().unwrap();
    assert!(
        reason.starts_with("the recording has a gap of ") && reason.ends_with(" s here"),
        "{id}: {reason}"
    );
}

#[test]
fn abeam_in_a_gap_is_not_measured() {
    let (attempt, warnings) = with_gap_at("two-orbits-avionics.csv", "abeam", 6.0);
    for id in [
        "abeam_height_ft",
        "abeam_distance_ft",
        "height_in_hand_at_abeam_ft",
    ] {
        not_measured(&attempt, id);
    }
    let abeam = key_point(&attempt, "abeam");
    assert!(abeam.utc.value().is_none() && abeam.height_ft.value().is_none());
    for id in [
        "power_reduction_height_ft",
        "descent_rate_fpm",
        "base_turn_height_ft",
    ] {
        assert!(attempt.measures[id].value().is_some(), "{id}");
    }
    let named = warnings
        .iter()
        .filter(|w| w.contains("in attempt 1") && w.contains("gap of 1"))
        .count();
    assert_eq!(named, 1, "{warnings:?}");
}

#[test]
fn a_touchdown_in_a_gap_is_not_measured() {
    let (attempt, _) = with_gap_at("two-orbits-avionics.csv", "touchdown", 10.0);
    for id in ["touchdown_along_ft", "touchdown_cas_kt", "glide_time_s"] {
        assert!(attempt.measures[id].value().is_none(), "{id}");
    }
}

#[test]
fn the_time_of_the_power_reduction_stands_and_its_height_does_not() {
    let (attempt, _) = with_gap_at("two-orbits-avionics.csv", "power_reduction", 6.0);
    not_measured(&attempt, "power_reduction_height_ft");
    let point = key_point(&attempt, "power_reduction");
    assert!(point.utc.value().is_some() && point.height_ft.value().is_none());
}

#[test]
fn three_seconds_without_fixes_are_no_gap() {
    let (attempt, warnings) = with_gap_at("two-orbits-avionics.csv", "abeam", 1.6);
    assert!(attempt.measures["abeam_height_ft"].value().is_some());
    // this recording has a dropout of its own, of 21 s
    let gaps = warnings.iter().filter(|w| w.contains("has a gap"));
    assert!(
        gaps.clone().all(|w| w.contains("gap of 21 s")),
        "{warnings:?}"
    );
}
