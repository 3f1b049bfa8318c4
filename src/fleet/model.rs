//! The hierarchical model of one type, drawn by a seeded Gibbs sampler.
//!
//! For glide `j` of airframe `i` in flight `r`:
//!
//! ```text
//! lost_j = (m + d_i)·parasite_j + b·induced_j + c·turning_j + u_r + e_j
//! d_i ~ t₃ with scale between    u_r ~ N(0, flight²)    e_j ~ t₆ with scale² sd_j² + extra²
//! ```
//!
//! `1/(m + d_i + b)` is the glide ratio at best glide speed. A fleet is many alike airframes and now and then
//! one with a bent flap: the long tails of `d_i` let that one stand, where a normal law would halve it.
//! Sampler: the law of the `d_i`, then `m, b, c`, both with the `d_i` and `u_r` integrated out; then `d_i`, `u_r`,
//! the weights of the errors, and the spreads (Gelman et al., Bayesian Data Analysis, 3rd edition, chapters 15 and 17, on
//! hierarchical regression and robust errors; memory).

use crate::random::Draws;

/// One glide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datum {
    /// Energy height lost for each foot through the air.
    pub lost: f64,
    /// Parasite, induced and turning terms for each foot.
    pub terms: [f64; 3],
    /// Standard deviation of `lost`.
    pub sd: f64,
    /// Airframe, counted from 0.
    pub airframe: usize,
    /// Flight, counted from 0; each has glides of one airframe only.
    pub recording: usize,
}

/// One draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// `m`, `b` and `c`.
    pub shared: [f64; 3],
    /// `d_i`.
    pub own: Vec<f64>,
    /// `m + d_i` by the glides of airframe `i` alone, with this draw's `b` and `c`: not drawn towards the
    /// others.
    pub alone: Vec<f64>,
    /// Scale of the spread between airframes.
    pub between: f64,
    /// Spread from flight to flight.
    pub flight: f64,
    /// Spread from glide to glide beyond its own.
    pub extra: f64,
}

/// Draws from the posterior of one type.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// The draws.
    pub draws: Vec<Drawn>,
    /// Mean weight of each glide in the law of its error: about 1, less for one that is far off.
    pub weights: Vec<f64>,
}

/// How long the sampler runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Seed.
    pub seed: u64,
    /// Rounds thrown away.
    pub settling: usize,
    /// Draws kept.
    pub kept: usize,
}

impl Default for Run {
    fn default() -> Self {
        Run {
            seed: 1,
            settling: 400,
            kept: 2000,
        }
    }
}

/// Degrees of freedom of the errors: a glide with flap left out or in a thermal counts little.
pub(super) const FREEDOM: f64 = 6.0;
/// Degrees of freedom of the law between airframes: one in a fleet may be far off, the others alike.
pub(super) const FREEDOM_BETWEEN: f64 = 3.0;
/// Prior of `m`, `b` and `c`, shares of one over the handbook's glide ratio: mean and standard deviation. At
/// best glide speed half the drag is induced (parabolic polar); aeroplanes in service and idling
/// propellers drag more, and handbooks' speeds are not always those of the best ratio.
const SHARED: [(f64, f64); 3] = [(0.55, 0.25), (0.5, 0.2), (0.65, 0.3)];
/// Scale of the half-normal priors, shares likewise: between airframes, from flight to flight, from glide to glide.
const SPREADS: [f64; 3] = [0.06, 0.05, 0.1];
/// Standard deviation of a step of the logarithm of a spread.
const STEP: f64 = 0.35;
/// Steps of each spread in a round.
const STEPS: usize = 2;

/// Draws from the posterior. `glide_ratio` is the handbook's, or the usual one of such aircraft.
pub fn posterior(data: &[Datum], airframes: usize, glide_ratio: f64, run: Run) -> Posterior {
    let mut state = State::new(data, airframes, glide_ratio, run.seed);
    let mut draws = Vec::with_capacity(run.kept);
    let mut weights = vec![0.0; data.len()];
    for round in 0..run.settling + run.kept {
        state.round();
        if round >= run.settling {
            draws.push(state.now.clone());
            for (sum, weight) in weights.iter_mut().zip(&state.weight) {
                *sum += weight / run.kept as f64;
            }
        }
    }
    Posterior { draws, weights }
}

