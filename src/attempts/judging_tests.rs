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
    judge(&mut c, true, 0.0);
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
fn a_recording_that_ends_high_up_is_not_said_to_level_off() {
    let c = judged(Candidate {
        end: CandidateEnd::Recording,
        low_height_m: 700.0,
        ..attempt()
    });
    let reason = c.reason.unwrap();
    assert!(reason.contains("the recording ends at 2297 ft"), "{reason}");
    // nor is power of no time named as what speaks against it
    let idle = judged(Candidate {
        start_height_m: 190.0,
        climb_before_mps: -2.0,
        ..attempt()
    });
    let reason = idle.reason.unwrap();
    assert!(
        reason.contains("approach with power: it began in a descent, it began as low as 623 ft"),
        "{reason}"
    );
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
    assert!(
        c.reason
            .is_some_and(|r| r.contains("an earlier idle stretch"))
    );
    // after level flight it may well be one
    let level = judged(Candidate {
        climb_before_mps: 0.0,
        ..again
    });
    assert!(level.confidence > 0.7, "{level:?}");
}

#[test]
fn lengths_heights_and_distances_at_their_bounds() {
    let of = |change: fn(&mut Candidate)| {
        let mut c = attempt();
        change(&mut c);
        judged(c).reason.unwrap_or_default()
    };
    assert!(of(|c| c.end_s = c.start_s + 13.0).contains("idle for only 13 s"));
    assert!(!of(|c| c.end_s = c.start_s + 16.0).contains("idle for only"));
    assert!(of(|c| c.end_s = c.start_s + 2460.0).contains("idle for 41 min"));
    assert_eq!(of(|c| c.end_s = c.start_s + 2340.0), "");
    assert!(of(|c| c.low_height_m = 310.0).contains("levelled off or climbed away"));
    assert_eq!(of(|c| c.low_height_m = 300.0), "");
    assert!(of(|c| c.low_distance_m = 4600.0).contains("from the aim"));
    assert_eq!(of(|c| c.low_distance_m = 4400.0), "");
}

#[test]
fn what_speaks_for_an_attempt_and_what_against() {
    let odds = |change: fn(&mut Candidate)| {
        let mut c = attempt();
        c.start_height_m = 270.0;
        c.drop_mps = 4.0;
        change(&mut c);
        evidence(&c, 0.0).iter().map(|e| e.nats).sum::<f64>()
    };
    let plain = odds(|_| {});
    assert!(
        odds(|c| c.start_height_m = 320.0) > plain && odds(|c| c.start_height_m = 220.0) < plain
    );
    assert!(odds(|c| c.drop_mps = 6.0) > plain && odds(|c| c.drop_mps = 2.0) < plain);
    assert!(
        odds(|c| c.climb_before_mps = 0.4) > plain && odds(|c| c.climb_before_mps = -2.0) < plain
    );
    assert!(odds(|c| c.powered_share = 0.1) < plain);
    assert!(odds(|c| c.mean_power_mps = 1.0) < plain);
    assert!(odds(|c| c.engine_powered_share = Some(0.0)) > plain);
    assert!(odds(|c| c.engine_powered_share = Some(1.0)) < plain);
}

#[test]
fn a_polar_that_is_off_makes_no_glide_an_approach_with_power() {
    // idle seems to give 1.3 m/s in all glides: that is the handbook's ratio, not the engine
    let seen = |power: f64| Candidate {
        mean_power_mps: power,
        start_height_m: 280.0,
        climb_before_mps: -0.5,
        ..attempt()
    };
    let mut alone = [seen(1.3)];
    judge_all(&mut alone, true);
    assert!(alone[0].confidence < 0.75, "{alone:?}");
    assert!(
        alone[0]
            .reason
            .as_ref()
            .is_some_and(|r| r.contains("256 ft/min less than idle")),
        "{alone:?}"
    );
    let mut all = [seen(1.3), seen(1.4), seen(1.5)];
    judge_all(&mut all, true);
    assert!(all.iter().all(|c| c.confidence > 0.8), "{all:?}");
    // one plain glide among approaches with power leaves them what they are
    let mut mixed = [seen(0.0), seen(1.3), seen(1.4)];
    judge_all(&mut mixed, true);
    assert!(
        mixed[0].confidence > 0.9 && mixed[1].confidence < 0.75,
        "{mixed:?}"
    );
}

