//! Nobody is accused where recording and briefing are right.

use super::{FEW, accusations, debriefed, sample};
use crate::truth::reference::flights;
use crate::truth::simulator::record;

#[test]
fn the_samples_with_their_own_briefings() {
    for file in [
        "one-orbit-landed-long.igc",
        "two-orbits-avionics.csv",
        "go-around-500-ft.gpx",
        "low-slow-landed-short.gpx",
        "three-attempts-circuits.csv",
        "strong-wind-two-go-arounds.csv",
    ] {
        let (bytes, notes) = sample(file);
        let debrief = debriefed(&bytes, file, &notes, &FEW);
        assert_eq!(accusations(&debrief), Vec::<&str>::new(), "{file}");
    }
}

/// The reference recordings slow enough to be debriefed quickly; the others differ in their rate only.
#[test]
fn reference_recordings_of_one_fix_a_second_or_fewer() {
    let mut looked_at = 0;
    for recording in flights().unwrap().iter().flat_map(|f| &f.recordings) {
        if recording.rate_hz <= 1.0 && looked_at < 16 {
            looked_at += 1;
            let (bytes, notes) = recording.read().unwrap();
            let debrief = debriefed(&bytes, &recording.file, &notes, &FEW);
            assert_eq!(
                accusations(&debrief),
                Vec::<&str>::new(),
                "{}",
                recording.file
            );
        }
    }
    assert!(looked_at == 16, "{looked_at} recordings");
}

#[test]
fn simulated_flights() {
    let accused: Vec<String> = (301..=312)
        .flat_map(|seed| {
            let r = record(seed);
            let debrief = debriefed(&r.bytes, &r.file_name, &r.briefing, &FEW);
            let told = accusations(&debrief);
            told.iter()
                .map(|w| format!("{}: {w}", r.file_name))
                .collect::<Vec<_>>()
        })
        .collect();
    assert_eq!(accused, Vec::<String>::new());
}
