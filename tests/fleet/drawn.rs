//! Fleets drawn from a law of the tests' own: how much flights and glides scatter, and which airframe is worse, is
//! known.

use stillprop::logbook::GlideRow;
use stillprop::random::Draws;

use super::glide;

/// A law. Spreads are shares of one over the handbook's glide ratio.
#[derive(Debug, Clone, Copy)]
pub(super) struct Law {
    pub(super) airframes: usize,
    pub(super) recordings: usize,
    pub(super) glides: usize,
    /// First to last recording.
    pub(super) days: f64,
    /// Spread from flight to flight.
    pub(super) flight: f64,
    /// Spread from glide to glide that its own standard deviation knows of.
    pub(super) known: f64,
    /// Spread from glide to glide beyond.
    pub(super) unknown: f64,
}

/// Twelve airframes with twelve flights of one glide each: 9.6 % of the drag from one to the next, t₆.
pub(super) const USUAL: Law = Law {
    airframes: 12,
    recordings: 12,
    glides: 1,
    days: 180.0,
    flight: 0.045,
    known: 0.062,
    unknown: 0.035,
};

const HANDBOOK: f64 = 9.0;
/// Drag of straight flight at best glide speed, and its parasite part.
const DRAG: (f64, f64) = (1.06, 0.53);

/// Glide ratio with `share` more drag than the type.
pub(super) fn ratio(share: f64) -> f64 {
    HANDBOOK / (DRAG.0 * (1.0 + share))
}

/// The glides; `more(airframe, days)` is the share of drag above the type's.
pub(super) fn fleet(law: Law, seed: u64, more: impl Fn(usize, f64) -> f64) -> Vec<GlideRow> {
    let mut draws = Draws::new(seed, 80);
    let mut rows = Vec::new();
    let ft = 18_000.0;
    for airframe in 0..law.airframes {
        for r in 0..law.recordings {
            let air = law.flight * draws.normal();
            let days = law.days * r as f64 / (law.recordings - 1) as f64;
            for k in 0..law.glides {
                let x2 = (1.0 + 0.05 * draws.normal()).powi(2);
                let turning = 0.06 * draws.uniform();
                let long_tailed = draws.normal() / (draws.gamma(3.0) / 3.0).sqrt();
                let own = DRAG.1 + DRAG.0 * more(airframe, days);
                let lost = own * x2
                    + (DRAG.0 - DRAG.1) / x2
                    + 0.6 * turning
                    + air
                    + law.known.hypot(law.unknown) * long_tailed;
                // each glide knows its standard deviation to 5 %
                let sd = law.known * (0.05 * draws.normal()).exp();
                let terms = [lost / HANDBOOK, x2, 1.0 / x2, turning, 1.0, sd / HANDBOOK];
                let start = jiff::Timestamp::from_second(1_767_607_200).unwrap();
                let s = (days * 86_400.0) as i64 + 600 * k as i64;
                let utc = (start + jiff::SignedDuration::from_secs(s)).to_string();
                let number = rows.len() as i64;
                rows.push(GlideRow {
                    recording: (airframe * law.recordings + r) as i64,
                    handbook_glide_ratio: Some(HANDBOOK),
                    ..glide(
                        number,
                        &format!("Trainer {airframe}"),
                        &utc,
                        terms.map(|term| term * ft),
                    )
                });
            }
        }
    }
    rows.sort_by(|a, b| a.utc.cmp(&b.utc));
    rows
}
