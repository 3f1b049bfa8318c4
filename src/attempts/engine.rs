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

/// Log likelihood ratio idle against powered, each second from `from_s`, `count` of them; zeros
/// without an engine channel.
pub fn idle_evidence(rows: &[Row], from_s: f64, count: usize) -> Vec<f64> {
    let mut out = vec![0.0; count];
    let speeds: Vec<(f64, f64)> = rows
        .iter()
        .filter_map(|r| Some((r.t_s, r.engine_rpm?)))
        .collect();
    let noises: Vec<(f64, f64)> = rows
        .iter()
        .filter_map(|r| Some((r.t_s, r.engine_noise?)))
        .collect();
    let (values, middle, certain) = if speeds.len() * 2 > rows.len() {
        let full = percentile(&speeds, 0.9);
        if full < 500.0 {
            return out;
        }
        (speeds, MIDDLE_SHARE * full, CERTAIN_SHARE * full)
    } else if noises.len() * 2 > rows.len() {
        let (low, high) = (percentile(&noises, 0.1), percentile(&noises, 0.9));
        if high - low < 150.0 {
            return out;
        }
        (noises, 0.5 * (low + high), 0.25 * (high - low))
    } else {
        return out;
    };
    for (k, evidence) in out.iter_mut().enumerate() {
        let t = from_s + k as f64;
        let i = values.partition_point(|v| v.0 < t);
        if let Some((at, value)) = values.get(i)
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
