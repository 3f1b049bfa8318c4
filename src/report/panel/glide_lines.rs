//! Lines of a glide ratio in still air: the handbook's, and that of the steady glide.

use super::super::number;
use super::Subject;
use crate::measures::usable;

/// A glide ratio to draw a line of.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct GlideLine {
    /// Distance for each unit of height.
    pub(super) ratio: f64,
    /// Its 95 % interval; the handbook's has none.
    pub(super) interval: Option<(f64, f64)>,
    /// What it is called, after the ratio.
    pub(super) name: &'static str,
}

/// The handbook's ratio where the briefing has it, and the one glided where it can be told.
pub(super) fn known(subject: &Subject<'_>) -> Vec<GlideLine> {
    let sensible = |ratio: &f64| ratio.is_finite() && *ratio > 1.0;
    let handbook = subject.reference.handbook_glide_ratio.filter(sensible);
    let handbook = handbook.map(|ratio| GlideLine {
        ratio,
        interval: None,
        name: "handbook",
    });
    let measure = subject.attempt.measures.get("glide_ratio_air");
    let glided = measure
        .and_then(|m| Some((m.value().filter(sensible)?, m.interval()?)))
        .filter(|(_, (low, high))| sensible(low) && sensible(high))
        .filter(|(ratio, (low, high))| usable::can_tell("glide_ratio_air", *ratio, *low, *high))
        .map(|(ratio, interval)| GlideLine {
            ratio,
            interval: Some(interval),
            name: "in this glide",
        });
    handbook.into_iter().chain(glided).collect()
}

impl GlideLine {
    /// `handbook 9.3`, where there is little room.
    pub(super) fn short(&self) -> String {
        let name = match self.interval {
            None => "handbook",
            Some(_) => "glided",
        };
        format!("{name} {}", number::number(self.ratio, 1))
    }

    /// `9.3 to 1 in still air, handbook`.
    pub(super) fn words(&self) -> String {
        let ratio = number::number(self.ratio, 1);
        format!("{ratio} to 1 in still air, {}", self.name)
    }
}
