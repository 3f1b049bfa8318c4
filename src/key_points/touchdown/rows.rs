//! From recorded rows to samples with a variance and a lag each.

use super::{GroundContext, GroundRow};

/// What a sample measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Position along the landing direction, m.
    Position,
    /// Ground speed, m/s.
    Speed,
    /// Height by GNSS, m.
    Gnss,
    /// Height by pressure, m.
    Baro,
    /// Vertical speed, m/s, up positive.
    Climb,
}

/// One value of one channel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    pub(super) kind: Kind,
    /// Time of the stamp, s.
    pub(super) t_s: f64,
    /// Nominal lag of the value behind it, s.
    pub(super) lag_s: f64,
    pub(super) value: f64,
    pub(super) variance: f64,
    /// Rate of change of the quantity, for the doubt about the lag.
    pub(super) slope: f64,
}

/// Rows closer than this are averaged: receiver noise is correlated over such times, s.
const BLOCK_S: f64 = 0.45;
/// The steady approach before the last seconds needs no finer blocks than this, s.
const FAR_BLOCK_S: f64 = 0.95;
/// Length of the fine part at the end of the rows used, s.
const NEAR_S: f64 = 16.0;
/// A block counts as no more than this many independent rows.
const MOST_INDEPENDENT: f64 = 2.0;
/// Speed from a receiver's tracking loops lags the position by 0.2 to 0.9 s: middle and standard deviation.
pub(super) const SPEED_LAG_S: (f64, f64) = (0.5, 0.22);
/// Standard deviation of a lag that was fitted to the whole recording, s.
pub(super) const FITTED_LAG_SD_S: f64 = 0.12;
/// Static ports and their filters lag by 0.2 to 2 s: middle and standard deviation.
pub(super) const BARO_LAG_S: (f64, f64) = (0.9, 0.6);
/// A lag is no pure delay: what a first-order filter adds to it, as a share of the slope, s.
const BARO_SMEAR_S: f64 = 0.2;

/// White noise of a channel: least, usual and most, in its unit.
#[derive(Clone, Copy)]
struct WhiteRange(f64, f64, f64);

impl WhiteRange {
    /// The same for means over several rows.
    fn of_means(self) -> WhiteRange {
        WhiteRange(self.0 * 0.7, self.1 * 0.7, self.2)
    }
}

const POSITION_WHITE_M: WhiteRange = WhiteRange(0.12, 0.35, 1.0);
const SPEED_WHITE_MPS: WhiteRange = WhiteRange(0.05, 0.09, 0.3);
const GNSS_WHITE_M: WhiteRange = WhiteRange(0.2, 0.6, 1.5);
const BARO_WHITE_M: WhiteRange = WhiteRange(0.1, 0.2, 0.6);
const CLIMB_WHITE_MPS: WhiteRange = WhiteRange(0.08, 0.15, 0.4);

/// The samples of the rows between two times.
pub(super) fn samples(
    rows: &[GroundRow],
    context: &GroundContext,
    from_s: f64,
    to_s: f64,
) -> Vec<Sample> {
    let rows: Vec<&GroundRow> = rows
        .iter()
        .filter(|r| r.t_s.is_finite() && r.t_s >= from_s && r.t_s <= to_s)
        .collect();
    let lag_s = context
        .doppler_lag_s
        .filter(|l| l.is_finite())
        .map_or(SPEED_LAG_S.0, |l| l.clamp(0.0, 2.0));
    let mut out = Vec::new();
    let mut channel = |kind: Kind,
                       lag_s: f64,
                       quantum: f64,
                       white: &WhiteRange,
                       order: usize,
                       get: &dyn Fn(&GroundRow) -> Option<f64>| {
        let raw: Vec<(f64, f64)> = rows
            .iter()
            .filter_map(|r| get(r).filter(|v| v.is_finite()).map(|v| (r.t_s, v)))
            .collect();
        let kept = without_spikes(&raw, kind);
        if kept.len() < 3 {
            return;
        }
        let quantum_variance = if quantum.is_finite() {
            quantum * quantum / 12.0
        } else {
            0.0
        };
        let blocks = blocks(&kept, to_s - NEAR_S);
        // Noise of a mean over a block is measured on the means: correlation between the rows is then in it.
        let near: Vec<(f64, f64)> = blocks
            .iter()
            .filter(|b| b.0 >= to_s - NEAR_S)
            .map(|b| (b.0, b.1))
            .collect();
        let averaged = kept.len() > 2 * blocks.len();
        let range = if averaged { white.of_means() } else { *white };
        let sd = white_sd(&near, order, &range);
        for (i, &(t_s, value, count)) in blocks.iter().enumerate() {
            let slope = slope(&blocks, i);
            let smear = if kind == Kind::Baro {
                BARO_SMEAR_S * slope
            } else {
                0.0
            };
            let quantum_variance = quantum_variance / count.min(MOST_INDEPENDENT);
            let variance = (sd * sd).max(quantum_variance + range.0 * range.0) + smear * smear;
            out.push(Sample {
                kind,
                t_s,
                lag_s,
                value,
                variance,
                slope,
            });
        }
    };
    channel(
        Kind::Position,
        0.0,
        context.position_quantum_m,
        &POSITION_WHITE_M,
        3,
        &|r| Some(r.along_m),
    );
    channel(
        Kind::Speed,
        lag_s,
        context.speed_quantum_mps,
        &SPEED_WHITE_MPS,
        2,
        &|r| r.ground_speed_mps,
    );
    channel(
        Kind::Gnss,
        0.0,
        context.gnss_quantum_m,
        &GNSS_WHITE_M,
        3,
        &|r| r.gnss_height_m,
    );
    channel(
        Kind::Baro,
        BARO_LAG_S.0,
        context.baro_quantum_m,
        &BARO_WHITE_M,
        3,
        &|r| r.baro_height_m,
    );
    channel(Kind::Climb, lag_s, 0.0, &CLIMB_WHITE_MPS, 2, &|r| {
        r.vertical_speed_mps
    });
    out
}

