//! What is said about height in hand, held against reference flights.

use jiff::Timestamp;
use stillprop::briefing;
use stillprop::debrief::document::{Attempt, Debrief};
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};

use super::truth::reference::{Attempt as Flown, Recording, flights};

/// One recording of every third flight, debriefed, with what was flown.
fn debriefed() -> Vec<(Attempt, f64)> {
    let mut out = Vec::new();
    for flight in flights().unwrap().iter().step_by(3) {
        let Some(recording) = flight.recordings.first() else {
            continue;
        };
        let document = document(recording);
        for attempt in document.attempts {
            let start_s = seconds(attempt.key_points.first().and_then(|k| k.utc.value()));
            let near = |flown: &&Flown| {
                let flown_s =
                    flight.start_utc_s + recording.stamps_late_s + flown.power_reduction_s;
                (start_s - flown_s).abs() < 30.0
            };
            let flown = flight.attempts.iter().find(near);
            if let Some(touchdown) = flown.and_then(|f| f.touchdown.as_ref()) {
                out.push((attempt, touchdown.along_ft));
            }
        }
    }
    out
}

fn document(recording: &Recording) -> Debrief {
    let (bytes, briefing) = recording.read().unwrap();
    let briefing = briefing::parse(&briefing, "briefing").unwrap();
    let read = read(&bytes, &recording.file, &ReadOptions::default()).unwrap();
    let options = Options {
        draws: 60,
        ..Options::default()
    };
    debrief(&read, &briefing, "", &options).unwrap()
}

fn seconds(utc: Option<String>) -> f64 {
    utc.and_then(|u| u.parse::<Timestamp>().ok())
        .map_or(f64::NAN, |t| t.as_millisecond() as f64 / 1000.0)
}

#[test]
fn projections_hold_the_touchdown_and_know_more_nearer_to_it() {
    let flown = debriefed();
    assert!(flown.len() >= 8, "{} landings", flown.len());
    let (mut inside, mut all) = (0, 0);
    let mut widths = [Vec::new(), Vec::new()];
    for (attempt, along_ft) in &flown {
        let projections = &attempt.in_hand.projections;
        for pair in projections.windows(2) {
            let times = [&pair[0], &pair[1]].map(|p| seconds(p.utc.value()));
            assert!(times[0] <= times[1], "{times:?}");
            assert!(pair[1].moved_ft.is_some());
        }
        for p in projections {
            let (low, high) = p.along_ft.interval().unwrap();
            inside += usize::from((low..=high).contains(along_ft));
            all += 1;
            match p.judged_at.as_str() {
                "abeam" => widths[0].push(high - low),
                "on_final" => widths[1].push(high - low),
                _ => {}
            }
        }
    }
    // 95 % are meant to; with fewer than thirty projections of a dozen landings, 80 % is what chance allows
    assert!(10 * inside >= 8 * all, "{inside} of {all}");
    let [abeam, on_final] = widths.map(|mut w: Vec<f64>| {
        w.sort_by(f64::total_cmp);
        w.get(w.len() / 2).copied().unwrap_or(f64::NAN)
    });
    assert!(
        on_final < 0.75 * abeam,
        "intervals {abeam:.0} ft wide abeam, {on_final:.0} ft on final"
    );
}

#[test]
fn height_in_hand_is_within_its_band_and_the_story_is_whole() {
    for (attempt, _) in debriefed() {
        let series = &attempt.series;
        let mut known = 0;
        for ((value, low), high) in series
            .height_in_hand_ft
            .iter()
            .zip(&series.height_in_hand_low_ft)
            .zip(&series.height_in_hand_high_ft)
        {
            assert_eq!(value.is_some(), low.is_some());
            if let (Some(value), Some(low), Some(high)) = (value, low, high) {
                assert!(low <= value && value <= high);
                known += 1;
            }
        }
        assert!(known > 20, "{known} heights in hand");
        let story = &attempt.in_hand;
        assert_eq!(story.rests_on.len(), 3);
        assert!(story.within_glide_deg.len() > 40);
        assert!(story.time_budget.iter().any(|t| t.what == "touchdown"));
        for danger in &story.dangers {
            assert!((0.7..=1.0).contains(&danger.probability));
        }
    }
}