#[test]
fn log_odds_by_hand() {
    let odds = |change: fn(&mut Candidate)| {
        let mut c = attempt();
        (c.start_height_m, c.drop_mps, c.mean_power_mps) = (270.0, 4.0, 0.0);
        change(&mut c);
        EVEN + evidence(&c, 0.0).iter().map(|e| e.nats).sum::<f64>()
    };
    let is = |found: f64, want: f64| assert!((found - want).abs() < 1e-9, "{found}, not {want}");
    is(odds(|_| {}), 3.0);
    is(odds(|c| c.start_height_m = 320.0), 4.3);
    is(odds(|c| c.start_height_m = 900.0), 5.6);
    is(odds(|c| c.drop_mps = 6.0), 3.4);
    is(odds(|c| c.drop_mps = 20.0), 3.6);
    is(odds(|c| c.drop_mps = -9.0), 2.4);
    is(odds(|c| c.powered_share = 0.2), 0.8);
    is(odds(|c| c.climb_before_mps = -1.0), 1.4);
    is(odds(|c| c.climb_before_mps = 3.0), 3.8);
    is(odds(|c| c.mean_power_mps = 1.0), 1.1);
    // flap that brakes is no better sign of idle than idle
    is(odds(|c| c.mean_power_mps = -5.0), 3.0 + 1.9 * 0.7);
    is(odds(|c| c.engine_powered_share = Some(0.1)), 4.5);
    is(odds(|c| c.engine_powered_share = Some(1.0)), 0.0);
    // soon after another idle stretch: worse in one long descent, and nothing after 50 s
    is(odds(|c| c.after_glide_s = Some(25.0)), 1.9);
    let again = |c: &mut Candidate| (c.after_glide_s, c.climb_before_mps) = (Some(25.0), -1.0);
    is(odds(again), 1.4 - 5.0);
    is(odds(|c| c.after_glide_s = Some(51.0)), 3.0);
    let later = |c: &mut Candidate| (c.after_glide_s, c.climb_before_mps) = (Some(51.0), -1.0);
    is(odds(later), 1.4);
    // and the confidence is what such odds make
    let c = judged(Candidate {
        start_height_m: 270.0,
        drop_mps: 4.0,
        mean_power_mps: 0.0,
        powered_share: 0.2,
        ..attempt()
    });
    assert!((c.confidence - 1.0 / (1.0 + (-0.8f64).exp())).abs() < 1e-9);
    // 0.69: told as an approach with power; not descending, it is not said to be
    let reason = c.reason.unwrap();
    assert!(
        reason.ends_with("with power: power was on for 20 % of it"),
        "{reason}"
    );
    let soon = judged(Candidate {
        start_height_m: 270.0,
        climb_before_mps: -1.0,
        after_glide_s: Some(60.0),
        powered_share: 0.2,
        ..attempt()
    });
    let reason = soon.reason.unwrap();
    assert!(reason.ends_with(", it began in a descent"), "{reason}");
}

#[test]
fn the_idle_of_a_recording_by_hand() {
    let plain = |power: f64| Candidate {
        mean_power_mps: power,
        ..attempt()
    };
    // the least of two, less what is ordinary
    assert!((idle_mps(&[plain(1.3), plain(1.6)]) - 0.8).abs() < 1e-12);
    assert_eq!(idle_mps(&[plain(3.0), plain(3.0)]), MOST_IDLE_MPS);
    assert_eq!(idle_mps(&[plain(0.4), plain(1.6)]), 0.0);
    assert_eq!(idle_mps(&[plain(1.3)]), 0.0, "one tells nothing");
    assert_eq!(idle_mps(&[plain(1.3), plain(f64::NAN)]), 0.0);
    // too short, hardly begun, or with power in it
    for other in [
        Candidate {
            end_s: 125.0,
            ..plain(1.3)
        },
        Candidate {
            drop_mps: 2.0,
            ..plain(1.3)
        },
        Candidate {
            powered_share: 0.1,
            ..plain(1.3)
        },
    ] {
        assert_eq!(idle_mps(&[other.clone(), other]), 0.0);
    }
}
