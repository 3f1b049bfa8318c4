//! What tells an attempt from an approach with power.

use super::*;

/// A plain attempt from 1,000 ft.
fn attempt() -> Candidate {
    Candidate {
        start_s: 100.0,
        end_s: 190.0,
        end: CandidateEnd::Ground,
        start_height_m: 305.0,
        low_height_m: 1.0,
        low_distance_m: 100.0,
        drop_mps: 6.0,
        mean_power_mps: -0.3,
        powered_share: 0.0,
        engine_powered_share: None,
        climb_before_mps: 0.0,
        climbs_after: false,
        flies_on: false,
        after_glide_s: None,
        confidence: 0.0,
        reason: None,
    }
}

fn judged(mut c: Candidate) -> Candidate {
    judge(&mut c, true);
    c
}

#[test]
fn a_plain_attempt_needs_no_reason() {
    let c = judged(attempt());
    assert!(c.confidence > 0.95 && c.reason.is_none(), "{c:?}");
}

#[test]
fn every_candidate_that_is_not_counted_says_why() {
    let others = [
        (
            "without a climb",
            Candidate {
                end: CandidateEnd::PowerBack,
                low_height_m: 150.0,
                ..attempt()
            },
        ),
        (
            "starts from about 500 ft",
            Candidate {
                start_height_m: 90.0,
                ..attempt()
            },
        ),
        (
            "idle for only 9 s",
            Candidate {
                end_s: 109.0,
                ..attempt()
            },
        ),
        (
            "a descent at idle",
            Candidate {
                low_height_m: 700.0,
                ..attempt()
            },
        ),
        (
            "NM from the aim",
            Candidate {
                low_distance_m: 9000.0,
                ..attempt()
            },
        ),
        (
            "power was on for 40 %",
            Candidate {
                powered_share: 0.4,
                mean_power_mps: 1.2,
                ..attempt()
            },
        ),
    ];
    for (said, candidate) in others {
        let c = judged(candidate);
        let reason = c.reason.unwrap_or_default();
        assert!(c.confidence < 0.7 && reason.contains(said), "{reason}");
    }
}

#[test]
fn a_second_cut_of_one_descent_is_an_approach_with_power() {
    let again = Candidate {
        after_glide_s: Some(25.0),
        climb_before_mps: -1.9,
        start_height_m: 400.0,
        mean_power_mps: -1.5,
        ..attempt()
    };
    let c = judged(again.clone());
    assert!(c.confidence < 0.7, "{c:?}");
    assert!(c.reason.is_some_and(|r| r.contains("of the same descent")));
    // after level flight it may well be one
    let level = judged(Candidate {
        climb_before_mps: 0.0,
        ..again
    });
    assert!(level.confidence > 0.7, "{level:?}");
}
