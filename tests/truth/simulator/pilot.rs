//! The pilot: where to fly, how fast, when to give up.

use super::flight::{Events, G0, STEP_S, State};
use super::plan::{AttemptPlan, Plan, Shape};
use super::random::{Random, Wander};

/// What the pilot does with the nose.
#[derive(Debug, Clone, Copy)]
pub enum Vertical {
    /// Hold this path through the air, rad.
    Path(f64),
    /// Hold this climb, m/s.
    Climb(f64),
    /// Let it roll.
    Ground,
}

/// Controls at one instant.
#[derive(Debug, Clone, Copy)]
pub struct Command {
    /// Nose.
    pub vertical: Vertical,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Throttle, 0..1.
    pub throttle: f64,
    /// Flap, 0..1.
    pub flap: f64,
    /// Brakes, m/s².
    pub brake_mps2: f64,
    /// Whether to lift off when fast enough.
    pub lift_off: bool,
    /// Line to keep on the ground, m right of the aim.
    pub right_m: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Parked { until_s: f64 },
    TakeOff,
    Climb,
    ToRunIn,
    RunIn,
    ToOverhead { nearest_m: f64 },
    Orbit { turned_rad: f64, wanted_rad: f64 },
    ToKey,
    Downwind,
    Base,
    Final,
    Flare,
    Rollout { since_s: f64 },
    GoAround { since_s: f64 },
    Done { until_s: f64 },
}

/// The pilot, and what has happened so far.
#[derive(Debug)]
pub struct Pilot {
    stage: Stage,
    attempt: usize,
    speed: Wander,
    hand: Wander,
    sink: Wander,
    throttle: f64,
    flap: f64,
    flap_at_s: f64,
    cruise_mps: f64,
    slowing: bool,
    /// Attempts begun.
    pub events: Vec<Events>,
}

impl Pilot {
    /// Ready to start.
    pub fn new(plan: &Plan, rng: &mut Random) -> Self {
        let stage = if plan.from_ground {
            Stage::Parked {
                until_s: rng.between(15.0, 50.0),
            }
        } else {
            Stage::ToRunIn
        };
        let first = &plan.attempts[0];
        Pilot {
            stage,
            attempt: 0,
            speed: Wander::new(first.speed_wander.0, first.speed_wander.1, rng),
            hand: Wander::new(0.03, 4.0, rng),
            sink: Wander::new(0.12, 1.5, rng),
            throttle: if plan.from_ground { 0.0 } else { 0.6 },
            flap: 0.0,
            flap_at_s: -99.0,
            cruise_mps: plan.aeroplane.handbook_best_mps * rng.between(1.15, 1.45),
            slowing: false,
            events: Vec::new(),
        }
    }

    /// Where the recording begins.
    pub fn start(&self, plan: &Plan) -> State {
        let a = &plan.attempts[0];
        let run_in = run_in(a);
        let toward = (-run_in[1]).atan2(-run_in[0]);
        let mut state = State {
            t_s: 0.0,
            place_m: [-250.0, 0.0],
            height_m: 0.0,
            ground_mps: [0.0, 0.0],
            climb_mps: 0.0,
            tas_mps: 0.0,
            cas_mps: 0.0,
            path_rad: 0.0,
            heading_rad: 0.0,
            bank_rad: 0.0,
            thrust: 0.0,
            flap: 0.0,
            on_ground: true,
        };
        if !plan.from_ground {
            state.place_m = [
                run_in[0] - 2500.0 * (toward + 1.2).cos(),
                run_in[1] - 2500.0 * (toward + 1.2).sin(),
            ];
            state.height_m = a.height_m;
            state.tas_mps = self.cruise_mps;
            state.cas_mps = self.cruise_mps;
            state.heading_rad = toward + 1.2 - 1.5;
            state.thrust = 0.12;
            state.on_ground = false;
        }
        state
    }

    fn target_mps(&self, plan: &Plan, attempt: &AttemptPlan, flap: f64) -> f64 {
        let a = &plan.aeroplane;
        let glide = a.handbook_best_mps / a.reference_share.sqrt();
        let approach = 1.32 * a.stall_at_mps(flap);
        let base = if flap > 0.05 {
            approach.min(glide)
        } else {
            glide
        };
        (base + attempt.speed_error_mps + self.speed.value).max(1.15 * a.stall_at_mps(flap))
    }