/// Sums of weight times terms by terms, and of weight times terms by what was lost.
type Sums = ([[f64; 3]; 3], [f64; 3]);

struct State<'a> {
    data: &'a [Datum],
    /// Flights of each airframe.
    of_airframe: Vec<Vec<usize>>,
    /// Data of each flight.
    of_recording: Vec<Vec<usize>>,
    /// One over the handbook's glide ratio.
    unit: f64,
    now: Drawn,
    recording: Vec<f64>,
    /// Weights of the t-law of the errors.
    weight: Vec<f64>,
    /// The same about the airframe's own glides alone.
    weight_alone: Vec<f64>,
    /// Weights of the t-law between airframes.
    loose: Vec<f64>,
    random: Draws,
}

impl<'a> State<'a> {
    fn new(data: &'a [Datum], airframes: usize, glide_ratio: f64, seed: u64) -> Self {
        let recordings = data.iter().map(|d| d.recording + 1).max().unwrap_or(0);
        let mut of_airframe = vec![Vec::new(); airframes];
        let mut of_recording = vec![Vec::new(); recordings];
        for (j, d) in data.iter().enumerate() {
            if of_recording[d.recording].is_empty() {
                of_airframe[d.airframe].push(d.recording);
            }
            of_recording[d.recording].push(j);
        }
        let unit = 1.0 / glide_ratio;
        State {
            data,
            of_airframe,
            of_recording,
            unit,
            now: Drawn {
                shared: SHARED.map(|(mean, _)| mean * unit),
                own: vec![0.0; airframes],
                alone: vec![SHARED[0].0 * unit; airframes],
                between: 0.5 * SPREADS[0] * unit,
                flight: 0.5 * SPREADS[1] * unit,
                extra: 0.5 * SPREADS[2] * unit,
            },
            recording: vec![0.0; recordings],
            weight: vec![1.0; data.len()],
            weight_alone: vec![1.0; data.len()],
            loose: vec![1.0; airframes],
            random: Draws::new(seed, 0x666c_6565_7400),
        }
    }

    fn round(&mut self) {
        self.draw_shared_and_own();
        self.draw_recordings();
        self.draw_weights();
        self.draw_spreads();
        self.draw_alone();
    }

    /// One over the square of the scale of the error of glide `j`.
    fn scale(&self, j: usize) -> f64 {
        let sd = self.data[j].sd;
        1.0 / (sd * sd + self.now.extra * self.now.extra)
    }

    fn precision(&self, j: usize) -> f64 {
        self.weight[j] * self.scale(j)
    }

    /// A weight of the t-law for an error of glide `j`.
    fn drawn_weight(&mut self, j: usize, off: f64) -> f64 {
        // gamma of shape (FREEDOM + 1)/2, mean shape/rate
        let rate = 0.5 * (FREEDOM + off * off * self.scale(j));
        self.random.gamma(0.5 * (FREEDOM + 1.0)) / rate
    }

    /// `m + d_i` of each airframe by its own glides, with weights of their own: by those of the common fit, an airframe
    /// that is drawn towards the others would have its glides called outliers.
    fn draw_alone(&mut self) {
        let [_, b, c] = self.now.shared;
        for i in 0..self.of_airframe.len() {
            let (s, t) = self.sums(&self.of_airframe[i], &self.weight_alone);
            let left = t[0] - b * s[0][1] - c * s[0][2];
            let alone = left / s[0][0] + self.random.normal() / s[0][0].sqrt();
            self.now.alone[i] = alone;
            for r in self.of_airframe[i].clone() {
                let mut precision = self.now.flight.powi(-2);
                let mut sum = 0.0;
                let off = |d: &Datum| d.lost - alone * d.terms[0] - b * d.terms[1] - c * d.terms[2];
                for &j in &self.of_recording[r] {
                    let weight = self.weight_alone[j] * self.scale(j);
                    precision += weight;
                    sum += weight * off(&self.data[j]);
                }
                let air = sum / precision + self.random.normal() / precision.sqrt();
                for j in self.of_recording[r].clone() {
                    self.weight_alone[j] = self.drawn_weight(j, off(&self.data[j]) - air);
                }
            }
        }
    }

