//! The posterior of the touchdown, and draws from it.

use crate::random::Draws;

/// What no shape knows: legs and tyres take up the load over 0.1 to 0.3 s, one wheel before the other, s.
const CONTACT_BLUR_S: f64 = 0.2;
/// A pilot begins to round out little by little: when that is, the shape has sharper than any observer would, s, one
/// standard deviation (common practice). Without it the float's interval held the truth of simulated flights 82 times in
/// 100 (docs/intervals.md), so it is not blind to them.
const FLARE_SD_S: f64 = 0.8;
/// Spacing of the grid that is given out, s.
const GRID_S: f64 = 0.1;

/// One way the touchdown may have happened, with its probability.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Time of the contact, s on the recording's clock.
    pub time_s: f64,
    /// Probability, given that the wheels met the ground.
    pub weight: f64,
    /// Width of the cell of the time grid, s.
    pub width_s: f64,
    /// Position along the landing direction from the aim, in the recording's own positions: mean and standard deviation, m.
    pub along_m: (f64, f64),
    /// Ground speed at the contact: mean and standard deviation, m/s.
    pub ground_speed_mps: (f64, f64),
    /// Sink at the contact, positive down: mean and standard deviation, m/s.
    pub sink_mps: (f64, f64),
    /// Begin of the round-out, s before the contact.
    pub flare_before_s: f64,
}

/// When the wheels first met the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchdownPosterior {
    /// Grid of times, ascending, s on the recording's clock; empty when nothing could be said.
    pub time_s: Vec<f64>,
    /// Probability of each, given a contact; sums to one.
    pub weight: Vec<f64>,
    /// Spacing of the grid, s.
    pub width_s: f64,
    /// Probability that the wheels met the ground at all.
    pub touched_probability: f64,
    /// Everything behind the grid: one entry per time and shape worth keeping, in time order.
    pub contacts: Vec<Contact>,
}

/// One possible contact, drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactDraw {
    /// Time of the contact, s on the recording's clock.
    pub time_s: f64,
    /// Position along the landing direction in the recording's own positions, m; the receiver's slow bias is not in it.
    pub along_m: f64,
    /// Ground speed, m/s.
    pub ground_speed_mps: f64,
    /// Sink at the contact, positive down, m/s.
    pub sink_mps: f64,
    /// Begin of the round-out, s on the recording's clock.
    pub flare_time_s: f64,
}

impl TouchdownPosterior {
    /// Nothing is known: no rows near the ground, or none that can be used.
    pub fn nothing() -> Self {
        TouchdownPosterior {
            time_s: Vec::new(),
            weight: Vec::new(),
            width_s: 0.0,
            touched_probability: 0.0,
            contacts: Vec::new(),
        }
    }

    /// Fills the grid from the contacts: each spread by its cell and by the blur of a contact.
    pub(super) fn spread_on_grid(&mut self) {
        let (Some(first), Some(last)) = (self.contacts.first(), self.contacts.last()) else {
            return;
        };
        let (from_s, to_s) = (first.time_s - 1.0, last.time_s + 1.0);
        let count = ((to_s - from_s) / GRID_S).ceil().clamp(1.0, 1e4) as usize;
        self.time_s = (0..count)
            .map(|i| from_s + GRID_S * (i as f64 + 0.5))
            .collect();
        self.weight = vec![0.0; count];
        self.width_s = GRID_S;
        for c in &self.contacts {
            // Variance of a triangle of half-width w: w²/6.
            let variance = CONTACT_BLUR_S * CONTACT_BLUR_S + c.width_s * c.width_s / 6.0;
            let reach = (4.0 * variance.sqrt() / GRID_S).ceil();
            let middle = (c.time_s - from_s) / GRID_S;
            let (low, high) = (
                (middle - reach).max(0.0) as usize,
                ((middle + reach) as usize + 1).min(count),
            );
            for (t, w) in self.time_s[low..high]
                .iter()
                .zip(&mut self.weight[low..high])
            {
                *w += c.weight * (-0.5 * (t - c.time_s).powi(2) / variance).exp() / variance.sqrt();
            }
        }
        let total: f64 = self.weight.iter().sum();
        for w in &mut self.weight {
            *w /= total;
        }
    }

    /// A contact drawn from the posterior, given that there was one; none when nothing is known.
    ///
    /// `even` are a uniform number for the time and shape and two normal ones for the place and the speed.
    pub fn draw(&self, even: (f64, f64, f64), draws: &mut Draws) -> Option<ContactDraw> {
        let mut left = even.0;
        let chosen = self.contacts.iter().find(|c| {
            left -= c.weight;
            left <= 0.0
        });
        let c = chosen.or(self.contacts.last())?;
        // The grid stands for a density linear between its points: a triangle about each.
        let shift_s =
            (draws.uniform() + draws.uniform() - 1.0) * c.width_s + CONTACT_BLUR_S * draws.normal();
        let speed = c.ground_speed_mps.0 + c.ground_speed_mps.1 * even.2;
        // The sink is a normal law cut at zero.
        let sink = (0..20)
            .map(|_| c.sink_mps.0 + c.sink_mps.1 * draws.normal())
            .find(|s| *s > 0.0)
            .unwrap_or(c.sink_mps.0.max(0.0));
        Some(ContactDraw {
            time_s: c.time_s + shift_s,
            along_m: c.along_m.0 + c.along_m.1 * even.1 + c.ground_speed_mps.0 * shift_s,
            ground_speed_mps: speed.max(0.0),
            sink_mps: sink,
            flare_time_s: c.time_s + shift_s - c.flare_before_s + FLARE_SD_S * draws.normal(),
        })
    }

    /// Time below which the given share of the probability lies, s.
    pub fn time_quantile_s(&self, share: f64) -> Option<f64> {
        let mut below = 0.0;
        for (t, w) in self.time_s.iter().zip(&self.weight) {
            if *w > 0.0 && below + w >= share {
                // Level over the cell: close enough to the triangles that are drawn.
                return Some(t + self.width_s * ((share - below) / w - 0.5));
            }
            below += w;
        }
        self.time_s.last().map(|t| t + self.width_s / 2.0)
    }
}
