//! What a reader of one attempt should know beside its figures.

use super::analyse::Analysis;
use super::attempt::AttemptAnalysis;
use crate::units::kt;

/// Least heading change from which wind and airspeed can be told apart, degrees.
const LEAST_TURN_FOR_WIND_DEG: f64 = 90.0;

/// The remarks of an attempt.
pub(super) fn remarks(analysis: &Analysis, a: &AttemptAnalysis) -> Vec<String> {
    let mut out = Vec::new();
    if a.turned_deg < LEAST_TURN_FOR_WIND_DEG && !a.has_recorded_airspeed {
        out.push(format!(
            "the glide turned only {:.0}°: wind cannot be told from airspeed; give a METAR or fly one orbit",
            a.turned_deg
        ));
    }
    if a.never_held && analysis.best_glide_from_briefing {
        out.push("best glide was never held for 5 s: the steady glide is taken from 15 s after the power reduction".into());
    }
    if !analysis.best_glide_from_briefing {
        out.push(format!(
            "best glide speed is not in the briefing: {:.0} kt, the speed usually held at idle in this recording, stands in for it",
            kt(analysis.polar.best_glide_cas_mps)
        ));
    }
    out
}