    /// Controls for now; none when the recording ends.
    pub fn decide(&mut self, state: &State, plan: &Plan, rng: &mut Random) -> Option<Command> {
        self.speed.step(STEP_S, rng);
        self.hand.step(STEP_S, rng);
        self.sink.step(STEP_S, rng);
        let attempt = plan.attempts[self.attempt.min(plan.attempts.len() - 1)];
        self.advance(state, plan, &attempt, rng);
        self.move_throttle(state, plan, &attempt);
        let bank_rad = self.bank(state, plan, &attempt)
            + self.hand.value * if state.height_m < 10.0 { 0.2 } else { 1.0 };
        let vertical = self.vertical(state, plan, &attempt);
        let mut command = Command {
            vertical,
            bank_rad,
            throttle: self.throttle,
            flap: self.flap,
            brake_mps2: 0.0,
            lift_off: matches!(self.stage, Stage::TakeOff | Stage::GoAround { .. }),
            right_m: 0.0,
        };
        match self.stage {
            Stage::Parked { .. } => command.brake_mps2 = 30.0,
            Stage::Rollout { since_s }
                if state.t_s - since_s > attempt.brake.0 || state.ground_mps[0] < 8.0 =>
            {
                command.brake_mps2 = attempt.brake.1.max(0.8);
            }
            Stage::Done { until_s } => {
                command.brake_mps2 = 30.0;
                if state.t_s > until_s {
                    return None;
                }
            }
            _ => {}
        }
        Some(command)
    }

    /// The wheels have met the ground; the climb of a bounce, if there is one, m/s.
    pub fn touched(&mut self, state: &State, plan: &Plan) -> Option<f64> {
        let attempt = &plan.attempts[self.attempt.min(plan.attempts.len() - 1)];
        if !matches!(
            self.stage,
            Stage::GoAround { .. } | Stage::TakeOff | Stage::Climb
        ) {
            self.stage = Stage::Rollout { since_s: state.t_s };
        }
        let event = self.events.last_mut()?;
        if event.touchdown.is_some() || event.go_around_s.is_some() {
            return None;
        }
        event.touchdown = Some((state.t_s + STEP_S, -state.climb_mps));
        attempt.bounce_mps
    }

