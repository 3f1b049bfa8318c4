//! When the throttle was closed or opened, by a recorded engine speed or noise.

use super::engine::EngineTrace;

/// An opinion of the instant at which the power fell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closing {
    /// The middle of the fall of power, s.
    pub at_s: f64,
    /// Its standard deviation, s.
    pub sd_s: f64,
}

/// Share of the fall of the engine speed, or noise, that marks its beginning.
const SPEED_BEGUN: f64 = 0.08;
/// See above.
const NOISE_BEGUN: f64 = 0.25;
/// The speed begins to fall this long after the power: a fixed propeller at once, a governor holds
/// it for a second (common practice); and its standard deviation, s.
const SPEED_LAG_S: (f64, f64) = (0.1, 0.5);
/// The noise follows the power at once, the recorder smooths it (common practice), s.
const NOISE_LAG_S: (f64, f64) = (0.0, 0.6);
/// The engine has come to idle this long after closing, s: a propeller slows down for five to eight.
const IDLE_AFTER_S: (f64, f64) = (6.0, 14.0);
/// Half of the fall takes at most this, s.
const HALF_FALL_S: f64 = 5.0;
/// A fall smaller than this share of full power's level is none.
const LEAST_FALL: f64 = 0.12;

/// The last fall of the engine to idle around `about_s`.
pub fn closing(engine: &EngineTrace, about_s: f64) -> Option<Closing> {
    let values = &engine.values;
    let within = |from_s: f64, to_s: f64| {
        let from = values.partition_point(|v| v.0 < about_s + from_s);
        let to = values.partition_point(|v| v.0 <= about_s + to_s);
        &values[from..to.max(from)]
    };
    let idle = median(within(IDLE_AFTER_S.0, IDLE_AFTER_S.1))?;
    let high = within(-15.0, IDLE_AFTER_S.1)
        .iter()
        .map(|v| v.1)
        .fold(f64::MIN, f64::max);
    if high - idle < LEAST_FALL * engine.full {
        return None;
    }
    let near = within(-15.0, IDLE_AFTER_S.1);
    // the last time above half of the way from idle to what was held before it
    let mut plateau = high;
    let mut half = 0;
    for _ in 0..3 {
        half = near.iter().rposition(|v| v.1 > 0.5 * (idle + plateau))?;
        let half_s = near[half].0;
        plateau = near[..=half]
            .iter()
            .filter(|v| v.0 >= half_s - HALF_FALL_S)
            .map(|v| v.1)
            .fold(f64::MIN, f64::max);
    }
    let (begun, lag) = if engine.is_noise {
        (NOISE_BEGUN, NOISE_LAG_S)
    } else {
        (SPEED_BEGUN, SPEED_LAG_S)
    };
    let held = plateau - begun * (plateau - idle);
    let last = near[..=half].iter().rposition(|v| v.1 >= held)?;
    let (before, after) = (near[last], *near.get(last + 1)?);
    let gap_s = after.0 - before.0;
    let share = ((before.1 - held) / (before.1 - after.1)).clamp(0.0, 1.0);
    Some(Closing {
        at_s: before.0 + share * gap_s - lag.0,
        sd_s: lag.1.hypot(gap_s / 12f64.sqrt()),
    })
}

/// An opinion of the instant at which the throttle began to be opened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// When the lever began to move, s.
    pub at_s: f64,
    /// Its standard deviation, s.
    pub sd_s: f64,
}

/// A value below this share of idle is no engine: the channel dropped out (common practice: no running engine idles at
/// half of its idle).
const DROPOUT_BELOW: f64 = 0.5;
/// Speed or noise show this share of their rise so long after the lever began to move, s: the lever is advanced over a
/// second or two and the propeller gathers speed as the power grows (common practice); and the standard deviation.
const RISE_BEGUN: f64 = 0.15;
/// See above.
const RISE_LAG_S: (f64, f64) = (0.4, 0.4);
/// The rise is complete within this, s.
const RISEN_WITHIN_S: f64 = 6.0;

