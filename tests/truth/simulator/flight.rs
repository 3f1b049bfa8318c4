//! The motion: point-mass flight in moving air, wheels on the ground, twenty samples a second.

use super::air::Moving;
use super::pilot::{Command, Pilot, Vertical};
use super::plan::Plan;
use super::random::Random;

/// Standard gravity, m/s².
pub const G0: f64 = 9.806_65;
/// Time between samples, s.
pub const STEP_S: f64 = 0.05;
/// Longest flight, s.
const MOST_S: f64 = 5400.0;

/// The aeroplane at one instant.
#[derive(Debug, Clone, Copy, Default)]
pub struct Sample {
    /// Seconds since the start.
    pub t_s: f64,
    /// East and north of the aim, m.
    pub east_m: f64,
    /// North.
    pub north_m: f64,
    /// Height of the recorder above the aim, m.
    pub height_m: f64,
    /// Motion over the ground, east, north, up, m/s.
    pub velocity_mps: [f64; 3],
    /// Motion of the air, east, north, up, m/s.
    pub wind_mps: [f64; 3],
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Calibrated airspeed, m/s.
    pub cas_mps: f64,
    /// Bank, degrees, right positive.
    pub bank_deg: f64,
    /// Heading through the air, degrees true.
    pub heading_deg: f64,
    /// Load factor.
    pub load: f64,
    /// Thrust lever, 0..1.
    pub throttle: f64,
    /// Engine speed, 1/min.
    pub rpm: f64,
    /// Flap, 0..1.
    pub flap: f64,
    /// Wheels on the ground.
    pub on_ground: bool,
}

/// What happened in one attempt.
#[derive(Debug, Clone, Copy, Default)]
pub struct Events {
    /// The hand begins to close the throttle, s.
    pub closing_s: f64,
    /// The throttle is closed, s.
    pub closed_s: f64,
    /// First flap, s.
    pub flap_s: Option<f64>,
    /// Flare begins, s.
    pub flare_s: Option<f64>,
    /// First contact of the wheels, s, and the sink there, m/s.
    pub touchdown: Option<(f64, f64)>,
    /// The hand begins to open the throttle in the air, s.
    pub go_around_s: Option<f64>,
}

impl Events {
    /// Middle of the closing of the throttle, s.
    pub fn reduction_s(&self) -> f64 {
        f64::midpoint(self.closing_s, self.closed_s)
    }
    /// Touchdown or go-around, s.
    pub fn end_s(&self) -> Option<f64> {
        self.touchdown.map(|t| t.0).or(self.go_around_s)
    }
}

/// A flight as flown.
#[derive(Debug, Clone)]
pub struct Flight {
    /// What was meant.
    pub plan: Plan,
    /// What was flown.
    pub samples: Vec<Sample>,
    /// Attempts in order.
    pub attempts: Vec<Events>,
}

/// The aeroplane as the pilot sees it, in the landing frame: along, right, up.
#[derive(Debug, Clone, Copy)]
pub struct State {
    /// Seconds.
    pub t_s: f64,
    /// Along the landing direction and right of it, m.
    pub place_m: [f64; 2],
    /// Height of the wheels above the ground, m.
    pub height_m: f64,
    /// Motion over the ground, along and right, m/s.
    pub ground_mps: [f64; 2],
    /// Climb, m/s.
    pub climb_mps: f64,
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Calibrated airspeed, m/s.
    pub cas_mps: f64,
    /// Flight path angle through the air, rad.
    pub path_rad: f64,
    /// Heading through the air, relative to the landing direction, rad.
    pub heading_rad: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Thrust over weight.
    pub thrust: f64,
    /// Flap out, 0..1.
    pub flap: f64,
    /// Wheels on the ground.
    pub on_ground: bool,
}

/// Flies `plan`.
pub fn fly(plan: &Plan, rng: &mut Random) -> Flight {
    let mut pilot = Pilot::new(plan, rng);
    let mut air = Moving::new(plan.wind, rng);
    let mut state = pilot.start(plan);
    let mut machine = Machine {
        rpm: 900.0,
        throttle: 0.5,
        bounce_left_s: 0.0,
        vertical_mps: 0.0,
        load: 1.0,
    };
    let mut wind = to_landing(
        air.step(STEP_S, state.height_m + 10.0, rng),
        plan.landing_deg,
    );
    let mut samples = Vec::new();
    while state.t_s < MOST_S {
        let moved = to_landing(
            air.step(STEP_S, state.height_m + 2.0, rng),
            plan.landing_deg,
        );
        let Some(command) = pilot.decide(&state, plan, rng) else {
            break;
        };
        if state.on_ground {
            roll(&mut state, &mut machine, &command, plan, moved);
        } else {
            let touched = soar(&mut state, &mut machine, &command, plan, wind, moved);
            if touched {
                let bounce = pilot.touched(&state, plan);
                state.on_ground = true;
                state.height_m = 0.0;
                state.climb_mps = bounce.unwrap_or(0.0);
                machine.bounce_left_s = if bounce.is_some() { 10.0 } else { 0.0 };
            }
        }
        wind = moved;
        state.t_s += STEP_S;
        samples.push(sample(&state, &machine, plan, wind));
    }
    Flight {
        plan: plan.clone(),
        samples,
        attempts: pilot.events,
    }
}