    fn advance(&mut self, state: &State, plan: &Plan, a: &AttemptPlan, rng: &mut Random) {
        let [s, c] = state.place_m;
        let distance = s.hypot(c);
        match self.stage {
            Stage::Parked { until_s } if state.t_s > until_s => self.stage = Stage::TakeOff,
            Stage::TakeOff if state.height_m > 120.0 => self.stage = Stage::Climb,
            Stage::Climb if state.height_m > a.height_m - 40.0 => self.stage = Stage::ToRunIn,
            Stage::ToRunIn => {
                let p = run_in(a);
                if (s - p[0]).hypot(c - p[1]) < 350.0 {
                    self.stage = Stage::RunIn;
                }
            }
            Stage::RunIn => {
                let now = match a.shape {
                    Shape::Overhead => distance < a.reduction_m,
                    Shape::Abeam => s < a.reduction_m,
                    Shape::StraightIn => s > -a.reduction_m,
                };
                if now {
                    self.speed = Wander::new(a.speed_wander.0, a.speed_wander.1, rng);
                    self.flap = 0.0;
                    self.slowing = true;
                    self.events.push(Events {
                        closing_s: state.t_s,
                        closed_s: state.t_s + a.closing_s,
                        ..Events::default()
                    });
                    self.stage = match a.shape {
                        Shape::Overhead => Stage::ToOverhead {
                            nearest_m: distance,
                        },
                        Shape::Abeam => Stage::Downwind,
                        Shape::StraightIn => Stage::Final,
                    };
                }
            }
            Stage::ToOverhead { nearest_m } => {
                if distance < 120.0 || distance > nearest_m + 30.0 && distance < 900.0 {
                    let speed = state.tas_mps;
                    let bank = a.bank_deg.to_radians();
                    let period = std::f64::consts::TAU * speed / (G0 * bank.tan());
                    let per_orbit =
                        period * speed / plan.aeroplane.ratio / bank.cos().powi(2) * 1.05;
                    let spare = state.height_m - a.abeam_height_m - 1200.0 / plan.aeroplane.ratio;
                    let orbits = (spare / per_orbit).round().clamp(0.0, 8.0);
                    self.stage = if orbits > 0.0 {
                        Stage::Orbit {
                            turned_rad: 0.0,
                            wanted_rad: orbits * std::f64::consts::TAU,
                        }
                    } else {
                        Stage::ToKey
                    };
                } else {
                    self.stage = Stage::ToOverhead {
                        nearest_m: nearest_m.min(distance),
                    };
                }
            }
            Stage::Orbit {
                turned_rad,
                wanted_rad,
            } => {
                let rate = G0 * state.bank_rad.tan() / state.tas_mps;
                let turned_rad = turned_rad + rate * a.side * STEP_S;
                self.stage = if turned_rad >= wanted_rad {
                    Stage::ToKey
                } else {
                    Stage::Orbit {
                        turned_rad,
                        wanted_rad,
                    }
                };
            }
            Stage::ToKey => {
                let key = [350.0, a.side * a.downwind_m];
                if (s - key[0]).hypot(c - key[1]) < 250.0
                    || (s < key[0] && c * a.side > 0.5 * a.downwind_m)
                {
                    self.stage = Stage::Downwind;
                }
            }
            Stage::Downwind => {
                let needed = self.height_needed_m(state, plan, a);
                if s < 150.0 && (state.height_m < needed || s < -2600.0) {
                    self.stage = Stage::Base;
                }
            }
            Stage::Base => {
                let radius = state.tas_mps.powi(2) / (G0 * a.bank_deg.to_radians().tan());
                if c * a.side < 1.05 * radius {
                    self.stage = Stage::Final;
                }
            }
            Stage::Final => {
                let sink = (-state.climb_mps).clamp(1.5, 6.0);
                if state.height_m < (sink - a.touchdown_sink_mps).max(1.0) * a.flare_s {
                    if let Some(event) = self.events.last_mut() {
                        event.flare_s = Some(state.t_s);
                    }
                    self.stage = Stage::Flare;
                }
            }
            Stage::Rollout { since_s } => {
                if let Some(after) = a.touch_and_go_s
                    && state.t_s - since_s > after
                {
                    self.stage = Stage::GoAround { since_s: state.t_s };
                } else if state.ground_mps[0] < 3.0 {
                    self.stage = Stage::Done {
                        until_s: state.t_s + rng.between(3.0, 25.0),
                    };
                }
            }
            Stage::GoAround { since_s } => {
                let enough = if self.attempt + 1 < plan.attempts.len() {
                    state.height_m > 120.0
                } else {
                    state.t_s - since_s > 100.0
                };
                if enough {
                    self.attempt += 1;
                    self.stage = if self.attempt < plan.attempts.len() {
                        Stage::Climb
                    } else {
                        Stage::Done { until_s: state.t_s }
                    };
                }
            }
            _ => {}
        }
        self.consider_giving_up(state, a);
        self.consider_flap(state, plan, a);
    }

    fn consider_giving_up(&mut self, state: &State, a: &AttemptPlan) {
        let approaching = matches!(
            self.stage,
            Stage::ToKey | Stage::Downwind | Stage::Base | Stage::Final | Stage::Flare
        );
        if !approaching
            || self
                .events
                .last()
                .is_none_or(|e| state.t_s < e.closed_s + 8.0)
        {
            return;
        }
        let planned = a.go_around_m.is_some_and(|h| state.height_m < h);
        // not worth landing: far short of the field or beyond it
        let hopeless = state.height_m < 60.0
            && (!matches!(self.stage, Stage::Final | Stage::Flare)
                || state.place_m[1].abs() > 60.0
                || state.place_m[0] < -900.0
                || state.place_m[0] > 450.0);
        if (planned || hopeless) && !(self.stage == Stage::Flare && a.go_around_m.is_none()) {
            if let Some(event) = self.events.last_mut() {
                event.go_around_s = Some(state.t_s);
            }
            self.stage = Stage::GoAround { since_s: state.t_s };
        }
    }