/// The rise of the engine from idle to stay, nearest to `about_s`.
pub fn opening(engine: &EngineTrace, about_s: f64) -> Option<Opening> {
    let values = &engine.values;
    let within = |from_s: f64, to_s: f64| {
        let from = values.partition_point(|v| v.0 < about_s + from_s);
        let to = values.partition_point(|v| v.0 <= about_s + to_s);
        &values[from..to.max(from)]
    };
    let idle = median(within(-15.0, -5.0))?;
    let power = median(within(6.0, 15.0))?;
    if power - idle < LEAST_FALL * engine.full {
        return None;
    }
    let mut near = within(-15.0, 15.0).to_vec();
    near.retain(|v| v.1 >= DROPOUT_BELOW * idle);
    // the last time below half of the way: what comes after stays above it
    let half = near
        .iter()
        .rposition(|v| v.1 < f64::midpoint(idle, power))?;
    let half_s = near[half].0;
    let before: Vec<(f64, f64)> = near[..=half]
        .iter()
        .copied()
        .filter(|v| v.0 >= half_s - RISEN_WITHIN_S)
        .collect();
    let floor = before.iter().map(|v| v.1).fold(f64::INFINITY, f64::min);
    let begun = floor + RISE_BEGUN * (power - floor);
    let last = near[..=half].iter().rposition(|v| v.1 <= begun)?;
    let (low, high) = (near[last], *near.get(last + 1)?);
    let gap_s = high.0 - low.0;
    let share = ((begun - low.1) / (high.1 - low.1)).clamp(0.0, 1.0);
    Some(Opening {
        at_s: low.0 + share * gap_s - RISE_LAG_S.0,
        sd_s: RISE_LAG_S.1.hypot(gap_s / 12f64.sqrt()),
    })
}

