//! A straight glide does not show the wind: the figures that need it come out wide, and every report says so.

use stillprop::debrief::Options;
use stillprop::debrief::document::{Attempt, Debrief};
use stillprop::report;

use super::{debriefed, without};
use crate::truth::goals::least_inside;
use crate::truth::scoring::score;
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
    attempt.reduction_m = if shape == Shape::StraightIn {
        4900.0
    } else {
        1500.0
    };
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

/// Truth inside the interval, of each attempt that was found.
fn holds_truth(r: &Recorded, document: &Debrief, seed: u64) -> Option<bool> {
    let value = serde_json::to_value(document).unwrap();
    score(r, &value, seed)
        .rows
        .iter()
        .find(|row| row.figure == "final_cas_mean_kt")
        .map(|row| row.low <= 0.0 && row.high >= 0.0)
}

/// With nothing but the ground speed along one line, airspeed is as uncertain as what was expected of it and of the
/// wind leave it. The interval may be somewhat narrower, for sink at idle says a little about airspeed.
#[test]
fn a_straight_glide_leaves_airspeed_as_wide_as_what_was_expected_and_says_so() {
    let (speed, wind) = PRIOR_SD_KT;
    let left_kt = 1.96 * speed * wind / speed.hypot(wind);
    let mut held = Vec::new();
    for seed in 1..=12 {
        let r = glide(seed, Shape::StraightIn);
        let debrief = debrief(&r);
        let attempt = &debrief.attempts[0];
        let (_, half_kt) = final_cas(attempt).unwrap();
        assert!(
            half_kt > 0.6 * left_kt,
            "seed {seed}: ±{half_kt} kt, ±{left_kt} without the track"
        );
        let remark = attempt.remarks.iter().find(|r| r.ends_with(WORDS));
        assert!(
            remark.is_some_and(|r| r.starts_with("the glide turned only ")),
            "seed {seed}"
        );
        held.extend(holds_truth(&r, &debrief, seed));
    }
    let inside = held.iter().filter(|held| **held).count();
    assert!(
        inside >= least_inside(held.len(), 0.95),
        "{inside} of {}",
        held.len()
    );
}

#[test]
fn orbits_tell_wind_from_airspeed() {
    for seed in 1..=6 {
        let debrief = debrief(&glide(seed, Shape::Overhead));
        let attempt = &debrief.attempts[0];
        let (low, high) = attempt.measures["glide_cas_mean_kt"].interval().unwrap();
        assert!(high - low < 6.0, "seed {seed}: {low} to {high}");
        assert!(
            !attempt.remarks.iter().any(|r| r.contains("turned only")),
            "seed {seed}"
        );
    }
}

#[test]
fn a_reported_wind_helps_and_the_remark_says_that_airspeed_rests_on_it() {
    let mut r = glide(1, Shape::StraightIn);
    let (_, alone_kt) = final_cas(&debrief(&r).attempts[0]).unwrap();
    let [east, north] = r.flight.plan.wind.surface_mps;
    let from_deg = (-east).atan2(-north).to_degrees().rem_euclid(360.0).round();
    let kt = (east.hypot(north) * 3600.0 / 1852.0).round();
    let wind = format!("[air]\nwind_from_deg_true = {from_deg:.1}\nwind_kt = {kt:.1}\n");
    r.briefing = r.briefing.replace("[air]\n", &wind);
    let debrief = debrief(&r);
    let (_, helped_kt) = final_cas(&debrief.attempts[0]).unwrap();
    assert!(
        helped_kt < 0.8 * alone_kt,
        "±{helped_kt} kt, ±{alone_kt} kt without"
    );
    let remarks = &debrief.attempts[0].remarks;
    let told = remarks
        .iter()
        .any(|r| r.ends_with("airspeed rests on the wind reported; fly one orbit"));
    assert!(told, "{remarks:?}");
}

#[test]
fn sheet_page_and_table_say_it() {
    let debrief = debrief(&glide(1, Shape::StraightIn));
    let sheet = seen(&report::sheet_svg(
        &debrief,
        0,
        &report::SheetOptions::default(),
    ));
    let page = seen(&report::page_html(&debrief));
    for text in [sheet, page, report::summary_table(&debrief)] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(WORDS), "{text}");
    }
}