struct Machine {
    rpm: f64,
    throttle: f64,
    bounce_left_s: f64,
    vertical_mps: f64,
    load: f64,
}

fn to_landing(v: [f64; 3], landing_deg: f64) -> [f64; 3] {
    let (sin, cos) = landing_deg.to_radians().sin_cos();
    [v[0] * sin + v[1] * cos, v[0] * cos - v[1] * sin, v[2]]
}

/// Along and right of the landing direction to east and north.
pub fn to_east_north(along: f64, right: f64, landing_deg: f64) -> (f64, f64) {
    let (sin, cos) = landing_deg.to_radians().sin_cos();
    (along * sin + right * cos, along * cos - right * sin)
}

/// The engine: thrust follows the lever with a lag; the speed of the engine follows both.
fn engine(state: &mut State, machine: &mut Machine, command: &Command, plan: &Plan) {
    let a = &plan.aeroplane;
    machine.throttle = command.throttle;
    let speed = state.tas_mps.max(18.0);
    // an idling propeller pushes a little when slow and brakes a little when fast
    let idle = 0.010 - 0.018 * (state.cas_mps / a.handbook_best_mps).powi(2);
    let wanted = command.throttle * a.power_mps / speed + (1.0 - command.throttle) * idle;
    let lag = if wanted > state.thrust {
        a.engine_lag_s.0
    } else {
        a.engine_lag_s.1
    };
    state.thrust += (wanted - state.thrust) * (STEP_S / lag).min(1.0);
    let windmill = 750.0 + 450.0 * state.cas_mps / a.handbook_best_mps;
    let rpm = windmill + (2_450.0 - windmill) * command.throttle.powf(0.7);
    machine.rpm += (rpm - machine.rpm) * STEP_S / 1.0;
    let flap_rate = STEP_S / 6.0;
    state.flap += (command.flap - state.flap).clamp(-flap_rate, flap_rate);
}

/// One step in the air; true when the wheels meet the ground.
fn soar(
    state: &mut State,
    machine: &mut Machine,
    command: &Command,
    plan: &Plan,
    before: [f64; 3],
    now: [f64; 3],
) -> bool {
    let a = &plan.aeroplane;
    engine(state, machine, command, plan);
    let above_aim = state.height_m + plan.slope * state.place_m[0];
    let density = plan.column.density(above_aim);
    let pressure = 0.5 * density * state.tas_mps.powi(2);
    let most_load = (state.cas_mps / a.stall_at_mps(state.flap)).powi(2) * 0.99;
    let (wanted_rad, quickness_s) = match command.vertical {
        Vertical::Path(rad) => (rad, 1.2),
        Vertical::Climb(mps) => ((mps / state.tas_mps).clamp(-0.25, 0.25).asin(), 0.55),
        Vertical::Ground => (0.0, 1.0),
    };
    let lift_up =
        state.path_rad.cos() + state.tas_mps / G0 * (wanted_rad - state.path_rad) / quickness_s;
    let lift_up = lift_up.clamp(0.6, 1.45);
    let wanted_load = (lift_up / state.bank_rad.cos()).min(most_load);
    machine.load += (wanted_load - machine.load) * (STEP_S / 0.25);
    let load = machine.load;
    let drag = a.drag_over_weight(pressure, load, state.flap, state.height_m);

    // the air's own acceleration is felt as a force
    let gust = [(now[0] - before[0]) / STEP_S, (now[1] - before[1]) / STEP_S];
    let (sin_h, cos_h) = state.heading_rad.sin_cos();
    let along_gust = (gust[0] * cos_h + gust[1] * sin_h) * state.path_rad.cos();
    let across_gust = gust[1] * cos_h - gust[0] * sin_h;
    let v = state.tas_mps;
    let speed_rate = G0 * (state.thrust - drag - state.path_rad.sin()) - along_gust;
    let path_rate = G0 / v * (load * state.bank_rad.cos() - state.path_rad.cos());
    let heading_rate =
        (G0 * load * state.bank_rad.sin() - across_gust) / (v * state.path_rad.cos());
    let roll_rate = ((command.bank_rad - state.bank_rad) / 0.8).clamp(-0.35, 0.35);
    state.bank_rad += roll_rate * STEP_S;
    state.tas_mps = (v + speed_rate * STEP_S).max(12.0);
    state.path_rad += path_rate * STEP_S;
    state.heading_rad += heading_rate * STEP_S;
    // the wing follows rising air within a second
    machine.vertical_mps += (now[2] - machine.vertical_mps) * STEP_S / 0.7;
    let level = state.tas_mps * state.path_rad.cos();
    state.ground_mps = [
        level * state.heading_rad.cos() + now[0],
        level * state.heading_rad.sin() + now[1],
    ];
    state.climb_mps = state.tas_mps * state.path_rad.sin() + machine.vertical_mps;
    state.place_m[0] += state.ground_mps[0] * STEP_S;
    state.place_m[1] += state.ground_mps[1] * STEP_S;
    state.height_m += (state.climb_mps - plan.slope * state.ground_mps[0]) * STEP_S;
    state.cas_mps = plan.column.calibrated_mps(state.tas_mps, above_aim);
    state.height_m <= 0.0 && state.climb_mps < 0.0
}

