//! Height in hand over the draws, and what follows from it, as the document tells it.

mod at_events;
mod dangers;
mod fields;
mod flap;
mod moments;
mod plan;
mod projections;
mod rests_on;
mod time_budget;

use super::analyse::Analysis;
use super::attempt::{AttemptAnalysis, Ground};
use super::document::{Event, InHandStory};
use super::gaps::Lost;
use crate::briefing::Briefing;
use crate::key_points::Known;
use crate::measures::reach::{hand_of, ring_at_power_reduction};
use crate::measures::{Approach, DrawnAttempt};
use crate::quantity::quantile_sorted;
use crate::reach::along_attempt::heights_in_hand_m;
use crate::reach::{Hand, ReachSetting};
use crate::units::{MPS_PER_KT, ft, minutes_and_seconds};

/// Draws the series and the moments are taken over: each asks for a path to the aim every second.
const SERIES_DRAWS: usize = 40;

/// Height in hand, moments and ring of an attempt.
#[derive(Debug, Default)]
pub(super) struct InHand {
    /// Height in hand at each step of the series, ft: median, 2.5 % and 97.5 % point.
    pub(super) height_ft: [Vec<Option<f64>>; 3],
    /// The moments on which at least half of the draws agree, in time order.
    pub(super) events: Vec<Event>,
    /// Corners of the ground within glide at the power reduction, east and north of the aim, ft.
    pub(super) ring_ft: Vec<[f64; 2]>,
    /// All the rest.
    pub(super) story: InHandStory,
}

/// An attempt with the hand of each of its draws.
struct Over<'a> {
    draws: &'a [DrawnAttempt],
    hands: Vec<Option<Hand>>,
    /// The recording's clock zero.
    start_utc_s: f64,
    /// Middle of the power reduction over all draws, s: what times are counted from, as in the series.
    power_reduction_s: f64,
    briefing: &'a Briefing,
    analysis: &'a Analysis,
    /// What lies in a gap of the recording.
    lost: &'a Lost,
}

impl<'a> Over<'a> {
    /// Draw and hand, where there is one.
    fn each(&self) -> impl Iterator<Item = (&'a DrawnAttempt, Option<&Hand>)> {
        self.draws.iter().zip(self.hands.iter().map(Option::as_ref))
    }

    /// The same with fewer draws.
    fn first(&self, most: usize) -> Over<'a> {
        let most = most.min(self.draws.len());
        Over {
            draws: &self.draws[..most],
            hands: self.hands[..most].to_vec(),
            ..*self
        }
    }

    /// Median start and end of the glide, s.
    fn glide_s(&self) -> Option<(f64, f64)> {
        let end = middle(self.draws.iter().map(|d| d.known.end_s))?;
        Some((self.power_reduction_s, end))
    }
}

/// The limits a briefing, or common practice, sets to the approach.
pub(super) fn approach(g: &Ground<'_>, known: &Known) -> Approach {
    let usual = ReachSetting::default();
    let best_mps = known.best_glide_cas_mps;
    let aircraft = &g.briefing.aircraft;
    let steepest_speed_share = aircraft
        .approach_kcas
        .map_or(usual.steepest_speed_share, |kt| kt * MPS_PER_KT / best_mps);
    let setting = ReachSetting {
        bank_limit_deg: g
            .briefing
            .targets
            .bank_limit_deg
            .unwrap_or(usual.bank_limit_deg),
        steepest_ratio: aircraft
            .full_flap_glide_ratio
            .unwrap_or(usual.steepest_ratio),
        steepest_speed_share,
        ..usual
    };
    Approach {
        setting,
        cas_mps: steepest_speed_share * best_mps,
        full_flap_s: flap::full_s(
            g.briefing,
            &g.path.rows,
            g.setting.utc_start_s,
            (known.power_reduction_s, known.end_s),
        ),
    }
}

