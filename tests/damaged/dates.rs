//! A clock that was wrong for some fixes.

use super::{debriefed, recording};

const SAMPLE: &str = "go-around-500-ft.gpx";
const YEAR_S: f64 = 365.0 * 86_400.0;

#[test]
fn a_fix_a_year_away_is_left_out_and_said() {
    let good = debriefed(&recording(SAMPLE), SAMPLE);
    for (wrong, by_s) in [(0, -YEAR_S), (usize::MAX, YEAR_S)] {
        let mut damaged = recording(SAMPLE);
        let last = damaged.fixes.len() - 1;
        let wrong = wrong.min(last);
        damaged.fixes[wrong].utc_s += by_s;
        let line = damaged.fixes[wrong].line;
        let debrief = debriefed(&damaged, SAMPLE);
        assert_eq!(debrief.recording.fixes, good.recording.fixes - 1);
        assert_eq!(debrief.recording.dropped, good.recording.dropped + 1);
        assert_eq!(debrief.attempts.len(), good.attempts.len());
        let said = format!("(line {line}");
        assert!(
            debrief
                .warnings
                .iter()
                .any(|w| w.starts_with("fixes hours or days away") && w.contains(&said)),
            "{:?}",
            debrief.warnings
        );
    }
}
