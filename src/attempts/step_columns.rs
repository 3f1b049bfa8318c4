//! What steps of the power, and the tails after them, look like in a trace, and the same whitened.

use super::change_point::SPACING_S;
use super::power::AirMotion;
use crate::air::noise_chain::{Block, ChainNoise, LANES, blocks, whiten};
use crate::flight_path::StepResponse;
use crate::linear_algebra::dot_slices;

/// Correlation time of the vertical air, s.
const SLOW_CORRELATION_S: f64 = 4.0;
/// Samples of the power this far from their neighbours' median are a jump of the recorder's, m/s.
const JUMP_MPS: f64 = 2.5;
/// Neighbours on either side.
const NEIGHBOURS: usize = 5;

/// What each step, and the tail after it, would show of itself; then a level, and the power. By rows, for whitening.
pub(super) struct RawColumns {
    t_s: Vec<f64>,
    rows: Vec<Block>,
    blocks: usize,
    steps: usize,
    tails: usize,
}

impl RawColumns {
    pub(super) fn new(used: &[&AirMotion], response: &StepResponse, with_tails: bool) -> Self {
        let steps = response.shown.len();
        let tails = if with_tails { steps } else { 0 };
        let blocks = blocks(steps + tails + 2);
        let mut rows = vec![[0.0; LANES]; blocks * used.len()];
        let power = without_jumps(used);
        for (k, row) in rows.chunks_exact_mut(blocks).enumerate() {
            let between = Between::of(&response.t_s, used[k].t_s);
            let mut put = |column: usize, value: f64| row[column / LANES][column % LANES] = value;
            for (i, shown) in response.shown.iter().enumerate() {
                let value = between.of_values(shown);
                put(i, value);
                if with_tails {
                    put(steps + i, value * used[k].shape_mps);
                }
            }
            put(steps + tails, 1.0);
            put(steps + tails + 1, power[k]);
        }
        RawColumns {
            t_s: used.iter().map(|a| a.t_s).collect(),
            rows,
            blocks,
            steps,
            tails,
        }
    }
}

/// Whitened columns under one noise; whitening is linear, so those of a ramp are
/// means of those of its steps.
pub(super) struct Columns {
    /// First step, s.
    from_s: f64,
    /// Running sums over the steps: of the steps, and of the tails after them.
    steps: Vec<Vec<f64>>,
    tails: Vec<Vec<f64>>,
    one: Vec<f64>,
    data: Vec<f64>,
    /// Products of `one` and `data` with themselves and each other.
    pub(super) one_one: f64,
    pub(super) one_data: f64,
    pub(super) data_data: f64,
    /// Sum of the logarithms of the innovation variances.
    pub(super) log_variance: f64,
}

/// A whitened ramp, or the tail after one, with its products with itself, the level and the power.
pub(super) struct Ramp {
    pub(super) shown: Vec<f64>,
    pub(super) own: f64,
    pub(super) one: f64,
    pub(super) data: f64,
}

/// A ramp with the tail after it, where there is one, and the product of the two.
pub(super) struct RampAndTail {
    pub(super) ramp: Ramp,
    pub(super) tail: Option<(Ramp, f64)>,
}

impl Columns {
    pub(super) fn new(raw: &RawColumns, (slow_mps, fast): (f64, (f64, f64)), from_s: f64) -> Self {
        let noise = ChainNoise {
            smooth: (0.0, 1.0),
            slow: (slow_mps, SLOW_CORRELATION_S),
            fast,
            white_mps: 0.3,
            drift_m2ps3: 0.0,
            drift_start_m2ps2: 0.0,
        };
        let count = raw.t_s.len();
        let sums = |of: usize| vec![vec![0.0; count]; if of > 0 { of + 1 } else { 0 }];
        let (mut steps, mut tails) = (sums(raw.steps), sums(raw.tails));
        let (mut one, mut data) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let heading = vec![[0.0; 2]; count];
        let rows = (&raw.rows[..], raw.blocks);
        let log_variance = whiten(&noise, &raw.t_s, &heading, rows, |row| {
            let at = |column: usize| row[column / LANES][column % LANES];
            let k = one.len();
            for (first, sums) in [(0, &mut steps), (raw.steps, &mut tails)] {
                let mut sum = 0.0;
                for (i, sums) in sums.iter_mut().skip(1).enumerate() {
                    sum += at(first + i);
                    sums[k] = sum;
                }
            }
            one.push(at(raw.steps + raw.tails));
            data.push(at(raw.steps + raw.tails + 1));
        });
        Columns {
            from_s,
            steps,
            tails,
            one_one: dot_slices(&one, &one),
            one_data: dot_slices(&one, &data),
            data_data: dot_slices(&data, &data),
            one,
            data,
            log_variance,
        }
    }