/// Values that no aeroplane can have flown between their neighbours are left out.
fn without_spikes(raw: &[(f64, f64)], kind: Kind) -> Vec<(f64, f64)> {
    // Deviation from the chord of the neighbours: noise allowance, and the
    // acceleration (for speeds the jerk) that bends the truth away from it.
    let (noise, bend) = match kind {
        Kind::Position => (6.0, 3.0),
        Kind::Gnss | Kind::Baro => (8.0, 3.0),
        Kind::Speed | Kind::Climb => (2.0, 1.5),
    };
    let keep = |i: usize| {
        if i == 0 || i + 1 >= raw.len() {
            return true;
        }
        let ((t0, v0), (t1, v1), (t2, v2)) = (raw[i - 1], raw[i], raw[i + 1]);
        let span = t2 - t0;
        span <= 0.0 || {
            let chord = v0 + (v2 - v0) * (t1 - t0) / span;
            (v1 - chord).abs() <= noise + bend * span * span / 4.0
        }
    };
    (0..raw.len())
        .filter(|&i| keep(i))
        .map(|i| raw[i])
        .collect()
}

/// Standard deviation of the white noise, from differences of the given order.
///
/// Differencing n times takes out a polynomial of degree n − 1 and multiplies
/// white variance by the central binomial coefficient: 6 for two, 20 for three.
/// Motion itself shows in them beyond one second of spacing: then the usual value.
fn white_sd(values: &[(f64, f64)], order: usize, range: &WhiteRange) -> f64 {
    let WhiteRange(least, usual, most) = *range;
    if values.len() < 12 {
        return usual;
    }
    let span = values[values.len() - 1].0 - values[0].0;
    let step = span / (values.len() - 1) as f64;
    if step > 1.2 {
        return usual;
    }
    let mut differences: Vec<f64> = values.iter().map(|v| v.1).collect();
    for _ in 0..order {
        differences = differences.windows(2).map(|w| w[1] - w[0]).collect();
    }
    for d in &mut differences {
        *d = d.abs();
    }
    differences.sort_by(f64::total_cmp);
    let binomial: f64 = if order == 2 { 6.0 } else { 20.0 };
    // 1.4826: median absolute deviation to standard deviation of a normal law.
    (1.4826 * differences[differences.len() / 2] / binomial.sqrt()).clamp(least, most)
}

/// Means over blocks: time, value, number of rows.
fn blocks(values: &[(f64, f64)], near_from_s: f64) -> Vec<(f64, f64, f64)> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < values.len() {
        let start = values[i].0;
        let length_s = if start < near_from_s {
            FAR_BLOCK_S
        } else {
            BLOCK_S
        };
        let (mut t, mut v, mut n) = (0.0, 0.0, 0.0);
        while i < values.len() && values[i].0 - start < length_s {
            t += values[i].0;
            v += values[i].1;
            n += 1.0;
            i += 1;
        }
        out.push((t / n, v / n, n));
    }
    out
}

/// Least-squares slope around one block, over at least ±0.9 s where there are rows.
fn slope(blocks: &[(f64, f64, f64)], i: usize) -> f64 {
    let t = blocks[i].0;
    let near: Vec<&(f64, f64, f64)> = {
        let close: Vec<_> = blocks.iter().filter(|b| (b.0 - t).abs() < 1.2).collect();
        if close.len() >= 3 {
            close
        } else {
            blocks[i.saturating_sub(1)..(i + 2).min(blocks.len())]
                .iter()
                .collect()
        }
    };
    let n = near.len() as f64;
    let (mt, mv) = (
        near.iter().map(|b| b.0).sum::<f64>() / n,
        near.iter().map(|b| b.1).sum::<f64>() / n,
    );
    let tt: f64 = near.iter().map(|b| (b.0 - mt).powi(2)).sum();
    if tt < 1e-9 {
        return 0.0;
    }
    (near.iter().map(|b| (b.0 - mt) * (b.1 - mv)).sum::<f64>() / tt).clamp(-12.0, 12.0)
}