fn median(values: &[(f64, f64)]) -> Option<f64> {
    let mut v: Vec<f64> = values.iter().map(|x| x.1).collect();
    v.sort_by(f64::total_cmp);
    (!v.is_empty()).then(|| crate::quantity::quantile_sorted(&v, 0.5))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dropout_of_the_channel_is_no_rise() {
        // idle at 1,200 until 40 s, then power; a quarter of that is recorded at 37 s
        let values = |dropout: bool| {
            let at = |t: usize| match t {
                37 if dropout => 300.0,
                ..40 => 1200.0,
                _ => 2400.0 - 1200.0 * (-(t as f64 - 40.0) / 1.5).exp(),
            };
            EngineTrace {
                values: (0..80).map(|t| (t as f64, at(t))).collect(),
                full: 2400.0,
                is_noise: false,
            }
        };
        let (whole, cut) = (opening(&values(false), 40.0), opening(&values(true), 40.0));
        assert!((whole.unwrap().at_s - cut.unwrap().at_s).abs() < 1e-9);
    }

    /// Full, then circuit power, then idle: the propeller slows down over some seconds.
    fn two_steps(step_s: f64) -> EngineTrace {
        let values = (0..(80.0 / step_s) as usize)
            .map(|i| {
                let t = step_s * i as f64;
                let speed = if t < 30.0 {
                    2500.0
                } else if t < 40.0 {
                    2100.0 + 400.0 * (-(t - 30.0) / 1.5).exp()
                } else {
                    850.0 + 1250.0 * (-(t - 40.0) / 2.5).exp()
                };
                (t, speed)
            })
            .collect();
        EngineTrace {
            values,
            full: 2500.0,
            is_noise: false,
        }
    }

    #[test]
    fn the_last_fall_counts_wherever_it_was_thought_to_be() {
        for about_s in [32.0, 40.0, 44.0] {
            for step_s in [0.2, 1.0, 2.0] {
                let c = closing(&two_steps(step_s), about_s).unwrap();
                assert!(
                    (c.at_s - 40.0).abs() < 2.0 * c.sd_s,
                    "{about_s} {step_s} {c:?}"
                );
            }
        }
    }

    #[test]
    fn the_rise_that_stays_counts() {
        // idle, a burst of three seconds at 20 s, power for good from 40 s on
        for step_s in [0.2, 1.0, 2.0] {
            let values = (0..(80.0 / step_s) as usize)
                .map(|i| {
                    let t = step_s * i as f64;
                    let speed = if t >= 40.0 {
                        2400.0 - 1200.0 * (-(t - 40.0) / 1.5).exp()
                    } else if (20.0..23.0).contains(&t) {
                        1900.0
                    } else {
                        1200.0
                    };
                    (t, speed)
                })
                .collect();
            let engine = EngineTrace {
                values,
                full: 2400.0,
                is_noise: false,
            };
            for about_s in [37.0, 40.0, 43.0] {
                let o = opening(&engine, about_s).unwrap();
                assert!(
                    (o.at_s - 40.0).abs() < 2.0 * o.sd_s,
                    "{about_s} {step_s} {o:?}"
                );
            }
            assert_eq!(opening(&engine, 65.0), None);
        }
    }

    /// These values, one a second from 20 s on; the first held before, the last after, so that all is 60 s long.
    fn seen(values: &[f64], is_noise: bool) -> EngineTrace {
        let value = |t: usize| values[t.saturating_sub(40).min(values.len() - 1)];
        EngineTrace {
            values: (20..80).map(|t| (t as f64, value(t))).collect(),
            full: 2500.0,
            is_noise,
        }
    }

    #[test]
    fn the_middle_of_a_fall_by_hand() {
        let fall = [2500.0, 2000.0, 1500.0, 1000.0];
        for about_s in [39.0, 42.0, 44.0] {
            // 8 % of the fall are 120 of the first 500; a tenth of a second for the propeller
            let speed = closing(&seen(&fall, false), about_s).unwrap();
            assert!((speed.at_s - (40.24 - 0.1)).abs() < 1e-9, "{speed:?}");
            assert!((speed.sd_s - (0.25f64 + 1.0 / 12.0).sqrt()).abs() < 1e-9);
            // 25 % are 375
            let noise = closing(&seen(&fall, true), about_s).unwrap();
            assert!((noise.at_s - 40.75).abs() < 1e-9, "{noise:?}");
            assert!((noise.sd_s - (0.36f64 + 1.0 / 12.0).sqrt()).abs() < 1e-9);
        }
    }

    #[test]
    fn the_middle_of_a_rise_by_hand() {
        let rise = [1000.0, 1500.0, 2000.0, 2500.0];
        for about_s in [40.0, 42.0, 44.0, 47.0] {
            // 15 % of the rise are 225 of the first 500; four tenths of a second for lever and propeller
            let o = opening(&seen(&rise, false), about_s).unwrap();
            assert!((o.at_s - (40.45 - 0.4)).abs() < 1e-9, "{o:?}");
            assert!((o.sd_s - (0.16f64 + 1.0 / 12.0).sqrt()).abs() < 1e-9);
        }
    }

    #[test]
    fn idle_is_what_it_was_within_six_seconds_before_the_rise() {
        let mut engine = seen(&[1000.0, 1500.0, 2000.0, 2500.0], false);
        for (t_s, value) in &mut engine.values {
            if *t_s <= 30.0 {
                *value = 900.0;
            }
        }
        let o = opening(&engine, 42.0).unwrap();
        assert!((o.at_s - (40.45 - 0.4)).abs() < 1e-9, "{o:?}");
    }

    #[test]
    fn an_eighth_of_full_is_a_fall_or_a_rise() {
        for (idle, is) in [(2190.0, true), (2210.0, false)] {
            assert_eq!(closing(&seen(&[2500.0, idle], false), 42.0).is_some(), is);
            assert_eq!(opening(&seen(&[idle, 2500.0], false), 42.0).is_some(), is);
        }
    }

    #[test]
    fn no_fall_no_opinion() {
        let values = (0..80).map(|i| (f64::from(i), 2300.0)).collect();
        let engine = EngineTrace {
            values,
            full: 2500.0,
            is_noise: false,
        };
        assert_eq!(closing(&engine, 40.0), None);
    }
}
