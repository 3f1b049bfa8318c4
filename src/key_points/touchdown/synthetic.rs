//! Landings to test with: a point mass flown to the ground, and a receiver that watches it.
//!
//! Independent of the model under test: the sink follows a smooth S-curve instead of ramps, drag follows the
//! speed, bounces are flown, wheels roll and brake by friction, and every number is drawn anew.

use super::{GroundContext, GroundRow};
use crate::random::Draws;

const G: f64 = 9.80665;
const STEP_S: f64 = 0.02;
const HEADWIND_MPS: f64 = 3.0;

/// What is flown and how it is recorded.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plan {
    pub(super) rate_hz: f64,
    /// Time the aeroplane is held off after the round-out, s.
    pub(super) hold_off_s: f64,
    /// Sink aimed at when the wheels touch, m/s.
    pub(super) contact_sink_mps: f64,
    /// Climb of the first bounce per m/s of contact sink.
    pub(super) restitution: f64,
    /// Brakes: onset after contact (s) and deceleration, m/s².
    pub(super) brakes: (f64, f64),
    /// Power after contact, s; never when infinite.
    pub(super) power_s: f64,
    /// End of the recording after the contact, s.
    pub(super) ends_s: f64,
    pub(super) with_speed: bool,
    pub(super) with_baro: bool,
    /// Whether the briefing gives the usual approach speed; the wheels touch at 0.82 to 0.95 of it.
    pub(super) approach_known: bool,
    /// Least height of a go-around out of the flare, m; a landing when none.
    pub(super) go_around_at_m: Option<f64>,
}

/// A recorded landing with its truth.
pub(super) struct Landing {
    pub(super) rows: Vec<GroundRow>,
    pub(super) context: GroundContext,
    pub(super) contact_s: f64,
    pub(super) along_m: f64,
    pub(super) speed_mps: f64,
}

fn between(d: &mut Draws, low: f64, high: f64) -> f64 {
    low + (high - low) * d.uniform()
}

/// A plan drawn from what training aeroplanes do.
pub(super) fn plan(d: &mut Draws) -> Plan {
    let held = d.uniform() < 0.5;
    let hold_off_s = if held { between(d, 0.5, 5.0) } else { 0.0 };
    Plan {
        rate_hz: [0.5, 1.0, 1.0, 2.0, 5.0, 10.0][(d.uniform() * 6.0) as usize % 6],
        hold_off_s,
        contact_sink_mps: if held {
            between(d, 0.2, 1.5)
        } else {
            between(d, 0.4, 3.2)
        },
        restitution: if d.uniform() < 0.5 {
            0.0
        } else {
            between(d, 0.1, 0.4)
        },
        brakes: (between(d, 0.5, 6.0), between(d, 0.0, 3.5)),
        power_s: if d.uniform() < 0.4 {
            between(d, 3.0, 10.0)
        } else {
            f64::INFINITY
        },
        ends_s: 25.0,
        with_speed: d.uniform() < 0.75,
        with_baro: d.uniform() < 0.4,
        approach_known: d.uniform() < 0.5,
        go_around_at_m: None,
    }
}

struct State {
    t: f64,
    x: f64,
    v: f64,
    y: f64,
    climb: f64,
}

/// Flies and records the plan.
pub(super) fn land(plan: &Plan, d: &mut Draws) -> Landing {
    let path = fly(plan, d);
    let contact = path
        .iter()
        .position(|s| s.y <= 0.0)
        .unwrap_or(path.len() - 1);
    let (contact_s, along_m, speed_mps) = (path[contact].t, path[contact].x, path[contact].v);
    record(plan, &path, (contact_s, along_m, speed_mps), d)
}

