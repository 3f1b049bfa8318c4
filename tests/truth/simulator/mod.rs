//! A flight simulator for proof: practice forced landings whose truth is known exactly.
//!
//! Its physics shares nothing with the library under test: point-mass gliding flight with its own
//! drag, an imperfect pilot, sheared and gusty air, and recorders with the faults of real ones.
//! Every flight is a function of its seed.

pub mod aeroplane;
pub mod air;
pub mod briefing;
pub mod earth;
pub mod flight;
pub mod pilot;
pub mod plan;
pub mod random;
pub mod receiver;
pub mod truth;
pub mod writing;

use random::Random;

/// One flight, recorded: what the program is given, and the truth it is held against.
#[derive(Debug)]
pub struct Recorded {
    /// File name.
    pub file_name: String,
    /// The recording.
    pub bytes: Vec<u8>,
    /// The briefing, as TOML.
    pub briefing: String,
    /// What recorded it.
    pub receiver: receiver::Receiver,
    /// Stamp of a fix less the instant at which the aeroplane was there, s.
    pub stamp_shift_s: f64,
    /// First and last fix, s on the flight's clock.
    pub span_s: (f64, f64),
    /// Best glide speed at the weight flown by the briefing, kt calibrated.
    pub briefed_best_glide_kcas: Option<f64>,
    /// The flight.
    pub flight: flight::Flight,
}

/// Flies and records the flight of `seed`.
pub fn record(seed: u64) -> Recorded {
    let mut rng = Random::new(seed, 1);
    let plan = plan::Plan::draw(&mut rng);
    let flight = flight::fly(&plan, &mut Random::new(seed, 2));
    let mut rng = Random::new(seed, 3);
    let receiver = receiver::Receiver::draw(&mut rng);
    record_with(seed, flight, receiver, &mut rng)
}

/// Records `flight` with `receiver`.
pub fn record_with(
    seed: u64,
    flight: flight::Flight,
    receiver: receiver::Receiver,
    rng: &mut Random,
) -> Recorded {
    let fixes = receiver::fixes(&receiver, &flight, rng);
    let bytes = writing::write(&receiver, &flight, &fixes);
    let (briefing, briefed_best_glide_kcas) = briefing::write(&flight, rng);
    let span_s = (
        fixes.first().map_or(0.0, |f| f.t_s),
        fixes.last().map_or(0.0, |f| f.t_s),
    );
    Recorded {
        file_name: format!("simulated-{seed}.{}", receiver.format.extension()),
        bytes,
        briefing,
        stamp_shift_s: receiver.stamp_shift_s(),
        receiver,
        span_s,
        briefed_best_glide_kcas,
        flight,
    }
}
