//! Limits that more than one part of the program speaks of: each is written once, here or where it is computed with.

/// Best glide reached within this time of the power reduction is nothing to speak of, s (common practice: the time to
/// trade cruise speed for height and to trim).
pub const SETTLED_WITHIN_S: f64 = 15.0;
