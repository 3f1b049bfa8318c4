//! What does not change while a chain is fitted: where its samples are among the knots, what is recorded and what idles.

use std::ops::Range;

use super::energy_rows::idle_steps;
use super::samples::Chain;
use super::unknowns::Unknowns;
use super::wind::{Place, WindProfile};

/// A chain made ready for the fit.
pub(super) struct Prepared<'a> {
    /// Which of the chains it is.
    pub(super) index: usize,
    pub(super) chain: &'a Chain,
    /// Whether airspeed was recorded along nearly all of it.
    pub(super) recorded: bool,
    /// Where each sample is among the knots.
    pub(super) places: Vec<Place>,
    /// The motion of the air at the knots that its heights touch.
    pub(super) wind_unknowns: Vec<usize>,
    /// Stretches of about five seconds at idle.
    pub(super) idle_steps: Vec<Range<usize>>,
}

impl<'a> Prepared<'a> {
    /// Chain number `index`.
    pub(super) fn new(index: usize, chain: &'a Chain, unknowns: &Unknowns) -> Self {
        let place = |height_m: f64| WindProfile::place(unknowns.knots, height_m);
        let (low_m, high_m) = chain.heights_m();
        let touched = place(low_m).below..=place(high_m).below + 1;
        Prepared {
            index,
            chain,
            recorded: chain.mostly_recorded(),
            places: chain.samples.iter().map(|s| place(s.height_m)).collect(),
            wind_unknowns: touched
                .flat_map(|k| [unknowns.wind_at(k, 0), unknowns.wind_at(k, 1)])
                .collect(),
            idle_steps: idle_steps(&chain.samples),
        }
    }
}
