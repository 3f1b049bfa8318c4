//! When flap was first taken, as far as the briefing or the recording tells.

use super::attempt::Ground;
use crate::briefing::Event;
use crate::flight_path::Row;

/// Travel of recorded flap that is an extension and no flutter of the sensor, degrees.
const TRAVEL_DEG: f64 = 2.0;

/// Flap said to be out longer before than this may have come in unsaid, s.
const SAME_CIRCUIT_S: f64 = 300.0;

/// Flap that was taken is still out this much later, s: a noisy sensor is not.
const STAYS_S: f64 = 2.0;

impl Ground<'_> {
    /// First known extension of flap within the attempt, s.
    pub(super) fn known_flap_s(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let said = self
            .briefing
            .events
            .iter()
            .filter(|e| e.is_flap_extension())
            .filter_map(Event::utc_s)
            .map(|utc| utc - self.setting.utc_start_s)
            .filter(|t| *t > from_s && *t < to_s);
        said.chain(first_travel_s(&self.path.rows, (from_s, to_s)))
            .min_by(f64::total_cmp)
    }
    /// Whether flap was out at `t_s` already, as far as it is known.
    pub(super) fn flap_was_out(&self, t_s: f64) -> bool {
        let start = self.setting.utc_start_s;
        let said = self
            .briefing
            .events
            .iter()
            .filter(|e| e.is_flap_extension() || e.is_flap_retraction())
            .filter_map(|e| Some((e.utc_s()? - start, e.is_flap_extension())))
            .filter(|(at_s, _)| *at_s <= t_s && *at_s > t_s - SAME_CIRCUIT_S)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, extended)) = said {
            return extended;
        }
        let recorded = || {
            self.path
                .rows
                .iter()
                .filter_map(|r| Some((r.t_s, f64::from(r.flap_deg?))))
        };
        let least_deg = recorded().map(|r| r.1).fold(f64::INFINITY, f64::min);
        recorded()
            .take_while(|r| r.0 <= t_s)
            .last()
            .is_some_and(|(_, deg)| deg > least_deg + TRAVEL_DEG)
    }
}

/// When recorded flap was first plainly further out than it had been least so far, s.
///
/// Not against the row before: at several rows a second the travel from one to the next is small.
fn first_travel_s(rows: &[Row], (from_s, to_s): (f64, f64)) -> Option<f64> {
    let within: Vec<(f64, f64)> = rows
        .iter()
        .filter(|r| r.t_s > from_s && r.t_s < to_s)
        .filter_map(|r| Some((r.t_s, f64::from(r.flap_deg?))))
        .collect();
    let mut least_deg = f64::INFINITY;
    let out = within.iter().enumerate().find(|(k, (t_s, flap_deg))| {
        least_deg = least_deg.min(*flap_deg);
        let stays = |after: &&(f64, f64)| after.0 - t_s <= STAYS_S;
        let mut after = within[*k..].iter().take_while(stays);
        *flap_deg > least_deg + TRAVEL_DEG && after.all(|a| a.1 > least_deg + TRAVEL_DEG)
    });
    out.map(|(_, (t_s, _))| *t_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(hz: f64, flap_deg: impl Fn(f64) -> f64) -> Vec<Row> {
        (0..(60.0 * hz) as usize)
            .map(|i| {
                let t_s = i as f64 / hz;
                Row {
                    t_s,
                    flap_deg: Some(flap_deg(t_s) as f32),
                    ..Row::default()
                }
            })
            .collect()
    }

    #[test]
    fn travel_shows_at_every_rate() {
        // ten degrees in four seconds, from second 30
        let travel = |t: f64| (2.5 * (t - 30.0)).clamp(0.0, 10.0);
        for hz in [1.0, 5.0, 20.0] {
            let found = first_travel_s(&rows(hz, travel), (10.0, 60.0));
            assert!(
                found.is_some_and(|t| (30.8..=32.0).contains(&t)),
                "{hz} Hz: {found:?}"
            );
        }
    }

    #[test]
    fn flap_coming_up_and_a_fluttering_sensor_are_no_extension() {
        assert_eq!(
            first_travel_s(&rows(5.0, |t| 20.0 - 0.3 * t), (0.0, 60.0)),
            None
        );
        assert_eq!(
            first_travel_s(&rows(5.0, |t| 0.9 * (7.0 * t).sin()), (0.0, 60.0)),
            None
        );
    }
}