    /// Everything but the errors' weights and the spreads of flights and glides, with each `u_r` integrated out;
    /// the law between airframes and `m, b, c` with each `d_i` too.
    fn draw_shared_and_own(&mut self) {
        let sums: Vec<Sums> = self
            .of_airframe
            .iter()
            .map(|r| self.sums(r, &self.weight))
            .collect();
        self.draw_between(&sums);
        // normal equations of m, b, c
        let mut a = [[0.0; 3]; 3];
        let mut r = [0.0; 3];
        for (i, (mean, sd)) in SHARED.iter().enumerate() {
            let precision = (sd * self.unit).powi(-2);
            a[i][i] += precision;
            r[i] += precision * mean * self.unit;
        }
        let between = self.now.between.powi(-2);
        for ((s, t), loose) in sums.iter().zip(&self.loose) {
            let own = s[0][0] + loose * between;
            for p in 0..3 {
                r[p] += t[p] - s[p][0] * t[0] / own;
                for q in 0..3 {
                    a[p][q] += s[p][q] - s[p][0] * s[0][q] / own;
                }
            }
        }
        let noise = [0; 3].map(|_| self.random.normal());
        self.now.shared = drawn_normal(&a, &r, noise);
        let [m, b, c] = self.now.shared;
        for (i, (s, t)) in sums.iter().enumerate() {
            let left = t[0] - b * s[0][1] - c * s[0][2];
            let own = s[0][0] + self.loose[i] * between;
            self.now.own[i] = (left - m * s[0][0]) / own + self.random.normal() / own.sqrt();
        }
    }

    /// The law between airframes: its scale, and each airframe's weight in it, with the `d_i` integrated out.
    fn draw_between(&mut self, sums: &[Sums]) {
        let [m, b, c] = self.now.shared;
        // precision of each d_i by its glides, and its sum
        let of: Vec<(f64, f64)> = sums
            .iter()
            .map(|(s, t)| (s[0][0], t[0] - m * s[0][0] - b * s[0][1] - c * s[0][2]))
            .collect();
        let evidence = |(s, t): (f64, f64), prior: f64| {
            let all = s + prior;
            0.5 * (prior / all).ln() + 0.5 * t * t / all
        };
        let between = self.now.between.powi(-2);
        for (i, of) in of.iter().enumerate() {
            for _ in 0..STEPS {
                // proposed from its prior, so that one far off is let go in one step
                let tried = self.random.gamma(0.5 * FREEDOM_BETWEEN) / (0.5 * FREEDOM_BETWEEN);
                let gain = evidence(*of, tried * between) - evidence(*of, self.loose[i] * between);
                if self.random.uniform().ln() < gain {
                    self.loose[i] = tried;
                }
            }
        }
        let loose = self.loose.clone();
        self.now.between = self.stepped(self.now.between, SPREADS[0], |sd| {
            of.iter()
                .zip(&loose)
                .map(|(of, loose)| evidence(*of, loose / (sd * sd)))
                .sum()
        });
    }

    /// Sums of weight times terms by terms, and by what was lost, of these flights, `u_r` integrated out; `law` are
    /// the weights of the t-law.
    fn sums(&self, recordings: &[usize], law: &[f64]) -> Sums {
        let mut s = [[0.0; 3]; 3];
        let mut t = [0.0; 3];
        for &r in recordings {
            let mut weights = self.now.flight.powi(-2);
            let (mut terms, mut lost) = ([0.0; 3], 0.0);
            for &j in &self.of_recording[r] {
                let d = &self.data[j];
                let weight = law[j] * self.scale(j);
                weights += weight;
                lost += weight * d.lost;
                for p in 0..3 {
                    terms[p] += weight * d.terms[p];
                    t[p] += weight * d.terms[p] * d.lost;
                    for q in 0..3 {
                        s[p][q] += weight * d.terms[p] * d.terms[q];
                    }
                }
            }
            for p in 0..3 {
                t[p] -= terms[p] * lost / weights;
                for q in 0..3 {
                    s[p][q] -= terms[p] * terms[q] / weights;
                }
            }
        }
        (s, t)
    }

