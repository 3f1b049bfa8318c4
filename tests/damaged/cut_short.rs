//! Recordings that stop before the flight does.

use stillprop::debrief::document::Ending;

use super::{debriefed, key_point, recording, utc_s};

#[test]
fn a_recording_cut_near_the_ground_is_no_go_around() {
    for (file, before_s) in [
        ("low-slow-landed-short.gpx", 2.0),
        ("low-slow-landed-short.gpx", 5.0),
        ("one-orbit-landed-long.igc", 4.0),
        ("two-orbits-avionics.csv", 1.0),
        ("two-orbits-avionics.csv", 3.0),
    ] {
        let mut cut = recording(file);
        let touchdown_s = utc_s(key_point(&debriefed(&cut, file).attempts[0], "touchdown"));
        cut.fixes.retain(|f| f.utc_s < touchdown_s - before_s);
        let debrief = debriefed(&cut, file);
        let attempt = debrief.attempts.first();
        assert_eq!(
            attempt.map(|a| a.ending),
            Some(Ending::EndOfRecording),
            "{file}, {before_s} s before the touchdown: {:?}",
            debrief.not_attempts
        );
        let along = attempt.map(|a| &a.measures["touchdown_along_ft"]);
        assert_eq!(
            along.and_then(|m| m.reason()),
            Some("the recording stops before a touchdown")
        );
    }
}
