//! The checklist of an attempt in one sentence.

use super::number::{UNIT_SPACE, number};
use super::wording::Wording;
use crate::debrief::document::Attempt;
use crate::quantity::Measured;

/// Start and completion against height and the time left to abeam, and what was not noted; `None`
/// without a checklist.
pub fn sentence(attempt: &Attempt, wording: Wording) -> Option<String> {
    let checklist = attempt.checklist.as_ref()?;
    let height = |measured: &Measured| {
        let ft = measured.value().filter(|h| h.is_finite())?;
        let shown = wording.ft();
        Some(format!("{}{UNIT_SPACE}{}", shown.tens(ft), shown.unit))
    };
    let mut parts = Vec::new();
    match height(&checklist.started_height_ft) {
        Some(ft) => parts.push(format!("started at {ft}")),
        None => parts.push("no item noted".to_owned()),
    }
    if let Some(ft) = height(&checklist.completed_height_ft) {
        let left = checklist
            .completed_before_abeam_s
            .value()
            .map_or_else(String::new, |s| {
                let side = if s < 0.0 { "after" } else { "before" };
                format!(", {}{UNIT_SPACE}s {side} abeam", number(s.abs(), 0))
            });
        parts.push(format!("completed at {ft}{left}"));
    }
    let missed: Vec<&str> = checklist
        .items
        .iter()
        .filter(|i| i.utc.is_none())
        .map(|i| i.item.as_str())
        .collect();
    if !missed.is_empty() && missed.len() < checklist.items.len() {
        parts.push(format!("not noted: {}", missed.join(", ")));
    }
    Some(format!("Checklist {}.", parts.join("; ")))
}
