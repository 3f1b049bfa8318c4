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

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(values: &[Option<f32>], noise: bool) -> Vec<Row> {
        (0..values.len())
            .map(|k| Row {
                t_s: k as f64,
                engine_rpm: values[k].filter(|_| !noise),
                engine_noise: values[k].filter(|_| noise),
                ..Row::default()
            })
            .collect()
    }

    /// Twelve seconds at full, eight at idle.
    fn flown(full: f32, idle: f32, noise: bool) -> Vec<Row> {
        let values: Vec<_> = (0..20)
            .map(|k| Some(if k < 12 { full } else { idle }))
            .collect();
        rows(&values, noise)
    }

    #[test]
    fn speed_is_idle_below_its_share_of_full() {
        let rows = flown(2500.0, 1000.0, false);
        let engine = EngineTrace::of(&rows).unwrap();
        assert_eq!((engine.full, engine.is_noise), (2500.0, false));
        let (middle, certain) = engine.middle_and_certain();
        assert!((middle - 1700.0).abs() < 1e-9 && (certain - 250.0).abs() < 1e-9);
        let evidence = idle_evidence(&rows, 0.0, 20);
        assert_eq!(evidence.len(), 20);
        assert!(
            evidence[..12].iter().all(|e| (e + 1.2).abs() < 1e-12),
            "{evidence:?}"
        );
        assert!(
            evidence[12..].iter().all(|e| (e - 1.2).abs() < 1e-12),
            "{evidence:?}"
        );
        // between idle and full it is in doubt: 1575 is half a certain change below the middle
        let values: Vec<_> = (0..20)
            .map(|k| Some(if k < 12 { 2500.0 } else { 1575.0 }))
            .collect();
        let doubt = idle_evidence(&self::rows(&values, false), 0.0, 20);
        assert!((doubt[15] - 0.6).abs() < 1e-9, "{doubt:?}");
    }

    #[test]
    fn noise_is_idle_below_the_middle_of_its_own_levels() {
        let rows = flown(900.0, 300.0, true);
        let engine = EngineTrace::of(&rows).unwrap();
        assert_eq!((engine.full, engine.is_noise), (900.0, true));
        assert_eq!(engine.middle_and_certain(), (600.0, 150.0));
        let evidence = idle_evidence(&rows, 0.0, 20);
        assert!((evidence[3] + 1.2).abs() < 1e-12 && (evidence[15] - 1.2).abs() < 1e-12);
    }

    #[test]
    fn a_channel_that_tells_nothing_is_none() {
        assert_eq!(
            EngineTrace::of(&flown(499.0, 100.0, false)),
            None,
            "too slow for an engine"
        );
        assert!(EngineTrace::of(&flown(501.0, 100.0, false)).is_some());
        assert_eq!(
            EngineTrace::of(&flown(449.0, 300.0, true)),
            None,
            "hardly louder"
        );
        assert!(EngineTrace::of(&flown(451.0, 300.0, true)).is_some());
        let known_each = |nth: usize, noise| {
            let values: Vec<_> = (0..20)
                .map(|k| (k % 4 < nth).then_some(if k < 10 { 900.0 } else { 300.0 }))
                .collect();
            EngineTrace::of(&rows(&values, noise))
        };
        assert_eq!(known_each(2, false), None, "of half of the fixes");
        assert_eq!(known_each(2, true), None, "of half of the fixes");
        assert!(known_each(3, false).is_some_and(|e| !e.is_noise));
        assert!(known_each(3, true).is_some_and(|e| e.is_noise));
        assert_eq!(idle_evidence(&rows(&[None; 4], false), 0.0, 3), [0.0; 3]);
        assert!(percentile(&[], 0.5).is_nan());
    }

    #[test]
    fn evidence_is_of_the_next_value_within_five_seconds() {
        let mut rows = flown(2500.0, 1000.0, false);
        // a hole from 13 to 19 s
        rows.retain(|r| r.t_s <= 13.0 || r.t_s >= 19.0);
        let evidence = idle_evidence(&rows, 10.5, 11);
        let known: Vec<bool> = evidence.iter().map(|e| *e != 0.0).collect();
        // at 10.5, 11.5, 12.5 the next value is near; at 13.5 it is 5.5 s off, at 14.5 4.5 s; after 19 there is none
        assert_eq!(
            known,
            [
                true, true, true, false, true, true, true, true, true, false, false
            ]
        );
        assert!(evidence[0] < 0.0 && evidence[1] > 0.0, "{evidence:?}");
    }
}
