//! What would have settled a close call: a faster recorder, another channel, or nothing.

use super::grade::{CriterionGrade, Recorder};
use crate::measures::catalogue;
use crate::quantity::quantile_sorted;

/// A recorder that would see a measure better, and how well it sees it.
struct Better {
    /// First letters of the ids of the measures.
    measures: &'static [&'static str],
    /// What to record.
    what: &'static str,
    /// Root mean square error of the measures with it in simulated flights, in their unit:
    /// docs/accuracy.md, tables by class of recorder.
    rms: f64,
    /// Whether that is recorded already.
    there: fn(&Recorder) -> bool,
}

/// The ways to see better, the least demanding first.
const BETTER: [Better; 5] = [
    Better {
        measures: &["glide_cas_mean", "final_cas_mean"],
        what: "recorded airspeed",
        rms: 0.46,
        there: |r| r.airspeed,
    },
    Better {
        measures: &["glide_cas_within"],
        what: "recorded airspeed",
        rms: 0.041,
        there: |r| r.airspeed,
    },
    Better {
        measures: &["final_cas_within"],
        what: "recorded airspeed",
        rms: 0.057,
        there: |r| r.airspeed,
    },
    Better {
        measures: &["touchdown_along", "touchdown_across", "float"],
        what: "5 fixes a second",
        rms: 51.0,
        there: |r| r.rate_hz > 4.0,
    },
    Better {
        measures: &[
            "abeam_height",
            "power_reduction_height",
            "overhead_height",
            "base_turn_height",
            "on_final_height",
        ],
        what: "pressure altitude and QNH",
        rms: 10.0,
        there: |r| r.pressure_altitude && r.qnh_known,
    },
];

/// Standard deviations between a value and a bound that make nine shares in ten.
const SIGMAS_OF_NINE_TENTHS: f64 = 1.2816;

/// What would have settled it, as a sentence without its full stop.
pub(super) fn settled_by(graded: &CriterionGrade, known: &[f64], recorder: &Recorder) -> String {
    let distance_of = |value: f64| {
        [graded.low, graded.high]
            .into_iter()
            .flatten()
            .map(|bound| (value - bound).abs())
            .fold(f64::INFINITY, f64::min)
    };
    let mut sorted = known.to_vec();
    sorted.sort_by(f64::total_cmp);
    let distance = distance_of(quantile_sorted(&sorted, 0.5));
    // the truth is one of these draws: in how many of them a better recorder would have told
    let told = |better: &Better| {
        let far = |v: &&f64| distance_of(**v) >= SIGMAS_OF_NINE_TENTHS * better.rms;
        2 * known.iter().filter(far).count() > known.len()
    };
    let of_measure = BETTER
        .iter()
        .find(|b| b.measures.iter().any(|m| graded.measure.starts_with(m)) && !(b.there)(recorder));
    match of_measure {
        Some(better) if told(better) => {
            format!("{} would probably have settled it", better.what)
        }
        Some(better) => format!(
            "{} from the limit: {} might not have told either",
            shown(distance, graded),
            better.what
        ),
        None => format!(
            "{} from the limit: closer than this recorder can tell",
            shown(distance, graded)
        ),
    }
}

fn shown(distance: f64, graded: &CriterionGrade) -> String {
    let info = catalogue::find(&graded.measure);
    match info.map_or("", |i| i.unit) {
        "" if graded.measure.ends_with("_share") => {
            format!("{:.0} %", 100.0 * distance)
        }
        "" => format!("{distance:.1}"),
        "ft" => format!("{distance:.0} ft"),
        unit => format!("{distance:.1} {unit}"),
    }
}
