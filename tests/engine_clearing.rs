//! Bursts of power in the glide: shown, and no end of the attempt.

use jiff::Timestamp;
use stillprop::briefing;
use stillprop::debrief::document::Debrief;
use stillprop::debrief::{Options, debrief};
use stillprop::reading::{ReadOptions, read};

use super::truth::simulator::flight::{Flight, fly};
use super::truth::simulator::plan::{Clearing, Plan, Shape};
use super::truth::simulator::random::Random;
use super::truth::simulator::receiver::{Format, Receiver};
use super::truth::simulator::{Recorded, record_with};

/// Bursts of five seconds, one a minute.
const CLEARING: Clearing = Clearing {
    every_s: 60.0,
    for_s: 5.0,
    throttle: 0.6,
};

/// The flight of `seed`, one glide from overhead, with these bursts, recorded at 1 Hz with ground velocity.
fn recorded(seed: u64, clearing: Option<Clearing>) -> Recorded {
    let mut plan = Plan::draw(&mut Random::new(seed, 1));
    plan.attempts.truncate(1);
    let attempt = &mut plan.attempts[0];
    attempt.shape = Shape::Overhead;
    attempt.height_m = 1000.0;
    attempt.reduction_m = 1500.0;
    attempt.clearing = clearing;
    let flight = fly(&plan, &mut Random::new(seed, 2));
    let mut rng = Random::new(seed, 3);
    let receiver = Receiver {
        format: Format::Phone,
        rate_hz: 1.0,
        has_velocity: true,
        has_engine: false,
        whole_seconds: false,
        ..Receiver::draw(&mut rng)
    };
    record_with(seed, flight, receiver, &mut rng)
}

fn debriefed(r: &Recorded) -> Debrief {
    let recording = read(&r.bytes, &r.file_name, &ReadOptions::default()).unwrap();
    let notes = briefing::parse(&r.briefing, "simulated").unwrap();
    debrief(&recording, &notes, "", &Options::default()).unwrap()
}

/// Starts of the bursts as flown, s on the recording's clock.
fn flown(flight: &Flight) -> Vec<f64> {
    let event = &flight.attempts[0];
    flight
        .samples
        .windows(2)
        .filter(|w| w[0].t_s > event.closed_s + 20.0)
        .filter(|w| event.end_s().is_none_or(|end| w[1].t_s < end - 20.0))
        .filter(|w| w[0].throttle < 0.05 && w[1].throttle > 0.3)
        .map(|w| w[1].t_s)
        .collect()
}

fn found(debrief: &Debrief, clock_s: f64) -> Vec<f64> {
    debrief.attempts[0]
        .key_points
        .iter()
        .filter(|k| k.kind == "engine_clearing")
        .map(|k| {
            let utc: Timestamp = k.utc.value().unwrap().parse().unwrap();
            utc.as_millisecond() as f64 / 1000.0 - clock_s
        })
        .collect()
}

#[test]
fn bursts_are_shown_and_do_not_end_the_attempt() {
    let (mut there, mut seen, mut wrong) = (0, 0, 0);
    for seed in 1..=10 {
        let r = recorded(seed, Some(CLEARING));
        let debrief = debriefed(&r);
        assert_eq!(debrief.attempts.len(), 1, "seed {seed}");
        let starts = flown(&r.flight);
        let shown = found(&debrief, r.flight.plan.start_utc_s + r.stamp_shift_s);
        let near = |t: &f64, all: &[f64]| all.iter().any(|s| (s - t).abs() < 6.0);
        there += starts.len();
        seen += starts.iter().filter(|t| near(t, &shown)).count();
        wrong += shown.iter().filter(|t| !near(t, &starts)).count();
    }
    assert!(
        there >= 15,
        "the simulated pilots cleared the engine {there} times"
    );
    assert!(10 * seen >= 8 * there, "{seen} of {there} shown");
    assert!(
        10 * wrong <= there,
        "{wrong} shown that were none, of {there}"
    );
}

#[test]
fn without_bursts_none_is_shown() {
    let shown: usize = (1..=10)
        .map(|seed| found(&debriefed(&recorded(seed, None)), 0.0).len())
        .sum();
    assert!(shown <= 1, "{shown} in ten glides");
}