    /// Steps, by their running sums, from the first to before the second of two indices.
    fn mean(&self, sums: &[Vec<f64>], (a, b): (usize, usize)) -> Ramp {
        let scale = 1.0 / (b - a) as f64;
        let shown: Vec<f64> = sums[b]
            .iter()
            .zip(&sums[a])
            .map(|(y, x)| scale * (y - x))
            .collect();
        Ramp {
            own: dot_slices(&shown, &shown),
            one: dot_slices(&shown, &self.one),
            data: dot_slices(&shown, &self.data),
            shown,
        }
    }

    /// The steps of a ramp of this length around `tau`.
    fn steps_of(&self, tau: f64, length_s: f64) -> (usize, usize) {
        let most = self.steps.len() - 2;
        let index = |t: f64| (((t - self.from_s) / SPACING_S).round().max(0.0) as usize).min(most);
        let a = index(tau - 0.5 * length_s);
        (a, index(tau + 0.5 * length_s).max(a) + 1)
    }

    pub(super) fn ramp(&self, tau: f64, length_s: f64) -> Ramp {
        self.mean(&self.steps, self.steps_of(tau, length_s))
    }

    pub(super) fn ramp_and_tail(&self, tau: f64, length_s: f64) -> RampAndTail {
        let ramp = self.ramp(tau, length_s);
        let tail = (!self.tails.is_empty()).then(|| {
            let tail = self.mean(&self.tails, self.steps_of(tau, length_s));
            let both = dot_slices(&tail.shown, &ramp.shown);
            (tail, both)
        });
        RampAndTail { ramp, tail }
    }
}

/// The power, no sample further from the median around it than [`JUMP_MPS`]: a step keeps its place.
fn without_jumps(used: &[&AirMotion]) -> Vec<f64> {
    (0..used.len())
        .map(|k| {
            let near = &used[k.saturating_sub(NEIGHBOURS)..(k + NEIGHBOURS + 1).min(used.len())];
            let mut values: Vec<f64> = near.iter().map(|a| a.power_mps).collect();
            values.sort_by(f64::total_cmp);
            let middle = crate::quantity::quantile_sorted(&values, 0.5);
            used[k]
                .power_mps
                .clamp(middle - JUMP_MPS, middle + JUMP_MPS)
        })
        .collect()
}

/// Where an instant lies among others: after which, and how far towards the next.
struct Between {
    before: usize,
    share: f64,
}

impl Between {
    fn of(t_s: &[f64], t: f64) -> Self {
        let after = t_s.partition_point(|x| *x < t).clamp(1, t_s.len() - 1);
        let (a, b) = (t_s[after - 1], t_s[after]);
        Between {
            before: after - 1,
            share: ((t - a) / (b - a)).clamp(0.0, 1.0),
        }
    }

