//! Rounding of what the document says about height in hand.

use super::rounding::{round, round_measured};
use crate::debrief::document::{Attempt, Projection};

/// A tenth of a foot, of a second, of a degree; a thousandth of a probability.
pub(super) fn round_reach(attempt: &mut Attempt) {
    for event in &mut attempt.events {
        round_measured(&mut event.height_ft, 1);
        round(&mut event.probability, 3);
    }
    for value in attempt.glide_ring_ft.iter_mut().flatten() {
        round(value, 0);
    }
    let story = &mut attempt.in_hand;
    for event in &mut story.at_events {
        round_measured(&mut event.elapsed_s, 1);
        round_measured(&mut event.height_ft, 1);
        round_measured(&mut event.height_in_hand_ft, 1);
        event
            .assured_probability
            .iter_mut()
            .for_each(|p| round(p, 3));
    }
    if let Some(change) = &mut story.drag_change {
        round(&mut change.probability, 3);
        round_measured(&mut change.rise_percent, 1);
    }
    for danger in &mut story.dangers {
        round(&mut danger.probability, 3);
        round_measured(&mut danger.lasted_s, 1);
        round_measured(&mut danger.worst, 2);
    }
    story.projections.iter_mut().for_each(round_projection);
    if let Some(plan) = &mut story.height_plan {
        for figure in [
            &mut plan.for_orbits_ft,
            &mut plan.flown_ft,
            &mut plan.bank_deg,
            &mut plan.overhead_height_ft,
        ] {
            round_measured(figure, 1);
        }
        for orbit in &mut plan.orbits {
            round_measured(&mut orbit.height_ft, 1);
        }
    }
    for time in &mut story.time_budget {
        round_measured(&mut time.elapsed_s, 1);
    }
    for field in &mut story.fields {
        round(&mut field.east_ft, 1);
        round(&mut field.north_ft, 1);
        field.probability.iter_mut().for_each(|p| round(p, 3));
        round_measured(&mut field.arrival_height_ft, 1);
        round_measured(&mut field.height_in_hand_ft, 1);
        round_measured(&mut field.within_reach_s, 1);
    }
    for value in story.within_glide_deg.iter_mut().flatten() {
        round(value, 6);
    }
}

fn round_projection(projection: &mut Projection) {
    round_measured(&mut projection.height_ft, 1);
    round_measured(&mut projection.along_ft, 1);
    if let Some(moved) = &mut projection.moved_ft {
        round_measured(moved, 1);
    }
}
