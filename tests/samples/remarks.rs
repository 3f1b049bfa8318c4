//! What a mean hides is said in words.

use super::SAMPLES;

#[test]
fn the_dive_to_make_a_field_already_lost_is_said_and_no_other_descent_is() {
    for name in SAMPLES {
        let debrief = super::truth::debriefed(name);
        let dives: Vec<&String> = debrief
            .attempts
            .iter()
            .flat_map(|attempt| &attempt.remarks)
            .filter(|remark| remark.starts_with("descended at"))
            .collect();
        if name != "low-slow-landed-short.gpx" {
            assert!(dives.is_empty(), "{name}: {dives:?}");
            continue;
        }
        assert_eq!(dives.len(), 1, "{dives:?}");
        let words: Vec<&str> = dives[0].split(' ').collect();
        let rate_fpm: f64 = words[2].parse().unwrap();
        assert!((3400.0..4000.0).contains(&rate_fpm), "{}", dives[0]);
        assert!(dives[0].contains("above the aim"), "{}", dives[0]);
    }
}