    fn consider_flap(&mut self, state: &State, plan: &Plan, a: &AttemptPlan) {
        if let Stage::GoAround { since_s } = self.stage {
            if state.t_s - since_s > 5.0 && state.height_m > 40.0 {
                self.flap = 0.0;
            }
            return;
        }
        let on_approach =
            matches!(self.stage, Stage::Base | Stage::Final) && state.place_m[1].abs() < 700.0;
        if !on_approach
            || state.t_s - self.flap_at_s < 6.0
            || self.flap > 0.95
            || state.height_m < 25.0
        {
            return;
        }
        // clean until gliding and the point is in sight
        if self.slowing
            || self
                .events
                .last()
                .is_none_or(|e| state.t_s < e.closed_s + 12.0)
        {
            return;
        }
        let excess = state.height_m - self.height_needed_m(state, plan, a) + a.judgement.1;
        if excess > a.flap_excess_m + 12.0 {
            self.flap = (self.flap + 1.0 / 3.0).min(1.0);
            self.flap_at_s = state.t_s;
            if let Some(event) = self.events.last_mut() {
                event.flap_s.get_or_insert(state.t_s);
            }
        }
    }

    /// Height from which the pilot believes the aim is reached from here.
    fn height_needed_m(&self, state: &State, plan: &Plan, a: &AttemptPlan) -> f64 {
        let [s, c] = state.place_m;
        let wind = plan.wind.mean_mps(100.0);
        let landing = plan.landing_deg.to_radians();
        let headwind = -(wind[0] * landing.sin() + wind[1] * landing.cos());
        let target = self.target_mps(plan, a, self.flap);
        let q = 0.5 * 1.225 * target * target;
        let sink = target * plan.aeroplane.drag_over_weight(q, 1.0, self.flap, 99.0) * 1.05;
        let along = (-a.short_of_aim_m - s).max(0.0);
        let seconds = c.abs() / target + along / (target - headwind).max(12.0);
        (sink * seconds + 6.0) * (1.0 + a.judgement.0) + a.judgement.1
    }

    fn move_throttle(&mut self, state: &State, plan: &Plan, a: &AttemptPlan) {
        let wanted = match self.stage {
            Stage::Parked { .. } | Stage::Done { .. } | Stage::Rollout { .. } => {
                self.throttle = 0.0;
                return;
            }
            Stage::TakeOff | Stage::Climb => 1.0,
            Stage::ToRunIn | Stage::RunIn => {
                let need = plan.aeroplane.drag_over_weight(
                    0.5 * 1.225 * state.cas_mps.powi(2),
                    1.0 / state.bank_rad.cos(),
                    0.0,
                    99.0,
                );
                let power = (need + 0.012 * (self.cruise_mps - state.cas_mps)) * state.tas_mps
                    / plan.aeroplane.power_mps;
                power.clamp(0.15, 0.9)
            }
            Stage::GoAround { .. } => {
                self.throttle = (self.throttle + STEP_S / a.opening_s).min(1.0);
                return;
            }
            _ => {
                let event = self.events.last().copied().unwrap_or_default();
                if state.t_s < event.closed_s {
                    // at an even rate from wherever it was
                    let left = (event.closed_s - state.t_s).max(STEP_S);
                    self.throttle -= self.throttle * STEP_S / left;
                } else {
                    self.throttle = a
                        .clearing
                        .filter(|c| c.is_open(state.t_s - event.closed_s))
                        .filter(|_| !matches!(self.stage, Stage::Final | Stage::Flare))
                        .map_or(0.0, |c| c.throttle);
                }
                return;
            }
        };
        let rate = STEP_S / 2.5;
        self.throttle += (wanted - self.throttle).clamp(-rate, rate);
    }

    fn vertical(&mut self, state: &State, plan: &Plan, a: &AttemptPlan) -> Vertical {
        let aeroplane = &plan.aeroplane;
        match self.stage {
            Stage::Parked { .. } | Stage::Rollout { .. } | Stage::Done { .. } => Vertical::Ground,
            Stage::TakeOff | Stage::Climb | Stage::GoAround { .. } => {
                let best = 1.08 * aeroplane.handbook_best_mps;
                let wanted = 0.07 + 0.012 * (state.cas_mps - best);
                Vertical::Path(wanted.clamp(-0.03, 0.14))
            }
            Stage::ToRunIn | Stage::RunIn => {
                Vertical::Climb(((a.height_m - state.height_m) / 10.0).clamp(-3.0, 4.0))
            }
            Stage::Flare => {
                let slow = state.cas_mps < a.touchdown_share * aeroplane.stall_at_mps(state.flap);
                let above = match a.hold_m {
                    Some(hold) if !slow => hold,
                    _ => 0.0,
                };
                let settle = if above > 0.0 {
                    0.0
                } else {
                    a.touchdown_sink_mps
                };
                Vertical::Climb(-(state.height_m - above) / a.flare_s - settle + self.sink.value)
            }
            _ => {
                let target = self.target_mps(plan, a, state.flap);
                let fast = state.cas_mps - target;
                if fast < 1.5 {
                    self.slowing = false;
                }
                let q = 0.5 * 1.225 * target * target;
                let steady =
                    -aeroplane.drag_over_weight(q, 1.0 / state.bank_rad.cos(), state.flap, 99.0)
                        + state.thrust;
                let most = if self.slowing { 0.03 } else { steady + 0.12 };
                Vertical::Path((steady + 0.016 * fast).clamp(-0.28, most))
            }
        }
    }

