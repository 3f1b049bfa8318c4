//! A landing direction that the approaches do not have: reciprocal, magnetic, of another runway.

use super::clues::Approach;
use super::hypotheses::{Hypothesis, instead_of_first, log_normal};
use crate::units::{wrap_180_deg, wrap_360_deg};

/// What is written is doubted below this probability.
const DOUBT: f64 = 0.1;
/// Directions are written in whole degrees or as the number of the runway, degrees.
const WRITTEN_SD_DEG: f64 = 2.0;
/// A short final wanders about the runway's direction, degrees: landed, and not. Of the landings of the
/// simulated reference flights half came in within 0.6°, nine in ten within 1.8°, all but one in twenty within 4.6°.
const FLOWN_SD_DEG: (f64, f64) = (2.0, 4.0);
/// Share of approaches that are to something else: landed, and not.
const ASTRAY: (f64, f64) = (0.002, 0.05);
/// Share of briefings with each slip (common practice: seldom, not never).
const SLIPS: [f64; 4] = [0.02, 0.03, 0.03, 0.03];
/// A runway lies about ten times its number, degrees magnetic; the number is rounded, and variation drifts away from it.
const NUMBERED_SD_DEG: f64 = 4.0;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Meant {
    AsWritten,
    Reciprocal,
    Magnetic,
    RunwayNumber,
    Another,
}

/// The warning about the landing direction, if it needs one.
pub(super) fn suspicion(
    approaches: &[Approach],
    written_deg: f64,
    variation_deg: f64,
) -> Option<String> {
    if approaches.is_empty() {
        return None;
    }
    let reciprocal_deg = wrap_360_deg(written_deg + 180.0);
    let true_deg = wrap_360_deg(written_deg + variation_deg);
    let about = |direction_deg: f64| {
        move |deg: f64| log_normal(wrap_180_deg(deg - direction_deg), WRITTEN_SD_DEG).exp()
    };
    let hypothesis = |says, prior, density: &dyn Fn(f64) -> f64| Hypothesis {
        says,
        prior,
        log_likelihood: likelihood(approaches, density).ln(),
    };
    let numbered_deg = wrap_360_deg(10.0 * written_deg + variation_deg);
    let by_number = |deg: f64| log_normal(wrap_180_deg(deg - numbered_deg), NUMBERED_SD_DEG).exp();
    let mut hypotheses = vec![
        hypothesis(Meant::AsWritten, 0.93, &about(written_deg)),
        hypothesis(Meant::Reciprocal, SLIPS[0], &about(reciprocal_deg)),
        hypothesis(Meant::Magnetic, SLIPS[1], &about(true_deg)),
        hypothesis(Meant::Another, SLIPS[2], &|_| 1.0 / 360.0),
    ];
    if (1.0..=36.0).contains(&written_deg) && written_deg.fract() == 0.0 {
        hypotheses.push(hypothesis(Meant::RunwayNumber, SLIPS[3], &by_number));
    }
    let meant = instead_of_first(&hypotheses, DOUBT);
    let flown_deg = wrap_360_deg(middle_deg(approaches)).round() % 360.0;
    let written = format!(
        "landing_true_deg = {written_deg}, but the recording comes in at {flown_deg:03.0}° true"
    );
    Some(match meant.first()? {
        Meant::Reciprocal => {
            format!("{written}: it is the reciprocal; write landing_true_deg = {reciprocal_deg}")
        }
        Meant::Magnetic => format!(
            "{written}: {written_deg}° magnetic is {true_deg:.0}° true here (variation {:.0}° {}), which fits; write landing_true_deg = {:.0}",
            variation_deg.abs(),
            if variation_deg < 0.0 { "west" } else { "east" },
            true_deg.round() % 360.0
        ),
        Meant::RunwayNumber => format!(
            "{written}: {written_deg:02} is likely the number of the runway; write landing_magnetic_deg = {:.0} in its place",
            10.0 * written_deg
        ),
        _ => format!(
            "{written}: another runway, or a figure slipped; landing_true_deg = {flown_deg} would fit"
        ),
    })
}