    /// What is left of glide `j` without that of its recording.
    fn left(&self, j: usize) -> f64 {
        let d = &self.data[j];
        let [m, b, c] = self.now.shared;
        d.lost - (m + self.now.own[d.airframe]) * d.terms[0] - b * d.terms[1] - c * d.terms[2]
    }

    fn draw_recordings(&mut self) {
        for r in 0..self.of_recording.len() {
            let mut precision = self.now.flight.powi(-2);
            let mut sum = 0.0;
            for &j in &self.of_recording[r] {
                let weight = self.precision(j);
                precision += weight;
                sum += weight * self.left(j);
            }
            self.recording[r] = sum / precision + self.random.normal() / precision.sqrt();
        }
    }

    fn draw_weights(&mut self) {
        for j in 0..self.data.len() {
            let d = &self.data[j];
            let off = self.left(j) - self.recording[d.recording];
            self.weight[j] = self.drawn_weight(j, off);
        }
    }

    fn draw_spreads(&mut self) {
        let flights: f64 = self.recording.iter().map(|u| u * u).sum();
        let recordings = self.recording.len() as f64;
        self.now.flight = self.stepped(self.now.flight, SPREADS[1], |sd| {
            -recordings * sd.ln() - 0.5 * flights / (sd * sd)
        });
        let offs: Vec<(f64, f64)> = (0..self.data.len())
            .map(|j| {
                let d = &self.data[j];
                let off = self.left(j) - self.recording[d.recording];
                (d.sd * d.sd, self.weight[j] * off * off)
            })
            .collect();
        self.now.extra = self.stepped(self.now.extra, SPREADS[2], |sd| {
            offs.iter()
                .map(|(variance, off)| {
                    let all = variance + sd * sd;
                    -0.5 * (all.ln() + off / all)
                })
                .sum()
        });
    }

    /// Metropolis steps of the logarithm of a spread with a half-normal prior.
    fn stepped(&mut self, from: f64, prior: f64, likelihood: impl Fn(f64) -> f64) -> f64 {
        let scale = prior * self.unit;
        // the last term turns the density of the spread into that of its logarithm
        let target = |sd: f64| likelihood(sd) - 0.5 * (sd / scale).powi(2) + sd.ln();
        let mut now = from;
        let mut at = target(now);
        for _ in 0..STEPS {
            let tried = now * (STEP * self.random.normal()).exp();
            let there = target(tried);
            if self.random.uniform().ln() < there - at {
                (now, at) = (tried, there);
            }
        }
        now
    }
}

/// A draw of the normal law of precision `a` and `a` times mean `r`, by the Cholesky factor of `a`.
fn drawn_normal(a: &[[f64; 3]; 3], r: &[f64; 3], noise: [f64; 3]) -> [f64; 3] {
    let mut l = [[0.0; 3]; 3];
    for i in 0..3 {
        for j in 0..=i {
            let inner: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            l[i][j] = if i == j {
                (a[i][i] - inner).max(1e-12).sqrt()
            } else {
                (a[i][j] - inner) / l[j][j]
            };
        }
    }
    // L y = r, then Lᵀ x = y + noise
    let mut y = [0.0; 3];
    for i in 0..3 {
        let inner: f64 = (0..i).map(|k| l[i][k] * y[k]).sum();
        y[i] = (r[i] - inner) / l[i][i];
    }
    let mut x = [0.0; 3];
    for i in (0..3).rev() {
        let inner: f64 = (i + 1..3).map(|k| l[k][i] * x[k]).sum();
        x[i] = (y[i] + noise[i] - inner) / l[i][i];
    }
    x
}