/// The true path: from about 50 m up until half a minute after.
fn fly(plan: &Plan, d: &mut Draws) -> Vec<State> {
    let headwind = HEADWIND_MPS;
    let s0 = between(d, 2.8, 5.5);
    let gentle = plan.hold_off_s > 0.0;
    let s1 = if gentle {
        between(d, 0.1, 0.5)
    } else {
        plan.contact_sink_mps
    };
    // Width of the S-curve: the steepest change of sink is (s0 − s1)/4w, kept at 0.8 to 1.8 m/s².
    let width = (s0 - s1).max(0.3) / 4.0 / between(d, 0.8, 1.8);
    let friction = between(d, 0.02, 0.1) * G;
    let lift_lost_s = between(d, 0.5, 3.0);
    // Sink against time from the middle of the round-out; heights follow by integrating back from the contact.
    let after = if gentle {
        3.0 * width + plan.hold_off_s
    } else {
        between(d, 1.0, 3.0) * width
    };
    // A long float begins fast: what is lost on the way is added to a speed at which the wing still carries.
    let v_touch = between(d, 25.0, 32.0);
    let v_air = v_touch + 0.9 * G * s0 / (v_touch + 3.0) * (after - width).max(0.0);
    let drag0 = G * s0 / v_air;
    let sink = |t: f64| {
        let round = s1 + (s0 - s1) / (1.0 + (t / width).exp());
        let drop = if gentle {
            (plan.contact_sink_mps - s1).max(0.0) * ((t - after + 0.8) / 0.8).clamp(0.0, 1.0)
        } else {
            0.0
        };
        round + drop
    };
    let mut height = 0.0;
    let start = after - 22.0;
    let mut t = after;
    while t > start {
        height += sink(t) * STEP_S;
        t -= STEP_S;
    }
    let lift_up = plan.go_around_at_m.unwrap_or(0.0);
    let mut s = State {
        t: 1000.0,
        x: -600.0,
        v: v_air - headwind,
        y: height + lift_up,
        climb: -s0,
    };
    let (mut clock, mut touched): (f64, Option<f64>) = (start, None);
    let mut gust = 0.0;
    let mut path = Vec::new();
    let mut rising = false;
    while s.t < 1000.0 + 22.0 + 30.0 {
        path.push(State { ..s });
        gust += -gust * STEP_S / 3.0 + 0.12 * (2.0 * STEP_S / 3.0).sqrt() * d.normal();
        let air = s.v + headwind;
        let near_ground = 1.0 - 0.2 * (-s.y.max(0.0) / 4.0).exp();
        let drag =
            drag0 * near_ground * 0.5 * ((air / v_air).powi(2) + (v_air / air.max(5.0)).powi(2))
                + gust;
        let mut a;
        if let Some(since) = touched {
            let r = s.t - since;
            let rolling = if s.y <= 0.0 {
                friction * (r / lift_lost_s).min(1.0)
            } else {
                0.0
            };
            let lift_share = (-r / lift_lost_s).exp();
            let lowered =
                drag0 * 0.5 * ((air / v_air).powi(2) + lift_share * (v_air / air.max(5.0)).powi(2))
                    + gust;
            a = -(rolling + lowered) - G * s.climb / air.max(5.0) * f64::from(u8::from(s.y > 0.0));
            if r > plan.brakes.0 && s.y <= 0.0 && r < plan.power_s {
                a -= plan.brakes.1 * ((r - plan.brakes.0) / 1.5).min(1.0);
            }
            if r > plan.power_s {
                a += 3.0 * ((r - plan.power_s) / 1.5).min(1.0);
                if air > v_air * 0.95 {
                    rising = true;
                }
            }
            if rising {
                s.climb = (s.climb + 1.2 * STEP_S).min(3.0);
            } else if s.y > 0.0 {
                s.climb -= 1.6 * STEP_S;
            } else {
                s.climb = 0.0;
            }
        } else if plan.go_around_at_m.is_some_and(|h| s.y < h + 4.0) || rising {
            rising = true;
            s.climb = (s.climb + 1.5 * STEP_S).min(3.0);
            a = 0.5;
        } else {
            s.climb = -sink(clock);
            a = -drag - G * s.climb / air;
        }
        if s.v <= 0.3 {
            a = a.max(0.0);
        }
        s.v = (s.v + a * STEP_S).max(0.0);
        s.x += s.v * STEP_S;
        s.y += s.climb * STEP_S;
        if s.y <= 0.0 && touched.is_none() {
            touched = Some(s.t + STEP_S);
            s.climb = plan.restitution * plan.contact_sink_mps;
            s.y = if s.climb > 0.0 { 1e-3 } else { 0.0 };
            s.t += STEP_S;
            clock += STEP_S;
            path.push(State { y: 0.0, ..s });
        }
        if touched.is_some() && s.y < 0.0 {
            s.y = 0.0;
        }
        s.t += STEP_S;
        clock += STEP_S;
    }
    path
}

