//! How good the figures shall be.

use super::summary::Line;

/// Which statistic of the errors a goal is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Median of the errors' sizes.
    Median,
    /// Root mean square.
    Rms,
}

/// Figure, statistic, greatest value of it.
const GOALS: [(&str, On, f64); 25] = [
    ("power_reduction_time_s", On::Median, 0.5),
    ("power_reduction_height_ft", On::Rms, 15.0),
    ("settling_time_s", On::Median, 2.0),
    ("glide_time_s", On::Median, 0.7),
    ("glide_cas_mean_kt", On::Rms, 0.9),
    ("glide_cas_sd_kt", On::Rms, 0.7),
    ("descent_rate_fpm", On::Rms, 1.0),
    ("air_sink_rate_fpm", On::Rms, 5.0),
    ("glide_ratio_air", On::Rms, 5.0),
    ("glide_ratio_ground", On::Rms, 1.0),
    ("wind_north_kt", On::Rms, 1.5),
    ("wind_east_kt", On::Rms, 1.5),
    ("orbits", On::Rms, 0.35),
    ("bank_max_deg", On::Rms, 2.5),
    ("abeam_time_s", On::Median, 0.2),
    ("abeam_height_ft", On::Rms, 15.0),
    ("abeam_distance_ft", On::Rms, 12.0),
    ("touchdown_time_s", On::Median, 0.5),
    ("touchdown_along_ft", On::Median, 45.0),
    ("touchdown_across_ft", On::Median, 8.0),
    ("touchdown_ground_speed_kt", On::Rms, 2.0),
    ("touchdown_cas_kt", On::Rms, 3.0),
    ("go_around_time_s", On::Median, 0.5),
    ("go_around_height_ft", On::Rms, 12.0),
    ("projected_from_500ft_along_ft", On::Median, 200.0),
];

/// An interval wider than this many times what the errors need is too wide.
const SHARPNESS_MAX: f64 = 1.6;

/// A figure against its goal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Statistic.
    pub on: On,
    /// Its greatest value.
    pub limit: f64,
    /// Its value.
    pub value: f64,
    /// The errors are small enough.
    pub error_met: bool,
    /// The intervals hold the truth as often as 95 % intervals do but for chance, and are not
    /// bought by width.
    pub interval_met: bool,
}

/// Holds a line against its goal, if there is one and something was measured.
pub fn judge(line: &Line) -> Option<Judged> {
    let &(_, on, limit) = GOALS.iter().find(|goal| goal.0 == line.figure)?;
    let value = match on {
        On::Median => line.median,
        On::Rms => line.rms,
    };
    // a count of orbits is whole, and its interval cannot be narrower than a step
    let sharp = line.sharp <= SHARPNESS_MAX || line.figure == "orbits";
    let inside = (line.cover * line.n as f64).round() as usize;
    (line.n > 0).then(|| Judged {
        on,
        limit,
        value,
        error_met: value <= limit,
        interval_met: sharp && inside >= least_inside(line.n, 0.95),
    })
}

/// Fewest of `n` that chance explains where each is inside with that probability: below it, one
/// run in forty.
pub fn least_inside(n: usize, inside: f64) -> usize {
    let outside = 1.0 - inside;
    // probability of exactly k inside, from k = 0 upwards
    let mut exactly = outside.ln() * n as f64;
    let mut at_most = 0.0;
    for k in 0..=n {
        at_most += exactly.exp();
        if at_most >= 0.025 {
            return k;
        }
        exactly += ((n - k) as f64 / (k + 1) as f64).ln() + inside.ln() - outside.ln();
    }
    n
}