    fn of_values(&self, values: &[f64]) -> f64 {
        let (a, b) = (values[self.before], values[self.before + 1]);
        a + self.share * (b - a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(t_s: f64, power_mps: f64) -> AirMotion {
        AirMotion {
            t_s,
            tas_mps: 35.0,
            energy_rate_mps: 0.0,
            load_factor: 1.0,
            power_mps,
            shape_mps: 0.5,
        }
    }

    #[test]
    fn an_instant_among_others_by_hand() {
        let t_s = [0.0, 1.0, 3.0];
        let values = [10.0, 20.0, 40.0];
        for (t, expected) in [
            (2.0, 30.0),
            (0.25, 12.5),
            (1.0, 20.0),
            (-1.0, 10.0),
            (9.0, 40.0),
        ] {
            assert!(
                (Between::of(&t_s, t).of_values(&values) - expected).abs() < 1e-12,
                "{t}"
            );
        }
    }

    #[test]
    fn jumps_are_cut_down_and_steps_keep_their_place() {
        // one sample 9 m/s above its neighbours: cut to 2.5 above them
        let mut trace: Vec<AirMotion> = (0..30)
            .map(|k| sample(f64::from(k), if k < 15 { 4.0 } else { 0.0 }))
            .collect();
        trace[6].power_mps = 13.0;
        let power = without_jumps(&trace.iter().collect::<Vec<_>>());
        assert_eq!(power[6], 6.5);
        assert_eq!((power[5], power[7]), (4.0, 4.0));
        // the step is where it was; beside it the median is of the own side, 6 of 11
        assert_eq!((power[14], power[15]), (4.0, 0.0));
        assert_eq!((power[0], power[29]), (4.0, 0.0));
    }

    /// Columns of steps each 0.2 s from 0 to 6 s, over a trace each second to 11 s.
    fn columns(with_tails: bool) -> Columns {
        let trace: Vec<AirMotion> = (0..12).map(|k| sample(f64::from(k), 1.0)).collect();
        let t_s: Vec<f64> = (0..240).map(|i| 0.05 * f64::from(i)).collect();
        let shown = (0..=30)
            .map(|i| {
                let step_s = SPACING_S * f64::from(i);
                t_s.iter()
                    .map(|t| f64::from(u8::from(*t >= step_s - 1e-9)))
                    .collect()
            })
            .collect();
        let response = StepResponse { t_s, shown };
        let used: Vec<&AirMotion> = trace.iter().collect();
        let raw = RawColumns::new(&used, &response, with_tails);
        Columns::new(&raw, (0.8, (0.7, 1.0)), 0.0)
    }

    #[test]
    fn a_ramp_is_the_mean_of_its_steps() {
        let columns = columns(true);
        // 1 s long around 3: steps 2.6 (2.5 rounded to the nearest of 0.2) to 3.6, both counted
        assert_eq!(columns.steps_of(3.0, 1.04), (12, 19));
        assert_eq!(columns.steps_of(3.0, 0.0), (15, 16));
        // held at the first and the last
        assert_eq!(columns.steps_of(-9.0, 1.0), (0, 1));
        assert_eq!(columns.steps_of(90.0, 1.0), (30, 31));
        let ramp = columns.ramp(3.0, 1.04);
        let each: Vec<Ramp> = (12..19)
            .map(|i| columns.ramp(SPACING_S * f64::from(i), 0.0))
            .collect();
        for k in 0..12 {
            let mean = each.iter().map(|r| r.shown[k]).sum::<f64>() / 7.0;
            assert!((ramp.shown[k] - mean).abs() < 1e-9, "{k}");
        }
        let product = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(x, y)| x * y).sum() };
        assert!((ramp.own - product(&ramp.shown, &ramp.shown)).abs() < 1e-9);
        assert!((ramp.one - product(&ramp.shown, &columns.one)).abs() < 1e-9);
        assert!((ramp.data - product(&ramp.shown, &columns.data)).abs() < 1e-9);
        // the power is one everywhere, as the level is; a step before all shows a level too; the tail half of it
        assert!((columns.one_one - columns.data_data).abs() < 1e-9);
        assert!((columns.one_data - columns.one_one).abs() < 1e-9);
        assert!((columns.ramp(0.0, 0.0).own - columns.one_one).abs() < 1e-9);
        let (tail, both) = columns.ramp_and_tail(0.0, 0.0).tail.unwrap();
        assert!((tail.own - 0.25 * columns.one_one).abs() < 1e-9);
        assert!((both - 0.5 * columns.one_one).abs() < 1e-9);
    }

    #[test]
    fn without_a_shape_there_are_no_tails() {
        assert!(columns(false).ramp_and_tail(3.0, 1.0).tail.is_none());
    }
}