/// What the recorder makes of it.
fn record(plan: &Plan, path: &[State], truth: (f64, f64, f64), d: &mut Draws) -> Landing {
    let (contact_s, along_m, speed_mps) = truth;
    let speed_lag = between(d, 0.2, 0.9);
    let baro_lag = between(d, 0.2, 1.8);
    let white = between(d, 0.1, 0.5);
    let (gnss_quantum, baro_quantum) = (if d.uniform() < 0.5 { 1.0 } else { 0.1 }, 0.3048);
    let phase = d.uniform() / plan.rate_hz;
    let (mut bias_x, mut bias_h) = (0.0, 0.0);
    let (mut v_seen, mut h_seen) = (path[0].v, path[0].y);
    let baro_offset = d.normal();
    let mut rows = Vec::new();
    let mut next = path[0].t + phase;
    for s in path {
        v_seen += (s.v - v_seen) * STEP_S / speed_lag;
        h_seen += (s.y - h_seen) * STEP_S / baro_lag;
        if s.t + 1e-9 < next || s.t > contact_s + plan.ends_s {
            continue;
        }
        next += 1.0 / plan.rate_hz;
        let walk = (1.0 / plan.rate_hz).sqrt();
        bias_x += 0.3 * walk * d.normal();
        bias_h += 0.5 * walk * d.normal();
        let round = |v: f64, q: f64| (v / q).round() * q;
        rows.push(GroundRow {
            t_s: s.t,
            along_m: s.x + bias_x + white * d.normal(),
            across_m: 0.0,
            ground_speed_mps: plan.with_speed.then(|| v_seen + 0.08 * d.normal()),
            gnss_height_m: Some(round(
                1.2 + s.y + bias_h + 1.7 * white * d.normal(),
                gnss_quantum,
            )),
            baro_height_m: plan
                .with_baro
                .then(|| round(1.2 + h_seen + baro_offset, baro_quantum)),
            vertical_speed_mps: None,
            engine: None,
        });
    }
    // The datum is known on the ground only: take the walk of the GNSS height off where the aeroplane touched.
    let near: Vec<f64> = rows
        .iter()
        .filter(|r| (r.t_s - contact_s).abs() < 8.0)
        .filter_map(|r| r.gnss_height_m)
        .collect();
    let true_near: Vec<f64> = path
        .iter()
        .filter(|s| (s.t - contact_s).abs() < 8.0)
        .map(|s| s.y + 1.2)
        .collect();
    let mean = |v: &[f64]| v.iter().sum::<f64>() / (v.len().max(1) as f64);
    let offset = mean(&near) - mean(&true_near) + d.normal();
    for r in &mut rows {
        r.gnss_height_m = r.gnss_height_m.map(|h| h - offset);
    }
    let middle = contact_s + between(d, -3.0, 3.0);
    let context = GroundContext {
        gnss_quantum_m: gnss_quantum,
        baro_quantum_m: baro_quantum,
        position_quantum_m: 0.1,
        speed_quantum_mps: 0.03,
        step_s: 1.0 / plan.rate_hz,
        headwind_mps: HEADWIND_MPS + 1.5 * d.normal(),
        usual_approach_mps: plan
            .approach_known
            .then(|| (speed_mps + HEADWIND_MPS) / between(d, 0.82, 0.95)),
        doppler_lag_s: None,
        height_datum_sd_m: 2.0,
        rollout_height_m: 1.2,
        search_from_s: middle - 11.0,
        search_to_s: middle + 13.0,
    };
    Landing {
        rows,
        context,
        contact_s,
        along_m,
        speed_mps,
    }
}
