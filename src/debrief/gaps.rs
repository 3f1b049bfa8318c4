//! What happened where the recording has a gap is not known: key points in one are not measured, nor what rests on them.
//!
//! The path is bridged over a gap, and its draws spread there; but a manoeuvre that lies wholly
//! inside leaves no trace, and no spread of a smooth bridge covers it.

use super::analyse::Told;
use super::instants::rfc3339;
use super::key_points::{FINDERS, median};
use crate::cleaning::{CleanTrack, Gap};
use crate::measures::DrawnAttempt;
use crate::measures::held_speed::final_s;
use crate::measures::reach::judged_at_s;

/// A key point is in a gap where more than this share of the draws puts it there: more likely in than out.
const SHARE_INSIDE: f64 = 0.5;

/// The key points that lie in gaps, and the measures that go with them.
const RESTS_ON: [(&str, &[&str]); 10] = [
    (
        "power_reduction",
        &[
            "power_reduction_height_ft",
            "settling_time_s",
            "settling_height_lost_ft",
            "height_in_hand_at_power_reduction_ft",
            "glide_time_s",
        ],
    ),
    (
        "best_glide_held",
        &["settling_time_s", "settling_height_lost_ft"],
    ),
    ("overhead", &["overhead_height_ft"]),
    ("500_ft", &["projected_from_500ft_along_ft"]),
    (
        "abeam",
        &[
            "abeam_height_ft",
            "abeam_height_error_ft",
            "abeam_distance_ft",
            "height_in_hand_at_abeam_ft",
        ],
    ),
    ("base_turn", &["base_turn_height_ft"]),
    (
        "on_final",
        &[
            "on_final_height_ft",
            "on_final_distance_ft",
            "final_cas_mean_kt",
            "final_cas_sd_kt",
            "final_cas_within_share",
        ],
    ),
    ("flare", &["float_distance_ft", "final_cas_within_share"]),
    (
        "touchdown",
        &[
            "touchdown_along_ft",
            "touchdown_across_ft",
            "touchdown_ground_speed_kt",
            "touchdown_cas_kt",
            "touchdown_sink_fpm",
            "float_distance_ft",
            "glide_time_s",
        ],
    ),
    (
        "go_around",
        &[
            "go_around_height_ft",
            "projected_touchdown_along_ft",
            "glide_time_s",
            "final_cas_within_share",
        ],
    ),
];

/// A gap as long as this hides a turn rolled in and out, or ten knots lost and regained, s.
const HIDES_S: f64 = 10.0;
/// A gap as long as this hides an orbit: at 45° of bank and 70 kt one takes 23 s.
const HIDES_ORBIT_S: f64 = 23.0;
/// Least, greatest and share over the glide: what a gap hides may be just that.
const EXTREMES: [&str; 8] = [
    "glide_cas_sd_kt",
    "glide_cas_min_kt",
    "glide_cas_max_kt",
    "glide_cas_within_share",
    "bank_max_deg",
    "load_factor_max",
    "stall_margin_min",
    "height_in_hand_min_ft",
];
/// The same on final, where that is what a gap hides, or …
const ON_FINAL: [&str; 2] = ["final_cas_sd_kt", "final_cas_within_share"];
/// … where gaps hide this share of it: as much as is between a speed that was held and one that was not.
const HIDES_SHARE: f64 = 0.25;
/// What counts orbits.
const ORBITS: [&str; 3] = ["orbits", "height_per_orbit_ft", "time_per_orbit_s"];

/// Key points of an attempt that lie in gaps, each with the length of its gap, s; and the longest gap of its glide.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Lost {
    key_points: Vec<(&'static str, f64)>,
    longest_s: f64,
    gaps: Vec<(f64, f64)>,
    /// What gaps hide of final, s: the longest, all, and how long final is.
    on_final_s: [f64; 3],
}

