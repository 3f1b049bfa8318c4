//! A straight glide does not show the wind: the figures that need it come out wide, and every report says so.

use stillprop::debrief::Options;
use stillprop::debrief::document::{Attempt, Debrief};
use stillprop::report;

use super::{debriefed, without};
use crate::truth::simulator::flight::fly;
use crate::truth::simulator::plan::{Plan, Shape};
use crate::truth::simulator::random::Random;
use crate::truth::simulator::receiver::{Format, Receiver};
use crate::truth::simulator::{Recorded, record_with};

const WORDS: &str = "wind cannot be told from airspeed; give a METAR or fly one orbit";
/// Prior of the glide's airspeed about best glide and of a wind nobody reported, kt, as the fit has them.
const PRIOR_SD_KT: (f64, f64) = (6.4, 13.6);

/// A single glide by a phone at 1 Hz with ground velocity, nothing known of the wind, and of the recording
/// only the glide and half a minute before it: nothing else shows the wind.
fn glide(seed: u64, shape: Shape) -> Recorded {
    let mut plan = Plan::draw(&mut Random::new(seed, 1));
    plan.attempts.truncate(1);
    let attempt = &mut plan.attempts[0];
    attempt.shape = shape;
    attempt.height_m = 700.0;
    attempt.reduction_m = if shape == Shape::StraightIn { 4900.0 } else { 1500.0 };
    attempt.go_around_m = Some(90.0);
    let flight = fly(&plan, &mut Random::new(seed, 2));
    let mut rng = Random::new(seed, 3);
    let receiver = Receiver {
        format: Format::Phone,
        rate_hz: 1.0,
        has_velocity: true,
        has_engine: false,
        faults: (0, 0, 0),
        ..Receiver::draw(&mut rng)
    };
    let mut r = record_with(seed, flight, receiver, &mut rng);
    let event = r.flight.attempts[0];
    let kept_s = (event.closing_s - 30.0, event.end_s().unwrap() + 8.0);
    let clock_s = r.flight.plan.start_utc_s + r.stamp_shift_s;
    let text = String::from_utf8(r.bytes).unwrap();
    let mut lines = text.lines();
    let mut cut = lines.next().unwrap().to_owned() + "\n";
    for line in lines {
        let stamp_ms: f64 = line.split(',').next().unwrap().parse().unwrap();
        let t_s = stamp_ms / 1000.0 - clock_s;
        if t_s > kept_s.0 && t_s < kept_s.1 {
            cut += &format!("{line}\n");
        }
    }
    r.bytes = cut.into_bytes();
    r.briefing = without(&r.briefing, &["wind_from_deg_true", "wind_kt"]);
    r
}

fn debrief(r: &Recorded) -> Debrief {
    debriefed(&r.bytes, &r.file_name, &r.briefing, &Options::default())
}

/// Value, and half of its interval.
fn final_cas(attempt: &Attempt) -> Option<(f64, f64)> {
    let m = &attempt.measures["final_cas_mean_kt"];
    let (low, high) = m.interval()?;
    Some((m.value()?, 0.5 * (high - low)))
}

/// What a reader of a drawing or page sees, in one line.
fn seen(markup: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in markup.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn probe() {
    for seed in 1..=12 {
        for shape in [Shape::StraightIn, Shape::Overhead] {
            let r = glide(seed, shape);
            let d = debrief(&r);
            let w = &r.flight.plan.wind;
            for a in &d.attempts {
                println!("{seed} {shape:?} {:?} {:?} wind {:?}", final_cas(a), a.remarks, w.surface_mps);
                println!("   {:?} {:?}", a.measures["glide_cas_mean_kt"], a.wind.first().map(|w| (&w.north_kt, &w.east_kt)));
            }
        }
    }
}