/// Likelihood of the approaches where the true direction has this density by degree.
fn likelihood(approaches: &[Approach], density: &dyn Fn(f64) -> f64) -> f64 {
    (0..720)
        .map(|k| {
            let direction_deg = f64::from(k) * 0.5;
            let flown: f64 = approaches
                .iter()
                .map(|a| {
                    let pick = |pair: (f64, f64)| if a.landed { pair.0 } else { pair.1 };
                    let astray = pick(ASTRAY);
                    let error_deg = wrap_180_deg(a.track_deg - direction_deg);
                    (1.0 - astray) * log_normal(error_deg, pick(FLOWN_SD_DEG)).exp()
                        + astray / 360.0
                })
                .product();
            0.5 * density(direction_deg) * flown
        })
        .sum()
}

/// The approach with the least sum of angles to the others.
fn middle_deg(approaches: &[Approach]) -> f64 {
    let apart = |from: f64| -> f64 {
        approaches
            .iter()
            .map(|a| wrap_180_deg(a.track_deg - from).abs())
            .sum()
    };
    approaches
        .iter()
        .map(|a| a.track_deg)
        .min_by(|a, b| apart(*a).total_cmp(&apart(*b)))
        .unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn landed(tracks: &[f64]) -> Vec<Approach> {
        tracks
            .iter()
            .map(|&track_deg| Approach {
                track_deg,
                landed: true,
            })
            .collect()
    }

    #[test]
    fn a_runway_number_is_near_enough() {
        assert_eq!(suspicion(&landed(&[94.0]), 90.0, 12.0), None);
        assert_eq!(suspicion(&landed(&[1.0, 358.0]), 360.0, 12.0), None);
    }

    #[test]
    fn one_odd_pass_among_landings_accuses_nobody() {
        let mut approaches = landed(&[91.0, 92.0]);
        approaches.push(Approach {
            track_deg: 272.0,
            landed: false,
        });
        assert_eq!(suspicion(&approaches, 92.0, 0.0), None);
    }

    #[test]
    fn each_slip_is_named_with_its_fix() {
        let end = |tracks: &[f64], written, variation| {
            suspicion(&landed(tracks), written, variation).unwrap()
        };
        assert!(end(&[271.0], 92.0, 0.0).ends_with("write landing_true_deg = 272"));
        assert!(end(&[2.0], 348.0, 12.0).contains("(variation 12° east)"));
        assert!(end(&[2.0], 348.0, 12.0).ends_with("write landing_true_deg = 0"));
        assert!(end(&[41.0, 40.0], 92.0, 12.0).contains("another runway"));
    }

    #[test]
    fn a_runway_number_typed_as_direction_is_named_with_its_fix() {
        for (track, number, variation, fix) in [
            (358.0, 36.0, 0.0, "360"),
            (94.0, 9.0, 2.0, "90"),
            (262.0, 27.0, -11.0, "270"),
        ] {
            let text = suspicion(&landed(&[track]), number, variation).unwrap();
            assert!(
                text.contains(&format!("{number:02} is likely the number of the runway")),
                "{text}"
            );
            assert!(
                text.ends_with(&format!("write landing_magnetic_deg = {fix} in its place")),
                "{text}"
            );
        }
        // runway 04 at 36° true, and a figure that is no number of a runway
        assert_eq!(suspicion(&landed(&[37.0]), 36.0, 0.0), None);
        assert!(
            suspicion(&landed(&[5.0]), 36.5, 0.0)
                .unwrap()
                .contains("another runway")
        );
        assert!(
            suspicion(&landed(&[150.0]), 36.0, 0.0)
                .unwrap()
                .contains("another runway")
        );
    }

    #[test]
    fn a_small_variation_is_within_the_doubt() {
        assert_eq!(suspicion(&landed(&[95.0]), 92.0, 3.0), None);
    }
}