/// One step on the wheels.
fn roll(state: &mut State, machine: &mut Machine, command: &Command, plan: &Plan, wind: [f64; 3]) {
    let a = &plan.aeroplane;
    engine(state, machine, command, plan);
    if machine.bounce_left_s > 0.0 {
        // a skip: up and down again, the wing still carrying most of the weight
        machine.bounce_left_s -= STEP_S;
        state.climb_mps -= 2.2 * STEP_S;
        state.height_m = (state.height_m + state.climb_mps * STEP_S).max(0.0);
        if state.height_m <= 0.0 {
            machine.bounce_left_s = 0.0;
        }
    } else {
        state.height_m = 0.0;
        state.climb_mps = 0.0;
    }
    let speed = state.ground_mps[0];
    let airspeed = (speed - wind[0]).max(0.0);
    let pressure = 0.5 * plan.column.density(0.0) * airspeed * airspeed;
    let carried = 0.5
        * (state.cas_mps / a.stall_at_mps(state.flap))
            .powi(2)
            .min(1.6);
    let drag = a.drag_over_weight(pressure, carried.min(1.0), state.flap, 0.0);
    let wheels = if state.height_m > 0.0 {
        0.0
    } else {
        a.rolling * (1.0 - carried).max(0.1)
    };
    let brake = command.brake_mps2 * (1.0 - carried).max(0.2);
    let rate = G0 * (state.thrust - drag.min(0.3) - wheels - plan.slope) - brake;
    let speed = (speed + rate * STEP_S).max(0.0);
    let aside =
        0.3 * (command.right_m - state.place_m[1]).clamp(-6.0, 6.0) * (speed / 25.0).min(1.0);
    state.ground_mps = [speed, aside.clamp(-1.0, 1.0)];
    state.place_m[0] += speed * STEP_S;
    state.place_m[1] += state.ground_mps[1] * STEP_S;
    state.tas_mps = (speed - wind[0]).hypot(wind[1]);
    state.cas_mps = plan.column.calibrated_mps(state.tas_mps, 0.0);
    state.heading_rad = 0.0;
    state.bank_rad = 0.0;
    state.path_rad = 0.0;
    machine.load = 1.0;
    machine.vertical_mps = 0.0;
    if command.lift_off && state.cas_mps > 1.15 * a.stall_at_mps(state.flap) {
        state.on_ground = false;
        state.height_m = 0.02;
        state.path_rad = 0.03;
        state.tas_mps = state.tas_mps.max(15.0);
        state.heading_rad = (-wind[1] / state.tas_mps).asin();
    }
}

fn sample(state: &State, machine: &Machine, plan: &Plan, wind: [f64; 3]) -> Sample {
    let place = to_east_north(state.place_m[0], state.place_m[1], plan.landing_deg);
    let motion = to_east_north(state.ground_mps[0], state.ground_mps[1], plan.landing_deg);
    let air = to_east_north(wind[0], wind[1], plan.landing_deg);
    let climb = state.climb_mps
        + if state.on_ground {
            plan.slope * state.ground_mps[0]
        } else {
            0.0
        };
    Sample {
        t_s: state.t_s,
        east_m: place.0,
        north_m: place.1,
        height_m: state.height_m + plan.slope * state.place_m[0] + plan.aeroplane.recorder_m,
        velocity_mps: [motion.0, motion.1, climb],
        wind_mps: [air.0, air.1, wind[2]],
        tas_mps: state.tas_mps,
        cas_mps: state.cas_mps,
        bank_deg: state.bank_rad.to_degrees(),
        heading_deg: state.heading_rad.to_degrees() + plan.landing_deg,
        load: machine.load,
        throttle: machine.throttle,
        rpm: machine.rpm,
        flap: state.flap,
        on_ground: state.on_ground,
    }
}
