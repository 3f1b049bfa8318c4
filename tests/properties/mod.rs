//! Properties that hold whatever was flown: figures change only as geometry says when a flight is moved,
//! turned or mirrored, and noise never makes an interval narrower.
//!
//! The flights are the simulator's, changed as fixes and briefing, not as text. The seed of the draws is the
//! same, but after a turn or a reflection the draws fall differently on east and north: such figures may
//! differ by what the number of draws explains. [`comparing`] says how much that is.

mod comparing;
mod moving;
mod noise;

use stillprop::briefing::{self, Briefing};
use stillprop::debrief::document::Debrief;
use stillprop::debrief::{Options, debrief};
use stillprop::geodesy::LocalFrame;
use stillprop::reading::{AltitudeDatum, ReadOptions, Recording, read};

use crate::truth::simulator::flight::fly;
use crate::truth::simulator::plan::{Plan, Shape};
use crate::truth::simulator::random::Random;
use crate::truth::simulator::receiver::{Format, Receiver};
use crate::truth::simulator::record_with;

/// A recording with its briefing.
#[derive(Debug, Clone)]
struct Flight {
    recording: Recording,
    briefing: Briefing,
}

/// A glide from overhead, recorded at 1 Hz, heights above mean sea level.
fn flight(seed: u64, format: Format, lands: bool) -> Flight {
    let mut plan = Plan::draw(&mut Random::new(seed, 1));
    plan.attempts.truncate(1);
    let attempt = &mut plan.attempts[0];
    attempt.shape = Shape::Overhead;
    attempt.height_m = 800.0;
    attempt.reduction_m = 900.0;
    attempt.go_around_m = (!lands).then_some(60.0);
    attempt.touch_and_go_s = None;
    let flown = fly(&plan, &mut Random::new(seed, 2));
    let mut rng = Random::new(seed, 3);
    let receiver = Receiver {
        format,
        rate_hz: 1.0,
        has_velocity: format != Format::Gpx,
        ellipsoid: false,
        says_datum: true,
        whole_seconds: false,
        faults: (0, 0, 0),
        ..Receiver::draw(&mut rng)
    };
    let r = record_with(seed, flown, receiver, &mut rng);
    let mut recording = read(&r.bytes, &r.file_name, &ReadOptions::default()).unwrap();
    recording.gnss_datum = AltitudeDatum::MeanSeaLevel;
    Flight {
        recording,
        briefing: briefing::parse(&r.briefing, "briefing.toml").unwrap(),
    }
}

impl Flight {
    fn debriefed(&self) -> Debrief {
        let options = Options {
            draws: comparing::DRAWS,
            seed: 1,
            standard: None,
        };
        debrief(&self.recording, &self.briefing, "", &options).unwrap()
    }

    fn aim_deg(&self) -> (f64, f64) {
        let aim = &self.briefing.aim;
        (aim.latitude_deg.unwrap(), aim.longitude_deg.unwrap())
    }

    /// Every place moved within the plane through the aim: east and north to east and north, m.
    fn in_plane(&self, change: impl Fn(f64, f64) -> (f64, f64)) -> Flight {
        let (latitude_deg, longitude_deg) = self.aim_deg();
        let frame = LocalFrame::new(latitude_deg, longitude_deg, 0.0);
        let mut out = self.clone();
        for fix in &mut out.recording.fixes {
            let (east_m, north_m) = frame.to_east_north_m(fix.latitude_deg, fix.longitude_deg);
            let (east_m, north_m) = change(east_m, north_m);
            (fix.latitude_deg, fix.longitude_deg) = frame.to_latitude_longitude(east_m, north_m);
        }
        out
    }

    /// Every direction changed: of motion, of landing, of the wind, degrees.
    fn directions(mut self, change: impl Fn(f64) -> f64) -> Flight {
        let turned = |deg: f64| change(deg).rem_euclid(360.0);
        for fix in &mut self.recording.fixes {
            fix.track_deg_true = fix.track_deg_true.map(|d| turned(f64::from(d)) as f32);
            fix.bank_deg = None;
        }
        let (aim, air) = (&mut self.briefing.aim, &mut self.briefing.air);
        aim.landing_true_deg = aim.landing_true_deg.map(&turned);
        air.wind_from_deg_true = air.wind_from_deg_true.map(&turned);
        self
    }
}