impl Lost {
    /// Looks at every kind of key point; `gaps` on the recording's clock.
    pub(super) fn find(gaps: &[(f64, f64)], draws: &[DrawnAttempt]) -> Self {
        let of = |f: fn(&DrawnAttempt) -> f64| {
            let mut times: Vec<f64> = draws.iter().map(f).collect();
            times.sort_by(f64::total_cmp);
            times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
        };
        let glide_s = (of(|d| d.known.power_reduction_s), of(|d| d.known.end_s));
        let hidden_s = |(from_s, to_s): (f64, f64)| {
            let each = gaps.iter();
            each.map(move |gap| (gap.1.min(to_s) - gap.0.max(from_s)).max(0.0))
        };
        let final_s = median(draws, |d| Some(final_s(d)?.0))
            .zip(median(draws, |d| Some(final_s(d)?.1)))
            .unwrap_or((f64::INFINITY, f64::INFINITY));
        Lost {
            gaps: gaps.to_vec(),
            longest_s: hidden_s(glide_s).fold(0.0, f64::max),
            on_final_s: [
                hidden_s(final_s).fold(0.0, f64::max),
                hidden_s(final_s).sum(),
                final_s.1 - final_s.0,
            ],
            key_points: FINDERS
                .iter()
                .chain(&[("500_ft", judged_at_s as fn(&DrawnAttempt) -> Option<f64>)])
                .filter_map(|(kind, time_of)| {
                    let times: Vec<f64> = draws
                        .iter()
                        .filter_map(time_of)
                        .filter(|t| t.is_finite())
                        .collect();
                    Some((*kind, gap_around(&times, gaps)?))
                })
                .collect(),
        }
    }

    /// Why an instant that the draws put at `times_s` is not measured.
    pub(super) fn reason_within(&self, times_s: &[f64]) -> Option<String> {
        let finite: Vec<f64> = times_s.iter().copied().filter(|t| t.is_finite()).collect();
        gap_around(&finite, &self.gaps).map(gap_here)
    }

    /// Why the key point of this kind is not measured.
    pub(super) fn reason_at(&self, kind: &str) -> Option<String> {
        let (_, seconds) = self.key_points.iter().find(|lost| lost.0 == kind)?;
        Some(gap_here(*seconds))
    }

    /// Why the measure is not measured.
    pub(super) fn reason_for(&self, measure: &str) -> Option<String> {
        RESTS_ON
            .iter()
            .filter(|(_, measures)| measures.contains(&measure))
            .find_map(|(kind, _)| self.reason_at(kind))
            .or_else(|| {
                let hidden = (EXTREMES.contains(&measure) && self.longest_s >= HIDES_S)
                    || (ORBITS.contains(&measure) && self.longest_s >= HIDES_ORBIT_S);
                hidden.then(|| {
                    let gap_s = self.longest_s;
                    format!("the recording has a gap of {gap_s:.0} s in the glide")
                })
            })
            .or_else(|| {
                let [longest_s, all_s, final_s] = self.on_final_s;
                let hidden =
                    longest_s >= HIDES_S || (all_s > 0.0 && all_s >= HIDES_SHARE * final_s);
                (ON_FINAL.contains(&measure) && hidden)
                    .then(|| format!("the recording has a gap of {longest_s:.0} s on final"))
            })
    }
}

fn gap_here(seconds: f64) -> String {
    format!("the recording has a gap of {seconds:.0} s here")
}

/// The length of the gap that more than [`SHARE_INSIDE`] of these instants lie in, s.
fn gap_around(times_s: &[f64], gaps: &[(f64, f64)]) -> Option<f64> {
    gaps.iter()
        .find(|(from, to)| {
            let inside = times_s.iter().filter(|t| *from < **t && **t < *to).count();
            inside as f64 > SHARE_INSIDE * times_s.len() as f64
        })
        .map(|(from, to)| to - from)
}

/// The long gaps on the recording's clock, s.
pub(super) fn long_gaps(track: &CleanTrack, utc_start_s: f64) -> Vec<(f64, f64)> {
    track
        .long_gaps()
        .map(|gap| (gap.from_s - utc_start_s, gap.to_s - utc_start_s))
        .collect()
}