    fn bank(&self, state: &State, plan: &Plan, a: &AttemptPlan) -> f64 {
        if state.on_ground {
            return 0.0;
        }
        let glide_bank = a.bank_deg.to_radians();
        match self.stage {
            Stage::Orbit { .. } => a.side * glide_bank,
            Stage::TakeOff | Stage::GoAround { .. } | Stage::Rollout { .. } => {
                follow(state, [0.0, 0.0], 0.0, 0.4)
            }
            Stage::Climb | Stage::ToRunIn => toward(state, run_in(a), 0.45),
            Stage::RunIn => match a.shape {
                Shape::Overhead => toward(state, [0.0, 0.0], 0.45),
                Shape::Abeam => follow(
                    state,
                    [0.0, a.side * a.downwind_m],
                    std::f64::consts::PI,
                    0.45,
                ),
                Shape::StraightIn => follow(state, [0.0, 0.0], 0.0, 0.4),
            },
            Stage::ToOverhead { .. } => toward(state, [0.0, 0.0], glide_bank),
            Stage::ToKey => toward(state, [350.0, a.side * a.downwind_m], glide_bank),
            Stage::Downwind => follow(
                state,
                [0.0, a.side * a.downwind_m],
                std::f64::consts::PI,
                glide_bank,
            ),
            Stage::Base => {
                if state.height_m < self.height_needed_m(state, plan, a) - a.judgement.1 {
                    toward(state, [-a.short_of_aim_m - 80.0, 0.0], glide_bank)
                } else {
                    let along = state.place_m[0].min(-150.0);
                    follow(
                        state,
                        [along, 0.0],
                        -a.side * std::f64::consts::FRAC_PI_2,
                        glide_bank,
                    )
                }
            }
            Stage::Final => {
                let most = if state.height_m < 15.0 {
                    0.12
                } else {
                    glide_bank
                };
                follow(state, [0.0, 0.0], 0.0, most)
            }
            Stage::Flare => follow(state, [0.0, 0.0], 0.0, 0.06),
            Stage::Parked { .. } | Stage::Done { .. } => 0.0,
        }
    }
}

/// Where the run in to an attempt begins, m along and right.
fn run_in(a: &AttemptPlan) -> [f64; 2] {
    match a.shape {
        Shape::Overhead => {
            let from = a.from_deg.to_radians();
            let d = a.reduction_m + 1500.0;
            [d * from.cos(), d * from.sin()]
        }
        Shape::Abeam => [1700.0 + a.reduction_m, a.side * a.downwind_m],
        Shape::StraightIn => [-a.reduction_m - 1400.0, 0.0],
    }
}

fn turn_to(state: &State, course_rad: f64, most_rad: f64) -> f64 {
    let track = state.ground_mps[1].atan2(state.ground_mps[0]);
    let error = (course_rad - track + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU)
        - std::f64::consts::PI;
    (1.3 * error).clamp(-most_rad, most_rad)
}

fn toward(state: &State, point_m: [f64; 2], most_rad: f64) -> f64 {
    let course = (point_m[1] - state.place_m[1]).atan2(point_m[0] - state.place_m[0]);
    turn_to(state, course, most_rad)
}

/// Follows the line through a point in a direction.
fn follow(state: &State, point_m: [f64; 2], direction_rad: f64, most_rad: f64) -> f64 {
    let (ds, dc) = (state.place_m[0] - point_m[0], state.place_m[1] - point_m[1]);
    let right = dc * direction_rad.cos() - ds * direction_rad.sin();
    turn_to(state, direction_rad - (right / 260.0).atan(), most_rad)
}
