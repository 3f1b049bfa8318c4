//! Which measures can be flown better or worse, and what counts as met.
//!
//! These are the program's own yardsticks for following a pilot, not a standard: `debrief --standard`
//! holds an attempt against one.

/// What is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Better {
    Less,
    More,
    NearerZero,
    /// A floor: above it, more is not better, and no course is told.
    AtLeast,
}

impl Better {
    pub(super) fn word(self) -> &'static str {
        match self {
            Better::Less => "less",
            Better::More => "more",
            Better::NearerZero => "nearer_zero",
            Better::AtLeast => "at_least",
        }
    }
}

/// Yardstick of one measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Yardstick {
    pub(super) measure: &'static str,
    pub(super) better: Better,
    pub(super) limit: f64,
    pub(super) source: &'static str,
}

const fn of(measure: &'static str, better: Better, limit: f64, source: &'static str) -> Yardstick {
    Yardstick {
        measure,
        better,
        limit,
        source,
    }
}

const PRACTICE: &str = "common practice";

/// In the order of the tables.
pub(super) const YARDSTICKS: &[Yardstick] = &[
    of("settling_time_s", Better::Less, 20.0, PRACTICE),
    of("glide_cas_sd_kt", Better::Less, 4.0, PRACTICE),
    of(
        "glide_cas_within_share",
        Better::More,
        0.9,
        "share of the glide within 10 kt of best glide (tolerance of FAA-S-ACS-6C, Area IX Task B)",
    ),
    of("bank_max_deg", Better::Less, 40.0, PRACTICE),
    of("stall_margin_min", Better::AtLeast, 1.2, PRACTICE),
    of("abeam_height_error_ft", Better::NearerZero, 150.0, PRACTICE),
    of(
        "height_in_hand_min_ft",
        Better::AtLeast,
        0.0,
        "below zero the aim is out of reach; much in hand is an overshoot, so more is not better",
    ),
    of(
        "touchdown_along_ft",
        Better::NearerZero,
        200.0,
        "200 ft, as in the power-off 180° of FAA-S-ACS-7B, which allows it beyond the point only",
    ),
    of("touchdown_across_ft", Better::NearerZero, 25.0, PRACTICE),
    of("touchdown_sink_fpm", Better::Less, 250.0, PRACTICE),
    of(
        "projected_from_500ft_along_ft",
        Better::NearerZero,
        500.0,
        PRACTICE,
    ),
];