/// `steps` are the instants of the series.
pub(super) fn in_hand(
    analysis: &Analysis,
    briefing: &Briefing,
    a: &AttemptAnalysis,
    lost: &Lost,
    steps: &[usize],
) -> InHand {
    let over = Over {
        draws: &a.draws,
        hands: a.draws.iter().map(hand_of).collect(),
        start_utc_s: analysis.setting.utc_start_s,
        power_reduction_s: middle(a.draws.iter().map(|d| d.known.power_reduction_s))
            .unwrap_or_default(),
        briefing,
        analysis,
        lost,
    };
    let few = over.first(SERIES_DRAWS);
    let series: Vec<Vec<Option<f64>>> = few
        .each()
        .map(|(drawn, hand)| match hand {
            Some(hand) => heights_in_hand_m(
                hand,
                &drawn.flown,
                steps,
                (drawn.known.power_reduction_s, drawn.known.end_s),
                drawn.times.on_final_s,
            ),
            None => vec![None; steps.len()],
        })
        .collect();
    let ring_ft = ring(few.draws);
    let height_ft = band(&series, steps.len());
    let events = moments::events(&few, steps, &series);
    let least = at_events::Least::of(&over, a, steps, &height_ft[0]);
    InHand {
        story: InHandStory {
            rests_on: rests_on::rests_on(&over),
            at_events: at_events::at_events(&over, least.as_ref()),
            drag_change: flap::drag_change(&over),
            dangers: dangers::dangers(&few, &events),
            projections: projections::projections(&over),
            height_plan: plan::height_plan(&over),
            time_budget: time_budget::time_budget(&over),
            fields: fields::fields(&few),
            within_glide_deg: fields::in_degrees(analysis, &ring_ft),
        },
        height_ft,
        events,
        ring_ft,
    }
}

/// Median and interval at each step, ft, where most draws have a height in hand.
fn band(series: &[Vec<Option<f64>>], steps: usize) -> [Vec<Option<f64>>; 3] {
    let mut out = [
        Vec::with_capacity(steps),
        Vec::with_capacity(steps),
        Vec::with_capacity(steps),
    ];
    for k in 0..steps {
        let mut all: Vec<f64> = series
            .iter()
            .filter_map(|heights| heights[k])
            .filter(|h| h.is_finite())
            .map(ft)
            .collect();
        all.sort_by(f64::total_cmp);
        let most = 2 * all.len() > series.len();
        for (list, share) in out.iter_mut().zip([0.5, 0.025, 0.975]) {
            list.push(most.then(|| quantile_sorted(&all, share)));
        }
    }
    out
}

/// Median of the finite values.
fn middle(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut finite: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    finite.sort_by(f64::total_cmp);
    (!finite.is_empty()).then(|| quantile_sorted(&finite, 0.5))
}

/// A time from the power reduction, as `m:ss`; none is before it.
fn minutes(seconds: f64) -> String {
    minutes_and_seconds(seconds.max(0.0))
}

/// Corner by corner the middle of the draws' rings.
fn ring(draws: &[DrawnAttempt]) -> Vec<[f64; 2]> {
    let rings: Vec<Vec<[f64; 2]>> = draws.iter().map(ring_at_power_reduction).collect();
    let corners = rings.iter().map(Vec::len).max().unwrap_or(0);
    (0..corners)
        .filter_map(|k| {
            let axis = |i: usize| middle(rings.iter().filter_map(|r| r.get(k)).map(|c| ft(c[i])));
            Some([axis(0)?, axis(1)?])
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_band_is_there_where_most_draws_are() {
        let series = vec![
            vec![Some(30.48), None],
            vec![Some(60.96), Some(3.0)],
            vec![Some(91.44), None],
        ];
        let [value, low, high] = band(&series, 2);
        assert_eq!(value[0].map(f64::round), Some(200.0));
        assert!(low[0] < Some(110.0) && high[0] > Some(290.0));
        assert_eq!((value[1], low[1], high[1]), (None, None, None));
    }

    #[test]
    fn minutes_and_seconds() {
        assert_eq!(
            (minutes(62.4), minutes(5.0), minutes(-3.0)),
            ("1:02".into(), "0:05".into(), "0:00".into())
        );
    }
}