/// A warning for each gap within an attempt.
pub(super) fn warnings(track: &CleanTrack, utc_start_s: f64, attempts: &[Told]) -> Vec<String> {
    let within = |gap: &Gap, a: &Told| {
        let (from_s, to_s) = (gap.from_s - utc_start_s, gap.to_s - utc_start_s);
        to_s > a.candidate.start_s && from_s < a.end_s
    };
    let mut out = Vec::new();
    for gap in track.long_gaps() {
        for (index, _) in attempts.iter().enumerate().filter(|(_, a)| within(&gap, a)) {
            out.push(format!(
                "the recording has a gap of {:.0} s in attempt {}, from {} UTC: what was flown in it is not known, and a key point inside it is not measured",
                gap.length_s(),
                index + 1,
                rfc3339(gap.from_s).get(11..19).unwrap_or_default()
            ));
        }
    }
    out
}

/// `(from, to)` without the gap that either end lies in.
pub(super) fn trimmed((mut from_s, mut to_s): (f64, f64), gaps: &[(f64, f64)]) -> (f64, f64) {
    for &(gap_from, gap_to) in gaps {
        if gap_from < from_s && from_s < gap_to {
            from_s = gap_to;
        }
        if gap_from < to_s && to_s < gap_to {
            to_s = gap_from;
        }
    }
    (from_s, to_s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::catalogue;

    #[test]
    fn most_draws_decide_whether_a_point_is_in_a_gap() {
        let gaps = [(10.0, 30.0)];
        assert_eq!(gap_around(&[12.0, 15.0, 31.0], &gaps), Some(20.0));
        assert_eq!(gap_around(&[9.0, 15.0, 31.0], &gaps), None);
        // the fixes at its edges are recorded
        assert_eq!(gap_around(&[10.0, 30.0], &gaps), None);
        assert_eq!(gap_around(&[], &gaps), None);
    }

    #[test]
    fn what_rests_on_a_lost_point_is_lost() {
        let lost = Lost {
            key_points: vec![("abeam", 12.4)],
            longest_s: 12.4,
            gaps: vec![(100.0, 112.4)],
            on_final_s: [0.0, 0.0, 24.0],
        };
        assert!(lost.reason_for("bank_max_deg").is_some());
        assert!(lost.reason_for("orbits").is_none());
        assert!(lost.reason_for("descent_rate_fpm").is_none());
        assert_eq!(
            lost.reason_for("abeam_distance_ft").as_deref(),
            Some("the recording has a gap of 12 s here")
        );
        assert_eq!(lost.reason_for("touchdown_along_ft"), None);
        assert_eq!(lost.reason_for("final_cas_within_share"), None);
    }

    #[test]
    fn a_gap_on_final_hides_how_long_the_speed_was_held() {
        let of = |on_final_s: [f64; 3], id: &str| {
            let lost = Lost {
                on_final_s,
                ..Lost::default()
            };
            lost.reason_for(id)
        };
        // ten seconds hide ten knots lost and regained, whatever the length of final
        let long = "the recording has a gap of 10 s on final";
        for id in ON_FINAL {
            assert_eq!(of([10.0, 10.0, 90.0], id).as_deref(), Some(long));
            assert_eq!(of([9.9, 9.9, 90.0], id), None);
            // a quarter of it: two gaps of 6 s in 48 s are that, in 49 s they are not
            assert!(of([6.0, 12.0, 48.0], id).is_some());
            assert_eq!(of([6.0, 12.0, 49.0], id), None);
        }
        assert_eq!(of([10.0, 10.0, 90.0], "final_cas_mean_kt"), None);
        // without a gap nothing is hidden, however short final was
        assert_eq!(of([0.0, 0.0, -0.2], "final_cas_within_share"), None);
        assert_eq!(of([0.0; 3], "final_cas_within_share"), None);
    }

    #[test]
    fn every_measure_named_is_one() {
        for id in RESTS_ON.iter().flat_map(|(_, measures)| *measures) {
            assert!(catalogue::find(id).is_some(), "{id}");
        }
    }

    #[test]
    fn a_stretch_ends_where_a_gap_begins() {
        assert_eq!(
            trimmed((15.0, 50.0), &[(10.0, 20.0), (45.0, 60.0)]),
            (20.0, 45.0)
        );
    }
}
