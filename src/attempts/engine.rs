//! What a recorded engine speed or noise says: idle or powered.
//!
//! Levels differ from engine to engine, so they are learnt from the recording. For noise the IGC
//! flight recorder specification (AL8, 1.4.2) has 700 and more with thrust, 300 and less
//! without; a four-stroke trainer at idle may sit between, so those are not taken as limits.

use crate::flight_path::Row;

/// Share of the usual full speed at which idle and powered are equally likely: an idling propeller
/// windmills at about half to six tenths of it in a glide (common practice).
const MIDDLE_SHARE: f64 = 0.68;
/// Change of that share that makes one or the other certain.
const CERTAIN_SHARE: f64 = 0.10;
/// Evidence per second at most, nats.
const MOST_PER_SECOND: f64 = 1.2;

/// A recorded engine channel.
#[derive(Debug, Clone, PartialEq)]
pub struct EngineTrace {
    /// Seconds and value, ascending in time.
    pub values: Vec<(f64, f64)>,
    /// Its usual level at full power.
    pub full: f64,
    /// Noise, not speed.
    pub is_noise: bool,
}

impl EngineTrace {
    /// The engine speed of most rows, else the noise of most; `None` where neither tells power from idle.
    pub fn of(rows: &[Row]) -> Option<Self> {
        let speeds: Vec<(f64, f64)> = rows
            .iter()
            .filter_map(|r| Some((r.t_s, f64::from(r.engine_rpm?))))
            .collect();
        if speeds.len() * 2 > rows.len() {
            let full = percentile(&speeds, 0.9);
            return (full >= 500.0).then_some(EngineTrace {
                values: speeds,
                full,
                is_noise: false,
            });
        }
        let noises: Vec<(f64, f64)> = rows
            .iter()
            .filter_map(|r| Some((r.t_s, f64::from(r.engine_noise?))))
            .collect();
        if noises.len() * 2 <= rows.len() {
            return None;
        }
        let (low, full) = (percentile(&noises, 0.1), percentile(&noises, 0.9));
        (full - low >= 150.0).then_some(EngineTrace {
            values: noises,
            full,
            is_noise: true,
        })
    }

    /// Value at which idle and powered are equally likely, and the change that makes one certain.
    pub fn middle_and_certain(&self) -> (f64, f64) {
        if self.is_noise {
            let low = percentile(&self.values, 0.1);
            (0.5 * (low + self.full), 0.25 * (self.full - low))
        } else {
            (MIDDLE_SHARE * self.full, CERTAIN_SHARE * self.full)
        }
    }
}

/// Log likelihood ratio idle against powered, each second from `from_s`, `count` of them; zeros
/// without an engine channel.
pub fn idle_evidence(rows: &[Row], from_s: f64, count: usize) -> Vec<f64> {
    let mut out = vec![0.0; count];
    let Some(engine) = EngineTrace::of(rows) else {
        return out;
    };
    let (middle, certain) = engine.middle_and_certain();
    for (k, evidence) in out.iter_mut().enumerate() {
        let t = from_s + k as f64;
        let i = engine.values.partition_point(|v| v.0 < t);
        if let Some((at, value)) = engine.values.get(i)
            && at - t < 5.0
        {
            *evidence = ((middle - value) / certain).clamp(-1.0, 1.0) * MOST_PER_SECOND;
        }
    }
    out
}

fn percentile(values: &[(f64, f64)], share: f64) -> f64 {
    let mut v: Vec<f64> = values.iter().map(|x| x.1).collect();
    v.sort_by(f64::total_cmp);
    if v.is_empty() {
        f64::NAN
    } else {
        crate::quantity::quantile_sorted(&v, share)
    }
}
